"""A measure measured: its columns, how far apart they must stand, and how high its signs are. Lengths in points."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from chartc.chart.song import Measure
from chartc.sheet import style
from chartc.sheet.fit import Fit, fit_of
from chartc.sheet.hand import Said
from chartc.sheet.label import by_letter
from chartc.slots.part import FilledSlot
from chartc.type.faces import width, wrap

WORDS_ROOM = 150.0
"""Cue words are wrapped rather than make a measure wider than this."""


class Measured(NamedTuple):
    """A measure ready to be placed."""

    measure: Measure
    said: Said
    fit: Fit


def columns(fit: Fit, ticks: int, left: float, step: float, squeeze: float) -> dict[int, float]:
    """The x of every column in a measure `ticks` long that starts at `left`; the measure's end is a column too. Gaps are `step` times
    their weight and at least their least width; a row squeezed below that keeps its proportions."""
    out: dict[int, float] = {}
    place = left + fit.before + fit.lead
    for at, gap, weight in zip(fit.ats, fit.gaps, fit.weights, strict=True):
        out[at] = place
        least, wanted = gap * squeeze, step * weight
        place += wanted if wanted > least else least
    out[ticks] = place
    return out


def level(gaps: Sequence[float], weights: Sequence[float], room: float) -> float:
    """The step such that gaps of at least `step` times their weight fill the room: what is narrow grows first, so that notes of
    one length stand evenly. 0 where the room is too small."""
    step, wide = room / sum(weights), 0
    while True:
        # a gap that is wider than its share keeps its width; the others share what is left
        left, shares, found = room, 0.0, 0
        for gap, weight in zip(gaps, weights, strict=True):
            if gap > step * weight:
                left -= gap
                found += 1
            else:
                shares += weight
        if found == wide:
            return step
        if not shares:
            return 0.0
        step, wide = left / shares, found


def place_of(tick: int, columns: dict[int, float]) -> float:
    """The x of a tick that may lie between two columns."""
    if tick in columns:
        return columns[tick]
    ats = list(columns)
    n = bisect_right(ats, tick)
    if n == 0 or n == len(ats):
        return columns[ats[min(n, len(ats) - 1)]]
    a, b = ats[n - 1], ats[n]
    return columns[a] + (columns[b] - columns[a]) * (tick - a) / (b - a)


def measured(
    measure: Measure,
    slots: tuple[FilledSlot, ...],
    said: Said,
    show_meter: bool,
    repeat_start: bool,
    repeat_end: bool,
    closes: bool = False,
) -> Measured:
    """Measures one measure; `closes` tells that its section ends with it."""
    labels = [by_letter(s.chord) for s in measure.stretches]
    words = _words_width(measure.words) if measure.words else 0.0
    close = style.REPEAT_ROOM if repeat_end else style.CLOSE_ROOM if closes else 0.0
    fit = fit_of(measure, labels, slots, said, words, close, show_meter, repeat_start, repeat_end)
    return Measured(measure, said, fit)


def _words_width(text: str) -> float:
    """Room for the cue words: all of them where they are few, else enough for two or three lines."""
    full = width(text, "italic", style.WORDS)
    if not full:
        return 0.0
    longest = max(width(w, "italic", style.WORDS) for w in text.split())
    return max(min(longest, WORDS_ROOM), min(full, 85.0))


def word_lines(text: str, room: float) -> tuple[str, ...]:
    """Cue words as they stand beneath a measure `room` points wide."""
    return wrap(text, "italic", style.WORDS, room - 5) if text else ()
