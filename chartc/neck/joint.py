"""Joints: whether both hands get from the end of one passage to the beginning of another, for many passages at once.

The same model as in `hand`, over arrays: rows are passages that end, columns are passages that begin.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Self

import numpy as np
import numpy.typing as npt

from chartc.neck.hand import GUIDED_FRETS, PICKS, ROUNDING_MS, Form, Grip, Limits, Reach, leap_ms
from chartc.neck.instrument import Instrument

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int32]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

IMPOSSIBLE = np.inf
"""The strain of a join that cannot be played."""

_FINGERS = "imrpt"

_STRINGS = 6
# strings whose fingers fit in one number of 32 bits; no instrument has more than twice as many

_INDEX = sum(1 << string * len(_FINGERS) for string in range(_STRINGS))
# the bits of the index finger on any of them

_NEVER_AGAIN = 32_000
# ticks to a stroke that does not come, or that comes late enough

_EASY = 0.8
# a move that takes no more than this share of the time at hand costs nothing

_ROUNDING = 1e-5

_NO_TIME_MS, _LEAST_MS = 1e-6, 1e-3
# no time at all, and the least that a move takes: with no time nothing can be reached


class Row:
    """A row of a table of numbers, under a name."""

    def __init__(self, number: int) -> None:
        self._number = number

    def __get__(self, of: Tabled, _: type | None = None) -> Ints:
        found: Ints = of.table[..., self._number, :]
        return found


@dataclass(frozen=True, eq=False)
class Tabled:
    """Numbers of many things: a row for each kind of number, a column for each thing; several groups of as many things have an axis
    more in front."""

    table: Ints

    @classmethod
    def stack(cls, some: Sequence[Self]) -> Self:
        """Groups of as many things each."""
        return cls(np.stack([t.table for t in some]))

    def take(self, index: Index) -> Self:
        """Some of the things."""
        return type(self)(self.table[..., index])


class Ends(Tabled):
    """Both ends of many passages. Strokes, in the order of PICKS, are -1 where a finger does not play; where every string is open,
    `frets_first` or `frets_last` is 0 and the numbers beside it mean nothing."""

    frets_first, frets_last = Row(6), Row(7)
    enter, low, high, enter_at, enter_form = Row(8), Row(9), Row(10), Row(11), Row(12)
    leave, leave_at, leave_form = Row(13), Row(14), Row(15)
    enter_form_beyond, leave_form_beyond = Row(16), Row(17)
    """The same for an instrument's strings beyond the sixth."""

    def first(self, n: int) -> Ints:
        """The first stroke of a pick finger, in ticks from the passage's start."""
        return self.table[..., n, :]

    def last(self, n: int) -> Ints:
        """The last stroke of a pick finger."""
        return self.table[..., 3 + n, :]


ENDS = 18
"""Rows of a table of ends."""


def ends(grips: Sequence[Grip]) -> Ends:
    """The ends of passages."""
    entries = [g.entry or _NOWHERE for g in grips]
    exits = [g.exit or _NOWHERE for g in grips]
    rows = [
        *zip(*(g.first for g in grips), strict=True),
        *zip(*(g.last for g in grips), strict=True),
        [g.entry is not None for g in grips],
        [g.exit is not None for g in grips],
        [r.position for r in entries],
        [r.low for r in entries],
        [r.high for r in entries],
        [r.at for r in entries],
        [_bits(r.form, 1) for r in entries],
        [r.position for r in exits],
        [r.at for r in exits],
        [_bits(r.form, 1) for r in exits],
        [_bits(r.form, 1 + _STRINGS) for r in entries],
        [_bits(r.form, 1 + _STRINGS) for r in exits],
    ]
    return Ends(np.array(rows, dtype=np.int32))


_NOWHERE = Reach(1, 1, 1, frozenset(), 0)


@lru_cache(maxsize=4096)
def _bits(form: Form, string: int) -> int:
    """A form on a few strings from this one on as a number: one bit for each string and finger."""
    on = [(s - string, finger) for s, finger in form if string <= s < string + _STRINGS]
    return sum(1 << (s * len(_FINGERS) + _FINGERS.index(finger)) for s, finger in on)


@dataclass(frozen=True, eq=False)
class Meeting:
    """How passages that end meet passages that begin, at any speed: a row for each that ends, a column for each that begins.

    `strokes` are the least ticks between two strokes of one pick finger, `runs` those between two strokes of any (None where no limit is
    set to them), `hand_ticks` what lies between the last fretted note and the first; `need_ms` is how long the hand's
    move takes, 0 where there is nothing to do.
    """

    strokes: npt.NDArray[np.int16]
    runs: npt.NDArray[np.int16] | None
    hand_ticks: npt.NDArray[np.int16]
    need_ms: npt.NDArray[np.float32]

    def group(self, n: int) -> Meeting:
        """One group of several."""
        runs = None if self.runs is None else self.runs[n].copy()
        return Meeting(self.strokes[n].copy(), runs, self.hand_ticks[n].copy(), self.need_ms[n].copy())

    @classmethod
    def of(cls, some: Sequence[Meeting]) -> Meeting:
        """Several meetings in a row."""
        if len(some) == 1:
            return some[0]
        runs = [m.runs.ravel() for m in some if m.runs is not None]
        return Meeting(
            np.concatenate([m.strokes.ravel() for m in some]),
            np.concatenate(runs) if runs else None,
            np.concatenate([m.hand_ticks.ravel() for m in some]),
            np.concatenate([m.need_ms.ravel() for m in some]),
        )


def meeting(before: Ends, after: Ends, ticks: int | Ints, instrument: Instrument, limits: Limits) -> Meeting:
    """How each passage in `before` meets each in `after`, which begins so many ticks after the other has begun. Where the passages come in
    several groups (arrays with one more axis, in front), `ticks` is a column with a number for each group."""
    never = np.int32(_NEVER_AGAIN)
    strokes: npt.NDArray[np.int32] | None = None
    for n in range(3):
        last, first = before.last(n), after.first(n)
        end = np.where(last >= 0, np.minimum(ticks - last, never), never)
        between = end[..., :, None] + np.where(first >= 0, first, never)[..., None, :]
        strokes = between if strokes is None else np.minimum(strokes, between, out=strokes)
    assert strokes is not None
    runs = None
    if limits.run_ms:
        last = np.max([before.last(n) for n in range(3)], axis=0)
        first = np.min([np.where(after.first(n) >= 0, after.first(n), never) for n in range(3)], axis=0)
        first = np.where(first == never, ticks, first)
        runs = _short(np.where(last >= 0, ticks - last, never)[..., :, None] + first[..., None, :])
    hand_ticks = (ticks - before.leave_at).astype(np.int32)[..., :, None] + after.enter_at.astype(np.int32)[
        ..., None, :
    ]
    need = _need(before, after, instrument, limits)
    return Meeting(_short(strokes), runs, _short(hand_ticks), need)


def _short(ticks: npt.NDArray[np.signedinteger]) -> npt.NDArray[np.int16]:
    """Ticks in few bytes; more than that are time enough for anything."""
    found: npt.NDArray[np.int16] = np.clip(ticks, -_NEVER_AGAIN, _NEVER_AGAIN).astype(np.int16)
    return found


def strain(met: Meeting, limits: Limits, ms_per_tick: float) -> tuple[Index, Floats]:
    """The joins that are hard at a speed, as places in a row of all of them, and how hard they are: rising from 0, where there is just
    time to spare, to 1, where the time just suffices, IMPOSSIBLE where it does not."""
    even, picked = limits.even_ms / ms_per_tick, (limits.pick_ms + ROUNDING_MS) / ms_per_tick
    # below a share of the time at hand a move is comfortable and costs nothing
    enough = met.hand_ticks * np.float32(ms_per_tick * _EASY)
    enough -= np.float32(limits.release_ms * _EASY)
    np.maximum(enough, 0, out=enough)
    hard = met.need_ms > enough
    hard |= met.strokes < even
    if met.runs is not None:
        hard |= met.runs < limits.run_ms / ms_per_tick
    where = np.flatnonzero(hard)
    have = met.hand_ticks.ravel()[where] * ms_per_tick - limits.release_ms
    np.maximum(have, _NO_TIME_MS, out=have)
    effort: Floats = (met.need_ms.ravel()[where] / have - _EASY) / (1 - _EASY)
    effort[effort > 1 + _ROUNDING] = IMPOSSIBLE
    # one pick finger does not strike again too soon; a little later it can, unevenly
    strokes = met.strokes.ravel()[where]
    np.maximum(effort, np.where(strokes < even, 0.5, 0.0), out=effort)
    effort[strokes < picked] = IMPOSSIBLE
    if met.runs is not None:
        effort[met.runs.ravel()[where] < limits.run_ms / ms_per_tick] = IMPOSSIBLE
    return where, effort


def _need(before: Ends, after: Ends, instrument: Instrument, limits: Limits) -> npt.NDArray[np.float32]:
    """How long the hand needs from each end to each beginning, in ms; 0 where it need not move."""
    mm = np.array(instrument.fret_mm, dtype=np.float32)
    leave, target = np.maximum(1, before.leave), np.maximum(1, after.enter)
    start, low = before.leave[..., :, None], after.low[..., None, :]
    span = mm[after.high][..., None, :] - np.minimum(
        mm[leave][..., :, None], mm[np.maximum(1, after.low)][..., None, :]
    )
    need: npt.NDArray[np.float32] = np.abs(mm[target][..., None, :] - mm[leave][..., :, None])
    need /= (mm[target] - mm[target - 1])[..., None, :]
    need += 1
    np.log2(need, out=need)
    guided = (before.leave_form[..., :, None] & after.enter_form[..., None, :]) != 0
    if before.leave_form_beyond.any():
        guided |= (before.leave_form_beyond[..., :, None] & after.enter_form_beyond[..., None, :]) != 0
    far = np.abs(target[..., None, :] - leave[..., :, None]) > GUIDED_FRETS
    slope = np.where(far, np.float32(leap_ms(limits)), np.float32(limits.guided_ms))
    need *= np.where(guided, slope, np.float32(limits.shift_ms))
    np.maximum(need, np.float32(_LEAST_MS), out=need)
    # a hand that has no fret to leave, or none to reach, has nothing to do; nor one under which the next frets lie, unless the index
    # finger itself is to stand elsewhere
    index_stays = (((after.enter_form | after.enter_form_beyond) & _INDEX) == 0)[..., None, :] | (
        target[..., None, :] == leave[..., :, None]
    )
    need[(low >= start - 1) & (span <= limits.comfortable_mm) & index_stays] = 0
    need *= before.frets_last[..., :, None] * after.frets_first[..., None, :]
    return need


def problem(a: Grip, b: Grip, length: int, gap: int, instrument: Instrument, limits: Limits, ms_per_tick: float) -> str:
    """What cannot be played in one join, in words; empty where all can."""
    met = meeting(ends([a]), ends([b]), length + gap, instrument, limits)
    if met.strokes[0, 0] * ms_per_tick < limits.pick_ms + ROUNDING_MS:
        finger = min(
            (f for n, f in enumerate(PICKS) if a.last[n] >= 0 and b.first[n] >= 0),
            key=lambda f: b.first[PICKS.index(f)] - a.last[PICKS.index(f)],
        )
        return f"{finger} would strike twice within {limits.pick_ms:g} ms"
    if met.runs is not None and met.runs[0, 0] * ms_per_tick < limits.run_ms:
        return "it is faster than the player's fastest notes"
    if IMPOSSIBLE in strain(met, limits, ms_per_tick)[1]:
        assert a.exit and b.entry
        return f"there is no time to shift from fret {a.exit.position} to fret {b.entry.position}"
    return ""
