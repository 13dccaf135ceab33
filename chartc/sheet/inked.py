"""A row of tablature in marks: a stamp for the staff's lines, one for what stands on and around them, and loose marks for what is read to
who cannot see it. Coordinates in points; within a stamp from the row's left edge and the staff's first line."""

from __future__ import annotations

from functools import lru_cache

from chartc.sheet import halves, signs, staff, stems, style
from chartc.sheet.above import above, chords, endings
from chartc.sheet.marks import Mark, Path, Text
from chartc.sheet.measure import word_lines
from chartc.sheet.row import Row
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
    ink = Ink()
    loose: list[Mark] = []
    _bars(ink, row)
    stems.stems(ink, row)
    for m, columns, left in zip(row.measures, row.columns, row.edges, strict=False):
        for at, order, dots, whole in m.fit.pattern.rests:
            # a whole measure's rest stands in its middle
            _rest(ink, (left + m.fit.before + columns[m.measure.ticks]) / 2 if whole else columns[at], order, dots)
    staff.numbers(ink, row)
    stems.picks(ink, row)
    _fingers(ink, row)
    number = next((m.measure.number for m in row.measures if not m.measure.pickup), 0)
    if number:
        ink.text(NUMBER, -4 - halves.number[number], 3.0, str(number))
    said: set[str] = set()
    for k, m in enumerate(row.measures):
        if m.fit.techniques:
            staff.techniques(ink, row, k)
        above(ink, row, k, said)
        loose += chords(row, k, x, y + b.chord)
        if m.measure.words:
            left = row.edges[k] + m.fit.before
            for n, line in enumerate(word_lines(m.measure.words, row.edges[k + 1] - left)):
                loose.append(
                    Text(x + left + 4, y + b.words + n * WORDS_STEP - 1.5, line, "italic", style.WORDS, "words")
                )
    if row.after is not None and row.after.reaches:
        staff.carried(ink, row)
    if row.section.repeats:
        loose += endings(ink, row, x, y)
    top = y + b.top
    # rows as wide as the page are not quite so by the last bits of their sums
    return [(_staff(round(row.width, 2)), x, top, 1.0), (ink.stamp(), x, top, 1.0)], loose


@lru_cache(maxsize=256)
def _staff(width: float) -> Stamp:
    """The lines of a staff so wide."""
    ink = Ink()
    for n in range(5):
        ink.strokes(STAFF).extend((0.0, n * style.LINE_GAP, width, n * style.LINE_GAP))
    return ink.stamp(ground=True, often=True)


def _fingers(ink: Ink, row: Row) -> None:
    places: list[float] = []
    words: list[str] = []
    low = row.bands.fingers - row.bands.top
    halves_of = halves.finger
    for m, columns in zip(row.measures, row.columns, strict=True):
        for at, high, letter in threes(m.fit.fingers):
            places += (columns[at] - halves_of[letter], low - high)
            words.append(letter)
    ink.add_texts(FINGER, places, words)


def _bars(ink: Ink, row: Row) -> None:
    """Bar lines, repeats and meters."""
    low = style.STAFF_HEIGHT
    thin = ink.strokes(BAR)
    thin += (0.0, 0.0, 0.0, low)
    for k, (m, left, right) in enumerate(zip(row.measures, row.edges, row.edges[1:], strict=False)):
        fit = m.fit
        if fit.show_meter:
            room = signs.meter_room(m.measure.meter)
            ink.add(signs.meter(left + room / 2 + 2, 0.0, low, m.measure.meter, style.METER))
            left += room
        if fit.repeat_start:
            ink.add(signs.repeat_start(left, 0.0, low))
        bar = _bar(row, k)
        if bar == "thin":
            thin += (right, 0.0, right, low)
        elif bar == "repeat":
            ink.add(signs.repeat_end(right, 0.0, low))
        elif bar:
            ink.add(signs.final_bar(right, 0.0, low) if bar == "final" else signs.double_bar(right, 0.0, low))


def _bar(row: Row, k: int) -> str:
    """What ends a measure: nothing where the next one begins with a repeat's own sign."""
    if row.measures[k].fit.repeat_end:
        return "repeat"
    if row.first + k == len(row.section.measures) - 1:
        return "final" if row.last_of_song else "double"
    after = row.measures[k + 1].fit if k + 1 < len(row.measures) else None
    return "" if after is not None and after.repeat_start and not after.show_meter else "thin"


@lru_cache(maxsize=64)
def _rest_of(order: int, dots: int) -> tuple[tuple[Mark, ...], tuple[Shape, ...]]:
    marks = signs.rest(0.0, style.STAFF_HEIGHT / 2, order, dots)
    return tuple(m for m in marks if not isinstance(m, Path)), tuple(shape_of(m) for m in marks if isinstance(m, Path))


def _rest(ink: Ink, x: float, order: int, dots: int) -> None:
    others, shapes = _rest_of(order, dots)
    ink.add(others, x)
    for shape in shapes:
        ink.shape(shape, x, 0.0)
