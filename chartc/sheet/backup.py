"""The backup sheet: the part as tablature, on as many pages as it needs."""

from __future__ import annotations

from copy import copy
from functools import cached_property
from operator import itemgetter
from typing import NamedTuple

from chartc.sheet import head, inked, necks, paging, system
from chartc.sheet.fit import LETTERS
from chartc.sheet.marks import Entry, Mark, Page
from chartc.sheet.paper import PENCIL, Paper
from chartc.sheet.printed import printed_part
from chartc.sheet.rough import SMALLER, SMALLEST, Known, Rough, dear, known_of
from chartc.sheet.row import Row
from chartc.sheet.scale import magnified, paper_for
from chartc.sheet.signs import AGAIN
from chartc.sheet.stamp import Marks, Standing
from chartc.slots.part import Part

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

NOWHERE = necks.Place(0.0, 0.0)

LARGER = (2.0, 1.4)
"""So much larger are pictures that have a page of their own: the first where one page holds them all."""

APART = paging.FACING + paging.TORN
"""What a page of pictures costs."""


def backup_pages(part: Part, paper: Paper) -> tuple[Page, ...]:
    """The tablature sheet of a part. Rows closer together, or a little smaller, are better than one more page turn, and than pictures
    of the neck on a page of their own; that one comes last, so that nobody turns to it while playing."""
    part = printed_part(part)
    return _pages(known_of(part), paper)


def _pages(part: Known, paper: Paper) -> tuple[Page, ...]:
    wide = max([rows.widest for _, rows in part.ready], default=0.0)
    if wide > paper.room + 1e-6:
        # a measure wider than the page: everything is printed smaller
        factor = paper.room / wide * 0.999
        return magnified(_pages(part, paper_for(paper, factor)), paper, factor)
    rough = Rough(part, paper, 1.0)
    best: _Sheet | None = None
    waiting: list[tuple[float, Rough | float]] = [(rough.cost, rough)]
    smaller = (SMALLER,) if paper.large else (SMALLER, SMALLEST)
    waiting += [(rough.least(size), size) for size in smaller]
    # always that size which may be the best yet: an estimate becomes a better one, and that one a sheet
    while waiting:
        waiting.sort(key=_first)
        least, one = waiting.pop(0)
        if best is not None and least >= best.price:
            break
        if isinstance(one, float):
            better = Rough(part, paper, one)
            waiting.append((better.cost, better))
        else:
            sheet = _Sheet(part, one)
            if best is None or sheet.price < best.price:
                best = sheet
    assert best is not None
    return magnified(best.spread().pages(), paper, best.size)


_first = itemgetter(0)


class _Pictures(NamedTuple):
    """Pictures of the neck on a page: what they take of its height, and their top left corner where they stand in the head."""

    strip: necks.Strip
    page: int
    taken: float
    place: tuple[float, float] | None = None


class _Sheet:
    """A part in rows and pages in one size of print, with one least distance between rows."""

    def __init__(self, known: Known, rough: Rough) -> None:
        self.known, self.rough, self.size, self.paper = known, rough, rough.size, rough.paper
        self.song, self.grips = known.part.song, known.grips
        self.start, self.later = rough.start, rough.later
        self.rows = _rows(known, rough)
        self.gap = system.LEAST_ROW_GAP
        self.strips = [rough.strip(n, a, r.bands.height) for (n, a, _), r in zip(rough.rows, self.rows, strict=True)]
        self.cuts, self.cost = rough.made if self.strips == rough.strips else rough.cut(self.strips)

    def spread(self) -> _Sheet:
        """The same with rows farther apart, if that costs nothing."""
        if self.size < 1.0:
            return self
        other = copy(self)
        other.gap = system.ROW_GAP
        other.strips = [s._replace(above=other.gap) if s.above else s for s in self.strips]
        other.cuts, other.cost = self.rough.cut(other.strips)
        for name in ("pictures", "apart"):
            other.__dict__.pop(name, None)
        return other if other.price <= self.price else self

    @property
    def count(self) -> int:
        """How many pages the music takes."""
        return len(self.cuts)

    @property
    def total(self) -> int:
        """How many pages there are with those of the pictures."""
        return self.count + len(self.apart[1])

    @property
    def price(self) -> float:
        """What its pages cost, those of the pictures with them, and its size."""
        return self.cost + APART * (self.total - self.count) + dear(self.size, self.count)

    def _room(self, k: int) -> float:
        """What a page has for the distances between its rows, and for all else."""
        a, z = self.cuts[k]
        top = self.start if k == 0 else self.later
        return self.paper.floor - top - sum([s.height for s in self.strips[a:z]])

    def _slack(self, k: int) -> float:
        """What is left on a page when its rows are as close together as they may be."""
        a, z = self.cuts[k]
        return self._room(k) - system.LEAST_ROW_GAP * max(0, z - a - 1)

    @cached_property
    def pictures(self) -> tuple[_Pictures, ...]:
        """Where the pictures of the neck stand: all of them at the foot of the last page, or of the nearest before it, that has room for
        them, rows closer together if they must be; else beneath the key, above music that begins a little lower if need be, and
        at the feet of all pages, in their order. Where that is not enough either, nowhere."""
        grips = self.grips
        if not grips:
            return ()
        room = self.paper.room
        high = [self._slack(k) - NECKS + (LEGEND if k else 0.0) for k in range(self.count)]
        for k in reversed(range(self.count)):
            strip = necks.whole(grips, necks.Place(room, high[k]))
            if strip is not None:
                return (_Pictures(strip, k, strip.height + NECKS),)
        left, top, rule = head.beneath_key(self.rough.title)
        free = rule - top - 2 * HEAD_AIR
        wide = self.paper.edge - left - HEAD_LEFT
        feet = [necks.Place(room, h) for h in high]
        for lower, places in ((0.0, feet), (self._slack(0), [NOWHERE, *feet[1:]])):
            corner = necks.Place(wide, free + lower, titled=False)
            strips = necks.spread(grips, [corner, *places])
            if strips is not None:
                first, *others = strips
                out = [_Pictures(s, k, s.height + NECKS) for k, s in enumerate(others) if s is not None]
                if first is not None:
                    place = self.paper.edge - first.width, top + HEAD_AIR
                    out.insert(0, _Pictures(first, 0, max(0.0, first.height - free), place))
                return tuple(out)
        return ()

    @property
    def complete(self) -> bool:
        """Whether the pictures of the neck find room beside the music."""
        return bool(self.pictures or not self.grips)

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
        pictures = self.pictures
        count = self.total
        pages = []
        for k, (a, z) in enumerate(cuts):
            marks: list[Mark] = []
            placed: list[Standing] = []
            here = [p for p in pictures if p.page == k]
            if k == 0:
                marks += self.rough.title
                lower = sum([p.taken for p in here if p.place is not None])
                y = self.start + lower
                if lower:
                    marks[:] = head.lowered(marks, lower)
            else:
                running, y = head.running(song, paper, k + 1, count)
                marks += running
            distance = self._distance(k, sum([p.taken for p in here]))
            entries = [Entry(f"{song.title} ({song.key.label})", 0, 0.0)] if k == 0 else []
            for n in range(a, z):
                r = rows[n]
                if n > a:
                    y += distance
                if strips[n].opens:
                    place = strips[n].section
                    marks += self.rough.headings[place].draw(paper.left, y)
                    entries.append(Entry(r.section.label, 1, y))
                    y += self.rough.tops[place]
                stamps, loose = inked.draw(r, paper.left, y)
                placed += stamps
                marks += loose
                y += r.bands.height
            for picture in here:
                stamps, loose = necks.draw(picture.strip, *(picture.place or (paper.left, y + NECKS)))
                placed += stamps
                marks += loose
            marks += head.foot(paper, k + 1, count, legend if k == 0 else "")
            pages.append(Page(paper, Marks(placed, marks), str(k + 1), tuple(entries)))
        return (*pages, *self._of_pictures(count))

    @cached_property
    def apart(self) -> tuple[float, tuple[necks.Strip, ...]]:
        """The pictures page by page where they have pages of their own, and how much larger than beside the music."""
        paper = self.paper
        most = 0 if self.complete else len(self.grips)
        for count in range(1, 1 + most):
            for factor in LARGER if count == 1 else LARGER[1:]:
                place = necks.Place(paper.room / factor, (paper.floor - self.later - NECKS) / factor)
                strips = necks.spread(self.grips, [place] * count)
                if strips is not None:
                    return factor, tuple([s for s in strips if s is not None])
        return 1.0, ()

    def _of_pictures(self, count: int) -> list[Page]:
        """The pages that have nothing but pictures; `count` is that of all pages."""
        paper = self.paper
        factor, strips = self.apart
        out = []
        for number, strip in enumerate(strips, self.count + 1):
            running, y = head.running(self.song, paper, number, count)
            drawn = necks.draw(strip, paper.left / factor, (y + NECKS) / factor)
            (large,) = magnified([Page(paper, Marks(*drawn), "")], paper, factor)
            marks = (*large.marks, *running, *head.foot(paper, number, count))
            out.append(Page(paper, marks, str(number), (Entry("positions", 1, y),)))
        return out


def _rows(known: Known, rough: Rough) -> list[Row]:
    song, room = known.part.song, rough.paper.room
    out: list[Row] = []
    told_voice = False
    longest = 0
    for s, a, z in rough.rows:
        ready, section = known.ready[s][0], song.sections[s]
        longest = longest if a else z
        fill = z < len(ready) or (a > 0 and z - a >= longest)
        beyond = ready[a - 1] if a else None, ready[z] if z < len(ready) else None
        high = known.stack(s, a, z)
        made = system.row(section, a, ready[a:z], high, room, fill, not told_voice, s == song.closing, *beyond)
        told_voice = told_voice or made.voice_words
        out.append(made)
    return out


def _legend(rows: list[Row]) -> str:
    fits = {m.fit for r in rows for m in r.measures}
    out = []
    if any(f.picks for f in fits):
        out.append("T I M: picking thumb, index, middle finger")
    if any(f.fingers for f in fits):
        out.append("i m r p t: fretting index, middle, ring, little finger, thumb")
    hows = {how for f in fits for how in f.hows}
    joined = [how for how in LETTERS if how in hows]
    if joined:
        out.append(f"{' '.join(LETTERS[how] for how in joined)}: {', '.join(joined)}")
    if "choke" in hows:
        out.append("arrow: choke, in whole steps")
    if any(f.damped for f in fits):
        out.append("\N{MULTIPLICATION SIGN} damped")
    if any(m.said.again for r in rows for m in r.measures):
        out.append(f"{AGAIN} the measure before once more")
    if any(short for f in fits for _, short in f.pattern.stems):
        out.append("short stem: half note")
    return "   \N{MIDDLE DOT}   ".join(out)
