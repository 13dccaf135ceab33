"""`chartc keys`: the keys that suit singers, and what each costs the banjo."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from chartc.book.keys import Asked
    from chartc.book.lists import Listed
    from chartc.book.singers import Singer
    from chartc.player import Player
    from chartc.text.diagnostic import Diagnostic


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "keys", run, "list the keys that suit a singer, and what each costs the banjo")
    shared.add_paths(sub, books=True)
    sub.add_argument("--singers", metavar="FILE.yaml", type=Path, help="who sings (a set list names its own file)")
    help = "only this singer; named more than once, they sing together, and the first leads"
    sub.add_argument("--singer", metavar="NAME", action="append", default=[], help=help)
    shared.add_player(sub)
    shared.add_jobs(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Ranks the keys of every song for everybody who may sing it."""
    from chartc.book.gather import gather
    from chartc.book.keys import answer, as_data, as_text
    from chartc.commands.build import executor

    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, {"songs": []})
    gathered = gather(args.paths)
    for problem in gathered.problems:
        shared.say(problem)
        code = shared.FAILED
    asked: list[Asked] = []
    for name in gathered.books:
        code = max(code, _from_list(name, player, args, asked, findings))
    if gathered.entries:
        singers, errors, code = _singers(args, code)
        findings.extend(errors)
        for entry in gathered.entries if singers else ():
            listed: list[tuple[Singer, ...]] = [(one,) for one in singers] if not args.singer else [tuple(singers)]
            code = max(code, _from_chart(str(entry.path), entry.name, listed, player, asked, findings))
    progress = shared.Progress(0)
    with executor(args) as pool:
        answers, defects = answer(asked, pool, args.jobs, progress.step)
    progress.end()
    for name, words in defects:
        shared.say(f"{name}: a defect in chartc, please report it with the chart: {words}")
        code = shared.FAILED
    if args.format == "text":
        sys.stdout.write(as_text(answers))
    return shared.report(args, findings, code, {"songs": as_data(answers)})


def _singers(args: argparse.Namespace, code: int) -> tuple[list[Singer], list[Diagnostic], int]:
    """Those of the singers' file who are asked for."""
    from chartc.book.singers import read_singers
    from chartc.text.diagnostic import nearest
    from chartc.text.reading import read

    if args.singers is None:
        shared.say("who sings? give a file of singers: --singers FILE.yaml")
        return [], [], shared.FAILED
    try:
        source, found = read(args.singers)
    except OSError as error:
        shared.say(f"{args.singers}: {error.strerror or error}")
        return [], [], shared.FAILED
    if source is None:
        return [], list(found), code
    known, errors = read_singers(source, args.singers.parent)
    if errors:
        return [], [*found, *errors], code
    for name in args.singer:
        if name not in known:
            shared.say(
                f'there is no singer "{name}" in {args.singers}{nearest(name, known)}; known: {", ".join(known)}'
            )
            return [], [], shared.FAILED
    return [known[name] for name in args.singer or known], list(found), code


def _from_chart(
    path: str, name: str, listed: list[tuple[Singer, ...]], player: Player, asked: list[Asked], found: list[Diagnostic]
) -> int:
    """The questions of one chart for each group of singers; the exit code of reading it."""
    from chartc.book.compile import read_song
    from chartc.book.keys import Asked
    from chartc.book.lists import Listed
    from chartc.book.ranking import trio
    from chartc.book.resolve import key_of
    from chartc.text.reading import decode

    try:
        text = Path(path).read_bytes()
    except OSError as error:
        shared.say(f"{name}: {error.strerror or error}")
        return shared.FAILED
    source, errors = decode(text, name)
    found.extend(errors)
    if source is None:
        return shared.FINE
    song, errors = read_song(source, player)
    found.extend(errors)
    if song is None:
        return shared.FINE
    real = os.path.realpath(path)
    for group in listed:
        by = next((s.name for s in group if real in s.keys), "")
        fixed = None
        if by:
            leaf = next(s.keys[real] for s in group if s.name == by)
            fixed, said = key_of(song, Listed(path, leaf.span, (), group, leaf))
            found.extend(said)
        asked.append(Asked(name, text, song, trio(group), player, fixed, by))
    return shared.FINE


def _from_list(name: str, player: Player, args: argparse.Namespace, asked: list[Asked], found: list[Diagnostic]) -> int:
    """The questions of a set list: every song with those who sing it, for the list's first player."""
    from chartc.book.lists import read_list
    from chartc.book.players import seats
    from chartc.text.reading import read

    try:
        source, errors = read(Path(name))
    except OSError as error:
        shared.say(f"{name}: {error.strerror or error}")
        return shared.FAILED
    found.extend(errors)
    if source is None:
        return shared.FINE
    book, errors = read_list(source, Path(name), lambda path: Path(path).read_bytes())
    found.extend(errors)
    code = shared.FINE
    if book is None or not book.sound:
        return code
    playing = seats(book, player, shared.load_player(args))
    found.extend(playing.found)
    for listed in (s for one in book.sets for s in one.songs) if playing.seats else ():
        if listed.sung:
            code = max(code, _from_listed(listed, playing.seats[0].player, asked, found))
    return code


def _from_listed(listed: Listed, player: Player, asked: list[Asked], found: list[Diagnostic]) -> int:
    from dataclasses import replace

    from chartc.book.resolve import key_of

    before = len(asked)
    code = _from_chart(listed.path, listed.path, [listed.sung], player, asked, found)
    if listed.key is not None and len(asked) > before:
        key, errors = key_of(asked[-1].song, listed)
        found.extend(errors)
        asked[-1] = replace(asked[-1], fixed=key, by="")
    return code
