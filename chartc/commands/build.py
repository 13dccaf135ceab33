"""`chartc build`: the sheets of charts as PDF files, in every key asked for."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartc.commands import shared
from chartc.commands.shared import SHEET_NAMES, Progress

if TYPE_CHECKING:
    from chartc.book.gather import Entry
    from chartc.player import Player
    from chartc.sheet import Paper
    from chartc.slots.part import Part
    from chartc.text.diagnostic import Diagnostic
    from chartc.text.source import Source


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "build", run, "print the sheets of charts as PDF files, in every key asked for")
    shared.add_paths(sub)
    shared.add_keys(sub)
    shared.add_out(sub)
    kinds = f"kinds of sheet, with commas: {', '.join(SHEET_NAMES)} (default: backup)"
    sub.add_argument(
        "--sheet", metavar="KIND", type=shared.word_list(SHEET_NAMES, "kind of sheet"), default=(), help=kinds
    )
    sub.add_argument("--together", action="store_true", help="one more file with all keys together")
    shared.add_midi(sub)
    help = "open notation too: a MusicXML file for each key"
    sub.add_argument("--musicxml", action="store_true", help=help)
    shared.add_choice(sub)
    shared.add_player(sub)
    shared.add_format(sub)


@dataclass(frozen=True)
class _Wanted:
    """What is made of every chart."""

    keys: Sequence[str]
    ways: int
    sheets: Sequence[str]
    paper: Paper
    together: bool
    out: Path
    midi: Sequence[int] = ()
    musicxml: bool = False


def run(args: argparse.Namespace) -> int:
    """Builds every chart; one that is wrong writes nothing and does not stop the others."""
    player, findings, code = shared.read_player(args)
    files: list[str] = []
    if player is None:
        return shared.report(args, findings, code, {"files": files})
    from chartc.sheet import PAPERS

    paper = PAPERS[args.paper or player.paper or "a4"]
    wanted = _Wanted(args.keys, args.ways, args.sheet or player.sheets or ("backup",), paper, args.together, args.out,
                     args.tempos if args.midi else (), args.musicxml)  # fmt: skip
    entries, code = shared.entries(args, code)
    progress = Progress(len(entries))
    for entry in entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is not None:
            try:
                outputs, more = _outputs(source, entry, player, wanted, progress)
            except Exception as error:
                # a defect that one chart brings to light does not stop the others
                code = shared.defect(error, entry.name)
                outputs, more = [], []
            findings.extend(more)
            for path, data in outputs:
                code = shared.write(path, data, files, code)
        progress.step(entry.name)
    progress.end()
    return shared.report(args, findings, code, {"files": files})


def _outputs(
    source: Source, entry: Entry, player: Player, wanted: _Wanted, progress: Progress
) -> tuple[list[tuple[Path, bytes]], list[Diagnostic]]:
    """Every file of one chart as bytes, so that a chart that fails writes nothing."""
    from chartc.book.compile import Compiled, compile_chart
    from chartc.press import pdf
    from chartc.sheet import SHEETS

    outputs: list[tuple[Path, bytes]] = []
    compiled = Compiled()
    for compiled in compile_chart(source, player, wanted.keys, wanted.ways):
        if compiled.parts:
            progress.say(f"{entry.name} in {compiled.parts[-1].song.key.label}")
    for kind in wanted.sheets:
        together: list[Any] = []
        for part in compiled.parts:
            song = part.song
            pages = SHEETS[kind](part, wanted.paper)
            together.extend(pages)
            way = f"-way-{part.way}" if part.way > 1 else ""
            name = f"{entry.stem}-{song.key.file_word}{way}-{kind}.pdf"
            outputs.append((wanted.out / name, pdf(pages, f"{song.title} ({song.key.label})", song.credit)))
        if wanted.together and together:
            song = compiled.parts[0].song
            outputs.append((wanted.out / f"{entry.stem}-all-{kind}.pdf", pdf(together, song.title, song.credit)))
    for part in compiled.parts:
        outputs += [(wanted.out / name, data) for name, data in _exchanged(part, entry.stem, wanted)]
    return outputs, compiled.found


def _exchanged(part: Part, stem: str, wanted: _Wanted) -> Iterator[tuple[str, bytes]]:
    """Play-along and notation of one part, as far as they are wanted."""
    from chartc.export.midi import midi
    from chartc.export.musicxml import musicxml

    way = f"-way-{part.way}" if part.way > 1 else ""
    name = f"{stem}-{part.song.key.file_word}{way}-backup"
    if wanted.midi:
        yield f"{name}.mid", midi(part, wanted.midi)
    if wanted.musicxml:
        yield f"{name}.musicxml", musicxml(part)
