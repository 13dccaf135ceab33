"""Where pages end. Heights in points.

A player of a song of two pages or more has two of them open at once; what matters is how often the others are turned to while playing,
and whether there is time for it. Then sections stay together, and pages are filled evenly.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import NamedTuple

from chartc.chart.song import Song


class Strip(NamedTuple):
    """A row as the page breaker sees it: its height, further room above it where it does not open a page, its section, whether a heading
    stands in it, and whether it begins with an ending of a repeat, which is read beside the other ones."""

    height: float
    above: float
    section: int
    opens: bool
    ending: bool = False


INF = float("inf")

LEAF = 10_000.0
"""Two pages more that must be turned to cost more than anything else."""
FACING = 150.0
"""A page more beside one that is there anyway: a few turns without time are worse."""
TORN = 30.0
"""A section torn that a page could hold, once more where that leaves a row of any section alone, and once more where an ending follows."""
OVERLEAF = 60.0
"""Further cost of tearing it where one must turn: both halves are never seen at once."""
BLANK = 1 / 3
"""It is better that no more of a page than this stays blank."""
WASTE = 20.0

TURN = 25.0
"""Every time one turns the page while playing, at a place with no time at all."""
ALWAYS = 0.2
"""So much of that even where there is time."""
SOONEST, CALM = 250.0, 1_250.0
"""Milliseconds without a note in which nobody turns a page, and in which anybody does (common practice, no source)."""

Place = tuple[int, int]
"""A measure: the index of its section, and its own."""


def turning(song: Song, starts: Sequence[Place], free: Callable[[Place, Place], int]) -> list[float]:
    """What a turn before each row costs: how often one turns there, to and fro, in the song as it is played, and how little time there
    is. `starts` has the first measure of each row; `free` tells how many ticks there are from the last note of a measure to the first
    one of another that is played next."""
    places: list[list[int]] = [[0] * len(s.measures) for s in song.sections]
    for n, (s, first) in enumerate(starts):
        for k in range(first, len(places[s])):
            places[s][k] = n
    change = [0.0] * (len(starts) + 1)
    was, before = -1, (0, 0)
    time = song.tempo.milliseconds
    for passage in song.order:
        section = passage.section
        rows = places[section]
        for k in passage.measures:
            row = rows[k]
            if row != was:
                if was >= 0:
                    hurry = min(1.0, max(0.0, (CALM - time(free(before, (section, k)))) / (CALM - SOONEST)))
                    cost = TURN * (ALWAYS + (1 - ALWAYS) * hurry)
                    low, high = (was, row) if was < row else (row, was)
                    change[low + 1] += cost
                    change[high + 1] -= cost
                was = row
            before = section, k
    return list(accumulate(change[:-1]))


def fewest(height: float, first_room: float, room: float) -> float:
    """What the fewest pages cost that may hold so much height, but for what stands on them."""
    more = max(0, math.ceil((height - first_room) / room))
    return LEAF * (more // 2) + FACING * ((more + 1) // 2)


class Cuts(NamedTuple):
    """Pages as (first, end) of the strips, and what they cost all together."""

    pages: tuple[tuple[int, int], ...]
    cost: float


def pages(strips: Sequence[Strip], first_room: float, room: float, turning: Callable[[], Sequence[float]]) -> Cuts:
    """The pages that cost least: as few pairs of facing pages as there can be, then few turns and at places where there is time, no section
    torn that a page can hold, no row left alone, no page blank by more than a third, and pages evenly filled. `first_room` is the
    height on the first page; where not even one strip fits there, it stays empty. `turning` tells what a turn before each strip
    costs, and is asked only where there must be one. There is always a page."""
    n = len(strips)
    if not n:
        return Cuts(((0, 0),), 0.0)
    if strips[0].height > first_room and first_room < room:
        later = pages(strips, room, room, turning)
        return Cuts(((0, 0), *later.pages), later.cost + LEAF)
    torn = _torn(strips, room)
    highs = [s.height + s.above for s in strips]
    # two pages hold it in any case
    turned = [0.0] * n if sum(highs) + max(highs) <= first_room + room else turning()
    # lefts[k] and rights[k]: the best way to lay out strips 0 to k on pages of which the last is a left or a right one
    lefts: list[tuple[float, int]] = [(INF, 0)] * (n + 1)
    rights: list[tuple[float, int]] = [(0.0, 0), *lefts[1:]]
    for start in range(n):
        left, right = rights[start][0], lefts[start][0] + FACING
        if start:
            left += LEAF + turned[start] + (OVERLEAF if torn[start] else 0.0)
        space = first_room if start == 0 else room
        height = 0.0
        for stop in range(start + 1, n + 1):
            s = strips[stop - 1]
            height += s.height + (s.above if stop > start + 1 else 0.0)
            if height > space and stop > start + 1:
                break
            slack = (space - height) / space if height < space else 0.0
            if stop == n:
                cost = 0.3 * slack * slack
            else:
                cost = 8.0 * slack * slack + (WASTE if slack > BLANK else 0.0) + torn[stop]
            if left + cost < lefts[stop][0]:
                lefts[stop] = (left + cost, start)
            if right + cost < rights[stop][0]:
                rights[stop] = (right + cost, start)
    best = (lefts, rights)
    out: list[tuple[int, int]] = []
    stop, parity = n, 0 if best[0][n][0] <= best[1][n][0] else 1
    total = best[parity][n][0]
    while stop > 0:
        start = best[parity][stop][1]
        out.append((start, stop))
        stop, parity = start, 1 - parity
    return Cuts(tuple(reversed(out)), total)


def _torn(strips: Sequence[Strip], room: float) -> list[float]:
    """What a page's end before each strip costs where it tears a section."""
    out: list[float] = []
    n, first = len(strips), 0
    while first < n:
        end, height = first + 1, strips[first].height
        while end < n and strips[end].section == strips[first].section:
            height += strips[end].height + strips[end].above
            end += 1
        fits = TORN if height <= room else 0.0
        out.append(0.0)
        out += [
            fits + (TORN if k in (first + 1, end - 1) else 0.0) + (TORN if strips[k].ending else 0.0)
            for k in range(first + 1, end)
        ]
        first = end
    return out
