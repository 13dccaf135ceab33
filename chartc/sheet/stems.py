"""Beneath the staff: stems, beams, flags, dots, ties, triplets and pick fingers. Coordinates in points from the row's left edge and the
staff's first line."""

from __future__ import annotations

from functools import lru_cache

from chartc.sheet import halves, style
from chartc.sheet.marks import dot
from chartc.sheet.pattern import LEFT, WHOLE, Beam
from chartc.sheet.row import Columns, Row
from chartc.sheet.stamp import Ink, LineStyle, Shape, TextStyle, shape_of, threes

STEM = LineStyle("stem", style.STEM)
CROSS = LineStyle("damp", 1.0)
BRACKET = LineStyle("bracket", style.THIN)
PICK = TextStyle("regular", style.PICK, "pick")
TRIPLET = TextStyle("italic", style.TRIPLET, "triplet")

FLAG = Shape((0.0, 0.0), (((0.6, -1.8), (4.0, -1.9), (3.8, -4.3)),), 1.3, "flag")
DOT = shape_of(dot(0.0, 0.0, 1.15, "dot"))


TOP = style.STAFF_HEIGHT + style.STEM_TOP
"""Where stems begin."""
HALF = style.STAFF_HEIGHT + style.HALF_FOOT
"""Where those of half notes end."""


def stems(ink: Ink, row: Row) -> None:
    """Everything that tells the rhythm of a row."""
    foot = style.STAFF_HEIGHT + row.bands.foot
    strokes: list[float] = []
    beams: list[float] = []
    for m, columns in zip(row.measures, row.columns, strict=True):
        pattern, damped = m.fit.pattern, m.fit.damped
        for at, short in pattern.stems:
            x = columns[at]
            if short or damped:
                head = TOP + 2.4 if at in damped else TOP
                strokes += (x, head, x, max(head + 2.5, HALF) if short else foot)
            else:
                strokes += (x, TOP, x, foot)
        _beams(beams, pattern.beams, columns, foot)
        if damped:
            _crosses(ink, damped, columns)
        for at, count in pattern.flags:
            for n in range(count):
                ink.shape(FLAG, columns[at], foot - 2.6 * n)
        for at, count in pattern.dots:
            for n in range(count):
                ink.shape(DOT, columns[at] + 4.9 + 2.4 * n, TOP + 2.0)
        for at, before, dotted in pattern.ties:
            start = columns[before] + (7.2 if dotted else 3.2 if before in damped else 1.6)
            ink.shape(_tie(columns[at] - 1.6 - start), start, TOP + 0.8)
        for first, last, beamed in pattern.triplets:
            _triplet(ink, columns[first], columns[last], beamed, foot)
    if strokes:
        ink.strokes(STEM).extend(strokes)
    if beams:
        ink.areas("beam").extend(beams)


def _crosses(ink: Ink, damped: tuple[int, ...], columns: Columns) -> None:
    crosses = ink.strokes(CROSS)
    for at in damped:
        x, y, r = columns[at], TOP + 2.4, 2.3
        crosses += (x - r, y - r, x + r, y + r, x - r, y + r, x + r, y - r)


def _tie(long: float) -> Shape:
    """A tie from the origin. Ties of one length, to a tenth of a point, are one shape, drawn once."""
    return _tie_of(round(long * 10))


@lru_cache(maxsize=1024)
def _tie_of(tenths: int) -> Shape:
    long, sag = tenths / 10, 2.6
    return Shape(
        (0.0, 0.0),
        (
            ((2.0, sag), (long - 2.0, sag), (long, 0.0)),
            ((long - 2.0, sag + 1.2), (2.0, sag + 1.2), (0.0, 0.0)),
        ),
        0.0,
        "tie",
    )


def _beams(areas: list[float], beams: tuple[Beam, ...], columns: Columns, foot: float) -> None:
    edge = style.STEM / 2
    low = foot - style.BEAM
    for level, at, other, how in beams:
        x, x2 = columns[at], columns[other]
        if how == WHOLE:
            left, right = x - edge, x2 + edge
        elif how == LEFT:
            left, right = max(x - 4.5, (x + x2) / 2), x + edge
        else:
            left, right = x - edge, min(x + 4.5, (x + x2) / 2)
        areas += (left, low - (style.BEAM + 1.5) * level, right - left, style.BEAM)


TRIPLET_ROOM = 9.5


def _triplet(ink: Ink, x1: float, x2: float, beamed: bool, foot: float) -> None:
    middle = (x1 + x2) / 2
    ink.text(TRIPLET, middle - halves.triplet["3"], foot + 8.2, "3")
    if not beamed and x2 - x1 > 6:
        strokes = ink.strokes(BRACKET)
        y = foot + 5.2
        for a, b, end in ((x1 - 2, middle - 4, x1 - 2), (middle + 4, x2 + 3, x2 + 3)):
            if b > a:
                strokes += (a, y, b, y)
            strokes += (end, y, end, y - 2.4)


PICK_STEP = 7.6


def picks(ink: Ink, row: Row) -> None:
    """Pick fingers, that on the highest string first."""
    places: list[float] = []
    words: list[str] = []
    first = row.bands.picks - row.bands.top
    halves_of = halves.pick
    for m, columns in zip(row.measures, row.columns, strict=True):
        for at, above, pick in threes(m.fit.picks):
            places += (columns[at] - halves_of[pick], first + above * PICK_STEP)
            words.append(pick)
    ink.add_texts(PICK, places, words)
