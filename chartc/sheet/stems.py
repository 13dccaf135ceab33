"""Beneath the staff: stems, beams, flags, dots, ties, triplets and pick fingers. Coordinates in points."""

from __future__ import annotations

from chartc.sheet import rhythm, style
from chartc.sheet.marks import Block, Line, Mark, Path, centred, dot
from chartc.sheet.measure import Measured
from chartc.sheet.rhythm import Piece


def stem_foot(m: Measured) -> float:
    """How far beneath the staff the stems of a measure must reach, so that many beams keep clear of crosses and ties."""
    beams = max((p.value.beams for p in m.pieces if not p.rest), default=0)
    crowded = any(p.tied for p in m.pieces) or any(n.how == "damped" for notes in m.notes.values() for n in notes)
    room = 11.3 if crowded else 7.0
    return max(style.STEM_FOOT, room + style.BEAM * beams + 1.5 * (beams - 1), room + 4.3 + 2.6 * (beams - 1))


def stems(m: Measured, columns: dict[int, float], bottom: float, deep: float) -> list[Mark]:
    """Everything that tells the rhythm of one measure; `bottom` is the y of the staff's last line, `deep` how far beneath it the stems
    reach."""
    measure = m.measure
    offset = measure.meter.ticks - measure.ticks if measure.pickup else 0
    groups = rhythm.groups(m.pieces, measure.meter, offset)
    beamed = {i for g in groups for i in g}
    foot = bottom + deep
    out: list[Mark] = []
    for i, p in enumerate(m.pieces):
        if p.rest:
            continue
        x = columns[p.at]
        top = bottom + style.STEM_TOP
        if any(n.how == "damped" for n in m.notes.get(p.at, ())):
            out += _cross(x, top + 2.4)
            top += 2.4
        if p.value.order == 1:
            out.append(Line(x, top, x, max(top + 2.5, bottom + style.HALF_FOOT), style.STEM, "stem"))
        elif p.value.order >= 2:
            out.append(Line(x, top, x, foot, style.STEM, "stem"))
            if i not in beamed:
                out += [_flag(x, foot - 2.6 * n) for n in range(p.value.beams)]
        for n in range(p.value.dots):
            out.append(dot(x + 4.9 + 2.4 * n, bottom + style.STEM_TOP + 2.0, 1.15, "dot"))
        if p.tied:
            before = m.pieces[i - 1]
            damped = any(n.how == "damped" for n in m.notes.get(before.at, ()))
            start = columns[before.at] + (7.2 if before.value.dots else 3.2 if damped else 1.6)
            out.append(_tie(start, x - 1.6, bottom + style.STEM_TOP + 0.8))
    for group in groups:
        out += _beams([m.pieces[i] for i in group], columns, foot, measure.meter.beat, offset)
    for triple in rhythm.triplets(m.pieces):
        out += _triplet(m, triple, triple in groups, columns, foot)
    return out


def _cross(x: float, y: float) -> list[Mark]:
    r = 2.3
    return [Line(x - r, y - r, x + r, y + r, 1.0, "damp"), Line(x - r, y + r, x + r, y - r, 1.0, "damp")]


def _flag(x: float, y: float) -> Mark:
    return Path((x, y), (((x + 0.6, y - 1.8), (x + 4.0, y - 1.9), (x + 3.8, y - 4.3)),), 1.1, "flag")


def _tie(x1: float, x2: float, y: float) -> Mark:
    sag = 2.6
    return Path(
        (x1, y),
        (
            ((x1 + 2, y + sag), (x2 - 2, y + sag), (x2, y)),
            ((x2 - 2, y + sag + 1.2), (x1 + 2, y + sag + 1.2), (x1, y)),
        ),
        0.0,
        "tie",
    )


def _beams(row: list[Piece], columns: dict[int, float], foot: float, beat: int, offset: int) -> list[Mark]:
    half = style.STEM / 2
    xs = [columns[p.at] for p in row]
    out: list[Mark] = [_beam(xs[0] - half, xs[-1] + half, foot)]
    for level in range(2, max(p.value.beams for p in row) + 1):
        y = foot - (style.BEAM + 1.5) * (level - 1)
        i = 0
        while i < len(row):
            if row[i].value.beams < level:
                i += 1
                continue
            j = i
            while (
                j + 1 < len(row)
                and row[j + 1].value.beams >= level
                and (row[j + 1].at + offset) // beat == (row[i].at + offset) // beat
            ):
                j += 1
            if j > i:
                out.append(_beam(xs[i] - half, xs[j] + half, y))
            elif i > 0:
                out.append(_beam(max(xs[i] - 4.5, (xs[i] + xs[i - 1]) / 2), xs[i] + half, y))
            else:
                out.append(_beam(xs[i] - half, min(xs[i] + 4.5, (xs[i] + xs[i + 1]) / 2), y))
            i = j + 1
    return out


def _beam(x1: float, x2: float, foot: float) -> Mark:
    return Block(x1, foot - style.BEAM, x2 - x1, style.BEAM, "beam")


TRIPLET_ROOM = 9.5


def _triplet(m: Measured, group: tuple[int, ...], beamed: bool, columns: dict[int, float], foot: float) -> list[Mark]:
    x1, x2 = columns[m.pieces[group[0]].at], columns[m.pieces[group[-1]].at]
    middle = (x1 + x2) / 2
    out: list[Mark] = [centred(middle, foot + 8.2, "3", "italic", 9.0, "triplet")]
    if not beamed and x2 - x1 > 6:
        y = foot + 5.2
        for a, b, end in ((x1 - 2, middle - 4, x1 - 2), (middle + 4, x2 + 3, x2 + 3)):
            if b > a:
                out.append(Line(a, y, b, y, style.THIN, "bracket"))
            out.append(Line(end, y, end, y - 2.4, style.THIN, "bracket"))
    return out


def picks(m: Measured, columns: dict[int, float], y: float) -> list[Mark]:
    """Pick fingers; `y` is the first baseline, the finger on the highest string stands first."""
    out: list[Mark] = []
    for at, notes in m.notes.items():
        struck = [n for n in notes if n.pick]
        for k, n in enumerate(struck):
            out.append(centred(columns[at], y + k * PICK_STEP, n.pick or "", "regular", style.PICK, "pick"))
    return out


PICK_STEP = 7.6


def pick_rows(m: Measured) -> int:
    """How many pick fingers stand beneath one another in the measure."""
    return max((sum(1 for n in notes if n.pick) for notes in m.notes.values()), default=0)
