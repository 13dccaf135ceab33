"""Joints: whether both hands get from the end of one passage to the beginning of another, for many passages at once.

The same model as in `hand`, over arrays: rows are passages that end, columns are passages that begin.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from chartc.neck.hand import PICKS, ROUNDING_MS, Form, Grip, Limits
from chartc.neck.instrument import Instrument

Floats = npt.NDArray[np.float64]

IMPOSSIBLE = np.inf
"""The strain of a join that cannot be played."""

_FINGERS = "imrpt"


def strain(
    before: Sequence[Grip],
    after: Sequence[Grip],
    length: int,
    gap: int,
    instrument: Instrument,
    limits: Limits,
    ms_per_tick: float,
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
    if _picking([a], [b], length + gap, limits, ms_per_tick)[0, 0] == IMPOSSIBLE:
        for n, finger in enumerate(PICKS):
            between = (length + gap - a.last[n] + b.first[n]) * ms_per_tick
            if a.last[n] >= 0 and b.first[n] >= 0 and between < limits.pick_ms + ROUNDING_MS:
                return f"{finger} would strike twice within {limits.pick_ms:g} ms"
        return "it is faster than the player's fastest notes"
    if _fretting([a], [b], length + gap, instrument, limits, ms_per_tick)[0, 0] == IMPOSSIBLE:
        assert a.exit and b.entry
        return f"there is no time to shift from fret {a.exit.position} to fret {b.entry.position}"
    return ""


def _picking(before: Sequence[Grip], after: Sequence[Grip], length: int, limits: Limits, ms_per_tick: float) -> Floats:
    """One pick finger does not strike twice too soon; a little later it can, unevenly."""
    last = np.array([g.last for g in before], dtype=np.int64).reshape(-1, 1, 3)
    first = np.array([g.first for g in after], dtype=np.int64).reshape(1, -1, 3)
    between = (length - last + first) * ms_per_tick
    between = np.where((last >= 0) & (first >= 0), between, np.inf).min(axis=2)
    if limits.run_ms:
        end, start = last.max(axis=2), np.where(first >= 0, first, length).min(axis=2)
        too_fast = (end >= 0) & ((length - end + start) * ms_per_tick < limits.run_ms)
        between = np.where(too_fast, 0.0, between)
    uneven = np.where(between < limits.even_ms, 0.5, 0.0)
    return np.where(between < limits.pick_ms + ROUNDING_MS, IMPOSSIBLE, uneven)


def _bits(form: Form) -> int:
    """A form as a number: one bit for each string and finger."""
    return sum(1 << (string * 5 + _FINGERS.index(finger)) for string, finger in form)


def _fretting(
    before: Sequence[Grip],
    after: Sequence[Grip],
    length: int,
    instrument: Instrument,
    limits: Limits,
    ms_per_tick: float,
) -> Floats:
    """The hand has from the release of its last fretted note to the next one; it needs the time of its shift, if it must shift."""
    mm = np.array(instrument.fret_mm)

    def ints(values: list[int]) -> npt.NDArray[np.int64]:
        return np.array(values, dtype=np.int64)

    # a hand that has no fret to leave, or none to reach, has nothing to do
    away = np.array([g.exit is not None for g in before])
    here = np.array([g.entry is not None for g in after])
    start = ints([g.exit.position if g.exit else 1 for g in before])[:, None]
    left = ints([g.exit.at if g.exit else 0 for g in before])[:, None]
    end = ints([g.entry.position if g.entry else 1 for g in after])[None, :]
    low = ints([g.entry.low if g.entry else 1 for g in after])[None, :]
    high = ints([g.entry.high if g.entry else 1 for g in after])[None, :]
    arrives = ints([g.entry.at if g.entry else 0 for g in after])[None, :]
    guided = (
        ints([_bits(g.exit.form) if g.exit else 0 for g in before])[:, None]
        & ints([_bits(g.entry.form) if g.entry else 0 for g in after])[None, :]
    ) != 0
    reached = (low >= start - 1) & (mm[high] - mm[np.maximum(1, np.minimum(start, low))] <= limits.comfortable_mm)
    have = (length - left + arrives) * ms_per_tick - limits.release_ms
    target = np.maximum(1, end)
    distance = np.abs(mm[target] - mm[np.maximum(1, start)])
    slope = np.where(guided, limits.guided_ms, limits.shift_ms)
    need = slope * np.log2(distance / (mm[target] - mm[target - 1]) + 1)
    # below four fifths of the time at hand a move is comfortable and costs nothing
    with np.errstate(divide="ignore", invalid="ignore"):
        effort = np.clip((need / have - 0.8) * 5, 0.0, 1.0)
    effort = np.where((have <= 0) | (need > have), IMPOSSIBLE, effort)
    idle = reached | ~away[:, None] | ~here[None, :]
    return np.where(idle, 0.0, effort)
