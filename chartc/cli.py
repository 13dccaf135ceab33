"""The command line: commands, options and exit codes. 0: fine. 1: findings in a chart. 2: could not run. The highest wins."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartc import __version__
from chartc.text.diagnostic import Diagnostic, as_json, has_errors, in_order, printable, show

if TYPE_CHECKING:
    from chartc.book.gather import Entry
    from chartc.player import Player
    from chartc.text.source import Source

FINE, FINDINGS, FAILED = 0, 1, 2

SHEET_NAMES = ("backup", "chords")
PAPER_NAMES = ("a4", "letter")


def main(argv: Sequence[str] | None = None) -> int:
    """Runs a command and returns its exit code; never a traceback (unless CHARTC_DEBUG is set)."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    args = _parser().parse_args(argv)
    try:
        code: int = args.run(args)
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        # the reader of our output has gone; there is nobody left to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    except KeyboardInterrupt:
        _say("stopped; files written so far are whole")
        return FAILED
    except OSError as error:
        _say(f"{error.filename or 'a file'}: {error.strerror or error}")
        return FAILED
    except Exception as error:  # the last net: a defect of the program, not of the chart
        if os.environ.get("CHARTC_DEBUG"):
            raise
        _say(f"a defect in chartc, please report it with the chart: {type(error).__name__}: {error}")
        return FAILED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="chartc",
        description="Compiles plain-text chord charts into printed banjo backup sheets, in every key asked for.",
        epilog="Exit codes: 0 fine, 1 findings in a chart, 2 could not run.",
    )
    parser.add_argument("--version", action="version", version=f"chartc {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)

    def command(name: str, run: Callable[[argparse.Namespace], int], help: str, many: bool) -> argparse.ArgumentParser:
        sub = commands.add_parser(name, help=help, description=help[0].upper() + help[1:] + ".")
        if many:
            sub.add_argument(
                "paths", metavar="PATH", nargs="+", help="a chart (*.chartc), or a folder: all charts below it"
            )
        else:
            sub.add_argument("paths", metavar="CHART", nargs=1, help="a chart (*.chartc)")
        sub.add_argument(
            "--player", metavar="FILE.yaml", type=Path, help="a player's settings: instrument, limits, licks, rules ..."
        )
        sub.set_defaults(run=run)
        return sub

    def keys(sub: argparse.ArgumentParser) -> None:
        sub.add_argument(
            "--keys",
            metavar='"G, A, Bb"',
            type=_keys,
            default=(),
            help="the keys wanted, or: all (default: the chart's own)",
        )

    def format_(sub: argparse.ArgumentParser) -> None:
        sub.add_argument(
            "--format", choices=("text", "json"), default="text", help="json: results for programs, on standard output"
        )

    build = command("build", _build, "print the sheets of charts as PDF files, in every key asked for", many=True)
    keys(build)
    build.add_argument(
        "--out", metavar="DIR", type=Path, default=Path("build"), help="where the files go (default: build)"
    )
    build.add_argument("--paper", choices=PAPER_NAMES, help="the paper (default: a4)")
    build.add_argument(
        "--sheet",
        metavar="KIND",
        type=_sheets,
        default=(),
        help=f"kinds of sheet, with commas: {', '.join(SHEET_NAMES)} (default: backup)",
    )
    build.add_argument("--together", action="store_true", help="one more file with all keys together")
    format_(build)
    check = command("check", _check, "check charts: measures, beats, chords, form, requests", many=True)
    format_(check)
    plan = command("plan", _plan, "write the filled chart as JSON on standard output", many=False)
    keys(plan)
    format_(plan)
    return parser


def _keys(text: str) -> tuple[str, ...]:
    from chartc.book.compile import KeyWordError, split_keys

    try:
        return split_keys(text)
    except KeyWordError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _sheets(text: str) -> tuple[str, ...]:
    words = tuple(dict.fromkeys(w.strip() for w in text.split(",") if w.strip()))
    for word in words:
        if word not in SHEET_NAMES:
            raise argparse.ArgumentTypeError(f'"{word}" is no kind of sheet; known: {", ".join(SHEET_NAMES)}')
    return words


# --- commands ------------------------------------------------------------------------------------------------------------


def _build(args: argparse.Namespace) -> int:
    from chartc.sheet import PAPERS, SHEETS

    player, findings, code = _player(args)
    files: list[str] = []
    if player is None:
        return _report(args, findings, code, {"files": files})
    paper = PAPERS[args.paper or player.paper or "a4"]
    sheets = args.sheet or player.sheets or ("backup",)
    entries, code = _entries(args, code)
    progress = _Progress(len(entries))
    for entry in entries:
        source, errors, code = _read(entry, code)
        findings.extend(errors)
        if source is None:
            progress.step(entry.name)
            continue
        outputs, more = _chart_files(source, entry, player, args, sheets, paper, SHEETS, progress)
        findings.extend(more)
        from chartc.store.writing import write_whole

        for path, data in outputs:
            try:
                write_whole(path, data)
            except OSError as error:
                _say(f"{path}: {error.strerror or error}")
                code = FAILED
                continue
            files.append(str(path))
        progress.step(entry.name)
    progress.end()
    return _report(args, findings, code, {"files": files})


def _chart_files(
    source: Source,
    entry: Entry,
    player: Player,
    args: argparse.Namespace,
    sheets: Sequence[str],
    paper: Any,
    kinds: dict[str, Any],
    progress: _Progress,
) -> tuple[list[tuple[Path, bytes]], list[Diagnostic]]:
    """Every file of one chart as bytes, so that a chart that fails writes nothing."""
    from chartc.book.compile import compile_chart
    from chartc.press import pdf

    outputs: list[tuple[Path, bytes]] = []
    compiled = None
    for compiled in compile_chart(source, player, args.keys):
        if compiled.parts:
            progress.say(f"{entry.name} in {compiled.parts[-1].song.key.label}")
    assert compiled is not None
    for kind in sheets:
        together: list[Any] = []
        for part in compiled.parts:
            pages = kinds[kind](part, paper)
            together.extend(pages)
            name = f"{entry.stem}-{part.song.key.file_word}-{kind}.pdf"
            title = f"{part.song.title} ({part.song.key.label})"
            outputs.append((args.out / name, pdf(pages, title, part.song.credit)))
        if args.together and together:
            outputs.append(
                (
                    args.out / f"{entry.stem}-all-{kind}.pdf",
                    pdf(together, compiled.parts[0].song.title, compiled.parts[0].song.credit),
                )
            )
    return outputs, compiled.found


def _check(args: argparse.Namespace) -> int:
    from chartc.book.compile import read_song

    player, findings, code = _player(args)
    if player is None:
        return _report(args, findings, code, {})
    entries, code = _entries(args, code)
    progress = _Progress(len(entries))
    for entry in entries:
        source, errors, code = _read(entry, code)
        findings.extend(errors)
        if source is not None:
            findings.extend(read_song(source, player)[1])
        progress.step(entry.name)
    progress.end()
    return _report(args, findings, code, {})


def _plan(args: argparse.Namespace) -> int:
    from chartc.book.compile import compile_chart
    from chartc.export.plan import plan

    player, findings, code = _player(args)
    if player is None:
        return _report(args, findings, code, None)
    entries, code = _entries(args, code)
    result = None
    if len(entries) > 1:
        _say("plan takes one chart")
        return FAILED
    for entry in entries:
        source, errors, code = _read(entry, code)
        findings.extend(errors)
        if source is None:
            continue
        *_, compiled = compile_chart(source, player, args.keys)
        findings.extend(compiled.found)
        if compiled.parts:
            result = plan(compiled.parts)
    if result is not None:
        json.dump(result, sys.stdout, ensure_ascii=False, separators=(",", ":"))
        sys.stdout.write("\n")
    return _report(args, findings, code, None)


# --- what commands share -------------------------------------------------------------------------------------------------


def _player(args: argparse.Namespace) -> tuple[Player | None, list[Diagnostic], int]:
    from chartc.player import load_player

    try:
        player, found = load_player(args.player, SHEET_NAMES, PAPER_NAMES)
    except OSError as error:
        _say(f"{args.player}: {error.strerror or error}")
        return None, [], FAILED
    return player, list(found), FINE


def _entries(args: argparse.Namespace, code: int) -> tuple[tuple[Entry, ...], int]:
    from chartc.book.gather import gather

    gathered = gather(args.paths)
    for problem in gathered.problems:
        _say(problem)
        code = FAILED
    return gathered.entries, code


def _read(entry: Entry, code: int) -> tuple[Source | None, tuple[Diagnostic, ...], int]:
    from chartc.text.reading import read

    try:
        source, found = read(entry.path, entry.name)
        return source, found, code
    except OSError as error:
        _say(f"{entry.name}: {error.strerror or error}")
        return None, (), FAILED


def _report(args: argparse.Namespace, findings: Sequence[Diagnostic], code: int, result: dict[str, Any] | None) -> int:
    """Shows the findings and gives the exit code. `result` is what `--format json` prints beside them; None where the command has
    printed its own."""
    found = in_order(findings)
    if result is not None and args.format == "json":
        json.dump({**result, "diagnostics": [as_json(d) for d in found]}, sys.stdout, ensure_ascii=False, indent=1)
        sys.stdout.write("\n")
    else:
        by_file: dict[str, list[Diagnostic]] = {}
        for d in found:
            by_file.setdefault(d.place[0], []).append(d)
        sys.stderr.write("".join(show(ds) for ds in by_file.values()))
    return max(code, FINDINGS if has_errors(found) else FINE)


def _say(text: str) -> None:
    print(f"chartc: {printable(text)}", file=sys.stderr)


class _Progress:
    """Tells on a terminal how far long work has come; says nothing anywhere else."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._done = 0
        self._shown = sys.stderr.isatty()

    def say(self, what: str) -> None:
        """Shows what is being worked on."""
        if self._shown:
            sys.stderr.write(f"\r\033[K{self._done} of {self._count} done: {printable(what)}"[:120])
            sys.stderr.flush()

    def step(self, what: str) -> None:
        """One more is done."""
        self._done += 1
        self.say(what)

    def end(self) -> None:
        """Clears the line."""
        if self._shown:
            sys.stderr.write("\r\033[K")
            sys.stderr.flush()


if __name__ == "__main__":
    sys.exit(main())
