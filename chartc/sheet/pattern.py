"""What a measure's rhythm asks for beneath the staff: stems, beams, flags, dots, ties, triplets. Measures of one rhythm share it; only
where the columns stand differs. Lengths in ticks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from chartc.sheet import rhythm
from chartc.sheet.rhythm import Piece, Value
from chartc.sheet.stamp import threes
from chartc.theory.meter import Meter

Spans = tuple[int, ...]
"""Onset, length, and whether it is a rest, of one after the other."""

Beam = tuple[int, int, int, int]
"""Its level from 0 for the lowest, the ticks of the two columns that it is drawn by, and how: `WHOLE`, `LEFT` or `RIGHT`."""
WHOLE, LEFT, RIGHT = 0, 1, 2
"""A beam from the first column to the second; a stub that ends at the first, towards the second on its left; one that begins there."""


@dataclass(slots=True, eq=False)
class Pattern:
    """A rhythm; never changed. Columns are named by their ticks.

    `ats` are the columns and the measure's start, `weights` how the distances from each to the next share further room, `leasts` how short they are at least; `lefts` and
    `rights` how far the signs of a column reach at least to the left and right, in points; `stems` has (column, whether short);
    `flags` and `dots` how many a column has; `ties` (column, the column before, whether that one has a dot); `triplets` (first and last
    column, whether on a beam of their own); `rests` (column, order and dots of its value, whether it fills the measure). `beams_most` is how many beams lie
    above one another at the most; after the tick `busy` the player has time: a rest follows, or a note that is held.
    """

    ats: tuple[int, ...]
    weights: tuple[float, ...]
    leasts: tuple[float, ...]
    lefts: dict[int, float]
    rights: dict[int, float]
    stems: tuple[tuple[int, bool], ...]
    flags: tuple[tuple[int, int], ...]
    dots: tuple[tuple[int, int], ...]
    ties: tuple[tuple[int, int, bool], ...]
    beams: tuple[Beam, ...]
    triplets: tuple[tuple[int, int, bool], ...]
    rests: tuple[tuple[int, int, int, bool], ...]
    beams_most: int
    triplet_values: bool
    silent: bool
    busy: int


@lru_cache(maxsize=1024)
def pattern(spans: Spans, count: int, unit: int, ticks: int, pickup: bool) -> Pattern:
    """The rhythm of a measure `ticks` long whose notes and rests are `spans`; its meter is `count`/`unit`."""
    meter = Meter(count, unit)
    beat = meter.beat
    offset = meter.ticks - ticks if pickup else 0
    pieces: list[Piece] = []
    for at, length, rest in sorted(threes(spans)):
        if rest and at == 0 and length == ticks and not pickup:
            pieces.append(Piece(0, length, Value(0), True))  # a whole rest fills any measure
        else:
            pieces += rhythm.pieces(at, length, beat, offset, rest)
    groups = rhythm.groups(pieces, meter, offset)
    beamed = {i for g in groups for i in g}
    lefts: dict[int, float] = {}
    rights: dict[int, float] = {}
    stems, flags, dots, ties, rests = [], [], [], [], []
    beams_most = busy = 0
    triplets = False
    for i, p in enumerate(pieces):
        at, value = p.at, p.value
        order, dotted = value.order, value.dots
        if p.rest:
            lefts[at] = 4.5 + 1.5 * (order - 3) if order > 3 else 4.5
            rights[at] = 4.5 + 2.5 * dotted
            rests.append((at, order, dotted, at == 0 and p.ticks == ticks and not pickup))
            triplets = triplets or value.triplet
            continue
        if order > 2:
            busy = at
            rights[at] = FLAGGED
            stems.append((at, False))
            if order - 2 > beams_most:
                beams_most = order - 2
            if i not in beamed:
                flags.append((at, order - 2))
        else:
            busy = at if order == 2 else at + p.ticks // 2
            rights[at] = 0.0
            if order:
                stems.append((at, order == 1))
        if dotted:
            rights[at] = DOTTED
            dots.append((at, dotted))
        if value.triplet:
            triplets = True
        if p.tied:
            ties.append((at, pieces[i - 1].at, bool(pieces[i - 1].value.dots)))
    if beams_most > 1:
        beams = [beam for g in groups for beam in _beams([pieces[i] for i in g], beat, offset)]
    else:
        beams = [(0, pieces[g[0]].at, pieces[g[-1]].at, WHOLE) for g in groups]
    columns = sorted(rights)
    ats = tuple(columns) if columns and not columns[0] else (0, *columns)
    weights = weights_of(ats, ticks)
    return Pattern(
        ats,
        weights,
        leasts_of(weights),
        lefts,
        rights,
        tuple(stems),
        tuple(flags),
        tuple(dots),
        tuple(ties),
        tuple(beams),
        tuple([(pieces[t[0]].at, pieces[t[-1]].at, t in groups) for t in rhythm.triplets(pieces)]) if triplets else (),
        tuple(rests),
        beams_most,
        triplets,
        len(rests) == len(pieces),
        busy,
    )


DOTTED, FLAGGED = 6.6, 5.2
"""How far a note's dot, and its flag or beam, reach to the right of the column."""


def weights_of(ats: tuple[int, ...], ticks: int) -> tuple[float, ...]:
    """How much of a row's further room each column's distance to the next gets, or to the end of the measure `ticks` long."""
    return tuple([_weight(end - at) for at, end in pairwise([*ats, ticks])])


LEAST_GAP = 8.0
"""The least distance from column to column, in points."""
WEIGHED = 11.0
"""The same times its weight: what lasts longer has more room in any case."""


def leasts_of(weights: tuple[float, ...]) -> tuple[float, ...]:
    """The least distances from column to column for their weights."""
    return tuple([WEIGHED * w if w * WEIGHED > LEAST_GAP else LEAST_GAP for w in weights])


@cache
def _weight(ticks: int) -> float:
    return float(max(0.3, (ticks / 240) ** 0.6))


def _beams(row: list[Piece], beat: int, offset: int) -> list[Beam]:
    """The beams of one group: the lowest through all of it, the others beat by beat."""
    out: list[Beam] = [(0, row[0].at, row[-1].at, WHOLE)]
    for level in range(2, max([p.value.order for p in row]) - 1):
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
                out.append((level - 1, row[i].at, row[j].at, WHOLE))
            elif i > 0:
                out.append((level - 1, row[i].at, row[i - 1].at, LEFT))
            else:
                out.append((level - 1, row[i].at, row[i + 1].at, RIGHT))
            i = j + 1
    return out
