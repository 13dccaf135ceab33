"""The chord sheet: no tablature, chord names as large as fits, to be read by the rest of the band from two metres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

from chartc.chart.song import Measure, Section, Song
from chartc.sheet import beneath, breaks, head, paging, signs, style
from chartc.sheet.endings import brackets, in_ending, repeat_ends, times
from chartc.sheet.label import Label, by_degree, by_letter
from chartc.sheet.look import Look
from chartc.sheet.marks import Entry, Line, Mark, Page, Text, ending_at
from chartc.sheet.paper import PENCIL, Paper
from chartc.sheet.printed import printed
from chartc.theory.meter import Meter
from chartc.type.faces import CAP_HEIGHT, width, wrap

NAME = 13.0
SMALL = 9.5
BETWEEN = 0.2
"""Between two names of a measure at the least, over their size."""
MARGINS = (40.0, 30.0, 20.0)
"""Points by which the right margin may grow where the foot of a page has no room for notes by hand, the widest first."""


@dataclass(frozen=True, slots=True)
class _Sign:
    """A chord name, or a slash where there is none: the beat it stands on, in ticks, its width, and what it takes with the words
    beneath it."""

    at: int
    label: Label | None
    width: float
    takes: float


@dataclass(frozen=True, slots=True)
class _Cell:
    """A measure on the grid."""

    measure: Measure
    signs: tuple[_Sign, ...]
    show_meter: bool
    repeat_start: bool
    repeat_end: bool
    least: float
    cues: tuple[beneath.Cue, ...] = ()

    @property
    def before(self) -> float:
        """What stands before the first name, the bar line's room included."""
        return _before(self.measure, self.show_meter, self.repeat_start)


@dataclass(frozen=True, slots=True)
class _Row:
    section: Section
    first: int
    cells: tuple[_Cell, ...]
    rooms: tuple[float, ...]
    size: float
    above: float
    cues: float

    @property
    def grid(self) -> float:
        """Height of the bar lines."""
        return self.size * 1.32

    @property
    def height(self) -> float:
        return self.above + self.grid + self.cues


def chord_pages(song: Song, paper: Paper) -> tuple[Page, ...]:
    """The chord sheet of a song, on one page wherever it can be read."""
    return measure_pages(printed(song), paper, Look(by_letter, song.key.label, least=_least(paper)), head.facts(song))


def number_pages(song: Song, paper: Paper) -> tuple[Page, ...]:
    """The same with degrees for chords: one sheet for all keys, the same whatever key the song is in."""
    key = song.key
    mode = "any key" if key.mode == "major" else f"any {key.mode} key"
    facts = [mode, "degrees of the major scale on the tonic", *head.facts(song)[1:]]
    return measure_pages(printed(song), paper, Look(by_degree(key), DEGREES, least=_least(paper)), facts)


def _least(paper: Paper) -> float:
    """The least size of names: ordinary sheets are as large as one page allows; large print is larger than that, and turned."""
    return 24.0 if paper.large else 18.0


DEGREES = "1 2 3"
"""What stands in the corner where there is no key."""


def measure_pages(
    song: Song, paper: Paper, look: Look, facts: Sequence[str], remarks: Sequence[str] = ()
) -> tuple[Page, ...]:
    """A sheet of measures with chord names and words beneath them."""
    key = look.key
    marks, start = head.title(song, paper, facts, key, remarks)
    _, later = head.running(song, paper, 2, 2, key)
    closing = song.sections[song.closing] if song.sections else None
    size, rows = _largest(song, paper, start, later, look)
    strips = _strips(song, rows, paper.room, look)
    cuts = _cuts(song, rows, strips, paper, start, later)
    frees = [
        paper.floor
        - (later if k else start)
        - sum(s.height for s in strips[a:z])
        - sum(s.above for s in strips[a + 1 : z])
        for k, (a, z) in enumerate(cuts)
    ]
    if look.pencil and min(frees) < PENCIL:
        rows = _narrower(song, paper, size, look, rows)
    pages = []
    for k, (a, z) in enumerate(cuts):
        y = start
        if k:
            marks, y = head.running(song, paper, k + 1, len(cuts), key)
        free = frees[k] - (PENCIL if look.pencil and frees[k] >= PENCIL else 0.0)
        spread = min(10.0, max(0.0, free) / (z - a - 1)) if z - a > 1 else 0.0
        entries = [Entry(f"{song.title} ({key})", 0, 0.0)] if k == 0 else []
        for n in range(a, z):
            r = rows[n]
            if n > a:
                y += strips[n].above + spread
            if strips[n].opens:
                above = head.Heading(r.section, paper.room, NAME, SMALL, look.heading(r.section))
                marks += above.draw(paper.left, y)
                entries.append(Entry(r.section.label, 1, y))
                y += above.height
            marks += _draw(r, paper.left, y, r.section is closing, look)
            y += r.height
        marks += head.foot(paper, k + 1, len(cuts))
        pages.append(Page(paper, tuple(marks), str(k + 1), tuple(entries)))
    return tuple(pages)


def _narrower(song: Song, paper: Paper, size: float, look: Look, rows: list[_Row]) -> list[_Row]:
    """The rows with a wider margin at their right, for the pencil, where nothing but the white between names becomes less: as they are
    where a name would shrink, or a row be another or higher."""
    shape = [(r.first, len(r.cells), r.size, r.height) for r in rows]
    for wide in MARGINS:
        tried = _rows(song, replace(paper, right=paper.right + wide), size, look)
        if [(r.first, len(r.cells), r.size, r.height) for r in tried] == shape:
            return tried
    return rows


def _largest(song: Song, paper: Paper, start: float, later: float, look: Look) -> tuple[float, list[_Row]]:
    """The largest size that needs no more pages than the least, and tears no row of the player's that a middling one keeps; and the
    rows of that size."""

    def count(rows: list[_Row]) -> int:
        return len(_cuts(song, rows, _strips(song, rows, paper.room, look), paper, start, later))

    whole = len(_rows(song, paper, look.keeps_rows, look))
    small = _rows(song, paper, look.least, look)
    fewest = count(small)
    size = look.largest
    while size > look.least:
        rows = _rows(song, paper, size, look)
        if count(rows) <= fewest and (len(rows) <= whole or size <= look.keeps_rows):
            return size, rows
        size -= 1.0
    return look.least, small


def _cuts(
    song: Song, rows: list[_Row], strips: list[paging.Strip], paper: Paper, start: float, later: float
) -> tuple[tuple[int, int], ...]:
    """The pages; `start` is where the music begins on the first one, `later` on others. Nobody rests while chords are played."""
    starts = [(strip.section, row.first) for strip, row in zip(strips, rows, strict=True)]
    turned = partial(paging.turning, song, starts, lambda last, first: 0)
    return paging.pages(strips, paper.floor - start, paper.floor - later, turned).pages


def _strips(song: Song, rows: list[_Row], room: float, look: Look) -> list[paging.Strip]:
    numbers = {id(s): n for n, s in enumerate(song.sections)}
    out = []
    for r in rows:
        opens = r.first == 0
        above = head.Heading(r.section, room, NAME, SMALL, look.heading(r.section)).height if opens else 0.0
        ending = in_ending(r.section, r.first)
        out.append(paging.Strip(r.height + above, 10.0 if opens else 6.0, numbers[id(r.section)], opens, ending))
    return out


def _rows(song: Song, paper: Paper, size: float, look: Look) -> list[_Row]:
    out: list[_Row] = []
    meter: Meter | None = None
    for section in song.sections:
        cells: list[_Cell] = []
        for k, m in enumerate(section.measures):
            starts = any(r.first == k for r in section.repeats)
            cues = look.cues(section, k)
            cells.append(_cell(m, size, look, m.meter != meter, starts, repeat_ends(section, k), cues))
            meter = m.meter
        items = [breaks.Item(c.least, c.measure.line, c.measure.pickup) for c in cells]
        for a, z in breaks.Rows(items, look.most).broken(paper.room):
            here = tuple(cells[a:z])
            own = size
            if sum(c.least for c in here) > paper.room:  # a single measure wider than the page: it has all of the row
                here = tuple([_without_room(c, own, look) for c in here])
                while sum(c.least for c in here) > paper.room and own > 6:
                    own -= 0.5  # and if need be its names alone are set smaller
                    here = tuple([_without_room(c, own, look) for c in here])
                spare = max(0.0, paper.room - sum(c.least for c in here))
                here = (*here[:-1], replace(here[-1], least=here[-1].least + spare))
            rooms = _share(here, paper.room, look.most)
            over = brackets(section, a, z - a) or any(times(section, k) for k in range(a, z))
            words = [w for c, room in zip(here, rooms, strict=True) for w in _words(c, room, own, look)]
            lines = max([w.line + 1 for w in words], default=0)
            out.append(
                _Row(section, a, here, rooms, own, 12.0 if over else 0.0, lines * look.step + (2 if lines else 0))
            )
    return out


def _share(cells: tuple[_Cell, ...], room: float, most: int) -> tuple[float, ...]:
    """Measures of one width, so that bar lines stand beneath one another, unless one needs more."""
    count = sum(1 for c in cells if not c.measure.pickup)
    wanted = [c.least if c.measure.pickup else max(c.least, 0.0) for c in cells]
    pickups = sum(c.least for c in cells if c.measure.pickup)
    each = (room - pickups) / max(count, most)
    rooms = [c.least if c.measure.pickup else max(c.least, each) for c in cells]
    over = sum(rooms) - room
    if over > 0:
        spare = [r - w for r, w in zip(rooms, wanted, strict=True)]
        total = sum(spare) or 1.0
        rooms = [r - over * s / total for r, s in zip(rooms, spare, strict=True)]
    return tuple(rooms)


def _cell(
    m: Measure,
    size: float,
    look: Look,
    show_meter: bool,
    repeat_start: bool,
    repeat_end: bool,
    cues: tuple[beneath.Cue, ...] = (),
    keep: bool = True,
) -> _Cell:
    """A measure; `keep` tells whether its chords keep the room that the words beneath them need."""
    before = _before(m, show_meter, repeat_start)
    after = 5.0 + (style.REPEAT_ROOM if repeat_end else 0.0)
    if m.pickup and all(s.chord is None for s in m.stretches):
        return _Cell(m, (), show_meter, repeat_start, repeat_end, before + after + width("pickup", "italic", SMALL))
    labels = [(s.at, look.naming(s.chord)) for s in m.stretches]
    out = [_Sign(at, label, wide, wide) for at, label in labels for wide in (label.width(size),)]
    if len(m.stretches) > 1 and (look.slashes or len({s.ticks for s in m.stretches}) > 1):
        beat = m.meter.beat
        starts = {s.at for s in m.stretches}
        out += [_Sign(at, None, size * 0.32, size * 0.32) for at in range(0, m.ticks, beat) if at not in starts]
    ordered = sorted(out, key=lambda s: s.at)
    gap = size * BETWEEN
    for cue in cues if keep else ():
        # the chord and its slashes are as wide as its words; what is wanting is white, shared out behind them
        first = next(n for n, s in enumerate(ordered) if s.at == cue.at)
        end = next((n for n in range(first + 1, len(ordered)) if ordered[n].label is not None), len(ordered))
        rest = beneath.GAP if end < len(ordered) else gap
        wanting = beneath.least(cue, look.size) + rest - sum(s.takes + gap for s in ordered[first:end])
        more = max(0.0, wanting) / (end - first)
        ordered[first:end] = [replace(s, takes=s.takes + more) for s in ordered[first:end]]
    least = before + after + sum(s.takes for s in ordered) + gap * (len(ordered) - 1)
    if m.pickup:
        least = max(least, 40.0)
    return _Cell(m, tuple(ordered), show_meter, repeat_start, repeat_end, least, cues)


def _without_room(c: _Cell, size: float, look: Look) -> _Cell:
    """The same measure with chords of another size, that keep no room for their words."""
    return _cell(c.measure, size, look, c.show_meter, c.repeat_start, c.repeat_end, c.cues, keep=False)


def _before(m: Measure, show_meter: bool, repeat_start: bool) -> float:
    meter = signs.meter_room(m.meter) + 2.0 if show_meter else 0.0
    return 5.0 + meter + (style.REPEAT_ROOM if repeat_start else 0.0)


def _words(cell: _Cell, room: float, size: float, look: Look) -> tuple[beneath.Word, ...]:
    """What stands beneath a measure, from its left bar line: the words of its chords, else its own."""
    if cell.cues:
        left, right = _inside(cell, 0.0, room)
        chords = [(s.at, x) for s, x in zip(cell.signs, _places(cell, left, right, size), strict=True) if s.label]
        ends = {at: x - beneath.GAP for (at, _), (_, x) in pairwise(chords)}
        starts = dict(chords)
        spans = [(starts[c.at], ends.get(c.at, right)) for c in cell.cues]
        return beneath.placed(cell.cues, spans, look.size)
    lines = wrap(cell.measure.words, look.face, look.size, room - 8) if cell.measure.words else ()
    return tuple([beneath.Word(4.0, n, line, look.face) for n, line in enumerate(lines)])


def _inside(cell: _Cell, place: float, room: float) -> tuple[float, float]:
    """Where the chords of a measure may begin and end."""
    return place + cell.before, place + room - 5.0 - (style.REPEAT_ROOM if cell.repeat_end else 0.0)


def _draw(row: _Row, x: float, y: float, last: bool, look: Look) -> list[Mark]:
    top = y + row.above
    bottom = top + row.grid
    out: list[Mark] = [signs.bar_line(x, top, bottom, 1.0)]
    place = x
    edges = [x]
    for k, (cell, room) in enumerate(zip(row.cells, row.rooms, strict=True)):
        right = place + room
        start = place
        if cell.show_meter:
            room_for_meter = signs.meter_room(cell.measure.meter) + 2.0
            out += signs.meter(
                place + room_for_meter / 2 + 2, top, bottom, cell.measure.meter, min(15.0, row.grid * 0.63)
            )[1:]
            start += room_for_meter
        if cell.repeat_start:
            out += signs.repeat_start(start, top, bottom)
        after = row.cells[k + 1] if k + 1 < len(row.cells) else None
        if cell.repeat_end:
            out += signs.repeat_end(right, top, bottom)
        elif row.first + k == len(row.section.measures) - 1:
            out += signs.final_bar(right, top, bottom) if last else signs.double_bar(right, top, bottom)
        elif not (after and after.repeat_start and not after.show_meter):
            out.append(signs.bar_line(right, top, bottom, 1.0))
        left, edge = _inside(cell, place, room)
        if look.again and cell.measure.again and k:
            out.append(signs.again((left + edge) / 2, top + row.grid / 2, row.size))
        elif cell.signs:
            out += _chords(cell, left, edge, top, row)
        else:
            out.append(Text(left, top + row.grid / 2 + 3, "pickup", "italic", SMALL, "pickup"))
        for word in _words(cell, room, row.size, look):
            out.append(
                Text(place + word.x, bottom + look.step * (word.line + 1), word.text, word.face, look.size, "cue")
            )
        place = right
        edges.append(place)
    out += _over(row, edges, y)
    return out


def _chords(cell: _Cell, left: float, right: float, top: float, row: _Row) -> list[Mark]:
    size = row.size
    base = top + row.grid / 2 + size * CAP_HEIGHT / 2
    out: list[Mark] = []
    for s, x in zip(cell.signs, _places(cell, left, right, size), strict=True):
        if s.label is not None:
            out.append(s.label.text(x, base, size))
        else:
            tall = size * CAP_HEIGHT * 0.8
            foot = base - size * CAP_HEIGHT * 0.1
            out.append(Line(x + 1.2, foot, x + s.width - 1.2, foot - tall, size * 0.07, "slash"))
    return out


def _places(cell: _Cell, left: float, right: float, size: float) -> list[float]:
    """The left edges of a measure's signs."""
    gap = size * BETWEEN
    # where the beats would stand in a measure shared out evenly; what is wide pushes what follows to the right
    ideal = [left + (right - left) * s.at / cell.measure.ticks for s in cell.signs]
    xs: list[float] = []
    free = left
    rest = sum(s.takes for s in cell.signs) + gap * (len(cell.signs) - 1)
    for s, x in zip(cell.signs, ideal, strict=True):
        xs.append(min(max(x, free), right - rest))
        free = xs[-1] + s.takes + gap
        rest -= s.takes + gap
    return xs


def _over(row: _Row, edges: list[float], y: float) -> list[Mark]:
    out: list[Mark] = []
    for a, z, words, begins, ends in brackets(row.section, row.first, len(row.cells)):
        left, right = edges[a] + 1.5, edges[z + 1] - 1.5
        out.append(Line(left, y, right, y, 0.8, "ending"))
        if begins:
            out.append(Line(left, y, left, y + 9.5, 0.8, "ending"))
            out.append(Text(left + 3, y + 9, words, "bold", 10.0, "ending-word"))
        if ends:
            out.append(Line(right, y, right, y + 9.5, 0.8, "ending"))
    for k in range(len(row.cells)):
        words = times(row.section, row.first + k)
        if words:
            out.append(ending_at(edges[k + 1], y + 8, words, "bold", 10.5, "times"))
    return out
