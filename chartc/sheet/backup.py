"""The backup sheet: the part as tablature, on as many pages as it needs."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Section
from chartc.sheet import breaks, head, necks, system
from chartc.sheet.hand import Said, said
from chartc.sheet.marks import Entry, Mark, Page
from chartc.sheet.measure import Measured, measured
from chartc.sheet.paper import Paper
from chartc.sheet.printed import printed
from chartc.sheet.scale import magnified, paper_for
from chartc.sheet.system import Row
from chartc.slots.part import Part
from chartc.theory.meter import Meter

MAX_SPREAD = 18.0
"""Rows are moved apart by so much at most to fill a page."""

NECKS = 10.0
"""Between the music and the pictures of the neck."""

SMALLER = 0.93
"""The sheet may be printed so much smaller where that saves a page."""


def backup_pages(part: Part, paper: Paper) -> tuple[Page, ...]:
    """The tablature sheet of a part. Rows closer together, or a little smaller, are better than one more page turn."""
    part = replace(part, song=printed(part.song))
    best = _Sheet(part, paper, system.ROW_GAP)
    wide = max((sum(m.least for m in r.measures) for r in best.rows), default=0.0)
    if wide > paper.room + 1e-6:
        # a measure wider than the page: everything is printed smaller
        factor = paper.room / wide
        return magnified(backup_pages(part, paper_for(paper, factor * 0.999)), paper, factor * 0.999)
    if best.count > 1:
        tight = _Sheet(part, paper, system.LEAST_ROW_GAP, best.rows)
        if tight.count == best.count and tight.nearly(SMALLER):
            small = _Sheet(part, paper_for(paper, SMALLER), system.LEAST_ROW_GAP)
            if small.count < tight.count:
                return magnified(small.pages(), paper, SMALLER)
        if tight.count < best.count:
            best = tight
    return best.pages()


class _Sheet:
    """A part in rows and pages, on one paper and with one least distance between rows."""

    def __init__(self, part: Part, paper: Paper, gap: float, rows: list[Row] | None = None) -> None:
        song = part.song
        self.part = part
        self.song, self.paper = song, paper
        self.rows = _rows(part, paper) if rows is None else rows
        fifth = f"5th string: {part.fifth.words}" if part.fifth.words else ""
        way = f"way {part.way}" if part.way > 1 else ""
        self.title, self.start = head.title(song, paper, [*head.facts(song), fifth, way], remarks=part.remarks)
        _, self.later = head.running(song, paper, 2, 2)
        self.strips = _strips(part, self.rows, paper, gap)
        self.cuts = breaks.pages(self.strips, paper.floor - self.start, paper.floor - self.later)

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

    def pages(self) -> tuple[Page, ...]:
        """The pages, drawn."""
        song, paper, rows, strips, cuts = self.song, self.paper, self.rows, self.strips, self.cuts
        legend = _legend(rows)
        pages = []
        for k, (a, z) in enumerate(cuts):
            marks: list[Mark] = []
            if k == 0:
                marks += self.title
                y = self.start
            else:
                running, y = head.running(song, paper, k + 1, len(cuts))
                marks += running
            used = sum(s.height for s in strips[a:z]) + sum(s.above for s in strips[a + 1 : z])
            free = max(0.0, paper.floor - y - used)
            pictures = None
            if k == len(cuts) - 1:
                # pictures of the neck stand beneath the music where they find room: they are not worth a page
                pictures = necks.strip(necks.grips(self.part), self.part.instrument, paper.room, free - NECKS)
                free -= pictures.height + NECKS if pictures is not None else 0.0
            spread = min(MAX_SPREAD, free / (z - a - 1)) if z - a > 1 else 0.0
            entries = [Entry(f"{song.title} ({song.key.label})", 0, 0.0)] if k == 0 else []
            for n in range(a, z):
                r = rows[n]
                if n > a:
                    y += strips[n].above + spread
                if strips[n].opens:
                    above = head.Heading(r.section, paper.room)
                    marks += above.draw(paper.left, y)
                    entries.append(Entry(r.section.label, 1, y))
                    y += above.height
                marks += system.draw(r, paper.left, y)
                y += r.bands.height
            if pictures is not None:
                marks += necks.draw(pictures, paper.left, y + NECKS)
            marks += head.foot(paper, k + 1, len(cuts), legend if k == 0 else "")
            pages.append(Page(paper, tuple(marks), str(k + 1), tuple(entries)))
        return tuple(pages)


def _strips(part: Part, rows: list[Row], paper: Paper, gap: float) -> list[breaks.Strip]:
    out = []
    for n, r in enumerate(rows):
        opens = r.first == 0
        height = r.bands.height + (head.Heading(r.section, paper.room).height if opens else 0.0)
        out.append(breaks.Strip(height, gap if n else 0.0, _index(part, r.section), opens, ease(r.measures[-1])))
    return out


def ease(m: Measured) -> float:
    """How much time a measure's end leaves to turn a page: none after an eighth, all of it after a rest or a note of half a
    measure."""
    sounding = [p for p in m.pieces if not p.rest]
    last = max((p.at if p.value.order >= 2 else p.at + p.ticks // 2 for p in sounding), default=0)
    left = m.measure.ticks - last
    return min(1.0, max(0.0, left / m.measure.meter.ticks * 2 - 0.25))


def _index(part: Part, section: Section) -> int:
    return next(n for n, s in enumerate(part.song.sections) if s is section)


def _rows(part: Part, paper: Paper) -> list[Row]:
    out: list[Row] = []
    words = said(part)
    meter: Meter | None = None
    told_voice = False
    sections = part.song.sections
    for s, section in enumerate(sections):
        row_said = words[s] if s < len(words) else ()
        ready: list[Measured] = []
        for k, m in enumerate(section.measures):
            ready.append(
                measured(
                    m,
                    part.slots[s][k] if s < len(part.slots) and k < len(part.slots[s]) else (),
                    row_said[k] if k < len(row_said) else Said({}, (), ()),
                    m.meter != meter,
                    any(r.first == k for r in section.repeats),
                    repeat_ends(section, k),
                    k == len(section.measures) - 1,
                )
            )
            meter = m.meter
        items = [breaks.Item(m.least, m.measure.line, m.measure.pickup) for m in ready]
        cuts = breaks.rows(items, paper.room)
        for a, z in cuts:
            fill = z < len(ready) or (a > 0 and z - a >= cuts[0][1])
            here = tuple(ready[a:z])
            voiced = any(v.state != "silent" for m in here for v in m.measure.voice)
            last = not any(later.measures for later in sections[s + 1 :])
            beyond = ready[a - 1] if a else None, ready[z] if z < len(ready) else None
            out.append(system.row(section, a, here, paper.room, fill, voiced and not told_voice, last, *beyond))
            told_voice = told_voice or voiced
    return out


def repeat_ends(section: Section, index: int) -> bool:
    """Whether the players turn back after this measure, at least once."""
    for r in section.repeats:
        if r.endings:
            if any(e.last == index and max(e.times) < r.times for e in r.endings):
                return True
        elif r.last == index:
            return True
    return False


def _legend(rows: list[Row]) -> str:
    notes = [n for r in rows for m in r.measures for group in m.notes.values() for n in group]
    orders = {p.value.order for r in rows for m in r.measures for p in m.pieces if not p.rest}
    out = []
    if any(n.pick for n in notes):
        out.append("T I M: thumb, index, middle finger of the picking hand")
    if any(r.finger_letters for r in rows):
        out.append("i m r p t: index, middle, ring, little finger and thumb of the fretting hand")
    if any(n.how == "damped" for n in notes):
        out.append("\N{MULTIPLICATION SIGN} damped")
    if 1 in orders:
        out.append("short stem: half note")
    return "   \N{MIDDLE DOT}   ".join(out)
