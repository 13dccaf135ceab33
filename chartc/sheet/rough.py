"""A backup sheet before its rows are laid out: what does not depend on the paper, and about what the sheet costs in a size of print.
Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from chartc.sheet import breaks, head, necks, paging, system
from chartc.sheet.endings import in_ending, repeat_ends
from chartc.sheet.hand import Said, said
from chartc.sheet.measure import Measured, measured
from chartc.sheet.paper import Paper
from chartc.sheet.scale import paper_for
from chartc.slots.part import Part
from chartc.theory.meter import Meter

SMALLER, SMALLEST = 0.93, 0.88
"""The sheet may be printed so much smaller where that saves a page, or a section from being torn; and so much where a page or two facing
ones then hold all of it."""
SIZES = {1.0: 0.0, SMALLER: 0.8 * paging.TORN, SMALLEST: 0.8 * paging.FACING}
"""What print of a size costs, beside what pages cost; the largest first."""
LEAST = 0.85
"""Smaller print leaves no less than so much of a song's height, because fewer rows hold it."""
FACING = 2
"""Pages that lie open at once."""

Ready = Sequence[tuple[tuple[Measured, ...], breaks.Rows]]
"""The measures of each section, measured, and where their rows may end."""


class Known(NamedTuple):
    """What does not depend on the paper: the part with its measures and positions. `turned` is what turns cost before each row, by where
    rows begin, and `high` what makes the row of some measures (section, first, end) high, as far as that was asked."""

    part: Part
    ready: Ready
    grips: tuple[necks.Grip, ...]
    turned: dict[tuple[paging.Place, ...], list[float]]
    high: dict[tuple[int, int, int], system.Stack]

    def turning(self, starts: tuple[paging.Place, ...]) -> list[float]:
        """What turns cost, for rows that begin with these measures: only long songs ask."""
        if starts not in self.turned:
            self.turned[starts] = paging.turning(self.part.song, starts, self._free)
        return self.turned[starts]

    def _free(self, last: paging.Place, first: paging.Place) -> int:
        """How many ticks there are from the last note of a measure to the first one of another that is played next."""
        before, after = self.ready[last[0]][0][last[1]], self.ready[first[0]][0][first[1]]
        frets = after.fit.frets
        return before.measure.ticks - before.fit.pattern.busy + (frets[0] if frets else after.measure.ticks)

    def stack(self, place: int, a: int, z: int) -> system.Stack:
        """What makes the row of these measures of a section high."""
        key = (place, a, z)
        if key not in self.high:
            self.high[key] = system.stack(self.part.song.sections[place], a, self.ready[place][0][a:z])
        return self.high[key]


class Rough:
    """A part in rows and pages in a size of print, every row as high as it is at least: words find room beside its chords. The sheet
    itself costs about `cost` or more: higher rows need more pages, though they may fill them better."""

    def __init__(self, known: Known, paper: Paper, size: float) -> None:
        self.known, self.size, self.whole = known, size, paper
        song = known.part.song
        self.paper = paper = paper_for(paper, size)
        part = known.part
        fifth = f"5th string: {part.fifth.words}" if part.fifth.words else ""
        way = f"way {part.way}" if part.way > 1 else ""
        self.title, self.start = head.title(song, paper, [*head.facts(song), fifth, way], remarks=part.remarks)
        self.later = head.running_end(paper)
        self.headings = [head.Heading(section, paper.room) for section in song.sections]
        self.tops = [heading.height for heading in self.headings]
        self.rows = [(n, a, z) for n, (_, rows) in enumerate(known.ready) for a, z in rows.broken(paper.room)]
        self.starts = tuple([(n, a) for n, a, _ in self.rows])
        strips: list[paging.Strip] = []
        told_voice = False
        for n, a, z in self.rows:
            high = known.stack(n, a, z)
            height = system.bands(high, not told_voice, False, int(high.words)).height
            told_voice = told_voice or high.voiced
            strips.append(self.strip(n, a, height))
        self.strips = strips
        self.made = self.cut(strips)
        self.cost = self.made.cost + dear(size, len(self.made.pages))

    def strip(self, place: int, first: int, height: float) -> paging.Strip:
        """A row as the page breaker sees it, by where it begins and how high it is itself."""
        section = self.known.part.song.sections[place]
        if not first:
            height += self.tops[place]
        above = system.LEAST_ROW_GAP if place or first else 0.0
        return paging.Strip(height, above, place, not first, bool(section.repeats) and in_ending(section, first))

    def cut(self, strips: Sequence[paging.Strip]) -> paging.Cuts:
        """Rows of such heights on pages."""
        floor = self.paper.floor
        return paging.pages(strips, floor - self.start, floor - self.later, lambda: self.known.turning(self.starts))

    def least(self, size: float) -> float:
        """What the sheet costs at least in a smaller size, as far as that can be told before rows are broken for it."""
        smaller = paper_for(self.whole, size)
        free = smaller.floor - smaller.top
        first, later = free - (self.start - self.paper.top), free - (self.later - self.paper.top)
        return paging.fewest(LEAST * sum([s.height for s in self.strips]), first, later) + SIZES[size]


def known_of(part: Part) -> Known:
    """What is known of a printed part."""
    return Known(part, _measured(part), necks.grips(part), {}, {})


def dear(size: float, count: int) -> float:
    """What print of a size costs for so many pages of music."""
    return paging.INF if size == SMALLEST and count > FACING else SIZES[size]


def _measured(part: Part) -> Ready:
    out: list[tuple[tuple[Measured, ...], breaks.Rows]] = []
    words = said(part)
    silent = Said({}, (), ())
    meter: Meter | None = None
    for s, section in enumerate(part.song.sections):
        row_said = words[s] if s < len(words) else ()
        slots = part.slots[s] if s < len(part.slots) else ()
        starts = {r.first for r in section.repeats}
        last = len(section.measures) - 1
        ready: list[Measured] = []
        for k, m in enumerate(section.measures):
            ready.append(
                measured(
                    m,
                    slots[k] if k < len(slots) else (),
                    row_said[k] if k < len(row_said) else silent,
                    m.meter is not meter and m.meter != meter,  # mostly it is the very same
                    k in starts,
                    bool(section.repeats) and repeat_ends(section, k),
                    k == last,
                )
            )
            meter = m.meter
        items = [breaks.Item(m.fit.least, m.measure.line, m.measure.pickup) for m in ready]
        out.append((tuple(ready), breaks.Rows(items)))
    return out
