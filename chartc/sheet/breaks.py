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
        self.lines = [k for k, first in enumerate(self.opens) if k == first]
        """Where the player's lines begin, and the end."""
        self._known: dict[float, tuple[tuple[int, int], ...]] = {}
        self.ends = [self._end(n) for n in range(len(items))]
        """Demerits of a row's end before each measure."""

    @property
    def widest(self) -> float:
        """The width of the widest measure, with the pickups before it: no row of it can be narrower."""
        widest = wide = 0.0
        for item in self.items:
            wide += item.least
            if wide > widest:
                widest = wide
            if not item.pickup:
                wide = 0.0
        return widest

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
        known = self._known.get(room)
        if known is not None:
            return known
        lines = self.lines
        if self._apart():
            cuts = tuple(pairwise(lines))
            demerits = self.total(cuts, room)
        else:
            cuts, demerits = self._least(lines, room)
        if demerits >= PHRASE and demerits > self._inside():
            # only then may a row that ends inside a line of the player's be better
            cuts, _ = self._least(range(len(self.items) + 1), room)
        self._known[room] = cuts
        return cuts

    def _inside(self) -> float:
        """What rows cost at least if one of them ends inside a line of the player's: that end, and two rows."""
        own = set(self.lines)
        return min([cost for k, cost in enumerate(self.ends) if k not in own], default=INF) + 2 * ROW**2

    def _apart(self) -> bool:
        """Whether no two of the player's lines can be one row, as in most charts: then rows that end with lines are lines."""
        lines, counts, longest = self.lines, self.counts, max(self.most, OWN_ROW)
        return all(counts[b] - counts[a] > longest for a, b in zip(lines, lines[2:], strict=False))

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
