"""A row of tablature in marks: a stamp for each measure, one for the staff's lines, one for what else stands above them, and loose marks
for what is read to who cannot see it. Coordinates in points."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from chartc.sheet import halves, signs, staff, stems, style
from chartc.sheet.above import above, chords, endings
from chartc.sheet.fit import Fit
from chartc.sheet.marks import Mark, Path, Text
from chartc.sheet.measure import Measured, word_lines
from chartc.sheet.row import Columns, Row
from chartc.sheet.staff import Before
from chartc.sheet.stamp import Ink, LineStyle, Shape, Stamp, Standing, TextStyle, shape_of, threes
from chartc.sheet.system import WORDS_STEP

FINGER = TextStyle("italic", style.FINGER, "finger")
NUMBER = TextStyle("regular", style.NUMBER, "number")
STAFF = LineStyle("staff", style.STAFF)
BAR = LineStyle("bar", style.THIN)

Drawing = tuple[list[Standing], list[Mark]]
"""Stamps, and loose marks."""


def draw(row: Row, x: float, y: float) -> Drawing:
    """The row, its top left corner at (`x`, `y`)."""
    b = row.bands
    top = y + b.top
    placed: list[Standing] = [(_staff(row.width), x, top, 1.0)]
    loose: list[Mark] = []
    over = Ink()
    number = next((m.measure.number for m in row.measures if not m.measure.pickup), 0)
    if number:
        over.text(NUMBER, -4 - halves.number[number], b.top + 3, str(number))
    said: set[str] = set()
    place = x
    for k, (m, columns, room) in enumerate(zip(row.measures, row.columns, row.rooms, strict=True)):
        placed.append((_measure(row, k, columns), place, top, 1.0))
        loose += chords(row, k, place, y + b.chord)
        above(over, row, k, place - x, said)
        if m.measure.words:
            left = place + m.fit.before + 4
            for n, line in enumerate(word_lines(m.measure.words, room - m.fit.before)):
                loose.append(Text(left, y + b.words + n * WORDS_STEP - 1.5, line, "italic", style.WORDS, "words"))
        place += room
    if row.after is not None and row.after.reaches:
        placed.append((staff.carried(row), place, top, 1.0))
    if row.section.repeats:
        loose += endings(over, row, x, y)
    if over:
        placed.append((over.stamp(), x, y, 1.0))
    return placed, loose


@lru_cache(maxsize=256)
def _staff(width: float) -> Stamp:
    """The lines of a staff so wide."""
    ink = Ink()
    for n in range(5):
        ink.strokes(STAFF).extend((0.0, n * style.LINE_GAP, width, n * style.LINE_GAP))
    return ink.stamp(ground=True)


_STAMPS: dict[Any, Stamp] = {}
_MOST_STAMPS = 1024


def _measure(row: Row, k: int, columns: Columns) -> Stamp:
    """A measure's stamp; measures that look alike share it, whatever row they stand in."""
    m, b = row.measures[k], row.bands
    fit = m.fit
    letters, picks, foot = b.letters - b.top, b.picks - b.top, b.foot
    fingers = b.fingers - b.top if fit.fingers else 0.0
    bar = _bar(row, k)
    opens = k == 0
    key: tuple[object, ...] = (fit.number, row.step, row.squeeze, letters, picks, fingers, foot, bar, opens)
    before = {}
    if fit.reaches:
        before = staff.sources(row, k, [string for string, _, _ in fit.reaches])
        key += tuple([v for s, note in before.items() for v in (s, *note)])
    found = _STAMPS.get(key)
    if found is None:
        if len(_STAMPS) >= _MOST_STAMPS:
            _STAMPS.clear()
        found = _STAMPS[key] = _inked(fit, m, columns, letters, picks, fingers, foot, bar, opens, before)
    return found


def _inked(
    fit: Fit,
    m: Measured,
    columns: Columns,
    letters: float,
    picks: float,
    fingers: float,
    foot: float,
    bar: str,
    opens: bool,
    before: dict[int, Before],
) -> Stamp:
    ink = Ink()
    room = columns[m.measure.ticks]
    if opens:
        ink.strokes(BAR).extend((0.0, 0.0, 0.0, style.STAFF_HEIGHT))
    _bars(ink, fit, m, room, bar)
    for at, order, dots, whole in fit.pattern.rests:
        _rest(ink, (fit.before + room) / 2 if whole else columns[at], order, dots)
    if fit.techniques:
        staff.techniques(ink, fit, columns, letters, before, fit.before + 2)
    staff.numbers(ink, fit, columns)
    stems.stems(ink, fit, columns, foot)
    stems.picks(ink, fit, columns, picks)
    if fit.fingers:
        places, words = ink.words(FINGER)
        for at, high, letter in threes(fit.fingers):
            places += (columns[at] - halves.finger[letter], fingers - high)
            words.append(letter)
    return ink.stamp()


def _bar(row: Row, k: int) -> str:
    """What ends a measure: nothing where the next one begins with a repeat's own sign."""
    if row.measures[k].fit.repeat_end:
        return "repeat"
    if row.first + k == len(row.section.measures) - 1:
        return "final" if row.last_of_song else "double"
    after = row.measures[k + 1].fit if k + 1 < len(row.measures) else None
    return "" if after is not None and after.repeat_start and not after.show_meter else "thin"


def _bars(ink: Ink, fit: Fit, m: Measured, room: float, bar: str) -> None:
    low = style.STAFF_HEIGHT
    start = 0.0
    if fit.show_meter:
        start = signs.meter_room(m.measure.meter)
        ink.add(signs.meter(start / 2 + 2, 0.0, low, m.measure.meter, style.METER))
    if fit.repeat_start:
        ink.add(signs.repeat_start(start, 0.0, low))
    if bar == "thin":
        ink.strokes(BAR).extend((room, 0.0, room, low))
    elif bar == "repeat":
        ink.add(signs.repeat_end(room, 0.0, low))
    elif bar:
        ink.add(signs.final_bar(room, 0.0, low) if bar == "final" else signs.double_bar(room, 0.0, low))


@lru_cache(maxsize=64)
def _rest_of(order: int, dots: int) -> tuple[tuple[Mark, ...], tuple[Shape, ...]]:
    marks = signs.rest(0.0, style.STAFF_HEIGHT / 2, order, dots)
    return tuple(m for m in marks if not isinstance(m, Path)), tuple(shape_of(m) for m in marks if isinstance(m, Path))


def _rest(ink: Ink, x: float, order: int, dots: int) -> None:
    others, shapes = _rest_of(order, dots)
    ink.add(others, x)
    for shape in shapes:
        ink.shape(shape, x, 0.0)
