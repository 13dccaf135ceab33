"""The backup sheet: the part as tablature, on as many pages as it needs."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import replace
from typing import NamedTuple

from chartc.chart.song import Song
from chartc.sheet import breaks, head, inked, necks, system
from chartc.sheet.endings import repeat_ends
from chartc.sheet.hand import Said, said
from chartc.sheet.marks import Entry, Mark, Page
from chartc.sheet.measure import Measured, measured
from chartc.sheet.paper import PENCIL, Paper
from chartc.sheet.printed import printed
from chartc.sheet.row import Row
from chartc.sheet.scale import magnified, paper_for
from chartc.sheet.stamp import Marks, Placed
from chartc.slots.part import Part
from chartc.theory.meter import Meter

MAX_SPREAD = 18.0
"""Rows are moved apart by so much at most to fill a page."""

NECKS = 6.0
"""Between the music and the pictures of the neck."""
LEGEND = 8.0
"""Pictures may go so much lower than music where the foot of the page has no legend."""

HEAD_LEFT = 14.0
"""Pictures in the head stand so far from its words."""
HEAD_AIR = 3.0
"""The same from the key above and from the rule beneath them."""

SMALLER = 0.93
"""The sheet may be printed so much smaller where that saves a page."""

Ready = Sequence[Sequence[Measured]]
"""The measures of each section, measured: their widths do not depend on the paper."""


def backup_pages(part: Part, paper: Paper) -> tuple[Page, ...]:
    """The tablature sheet of a part. Rows closer together, or a little smaller, are better than one more page turn."""
    part = replace(part, song=printed(part.song))
    return _pages(part, paper, _measured(part))


def _pages(part: Part, paper: Paper, ready: Ready) -> tuple[Page, ...]:
    rows = _rows(part.song, paper, ready)
    wide = max([sum([m.least for m in r.measures]) for r in rows], default=0.0)
    if wide > paper.room + 1e-6:
        # a measure wider than the page: everything is printed smaller
        factor = paper.room / wide * 0.999
        return magnified(_pages(part, paper_for(paper, factor), ready), paper, factor)
    best = _Sheet(part, paper, system.ROW_GAP, rows)
    if best.count > 1:
        tight = best.closer(system.LEAST_ROW_GAP)
        if tight.count == best.count and tight.nearly(SMALLER):
            own = paper_for(paper, SMALLER)
            small = _Sheet(part, own, system.LEAST_ROW_GAP, _rows(part.song, own, ready))
            if small.count < tight.count:
                return magnified(small.pages(), paper, SMALLER)
        if tight.count < best.count:
            best = tight
    return best.pages()


class _Pictures(NamedTuple):
    """Pictures of the neck on a page: what they take of its height, and their top left corner where they stand in the head."""

    strip: necks.Strip
    page: int
    taken: float
    place: tuple[float, float] | None = None


class _Sheet:
    """A part in rows and pages, on one paper and with one least distance between rows."""

    def __init__(self, part: Part, paper: Paper, gap: float, rows: list[Row]) -> None:
        song = part.song
        self.part = part
        self.song, self.paper, self.rows = song, paper, rows
        fifth = f"5th string: {part.fifth.words}" if part.fifth.words else ""
        way = f"way {part.way}" if part.way > 1 else ""
        self.title, self.start = head.title(song, paper, [*head.facts(song), fifth, way], remarks=part.remarks)
        self.later = head.running_end(paper)
        self.headings = {n: head.Heading(r.section, paper.room) for n, r in enumerate(rows) if r.first == 0}
        self._set(gap)

    def closer(self, gap: float) -> _Sheet:
        """The same with another least distance between rows."""
        other = copy(self)
        other._set(gap)
        return other

    def _set(self, gap: float) -> None:
        paper = self.paper
        self.gap = gap
        self.strips = self._strips(gap)
        self.cuts = breaks.pages(self.strips, paper.floor - self.start, paper.floor - self.later)

    def _strips(self, gap: float) -> list[breaks.Strip]:
        places = {id(s): n for n, s in enumerate(self.song.sections)}
        out = []
        for n, r in enumerate(self.rows):
            opens = n in self.headings
            height = r.bands.height + (self.headings[n].height if opens else 0.0)
            out.append(breaks.Strip(height, gap if n else 0.0, places[id(r.section)], opens, ease(r.measures[-1])))
        return out

    @property
    def count(self) -> int:
        """How many pages."""
        return len(self.cuts)

    def nearly(self, factor: float) -> bool:
        """Whether a page could be saved if everything were `factor` times as high."""
        paper = self.paper
        need = sum(s.height + s.above for s in self.strips)
        room = paper.floor - self.start + (self.count - 2) * (paper.floor - self.later)
        return self.count > 1 and need * factor * 0.985 < room

    def _room(self, k: int) -> float:
        """What a page has for the distances between its rows, and for all else."""
        a, z = self.cuts[k]
        top = self.start if k == 0 else self.later
        return self.paper.floor - top - sum([s.height for s in self.strips[a:z]])

    def _slack(self, k: int) -> float:
        """What is left on a page when its rows are as close together as they may be."""
        a, z = self.cuts[k]
        return self._room(k) - system.LEAST_ROW_GAP * max(0, z - a - 1)

    def _pictures(self) -> _Pictures | None:
        """Where the pictures of the neck stand: at the foot of the last page, or of the nearest before it, that has room for all of
        them, rows closer together if they must be; else of the one that has room for most; else in the head. They are not worth a
        page more."""
        grips = necks.grips(self.part)
        best: _Pictures | None = None
        for k in reversed(range(len(self.cuts) if grips else 0)):
            room = self._slack(k) - NECKS + (LEGEND if k else 0.0)
            strip = necks.strip(grips, self.part.instrument, self.paper.room, room)
            if strip is not None and (best is None or strip.count > best.strip.count):
                best = _Pictures(strip, k, strip.height + NECKS)
                if strip.count == len(grips):
                    break
        return best or (self._in_head(grips) if grips else None)

    def _in_head(self, grips: tuple[necks.Grip, ...]) -> _Pictures | None:
        """The pictures beneath the key, right of what the head says: as many as stand there when the music begins a little lower."""
        left, top, rule = head.beneath_key(self.title)
        free = rule - top - 2 * HEAD_AIR
        wide = self.paper.edge - left - HEAD_LEFT
        strip = necks.strip(grips, self.part.instrument, wide, free + self._slack(0), titled=False)
        if strip is None or strip.count < min(2, len(grips)):
            return None
        place = self.paper.edge - strip.width, top + HEAD_AIR
        return _Pictures(strip, 0, max(0.0, strip.height - free), place)

    def _distance(self, k: int, taken: float) -> float:
        """From row to row on a page of which pictures take so much. What is left goes to the pencil first: a strip at the foot is
        worth more for notes by hand than rows a little farther apart, unless it is too slim to write in."""
        a, z = self.cuts[k]
        if z - a < 2:
            return 0.0
        room = self._room(k) - taken
        if room - self.gap * (z - a - 1) >= PENCIL:
            room -= PENCIL
        return min(self.gap + MAX_SPREAD, max(system.LEAST_ROW_GAP, room / (z - a - 1)))

    def pages(self) -> tuple[Page, ...]:
        """The pages, drawn."""
        song, paper, rows, strips, cuts = self.song, self.paper, self.rows, self.strips, self.cuts
        legend = _legend(rows)
        pictures = self._pictures()
        pages = []
        for k, (a, z) in enumerate(cuts):
            marks: list[Mark] = []
            placed: list[Placed] = []
            here = pictures if pictures is not None and pictures.page == k else None
            if k == 0:
                marks += self.title
                y = self.start
                if here is not None and here.place is not None:
                    marks[:] = head.lowered(marks, here.taken)
                    y += here.taken
                    stamps, loose = necks.draw(here.strip, *here.place)
                    placed += stamps
                    marks += loose
            else:
                running, y = head.running(song, paper, k + 1, len(cuts))
                marks += running
            distance = self._distance(k, here.taken if here is not None else 0.0)
            entries = [Entry(f"{song.title} ({song.key.label})", 0, 0.0)] if k == 0 else []
            for n in range(a, z):
                r = rows[n]
                if n > a:
                    y += distance
                if strips[n].opens:
                    above = self.headings[n]
                    marks += above.draw(paper.left, y)
                    entries.append(Entry(r.section.label, 1, y))
                    y += above.height
                stamps, loose = inked.draw(r, paper.left, y)
                placed += stamps
                marks += loose
                y += r.bands.height
            if here is not None and here.place is None:
                stamps, loose = necks.draw(here.strip, paper.left, y + NECKS)
                placed += stamps
                marks += loose
            marks += head.foot(paper, k + 1, len(cuts), legend if k == 0 else "")
            pages.append(Page(paper, Marks(placed, marks), str(k + 1), tuple(entries)))
        return tuple(pages)


def ease(m: Measured) -> float:
    """How much time a measure's end leaves to turn a page: none after an eighth, all of it after a rest or a note of half a
    measure."""
    left = m.measure.ticks - m.fit.pattern.busy
    return min(1.0, max(0.0, left / m.measure.meter.ticks * 2 - 0.25))


def _measured(part: Part) -> list[list[Measured]]:
    out: list[list[Measured]] = []
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
                    m.meter != meter,
                    k in starts,
                    bool(section.repeats) and repeat_ends(section, k),
                    k == last,
                )
            )
            meter = m.meter
        out.append(ready)
    return out


def _rows(song: Song, paper: Paper, all_ready: Ready) -> list[Row]:
    out: list[Row] = []
    told_voice = False
    end = max([n for n, section in enumerate(song.sections) if section.measures], default=0)
    for s, (section, ready) in enumerate(zip(song.sections, all_ready, strict=True)):
        items = [breaks.Item(m.least, m.measure.line, m.measure.pickup) for m in ready]
        cuts = breaks.rows(items, paper.room)
        for a, z in cuts:
            fill = z < len(ready) or (a > 0 and z - a >= cuts[0][1])
            here = tuple(ready[a:z])
            voiced = any(v.state != "silent" for m in here for v in m.measure.voice)
            beyond = ready[a - 1] if a else None, ready[z] if z < len(ready) else None
            out.append(system.row(section, a, here, paper.room, fill, voiced and not told_voice, s >= end, *beyond))
            told_voice = told_voice or voiced
    return out


def _legend(rows: list[Row]) -> str:
    fits = {m.fit for r in rows for m in r.measures}
    out = []
    if any(f.picks for f in fits):
        out.append("T I M: thumb, index, middle finger of the picking hand")
    if any(f.fingers for f in fits):
        out.append("i m r p t: index, middle, ring, little finger and thumb of the fretting hand")
    if any(f.damped for f in fits):
        out.append("\N{MULTIPLICATION SIGN} damped")
    if any(short for f in fits for _, short in f.pattern.stems):
        out.append("short stem: half note")
    return "   \N{MIDDLE DOT}   ".join(out)
