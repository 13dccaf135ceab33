"""The songs that drills and plans are made for: charts as they are, and the songs of a set list or songbook in their keys."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from chartc.book.players import Seat
    from chartc.player import Player
    from chartc.practice.items import Material
    from chartc.practice.progress import Progress
    from chartc.text.diagnostic import Diagnostic
    from chartc.text.source import Source


@dataclass(frozen=True)
class Asked:
    """A chart to be practised: its text, the beginning of its outputs' names, the keys asked for (none: its own), and who practises it;
    the name and day of the list that it is from, empty and None where there is none. `several` tells that others play from that list too."""

    source: Source
    stem: str
    keys: tuple[str, ...]
    seat: Seat
    several: bool = False
    book: str = ""
    day: date | None = None


def songs(args: argparse.Namespace, player: Player, findings: list[Diagnostic], code: int) -> tuple[list[Asked], int]:
    """Every chart that the paths mean, each once in a key for each player, and the exit code so far. `--keys` stands above the keys of a
    list; the players of a list stand for `player`, unless the command names one."""
    from chartc.book.gather import gather
    from chartc.book.players import Seat

    gathered = gather(args.paths)
    for problem in gathered.problems:
        shared.say(problem)
        code = shared.FAILED
    out: list[Asked] = []
    for entry in gathered.entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is not None:
            out.append(Asked(source, entry.stem, args.keys, Seat(player)))
    for name in gathered.books:
        code = _listed(name, args, player, findings, out, code)
    return out, code


def _listed(
    name: str, args: argparse.Namespace, player: Player, findings: list[Diagnostic], out: list[Asked], code: int
) -> int:
    """Adds the songs of a list for each of its players, each in the key in which it is sung there."""
    from chartc.book.lists import read_list
    from chartc.book.players import seats
    from chartc.book.resolve import resolve
    from chartc.practice.progress import with_progress
    from chartc.text.reading import decode, read

    def contents(path: str) -> bytes:
        return Path(path).read_bytes()

    try:
        source, found = read(Path(name), name)
    except OSError as error:
        shared.say(f"{name}: {error.strerror or error}")
        return shared.FAILED
    findings.extend(found)
    if source is None:
        return code
    listed, found = read_list(source, Path(name), contents)
    findings.extend(found)
    if listed is None or not listed.sound:
        return code
    playing = seats(listed, player, shared.load_player(args))
    findings.extend(playing.found)
    several = len(playing.seats) > 1
    for seat in playing.seats:
        if not several and hasattr(args, "marks") and seat.player is not player:
            # there is no doubt whose progress it is
            means = with_progress(seat.player.means, args.marks)
            seat = replace(seat, player=replace(seat.player, means=means))
        resolved, found, trouble = resolve(listed, seat.player, contents)
        findings.extend(found)
        for path, words in trouble:
            shared.say(f"{path}: {words}")
            code = shared.FAILED
        taken = {(asked.source.name, asked.keys, asked.seat.stem) for asked in out}
        for song in resolved.songs:
            keys = args.keys or song.keys[:1]
            if (song.listed.path, keys, seat.stem) in taken:
                continue
            taken.add((song.listed.path, keys, seat.stem))
            text, found = decode(song.text, song.listed.path)
            findings.extend(found)
            if text is not None:
                stem = Path(song.listed.path).stem
                out.append(Asked(text, stem, keys, seat, several, listed.title, _day(source)))
    return code


def _day(source: Source) -> date | None:
    """The date that a list gives; it has been checked."""
    from chartc.text.tree import Leaf, Table, read_tree

    tree, _ = read_tree(source)
    leaf = tree.entries.get("date") if isinstance(tree, Table) else None
    return date.fromisoformat(leaf.text) if isinstance(leaf, Leaf) else None


def marks(args: argparse.Namespace, asked: Sequence[Asked]) -> Progress:
    """What the player marked: nothing where several play, whose progress it could not be."""
    from chartc.practice.progress import NOTHING

    progress: Progress = getattr(args, "marks", NOTHING)
    if progress is not NOTHING and len({one.seat.stem for one in asked}) > 1:
        shared.say("--progress does nothing here: it is one player's, and several play; name the player with --player")
        return NOTHING
    return progress


def materials(asked: Asked, progress: Progress, findings: list[Diagnostic]) -> list[Material]:
    """The licks and joins of a chart in each of its keys; none where the chart is wrong."""
    from chartc.book.compile import keys_for, read_song
    from chartc.book.players import of_part
    from chartc.chart.song import in_key
    from chartc.practice.items import of_song
    from chartc.slots.choose import choose

    player = asked.seat.player

    def say(found: Iterable[Diagnostic]) -> None:
        findings.extend(of_part(d, player) if asked.several else d for d in found)

    song, found = read_song(asked.source, player)
    say(found)
    if song is None:
        return []
    keys, found = keys_for(song, asked.keys, asked.source.name)
    findings.extend(found)
    out = []
    for key in keys:
        filled, solution, found = choose(in_key(song, key), player.means)
        say(found)
        if solution is not None:
            out.append(of_song(filled, solution, frozenset(progress.marked("resting"))))
    return out
