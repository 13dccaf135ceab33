"""Where rows end and where pages end. Lengths in points.

Rows are broken over the whole section at once, after Knuth and Plass, "Breaking Paragraphs into Lines", Software: Practice and
Experience 11 (1981), 1119-1184: every row has demerits, the sum is the least that there is. What a row costs is our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
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
PHRASE = 1_000.0
"""The same after four, eight, twelve measures of a line that is longer than two rows."""
UNEVEN = 4_000.0
"""The same, and not in the line's middle."""
OFF_PHRASE = 25.0
"""A row that ends off a whole number of four measures, counted from the section's first."""
STRANDED = 60_000.0
"""A measure alone in a row of a longer section."""
CHANGE = 100.0
"""Neighbouring rows of different count, times the square of the difference."""


class Rows:
    """A section's rows on paper of any width. Counts leave the pickup out."""

    def __init__(self, items: Sequence[Item], most: int = PER_ROW) -> None:
        self.items = items
        self.most = most
        self.counts = [0, *accumulate([not item.pickup for item in items])]
        """How many measures there are before each one; for the end, in all."""
        self.widths = [0.0, *accumulate([item.least for item in items])]
        """The same of their widths."""
        self.opens: list[int] = []
        """For each measure, the first one of the player's line it stands in; for the end, the end."""
        line, first = None, 0
        for n, item in enumerate(items):
            if item.line != line:
                line, first = item.line, n
            self.opens.append(first)
        self.opens.append(len(items))
        self.ends = [self._end(n) for n in range(len(items))]
        """Demerits of a row's end before each measure."""

    def measures(self, start: int, stop: int) -> int:
        """How many measures the row has."""
        return self.counts[stop] - self.counts[start]

    def row(self, start: int, stop: int, room: float) -> float:
        """Demerits of a row by itself; infinite where it cannot be."""
        count, wide = self.counts[stop] - self.counts[start], self.widths[stop] - self.widths[start]
        total, end = self.counts[-1], len(self.ends)
        if count == 0 and total:
            return INF  # a pickup goes with what it leads to
        if count > 1 and (wide > room + 1e-6 or (count > self.most and not self._own(start, stop))):
            return INF
        badness = 0.0
        natural = wide * NATURAL
        if natural > room:
            badness = 100 * ((natural - room) / (natural - wide)) ** 3
        elif stop < end:  # a section's last row need not fill the page
            badness = 100 * ((room - natural) / natural) ** 3
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
        cost = 0.0 if self.counts[stop] % PER_ROW == 0 else OFF_PHRASE
        first = self.opens[stop]
        if first < stop:
            line, last = self.items[stop].line, stop
            while last < len(self.items) and self.items[last].line == line:
                last += 1
            long, here = self.measures(first, last), self.measures(first, stop)
            if long > 2 * self.most:
                cost += INSIDE if here % PER_ROW else PHRASE
            else:
                cost += INSIDE + (UNEVEN if abs(2 * here - long) > long % 2 else 0.0)
        return cost

    def total(self, cuts: Sequence[tuple[int, int]], room: float) -> float:
        """Demerits of a whole section broken so."""
        counts = [self.measures(*cut) for cut in cuts]
        changes = sum(CHANGE * (a - b) ** 2 for a, b in pairwise(counts))
        return sum(self.row(*cut, room) for cut in cuts) + changes

    def broken(self, room: float) -> tuple[tuple[int, int], ...]:
        """Rows as (first, end) with the least demerits there are; of equal ones those whose first rows are longest."""
        n = len(self.items)
        lines = [k for k, first in enumerate(self.opens) if k == first]
        cuts, demerits = self._least(lines, room)
        if demerits >= PHRASE and len(lines) <= n:
            # only then may a row that ends inside a line of the player's be better
            cuts, _ = self._least(range(n + 1), room)
        return cuts

    def _least(self, places: Sequence[int], room: float) -> tuple[tuple[tuple[int, int], ...], float]:
        """The best rows that begin and end at these places, and their demerits; no rows where there are none."""
        # ways[stop]: by the count of the row that ends there, the best way so far: demerits, the row's start, the count before
        ways: dict[int, dict[int, tuple[float, int, int]]] = {place: {} for place in places}
        ways[0][-1] = (0.0, 0, -1)
        counts, widths, row = self.counts, self.widths, self.row
        longest = max(self.most, OWN_ROW)
        for k, start in enumerate(places):
            here = ways[start]
            if not here:
                continue
            edge, before = widths[start] + room + 1e-6, counts[start]
            for stop in places[k + 1 :]:
                count = counts[stop] - before
                if count > 1 and (count > longest or widths[stop] > edge):
                    break  # more measures make it no narrower
                cost = row(start, stop, room)
                if cost == INF:
                    continue
                best, found = INF, -1
                for prior, (so_far, _, _) in here.items():
                    sum_ = so_far + cost + (CHANGE * (prior - count) ** 2 if prior >= 0 else 0.0)
                    if sum_ < best or (sum_ == best and prior < found):
                        best, found = sum_, prior
                way = (best, start, found)
                if count not in ways[stop] or way < ways[stop][count]:
                    ways[stop][count] = way
        stop = places[-1]
        last = ways[stop]
        if not last:
            return (), INF
        count = min(last, key=lambda c: (last[c][0], c))
        total = last[count][0]
        out: list[tuple[int, int]] = []
        while stop:
            _, start, prior = ways[stop][count]
            out.append((start, stop))
            stop, count = start, prior
        return tuple(reversed(out)), total


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

    # by the strip that a page ends before: what a torn section costs there, and a turn where it falls
    torn, turning = [0.0] * n, [0.0] * n
    for stop in range(1, n):
        before = ordinal[stop]
        if before:
            torn[stop] = TORN + (TORN if before == 1 or sizes[strips[stop].section] - before == 1 else 0.0)
        turning[stop] = TURN * (1 - strips[stop - 1].ease)
    # lefts[k] and rights[k]: the best way to lay out strips 0 to k on pages of which the last is a left or a right one
    lefts: list[tuple[float, int]] = [(INF, 0)] * (n + 1)
    rights: list[tuple[float, int]] = [(0.0, 0), *lefts[1:]]
    for start in range(n):
        left, right = rights[start][0] + PAGE, lefts[start][0] + PAGE
        space = first_room if start == 0 else room
        height = 0.0
        for stop in range(start + 1, n + 1):
            s = strips[stop - 1]
            height += s.height + (s.above if stop > start + 1 else 0.0)
            if height > space and stop > start + 1:
                break
            slack = (space - height) / space if height < space else 0.0
            if stop == n:
                cost = turn = 0.3 * slack * slack
            else:
                cost = 8.0 * slack * slack + (2 * TORN + 10 if slack > BLANK else 0.0) + torn[stop]
                turn = cost + turning[stop]
            if left + cost < lefts[stop][0]:
                lefts[stop] = (left + cost, start)
            if right + turn < rights[stop][0]:
                rights[stop] = (right + turn, start)
    best = (lefts, rights)
    out: list[tuple[int, int]] = []
    stop, parity = n, 0 if best[0][n][0] <= best[1][n][0] else 1
    while stop > 0:
        start = best[parity][stop][1]
        out.append((start, stop))
        stop, parity = start, 1 - parity
    return tuple(reversed(out))
