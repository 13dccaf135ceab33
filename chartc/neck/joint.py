"""Joints: whether both hands get from the end of one passage to the beginning of another, for many passages at once.

The same model as in `hand`, over arrays: rows are passages that end, columns are passages that begin.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from chartc.neck.hand import PICKS, ROUNDING_MS, Form, Grip, Limits, Reach
from chartc.neck.instrument import Instrument

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]

IMPOSSIBLE = np.inf
"""The strain of a join that cannot be played."""

_FINGERS = "imrpt"


@dataclass(frozen=True, eq=False)
class Ends:
    """Both ends of many passages as arrays, an entry (a row) for each. Strokes are -1 where a finger does not play; where every string
    is open, `frets_first` or `frets_last` is false and the numbers beside it mean nothing."""

    first: Ints
    last: Ints
    frets_first: Mask
    frets_last: Mask
    enter: Ints
    low: Ints
    high: Ints
    enter_at: Ints
    enter_form: Ints
    leave: Ints
    leave_at: Ints
    leave_form: Ints

    def take(self, index: Ints) -> Ends:
        """Some of the passages."""
        return Ends(*(getattr(self, f.name)[index] for f in fields(self)))


def ends(grips: Sequence[Grip]) -> Ends:
    """The ends of passages."""

    def ints(values: Iterable[int]) -> Ints:
        return np.fromiter(values, dtype=np.int64, count=len(grips))

    entries = [g.entry or _NOWHERE for g in grips]
    exits = [g.exit or _NOWHERE for g in grips]
    return Ends(
        np.array([g.first for g in grips], dtype=np.int64).reshape(-1, 3),
        np.array([g.last for g in grips], dtype=np.int64).reshape(-1, 3),
        np.array([g.entry is not None for g in grips], dtype=bool),
        np.array([g.exit is not None for g in grips], dtype=bool),
        ints(r.position for r in entries),
        ints(r.low for r in entries),
        ints(r.high for r in entries),
        ints(r.at for r in entries),
        ints(_bits(r.form) for r in entries),
        ints(r.position for r in exits),
        ints(r.at for r in exits),
        ints(_bits(r.form) for r in exits),
    )


_NOWHERE = Reach(1, 1, 1, frozenset(), 0)


@lru_cache(maxsize=4096)
def _bits(form: Form) -> int:
    """A form as a number: one bit for each string and finger."""
    return sum(1 << (string * 5 + _FINGERS.index(finger)) for string, finger in form)


def strain(
    before: Ends, after: Ends, length: int, gap: int, instrument: Instrument, limits: Limits, ms_per_tick: float
) -> Floats:
    """How hard it is to go from each passage in `before`, `length` ticks long, to each in `after`, with `gap` ticks between.

    0 where there is time to spare, rising to 1 where the time just suffices, IMPOSSIBLE where it does not.
    """
    return np.maximum(
        _picking(before, after, length + gap, limits, ms_per_tick),
        _fretting(before, after, length + gap, instrument, limits, ms_per_tick),
    )


def problem(a: Grip, b: Grip, length: int, gap: int, instrument: Instrument, limits: Limits, ms_per_tick: float) -> str:
    """What cannot be played in one join, in words; empty where all can."""
    before, after = ends([a]), ends([b])
    if _picking(before, after, length + gap, limits, ms_per_tick)[0, 0] == IMPOSSIBLE:
        for n, finger in enumerate(PICKS):
            between = (length + gap - a.last[n] + b.first[n]) * ms_per_tick
            if a.last[n] >= 0 and b.first[n] >= 0 and between < limits.pick_ms + ROUNDING_MS:
                return f"{finger} would strike twice within {limits.pick_ms:g} ms"
        return "it is faster than the player's fastest notes"
    if _fretting(before, after, length + gap, instrument, limits, ms_per_tick)[0, 0] == IMPOSSIBLE:
        assert a.exit and b.entry
        return f"there is no time to shift from fret {a.exit.position} to fret {b.entry.position}"
    return ""


def _picking(before: Ends, after: Ends, length: int, limits: Limits, ms_per_tick: float) -> Floats:
    """One pick finger does not strike again too soon; a little later it can, unevenly."""
    least = np.full((len(before.last), len(after.first)), np.inf)
    for n in range(3):
        last, first = before.last[:, n, None], after.first[None, :, n]
        between = np.where((last >= 0) & (first >= 0), (length - last + first) * ms_per_tick, np.inf)
        least = np.minimum(least, between)
    if limits.run_ms:
        end, start = before.last.max(axis=1), np.where(after.first >= 0, after.first, length).min(axis=1)
        between = (length - end[:, None] + start[None, :]) * ms_per_tick
        least = np.where((end >= 0)[:, None] & (between < limits.run_ms), 0.0, least)
    uneven = np.where(least < limits.even_ms, 0.5, 0.0)
    return np.where(least < limits.pick_ms + ROUNDING_MS, IMPOSSIBLE, uneven)


def _fretting(
    before: Ends, after: Ends, length: int, instrument: Instrument, limits: Limits, ms_per_tick: float
) -> Floats:
    """The hand has from the release of its last fretted note to the next one; it needs the time of its shift, if it must shift."""
    mm = np.array(instrument.fret_mm)
    start, low = before.leave[:, None], after.low[None, :]
    guided = (before.leave_form[:, None] & after.enter_form[None, :]) != 0
    span = mm[after.high][None, :] - mm[np.maximum(1, np.minimum(start, low))]
    reached = (low >= start - 1) & (span <= limits.comfortable_mm)
    have = (length - before.leave_at[:, None] + after.enter_at[None, :]) * ms_per_tick - limits.release_ms
    target = np.maximum(1, after.enter)
    distance = np.abs(mm[target][None, :] - mm[np.maximum(1, before.leave)][:, None])
    slope = np.where(guided, limits.guided_ms, limits.shift_ms)
    need = slope * np.log2(distance / (mm[target] - mm[target - 1])[None, :] + 1)
    # below four fifths of the time at hand a move is comfortable and costs nothing
    with np.errstate(divide="ignore", invalid="ignore"):
        effort = np.clip((need / have - 0.8) * 5, 0.0, 1.0)
    effort = np.where((have <= 0) | (need > have), IMPOSSIBLE, effort)
    # a hand that has no fret to leave, or none to reach, has nothing to do
    idle = reached | ~before.frets_last[:, None] | ~after.frets_first[None, :]
    return np.where(idle, 0.0, effort)
