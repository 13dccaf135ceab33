"""`chartc check`: everything that is wrong with charts, in one run, and with `--fix` what can certainly be put right."""

from __future__ import annotations

import argparse
from functools import partial
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from pathlib import Path

    from chartc.book.players import Seats
    from chartc.player import Player
    from chartc.text.diagnostic import Diagnostic
    from chartc.text.edit import Mended
    from chartc.text.source import Source


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "check", run, "check charts: measures, beats, chords, form, requests")
    shared.add_paths(sub, books=True)
    shared.add_player(sub)
    sub.add_argument("--fix", action="store_true", help="put right in the charts what can mean one thing only")
    shared.add_format(sub, "lines")


def run(args: argparse.Namespace) -> int:
    """Checks every chart, and mends it where that is asked for."""
    from chartc.text.diagnostic import as_json
    from chartc.text.edit import mend

    player, findings, code = shared.read_player(args)
    fixed: list[Diagnostic] = []
    if player is None:
        return shared.report(args, findings, code, {"fixed": []} if args.fix else {})
    entries, code = shared.entries_and_lists(args, player, findings, code)
    progress = shared.Progress(len(entries))
    for entry, seats in entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is not None and args.fix:
            # the players of a list know the same words
            done = mend(source, partial(_read, seats.seats[0].player))
            if done.mended and not _write(entry.path, source.text, done):
                code = shared.FAILED
                findings.extend(_found(source, seats))
            else:
                fixed.extend(done.mended)
                findings.extend(_found(done.source, seats))
        elif source is not None:
            findings.extend(_found(source, seats))
        progress.step(entry.name)
    progress.end()
    if args.fix and args.format != "json":
        _say(fixed)
    return shared.report(args, findings, code, {"fixed": [as_json(d) for d in fixed]} if args.fix else {})


def _read(player: Player, source: Source) -> tuple[Diagnostic, ...]:
    from chartc.book.compile import read_song

    return read_song(source, player)[1]


def _found(source: Source, seats: Seats) -> tuple[Diagnostic, ...]:
    """Everything there is to say of a chart, for each of those who play it."""
    from chartc.book.compile import read_song
    from chartc.slots.choose import requests
    from chartc.text.diagnostic import in_order

    out: list[Diagnostic] = []
    for seat in seats.seats:
        song, found = read_song(source, seat.player)
        found = found if song is None else (*found, *requests(song, seat.player.means))
        out += seats.said(found, seat.player)
    return in_order(out)


def _write(path: Path, old: str, done: Mended) -> bool:
    from chartc.store.rewriting import rewrite

    try:
        rewrite(path, old, done.source.text)
    except OSError as error:
        shared.say(f"{done.source.name}: {error.strerror or error}")
        return False
    return True


def _say(fixed: list[Diagnostic]) -> None:
    """One line for each fix: where, what was wrong, and what the line says now."""
    from chartc.text.edit import mended_line

    for d in fixed:
        name, line, column = d.place
        shared.say(
            f"{name}:{line}:{column}: fixed: {d.message} [{d.code}]; the line is now: {mended_line(d).strip()[:200]}"
        )
    if fixed:
        places = len({d.place[0] for d in fixed})
        shared.say(f"{len(fixed)} fixed in {places} {'chart' if places == 1 else 'charts'}")
