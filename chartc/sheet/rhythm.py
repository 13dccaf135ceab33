"""Note values: which sign a length has, where it is split with a tie, what is beamed together. Lengths in ticks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from chartc.theory.meter import DIVISION, WHOLE, Meter


@dataclass(frozen=True, slots=True)
class Value:
    """A note value: `order` is 0 for a whole note, 1 for a half, 2 for a quarter, 3 for an eighth and so on."""

    order: int
    dots: int = 0
    triplet: bool = False

    @property
    def beams(self) -> int:
        """Beams or flags."""
        return max(0, self.order - 2)


VALUES: dict[int, Value] = {
    **{WHOLE >> n: Value(n) for n in range(6)},
    **{(WHOLE >> n) * 3 // 2: Value(n, 1) for n in range(5)},
    **{(WHOLE >> n) * 2 // 3: Value(n, 0, True) for n in range(1, 5)},
}


@dataclass(frozen=True, slots=True)
class Piece:
    """One sign: a note, a rest, or a note's part after a tie (`tied`)."""

    at: int
    ticks: int
    value: Value
    rest: bool = False
    tied: bool = False

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.at + self.ticks


@lru_cache(maxsize=4096)
def pieces(at: int, ticks: int, beat: int, offset: int = 0, rest: bool = False) -> tuple[Piece, ...]:
    """A length as signs: one where one will do, else split at beats. `offset` is where in a full measure tick 0 lies."""
    out: list[Piece] = []
    end = at + ticks
    while at < end:
        left = end - at
        step = left if left in VALUES else 0
        if not step:
            first = beat - (at + offset) % beat
            cuts = range(first, left, beat)
            # no cut at a beat makes a sign: the largest sign that fits, and as a last resort the smallest of all
            step = max((c for c in cuts if c in VALUES), default=0)
            step = step or max((v for v in VALUES if v < left and not VALUES[v].triplet), default=left)
        out.append(Piece(at, step, VALUES.get(step, Value(5)), rest, bool(out) and not rest))
        at += step
    return tuple(out)


def groups(row: Sequence[Piece], meter: Meter, offset: int = 0) -> tuple[tuple[int, ...], ...]:
    """Indexes of the pieces that hang on one beam, each group two at least.

    Eighths alone are joined by the half measure in 4/4 and by the measure in 2/4; anything shorter by the beat; nothing
    crosses the middle of a measure."""
    beat = wide = _beam_beat(meter)
    if meter.unit == 4 and meter.count in (2, 4) and beat == DIVISION:
        wide = 2 * DIVISION
    beamed = [(n, p.at + offset, p.ticks) for n, p in enumerate(row) if p.value.order > 2 and not p.rest]
    mixed: set[int] = set()
    if wide != beat:
        # stretches in which something is beamed, or rests, that is no plain eighth
        odd = [p for p in row if p.value.order > 3 or (p.value.order == 3 and (p.value.dots or p.value.triplet))]
        mixed = {(p.at + offset) // wide for p in odd}
    out: list[list[int]] = []
    home = last = -1
    for index, start, ticks in beamed:
        here = start // wide
        own = here * 2 if wide != beat and here not in mixed else start // beat * 2 + 1
        if own == home and start == last:
            out[-1].append(index)
        else:
            out.append([index])
        home, last = own, start + ticks
    return tuple([tuple(g) for g in out if len(g) > 1])


def _beam_beat(meter: Meter) -> int:
    if meter.compound:
        return meter.beat
    return DIVISION if meter.unit >= 4 else WHOLE // meter.unit


def triplets(row: Sequence[Piece]) -> tuple[tuple[int, ...], ...]:
    """Indexes of the pieces under one 3: from the first triplet value until the lengths make an eighth, quarter or half."""
    out: list[tuple[int, ...]] = []
    group: list[int] = []
    total = 0
    for index, p in enumerate(row):
        if not p.value.triplet:
            if group:
                out.append(tuple(group))
            group, total = [], 0
            continue
        group.append(index)
        total += p.ticks
        if total % (DIVISION // 2) == 0:
            out.append(tuple(group))
            group, total = [], 0
    if group:
        out.append(tuple(group))
    return tuple(out)
