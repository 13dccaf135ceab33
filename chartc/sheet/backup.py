"""The backup sheet: the part as tablature, on as many pages as it needs."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Section
from chartc.sheet import breaks, head, system
from chartc.sheet.hand import Said, said
from chartc.sheet.marks import Entry, Mark, Page
from chartc.sheet.measure import Measured, measured
from chartc.sheet.paper import Paper
from chartc.sheet.printed import printed
from chartc.sheet.system import Row
from chartc.slots.part import Part
from chartc.theory.meter import Meter

MAX_SPREAD = 18.0
"""Rows are moved apart by so much at most to fill a page."""


def backup_pages(part: Part, paper: Paper) -> tuple[Page, ...]:
    """The tablature sheet of a part."""
    part = replace(part, song=printed(part.song))
    rows = _rows(part, paper)
    song = part.song
    fifth = f"5th string: {part.fifth.words}" if part.fifth.words else ""
    title_marks, start = head.title(song, paper, [*head.facts(song), fifth])
    _, later = head.running(song, paper, 2, 2)
    strips = _strips(part, rows, paper, system.ROW_GAP)
    cuts = breaks.pages(strips, paper.floor - start, paper.floor - later)
    # rows closer together than is pleasant are better than a page turn
    close = _strips(part, rows, paper, system.LEAST_ROW_GAP)
    closer = breaks.pages(close, paper.floor - start, paper.floor - later)
    if len(closer) < len(cuts):
        strips, cuts = close, closer
    legend = _legend(rows)
    pages = []
    for k, (a, z) in enumerate(cuts):
        marks: list[Mark] = []
        if k == 0:
            marks += title_marks
            y = start
        else:
            running, y = head.running(song, paper, k + 1, len(cuts))
            marks += running
        used = sum(s.height for s in strips[a:z]) + sum(s.above for s in strips[a + 1 : z])
        spread = 0.0
        if z - a > 1:
            spread = min(MAX_SPREAD, max(0.0, paper.floor - y - used) / (z - a - 1))
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
        marks += head.foot(paper, k + 1, len(cuts), legend if k == 0 else "")
        pages.append(Page(paper, tuple(marks), str(k + 1), tuple(entries)))
    return tuple(pages)


def _strips(part: Part, rows: list[Row], paper: Paper, gap: float) -> list[breaks.Strip]:
    out = []
    for n, r in enumerate(rows):
        opens = r.first == 0
        height = r.bands.height + (head.Heading(r.section, paper.room).height if opens else 0.0)
        out.append(breaks.Strip(height, gap if n else 0.0, _index(part, r.section), opens))
    return out


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
            out.append(system.row(section, a, here, paper.room, fill, voiced and not told_voice, last))
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
