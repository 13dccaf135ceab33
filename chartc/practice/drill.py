"""The drills: hard joins in slow motion, a song's joins, all joins on cards, a random flow, and licks round and round."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from chartc.practice.cautions import CAUTIONS
from chartc.practice.items import Item, Material, wide
from chartc.practice.progress import NOTHING, Progress
from chartc.practice.score import Bar, Piece, bars, comes_round, end_of, part, rest, start_of
from chartc.practice.walks import Join, cards, cover
from chartc.slots.part import Part

SLOW_PERCENT = 60
SLOW_JOINS = 8
SONG_JOINS = 16
MOST_ITEMS = 40
"""So many licks at most have all their joins on cards: that is 1600 joins on 45 cards."""
SAID = 4
"""So many reasons are printed on a sheet; all are in the data."""


@dataclass(frozen=True)
class Drill:
    """One drill: its kind, what is played, and what was left out, with reasons. `joins` counts the different joins in it."""

    kind: str
    part: Part
    joins: int
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wish:
    """How drills are made. `seed` is for the random flow, `measures` its length."""

    progress: Progress = NOTHING
    seed: int = 1
    measures: int = 32


def slow_joins(material: Material, wish: Wish) -> Drill | None:
    """The hardest joins, the last two beats into the next two, round and round: with a rest of two beats between where the hands cannot get
    back in time."""
    beats = 2 * material.song.meter.beat
    pieces = []
    chosen = _hardest(material, wish.progress)[:SLOW_JOINS]
    for n, (a, b, where) in enumerate(chosen, 1):
        before, after = material.items[a], material.items[b]
        loop: tuple[Bar, ...] = (end_of(before, beats), start_of(after, beats))
        if not comes_round(loop[1], loop[0], material, SLOW_PERCENT):
            loop = (*loop, rest(after.chord, beats))
        pieces.append(Piece(f"{n}  {before.lick} into {after.lick}{where}", loop, 8))
    if not pieces:
        return None
    about = f"The last two beats into the next two, round and round, at {SLOW_PERCENT} percent of the tempo."
    return _drill("slow-joins", "hard joins in slow motion", about, pieces, material, len(pieces), (), SLOW_PERCENT)


def song_joins(material: Material, wish: Wish) -> Drill | None:
    """The joins that a song has, hardest first, each as its two measures."""
    chosen = _hardest(material, wish.progress)[:SONG_JOINS]
    pieces = []
    for n, (a, b, where) in enumerate(chosen, 1):
        before, after = material.items[a], material.items[b]
        loop = (*bars(before), *bars(after))
        if material.why_not(after, before):
            # a measure of rest lets the hands get back
            loop = (*loop, rest(after.chord, after.ticks))
        pieces.append(Piece(f"{n}  {before.lick} into {after.lick}{where}", loop, 4))
    if not pieces:
        return None
    return _drill("song-joins", "joins of the song", "Hardest first, each four times.", pieces, material, len(pieces))


def all_joins(material: Material, wish: Wish) -> Drill | None:
    """Every ordered join of the licks exactly once, on cards; where some cannot be played, the shortest way over all that can, and
    the others with the reason."""
    items = _hard_first(_whole(material), material, wish.progress)
    if not items:
        return None
    left = [*material.left_out, *(f"{i.label}: more than {MOST_ITEMS} licks" for i in items[MOST_ITEMS:])]
    items = sorted(items[:MOST_ITEMS], key=material.items.index)
    pieces = []
    count = 0
    for card in cards(len(items)):
        possible: list[Join] = []
        for a, b in card.joins:
            if not material.asked(items[a], items[b]):
                continue
            why = material.why_not(items[a], items[b])
            if why:
                left.append(f"{items[a].label} into {items[b].label}: {why}")
            else:
                possible.append((a, b))
        count += len(possible)
        for walk in cover(possible):
            played = tuple(bar for n in walk for bar in bars(items[n]))
            licks = ", ".join(dict.fromkeys(items[n].lick for n in walk))
            pieces.append((f"{len(set(pairwise(walk)))} joins: {licks}", played))
    if not pieces:
        return None
    ready = [Piece(f"Card {n}, {label}", played) for n, (label, played) in enumerate(pieces, 1)]
    about = f"{len(items)} licks, {count} joins, each once where that can be. Play each card without stopping."
    if any(item.halves[-1].leads_to is not None for item in items):
        about += " What leads to a chord is joined to that chord only."
    return _drill("all-joins", "every join once", about, ready, material, count, tuple(left))


def flow(material: Material, wish: Wish) -> Drill | None:
    """A random walk over joins that can be played; the same seed gives the same walk. Hard and unclean joins come more often."""
    items = _whole(material)
    rng = random.Random(wish.seed)
    following: dict[int, list[tuple[int, int]]] = {}
    for a, x in enumerate(items):
        for b, y in enumerate(items):
            if material.asked(x, y) and not material.why_not(x, y) and (a != b or len(items) == 1):
                weight = 10 + wish.progress.weigh(x.lick, y.lick, material.hardness(x, y))
                following.setdefault(a, []).append((b, weight))
    if not following:
        return None
    now = rng.choice(sorted(following))
    walk = [now]
    while sum(len(items[n].halves) for n in walk) < wish.measures:
        options = following.get(now)
        if not options:
            now = rng.choice(sorted(following))
        else:
            now = rng.choices([b for b, _ in options], [w for _, w in options])[0]
        walk.append(now)
    played = tuple(bar for n in walk for bar in bars(items[n]))
    about = f"A random flow, seed {wish.seed}: read ahead, and do not stop."
    joins = len(set(pairwise(walk)))
    return _drill("flow", "flow", about, [Piece(f"seed {wish.seed}", played)], material, joins, material.left_out)


def round_and_round(material: Material, wish: Wish) -> Drill | None:
    """Each lick, or each two neighbours of the list, round and round."""
    del wish
    items = _whole(material)
    pieces: list[Piece] = []
    left = list(material.left_out)
    groups: Sequence[tuple[Item, ...]] = [tuple(items)] if len(items) == 2 else [(i,) for i in items]
    for group in groups:
        ring = [*group, group[0]]
        why = [(a, b, material.why_not(a, b)) for a, b in pairwise(ring)]
        bad = [f"{a.label} into {b.label}: {words}" for a, b, words in why if words]
        loop = tuple(bar for item in group for bar in bars(item))
        if bad:
            # a measure of rest lets the hands get back
            left += bad
            loop = tuple(bar for item in group for bar in (*bars(item), rest(item.chord, item.ticks)))
        pieces.append(Piece(" and ".join(i.label for i in group), loop, 8))
    if not pieces:
        return None
    about = "Round and round, eight times each."
    return _drill("round", "round and round", about, pieces, material, len(pieces), tuple(left))


KINDS: dict[str, Callable[[Material, Wish], Drill | None]] = {
    "slow-joins": slow_joins,
    "song-joins": song_joins,
    "all-joins": all_joins,
    "flow": flow,
    "round": round_and_round,
}
"""The drills that are made from licks and joins, by the names that a player writes."""


def _whole(material: Material) -> list[Item]:
    """The licks that fill measures: what is shorter stands among a song's joins only."""
    return [i for i in material.items if i.ticks == material.song.meter.ticks]


def _hard_first(items: list[Item], material: Material, progress: Progress) -> list[Item]:
    """The licks of the hardest joins first, so that where there are too many the easiest are left out."""
    worth: dict[Item, int] = {}
    for a, b, _ in reversed(_hardest(material, progress)):
        worth[material.items[a]] = worth[material.items[b]] = len(worth) + 1
    return sorted(items, key=lambda i: -worth.get(i, 0))


def _hardest(material: Material, progress: Progress) -> list[tuple[int, int, str]]:
    """A song's joins, hardest first, unclean ones before all others and clean ones last, each with where it is."""
    items = material.items

    def rank(n: int) -> tuple[int, int]:
        j = material.joins[n]
        return (-progress.weigh(items[j.before].lick, items[j.after].lick, j.hardness), n)

    out = []
    for n in sorted(range(len(material.joins)), key=rank):
        j = material.joins[n]
        more = f" and {len(j.places) - 2} more" if len(j.places) > 2 else ""
        out.append((j.before, j.after, f" ({', '.join(j.places[:2])}{more})"))
    return out


def _drill(
    kind: str,
    name: str,
    about: str,
    pieces: Sequence[Piece],
    material: Material,
    joins: int,
    left: tuple[str, ...] = (),
    percent: int = 100,
) -> Drill:
    """The drill with what stands beneath its title: what it is, cautions, wide stretches, and what is left out."""
    used = {bar.lick for piece in pieces for bar in piece.bars}
    stretches = [w for w in wide(material) if w.item.lick in used]
    note = [about, CAUTIONS]
    if stretches:
        note.append("Wide stretches: " + "; ".join(w.words for w in stretches[:SAID]) + ".")
    if left:
        more = f"; and {len(left) - SAID} more" if len(left) > SAID else ""
        note.append("Left out: " + "; ".join(left[:SAID]) + more + ".")
    marked = _marked(pieces, {(w.item.lick, w.item.chord): f"wide, {w.item.stretch_mm:.0f} mm" for w in stretches})
    title = f"{material.title}: {name}"
    return Drill(kind, part(title, " ".join(note), marked, material, percent), joins, left)


def _marked(pieces: Sequence[Piece], words: dict[tuple[str, object], str]) -> list[Piece]:
    """The pieces with words beneath the measures that have a wide stretch, the first time in each piece."""
    out = []
    for piece in pieces:
        told: set[tuple[str, object]] = set()
        measures = []
        for bar in piece.bars:
            key = (bar.lick, bar.chord)
            if key in words and key not in told:
                told.add(key)
                bar = replace(bar, words=words[key])
            measures.append(bar)
        out.append(replace(piece, bars=tuple(measures)))
    return out
