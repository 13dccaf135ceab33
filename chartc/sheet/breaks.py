"""Where rows end and where pages end. Lengths in points.

Rows are broken over the whole section at once, after Knuth and Plass, "Breaking Paragraphs into Lines", Software: Practice and
Experience 11 (1981), 1119-1184: every row has demerits, the sum is the least that there is. What a row costs is our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

PER_ROW = 4
"""Measures in a row where they fit."""

OWN_ROW = 6
"""Measures in a row where the player wrote so many in one line, and they fit."""

INF = float("inf")


class Item(NamedTuple):
    """A measure as the row breaker sees it: its least width, the player's own row it stands in, whether it is a pickup."""

    least: float
    line: int
    pickup: bool


NATURAL = 1.25
"""A measure stands well at its least width times this."""
WORST = 40.0
"""Badness of a row torn as wide as one likes."""
ROW = 10.0
"""Every row costs this beside its badness, so that few rows are better than many."""
INSIDE = 10_000.0
"""A row that ends inside a line of the player's: lines are phrases."""
UNEVEN = 4_000.0
"""The same, and not in the line's middle."""
OFF_PHRASE = 25.0
"""A row that ends off a whole number of four measures, counted from the section's first."""
STRANDED = 60_000.0
"""A measure alone in a row of a longer section."""
CHANGE = 100.0
"""Neighbouring rows of different count, times the square of the difference."""


class Rows:
    """The demerits of a section's rows. Counts leave the pickup out."""

    def __init__(self, items: Sequence[Item], room: float, most: int = PER_ROW) -> None:
        self.items = items
        self.room = room
        self.most = most
        self.count = [0]
        self.width = [0.0]
        self.opens = [0]
        """For each measure, the first one of the player's line it stands in; for the end, the end."""
        for n, item in enumerate(items):
            self.count.append(self.count[-1] + (not item.pickup))
            self.width.append(self.width[-1] + item.least)
            if n and item.line != items[n - 1].line:
                self.opens.append(n)
            elif n:
                self.opens.append(self.opens[-1])
        self.opens.append(len(items))
        self.ends = [self._end(n) for n in range(len(items))]

    def measures(self, start: int, stop: int) -> int:
        """How many measures the row has."""
        return self.count[stop] - self.count[start]

    def row(self, start: int, stop: int) -> float:
        """Demerits of a row by itself; infinite where it cannot be."""
        count, wide = self.count[stop] - self.count[start], self.width[stop] - self.width[start]
        total, end = self.count[-1], len(self.ends)
        if count == 0 and total:
            return INF  # a pickup goes with what it leads to
        if count > 1 and (wide > self.room + 1e-6 or (count > self.most and not self._own(start, stop))):
            return INF
        badness = 0.0
        natural = wide * NATURAL
        if natural > self.room:
            badness = 100 * ((natural - self.room) / (natural - wide)) ** 3
        elif stop < end:  # a section's last row need not fill the page
            badness = 100 * ((self.room - natural) / natural) ** 3
        cost = (ROW + (badness if badness < WORST else WORST)) ** 2
        if count == 1 and total > 1:
            cost += STRANDED
        return cost + self.ends[stop] if stop < end else cost

    def _own(self, start: int, stop: int) -> bool:
        """Whether the row is one whole line of the player's, and not too long."""
        opens = self.opens
        return (
            opens[start] == start
            and opens[stop] == stop
            and opens[stop - 1] == start
            and self.measures(start, stop) <= max(self.most, OWN_ROW)
        )

    def _end(self, stop: int) -> float:
        """Demerits of a row's end there."""
        if not stop:
            return 0.0
        cost = 0.0 if self.count[stop] % PER_ROW == 0 else OFF_PHRASE
        first = self.opens[stop]
        if first < stop:
            cost += INSIDE
            line, last = self.items[stop].line, stop
            while last < len(self.items) and self.items[last].line == line:
                last += 1
            long = self.measures(first, last)
            if long <= 2 * self.most and abs(2 * self.measures(first, stop) - long) > long % 2:
                cost += UNEVEN
        return cost

    def change(self, before: int, after: int) -> float:
        """Demerits of two neighbouring rows of so many measures."""
        return CHANGE * (before - after) ** 2

    def total(self, cuts: Sequence[tuple[int, int]]) -> float:
        """Demerits of a whole section broken so."""
        counts = [self.measures(*cut) for cut in cuts]
        changes = sum(self.change(a, b) for a, b in pairwise(counts))
        return sum(self.row(*cut) for cut in cuts) + changes


def rows(items: Sequence[Item], room: float, most: int = PER_ROW) -> tuple[tuple[int, int], ...]:
    """Rows of measures as (first, end) with the least demerits there are; of equal ones those whose first rows are longest."""
    n = len(items)
    if not n:
        return ()
    of = Rows(items, room, most)
    # ways[stop]: by the count of the row that ends there, the best way so far: demerits, the row's start, the count before
    ways: list[dict[int, tuple[float, int, int]]] = [{} for _ in range(n + 1)]
    ways[0][-1] = (0.0, 0, -1)
    counts, widths = of.count, of.width
    longest = max(most, OWN_ROW)
    for start in range(n):
        here = ways[start]
        if not here:
            continue
        edge = widths[start] + room + 1e-6
        for stop in range(start + 1, n + 1):
            count = counts[stop] - counts[start]
            if count > 1 and (count > longest or widths[stop] > edge):
                break  # more measures make it no narrower
            cost = of.row(start, stop)
            if cost == INF:
                continue
            best: tuple[float, int, int] | None = None
            for prior, (before, _, _) in here.items():
                sum_ = before + cost + (CHANGE * (prior - count) ** 2 if prior >= 0 else 0.0)
                if best is None or sum_ < best[0] or (sum_ == best[0] and prior < best[2]):
                    best = (sum_, start, prior)
            assert best is not None
            old = ways[stop].get(count)
            if old is None or best < old:
                ways[stop][count] = best
    out: list[tuple[int, int]] = []
    stop, count = n, min(ways[n], key=lambda c: (ways[n][c][0], c))
    while stop:
        _, start, prior = ways[stop][count]
        out.append((start, stop))
        stop, count = start, prior
    return tuple(reversed(out))


class Strip(NamedTuple):
    """A row as the page breaker sees it: its height, further room above it where it does not open a page, its section, and
    whether a heading stands in it; `ease` is how much time its end leaves for turning a page, from 0 to 1."""

    height: float
    above: float
    section: int
    opens: bool
    ease: float = 0.0


PAGE = 1000.0
"""A page more costs more than anything else."""
TORN = 30.0
"""A section torn by a page's end, and once more where that leaves a row alone."""
BLANK = 1 / 3
"""More of a page than this does not stay blank to keep a section together."""
TURN = 25.0
"""A page turn where the player has no time."""


def turns(count: int) -> tuple[int, ...]:
    """The pages, counted from 0, after which a player of a song of `count` pages must turn: a song of two pages or more begins
    on the left, so that its pages lie in pairs."""
    return tuple(k for k in range(1, count - 1, 2))


def pages(strips: Sequence[Strip], first_room: float, room: float) -> tuple[tuple[int, int], ...]:
    """Pages as (first, end) of the strips: the fewest pages, then no page blank by more than a third, no section torn apart
    and no row left alone where that can be, turns where there is time, and pages evenly filled. `first_room` is the height
    on the first page; where not even one strip fits there, it stays empty. There is always a page."""
    n = len(strips)
    if not n:
        return ((0, 0),)
    if strips[0].height > first_room and first_room < room:
        return ((0, 0), *pages(strips, room, room))
    ordinal: list[int] = []
    sizes: dict[int, int] = {}
    for k, s in enumerate(strips):
        sizes[s.section] = sizes.get(s.section, 0) + 1
        ordinal.append(0 if k == 0 or strips[k - 1].section != s.section else ordinal[-1] + 1)

    def end(stop: int, slack: float, turn: bool) -> float:
        """What the end of a page costs."""
        if stop == n:
            return 0.3 * slack * slack
        cost = 8.0 * slack * slack + (2 * TORN + 10 if slack > BLANK else 0.0)
        if ordinal[stop]:
            before, after = ordinal[stop], sizes[strips[stop].section] - ordinal[stop]
            cost += TORN + (TORN if before == 1 or after == 1 else 0.0)
        return cost + (TURN * (1 - strips[stop - 1].ease) if turn else 0.0)

    # best[parity][k]: the best way to lay out strips 0 to k on pages of which the last is a left (0) or a right (1) one
    best: list[list[tuple[float, int]]] = [[(INF, 0)] * (n + 1) for _ in range(2)]
    best[1][0] = (0.0, 0)
    for start in range(n):
        for parity in (0, 1):
            base = best[1 - parity][start][0]
            if base == INF:
                continue
            space = first_room if start == 0 else room
            height = 0.0
            for stop in range(start + 1, n + 1):
                s = strips[stop - 1]
                height += s.height + (s.above if stop > start + 1 else 0.0)
                if height > space and stop > start + 1:
                    break
                cost = base + PAGE + end(stop, max(0.0, space - height) / space, parity == 1)
                if cost < best[parity][stop][0]:
                    best[parity][stop] = (cost, start)
    out: list[tuple[int, int]] = []
    stop, parity = n, 0 if best[0][n][0] <= best[1][n][0] else 1
    while stop > 0:
        start = best[parity][stop][1]
        out.append((start, stop))
        stop, parity = start, 1 - parity
    return tuple(reversed(out))
