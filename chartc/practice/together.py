"""The licks and joins of several songs as one material, as far as they can stand on one sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartc.practice.items import Item, Material, SongJoin
from chartc.theory.chord import Chord


def together(materials: Sequence[Material]) -> tuple[Material, ...]:
    """Songs of one meter, and with the fifth string alike, as one: each lick over each chord once, at the fastest tempo of them, with
    every change of chord that one of them has. Order is that of the songs; joins are sorted hardest first."""
    groups: dict[object, list[Material]] = {}
    for m in materials:
        fifth = m.bench.fifth
        groups.setdefault((m.song.meter, fifth.fret, fifth.pitch), []).append(m)
    return tuple(_one(group) for group in groups.values())


def _one(group: Sequence[Material]) -> Material:
    fastest = min(group, key=lambda m: m.ms_per_tick)
    titles = list(dict.fromkeys(m.title for m in group))
    numbers: dict[Item, int] = {}
    changes: set[tuple[Chord, Chord]] = set()
    for m in group:
        changes |= m.changes or set()
        for item in m.items:
            numbers.setdefault(item, len(numbers))
    title = " and ".join(titles) if len(titles) <= 2 else f"{len(titles)} songs"
    out = replace(fastest, title=title, items=tuple(numbers), joins=(), changes=frozenset(changes))
    found: dict[tuple[int, int], SongJoin] = {}
    for m in group:
        for j in m.joins:
            pair = (numbers[m.items[j.before]], numbers[m.items[j.after]])
            places = tuple(f"{m.title}, {place}" for place in j.places)
            before = found.get(pair)
            if before is None:
                hard = out.hardness(m.items[j.before], m.items[j.after])
                found[pair] = SongJoin(*pair, places, j.times, hard)
            else:
                found[pair] = replace(before, places=(*before.places, *places), times=before.times + j.times)
    joins = sorted(found.values(), key=lambda j: (-j.hardness, -j.times, j.before, j.after))
    return replace(out, joins=tuple(joins))
