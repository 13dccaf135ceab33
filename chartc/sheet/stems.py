"""Beneath the staff: stems, beams, flags, dots, ties, triplets and pick fingers. Coordinates in points from the staff's first line."""

from __future__ import annotations

from chartc.sheet import halves, style
from chartc.sheet.fit import Fit
from chartc.sheet.marks import dot
from chartc.sheet.pattern import LEFT, WHOLE
from chartc.sheet.stamp import Ink, LineStyle, Shape, TextStyle, shape_of, threes

STEM = LineStyle("stem", style.STEM)
CROSS = LineStyle("damp", 1.0)
BRACKET = LineStyle("bracket", style.THIN)
PICK = TextStyle("regular", style.PICK, "pick")
TRIPLET = TextStyle("italic", style.TRIPLET, "triplet")

FLAG = Shape((0.0, 0.0), (((0.6, -1.8), (4.0, -1.9), (3.8, -4.3)),), 1.1, "flag")
DOT = shape_of(dot(0.0, 0.0, 1.15, "dot"))


def stems(ink: Ink, fit: Fit, columns: dict[int, float], deep: float) -> None:
    """Everything that tells the rhythm of one measure; `deep` is how far beneath the staff the stems reach."""
    pattern, damped = fit.pattern, fit.damped
    top = style.STAFF_HEIGHT + style.STEM_TOP
    foot = style.STAFF_HEIGHT + deep
    if damped:
        crosses = ink.strokes(CROSS)
        for at in damped:
            x, y, r = columns[at], top + 2.4, 2.3
            crosses += (x - r, y - r, x + r, y + r, x - r, y + r, x + r, y - r)
    strokes = ink.strokes(STEM) if pattern.stems else []
    for at, short in pattern.stems:
        x = columns[at]
        head = top + 2.4 if at in damped else top
        strokes += (x, head, x, max(head + 2.5, style.STAFF_HEIGHT + style.HALF_FOOT) if short else foot)
    if pattern.beams:
        _beams(ink, fit, columns, foot)
    for at, count in pattern.flags:
        for n in range(count):
            ink.shape(FLAG, columns[at], foot - 2.6 * n)
    for at, count in pattern.dots:
        for n in range(count):
            ink.shape(DOT, columns[at] + 4.9 + 2.4 * n, top + 2.0)
    for at, before, dotted in pattern.ties:
        start = columns[before] + (7.2 if dotted else 3.2 if before in damped else 1.6)
        ink.shape(_tie(columns[at] - 1.6 - start), start, top + 0.8)
    for first, last, beamed in pattern.triplets:
        _triplet(ink, columns[first], columns[last], beamed, foot)


def _tie(long: float) -> Shape:
    sag = 2.6
    return Shape(
        (0.0, 0.0),
        (
            ((2.0, sag), (long - 2.0, sag), (long, 0.0)),
            ((long - 2.0, sag + 1.2), (2.0, sag + 1.2), (0.0, 0.0)),
        ),
        0.0,
        "tie",
    )


def _beams(ink: Ink, fit: Fit, columns: dict[int, float], foot: float) -> None:
    areas = ink.areas("beam")
    edge = style.STEM / 2
    low = foot - style.BEAM
    for level, at, other, how in fit.pattern.beams:
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


def picks(ink: Ink, fit: Fit, columns: dict[int, float], y: float) -> None:
    """Pick fingers; `y` is the first baseline, the finger on the highest string stands first."""
    if not fit.picks:
        return
    places, words = ink.words(PICK)
    halves_of = halves.pick
    for at, above, pick in threes(fit.picks):
        places += (columns[at] - halves_of[pick], y + above * PICK_STEP)
        words.append(pick)
