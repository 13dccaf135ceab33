"""The songs that drills and plans are made for: charts as they are, and the songs of a set list or songbook in their keys."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from chartc.player import Player
    from chartc.practice.items import Material
    from chartc.practice.progress import Progress
    from chartc.text.diagnostic import Diagnostic
    from chartc.text.source import Source


@dataclass(frozen=True)
class Asked:
    """A chart to be practised: its text, the beginning of its outputs' names, and the keys asked for (none: its own); the name and
    day of the list that it is from, empty and None where there is none."""

    source: Source
    stem: str
    keys: tuple[str, ...]
    book: str = ""
    day: date | None = None


def songs(args: argparse.Namespace, player: Player, findings: list[Diagnostic], code: int) -> tuple[list[Asked], int]:
    """Every chart that the paths mean, each once in a key, and the exit code so far. `--keys` stands above the keys of a list."""
    from chartc.book.gather import gather

    gathered = gather(args.paths)
    for problem in gathered.problems:
        shared.say(problem)
        code = shared.FAILED
    out: list[Asked] = []
    for entry in gathered.entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is not None:
            out.append(Asked(source, entry.stem, args.keys))
    for name in gathered.books:
        code = _listed(name, args, player, findings, out, code)
    return out, code


def _listed(
    name: str, args: argparse.Namespace, player: Player, findings: list[Diagnostic], out: list[Asked], code: int
) -> int:
    """Adds the songs of a list, each in the key in which it is sung there."""
    from chartc.book.lists import read_list
    from chartc.book.resolve import resolve
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
    if listed is None:
        return code
    resolved, found, trouble = resolve(listed, player, contents)
    findings.extend(found)
    for path, words in trouble:
        shared.say(f"{path}: {words}")
        code = shared.FAILED
    taken = {(asked.source.name, asked.keys) for asked in out}
    for song in resolved.songs:
        keys = args.keys or song.keys[:1]
        if (song.listed.path, keys) in taken:
            continue
        taken.add((song.listed.path, keys))
        text, found = decode(song.text, song.listed.path)
        findings.extend(found)
        if text is not None:
            out.append(Asked(text, Path(song.listed.path).stem, keys, listed.title, _day(source)))
    return code


def _day(source: Source) -> date | None:
    """The date that a list gives; it has been checked."""
    from chartc.text.tree import Leaf, Table, read_tree

    tree, _ = read_tree(source)
    leaf = tree.entries.get("date") if isinstance(tree, Table) else None
    return date.fromisoformat(leaf.text) if isinstance(leaf, Leaf) else None


def materials(asked: Asked, player: Player, progress: Progress, findings: list[Diagnostic]) -> list[Material]:
    """The licks and joins of a chart in each of its keys; none where the chart is wrong."""
    from chartc.book.compile import keys_for, read_song
    from chartc.chart.song import in_key
    from chartc.practice.items import of_song
    from chartc.slots.choose import choose

    song, found = read_song(asked.source, player)
    findings.extend(found)
    if song is None:
        return []
    keys, found = keys_for(song, asked.keys, asked.source.name)
    findings.extend(found)
    out = []
    for key in keys:
        filled, solution, found = choose(in_key(song, key), player.means)
        findings.extend(found)
        if solution is not None:
            out.append(of_song(filled, solution, frozenset(progress.marked("resting"))))
    return out
