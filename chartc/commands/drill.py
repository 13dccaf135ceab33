"""`chartc drill`: exercises from the licks and joins that charts use, or from licks of the library."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from chartc.commands import shared
from chartc.commands.songs import marks, materials, songs

if TYPE_CHECKING:
    from chartc.book.players import Seat
    from chartc.commands.songs import Asked
    from chartc.licks.lick import Lick
    from chartc.player import Player
    from chartc.practice.items import Material
    from chartc.practice.progress import Progress
    from chartc.slots.part import Part
    from chartc.text.diagnostic import Diagnostic

KINDS = ("slow-joins", "song-joins", "all-joins", "flow", "round", "progression")
FOR_CHARTS = ("slow-joins", "song-joins", "flow")
METERS = ("4/4", "2/2", "2/4", "3/4", "6/8", "9/8", "12/8")
MOST_MEASURES = 400


def add(commands: shared.Commands) -> None:
    """The command's options."""
    about = "print drills: hard joins in slow motion, every join of some licks, licks through a progression and keys"
    sub = shared.command(commands, "drill", run, about)
    help = "a chart (*.chartc), a folder, or a set list (*.yaml): the licks that it uses are drilled"
    sub.add_argument("paths", metavar="PATH", nargs="*", help=help)
    help = "licks by name, with commas; or: all, mine (of the player's files), known, learning, a role such as ending"
    sub.add_argument("--licks", metavar="NAMES", type=_names, default=(), help=help)
    help = (
        f"kinds of drill, with commas: {', '.join(KINDS)} (default: {', '.join(FOR_CHARTS)}; for licks: all that suit)"
    )
    sub.add_argument("--kind", metavar="KIND", type=shared.word_list(KINDS, "kind of drill"), default=(), help=help)
    help = "one drill for all songs of a meter, over the licks of all of them"
    sub.add_argument("--together", action="store_true", help=help)
    help = "chords of a progression by degree, with spaces (default: 1 4 1 5 1, in minor 1m 4m 1m 5 1m)"
    sub.add_argument("--progression", metavar='"1 4 5 1"', default="", help=help)
    sub.add_argument("--tempo", metavar="N", type=_count(20, 400), default=160,
                     help="quarter notes a minute for --licks (default: 160)")  # fmt: skip
    sub.add_argument("--meter", choices=METERS, default="4/4", help="the meter for --licks (default: 4/4)")
    sub.add_argument("--seed", metavar="N", type=_count(0, 999_999), default=1, help="which random flow (default: 1)")
    sub.add_argument("--measures", metavar="N", type=_count(1, MOST_MEASURES), default=32,
                     help="measures of the random flow (default: 32)")  # fmt: skip
    shared.add_keys(sub)
    shared.add_out(sub)
    shared.add_midi(sub)
    shared.add_level(sub)
    shared.add_player(sub)
    shared.add_format(sub)


def _names(text: str) -> tuple[str, ...]:
    names = tuple(dict.fromkeys(n.strip() for n in text.split(",") if n.strip()))
    if not names:
        raise argparse.ArgumentTypeError("names of licks with commas, such as: ferry-plank, lock-gate")
    return names


def _count(least: int, most: int) -> Any:
    def read(text: str) -> int:
        if not text.isascii() or not text.isdigit() or len(text) > 6 or not least <= int(text) <= most:
            raise argparse.ArgumentTypeError(f"a number from {least} to {most}")
        return int(text)

    return read


@dataclass(frozen=True)
class _Made:
    """One drill, ready to be written."""

    stem: str
    kind: str
    parts: tuple[Part, ...]
    joins: int
    left_out: tuple[str, ...]
    paper: str = ""


def _on(seat: Seat, drill: _Made) -> _Made:
    """The drill on the player's paper."""
    return replace(drill, paper=seat.player.paper)


def run(args: argparse.Namespace) -> int:
    """Makes the drills; a chart that is wrong does not stop the others."""
    drills: list[dict[str, Any]] = []
    files: list[str] = []
    if bool(args.paths) == bool(args.licks):
        shared.say('give either charts or --licks NAMES, such as: chartc drill --licks "ferry-plank, lock-gate"')
        return shared.FAILED
    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, {"files": files, "drills": drills})
    from chartc.practice.progress import NOTHING
    from chartc.sheet import PAPERS

    progress: Progress = getattr(args, "marks", NOTHING)
    made: list[_Made] = []
    if args.licks:
        licks, ok = _licks(args, player, progress)
        if not ok:
            return shared.FAILED
        made = list(_of_licks(args, player, progress, licks, findings))
    else:
        asked, code = songs(args, player, findings, code)
        progress = marks(args, asked)
        found = [(one, m) for one in asked for m in materials(one, progress, findings)]
        if args.together:
            for seat in {one.seat.stem: one.seat for one in asked}.values():
                theirs = [m for one, m in found if one.seat.stem == seat.stem]
                made += [_on(seat, drill) for drill in _of_all(args, progress, theirs, seat)]
        else:
            for one, material in found:
                made += [_on(one.seat, drill) for drill in _of_song(args, one, progress, material, findings)]
    for drill in made:
        described: dict[str, Any] = {"kind": drill.kind, "title": drill.parts[0].song.title, "joins": drill.joins}
        drills.append({**described, "left_out": list(drill.left_out), "files": []})
        paper = PAPERS[args.paper or drill.paper or player.paper or "a4"]
        for path, data in _files(drill, args, paper):
            before = len(files)
            code = shared.write(path, data, files, code)
            drills[-1]["files"] += files[before:]
    if not made and code == shared.FINE:
        shared.say("there is nothing to drill: no lick of these has a join of that kind")
    return shared.report(args, findings, code, {"files": files, "drills": drills})


def _licks(args: argparse.Namespace, player: Player, progress: Progress) -> tuple[list[Lick], bool]:
    """The licks meant by names and words; False where one is none, or where they are too many."""
    from chartc.licks.library import own_sources
    from chartc.licks.lick import ROLES
    from chartc.practice.drill import MOST_ITEMS
    from chartc.text.diagnostic import nearest

    library = player.means.library
    own = {s.name for s in own_sources()}
    resting = {leaf.text for leaf in player.means.rulebook.resting}
    found: dict[str, Lick] = {}
    for name in args.licks:
        if name in library.by_name:
            group = [library.by_name[name]]
        elif name in ("known", "learning"):
            group = [library.by_name[n] for n in progress.marked(name) if n in library.by_name]
        elif name in ("all", "mine") or name in ROLES:
            group = [
                x
                for x in library.licks
                if x.name not in resting
                and (name == "all" or x.role == name or (name == "mine" and x.span.source.name not in own))
            ]
        else:
            shared.say(f'there is no lick "{name}"{nearest(name, library.by_name)}; chartc licks lists the names')
            return [], False
        if not group:
            shared.say(f'no lick is meant by "{name}"')
            return [], False
        found.update((x.name, x) for x in group)
    if len(found) > MOST_ITEMS:
        names = ", ".join(list(found)[:3])
        shared.say(
            f"{len(found)} licks have {len(found) ** 2} joins; at most {MOST_ITEMS} can be drilled: name them, such as: "
            f'--licks "{names}", or drill those of a chart: chartc drill SONG.chartc'
        )
        return [], False
    return list(found.values()), True


def _of_song(
    args: argparse.Namespace,
    asked: Asked,
    progress: Progress,
    material: Material,
    findings: list[Diagnostic],
) -> Iterator[_Made]:
    """The drills of one song in one key."""
    kinds = args.kind or FOR_CHARTS
    song, player = material.song, asked.seat.player
    name = f"{asked.seat.named(asked.stem)}-{song.key.file_word}"
    yield from _drills(material, name, kinds, args, progress)
    if "progression" in kinds:
        used = {i.lick for i in material.items if i.halves[0].role not in ("roll", "vamp", "lead-in")}
        licks = [x for x in player.means.library.licks if x.name in used]
        yield from _through(licks, name, [song.key], song.meter, song.tempo, args, player, findings)


def _of_all(args: argparse.Namespace, progress: Progress, found: Sequence[Material], seat: Seat) -> Iterator[_Made]:
    """The drills of all songs of a player as one, for each meter and each place of the fifth string."""
    from chartc.practice.together import together

    taken: dict[str, int] = {}
    for material in together(found):
        stem = seat.named(f"together-{material.song.meter.label.replace('/', '-')}")
        taken[stem] = taken.get(stem, 0) + 1
        more = f"-{taken[stem]}" if taken[stem] > 1 else ""
        yield from _drills(material, stem + more, args.kind or FOR_CHARTS, args, progress)


def _of_licks(
    args: argparse.Namespace, player: Player, progress: Progress, licks: Sequence[Lick], findings: list[Diagnostic]
) -> Iterator[_Made]:
    """The drills of licks, in every key: written over G's chords, they move with the key."""
    from chartc.practice.items import of_licks
    from chartc.practice.through import blank, maker_for
    from chartc.theory.key import all_keys, parse_key
    from chartc.theory.meter import Meter, Tempo

    count, _, unit = args.meter.partition("/")
    meter, tempo = Meter(int(count), int(unit)), Tempo("quarter", args.tempo)
    words = args.keys or ("G",)
    keys = [k for w in words for k in (all_keys("major") if w.lower() == "all" else [parse_key(w)]) if k is not None]
    kinds = args.kind or (("round", "progression") if len(licks) <= 2 else ("all-joins", "flow"))
    for key in dict.fromkeys(keys):
        song = blank("Licks" if len(licks) > 2 else " and ".join(x.name for x in licks), key, meter, tempo)
        material = of_licks(licks, song, maker_for(song, player.means), key.tonic - 1)
        yield from _drills(material, f"licks-{key.file_word}", kinds, args, progress)
        if not material.items and "progression" not in kinds:
            for words_ in material.left_out:
                shared.say(words_)
    if "progression" in kinds:
        yield from _through(licks, "licks", list(dict.fromkeys(keys)), meter, tempo, args, player, findings)


def _drills(
    material: Material, stem: str, kinds: Sequence[str], args: argparse.Namespace, progress: Progress
) -> Iterator[_Made]:
    from chartc.practice.drill import KINDS as MAKERS
    from chartc.practice.drill import Wish

    wish = Wish(progress, args.seed, args.measures)
    for kind in kinds:
        drill = MAKERS[kind](material, wish) if kind in MAKERS else None
        if drill is not None:
            yield _Made(stem, kind, (drill.part,), drill.joins, drill.left_out)


def _through(
    licks: Sequence[Lick],
    stem: str,
    keys: Sequence[Any],
    meter: Any,
    tempo: Any,
    args: argparse.Namespace,
    player: Player,
    findings: list[Diagnostic],
) -> Iterator[_Made]:
    """Each lick through the progression, in one file with all keys."""
    from chartc.practice.through import blank, through, usual

    for lick in licks:
        parts: list[Part] = []
        left: list[str] = []
        for key in keys:
            try:
                song = blank(lick.name, key, meter, tempo, args.progression.split() or usual(key))
            except ValueError as error:
                shared.say(f"--progression {args.progression}: {error}")
                return
            part, words, found = through(lick, song, key, player.means)
            findings.extend(found)
            left += words
            if part is not None:
                parts.append(part)
        # of a song's licks many are too short or too special for a progression: that is no news
        if args.licks and not parts and left:
            shared.say(f"not drilled: {left[0]}")
        if parts:
            yield _Made(stem, f"progression-{lick.name}", tuple(parts), 0, tuple(left))


def _files(drill: _Made, args: argparse.Namespace, paper: Any) -> Iterator[tuple[Any, bytes]]:
    from chartc.export.midi import midi
    from chartc.practice.score import for_print
    from chartc.press import pdf
    from chartc.sheet import backup_pages

    pages = [page for part in drill.parts for page in backup_pages(for_print(part), paper)]
    name = f"{drill.stem}-{drill.kind}"
    yield args.out / f"{name}.pdf", pdf(pages, drill.parts[0].song.title, "")
    if args.midi:
        for part in drill.parts:
            key = f"-{part.song.key.file_word}" if len(drill.parts) > 1 else ""
            yield args.out / f"{name}{key}.mid", midi(part, args.tempos)
