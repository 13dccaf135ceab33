"""A row of tablature: how wide its measures are, and the bands above, on and beneath the staff, which never meet. Coordinates in
points."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from chartc.chart.song import Section
from chartc.sheet import stems, style
from chartc.sheet.above import all_beside
from chartc.sheet.endings import brackets, times
from chartc.sheet.measure import Measured, columns, level, word_lines
from chartc.sheet.row import Bands, Row

ROW_GAP = 7.0
"""Between two rows."""
LEAST_ROW_GAP = 2.0
"""Between two rows where that saves a page."""

NAMES = 10.5
"""What a row is higher where names of licks and moves have a line of their own."""
WORDS_STEP = 10.5
"""From one line of cue words to the next."""


class Stack(NamedTuple):
    """What makes a row high, wherever its measures stand in it: whether something stands over the row, whether somebody sings, how high
    fingers stand above one another (below 0: none), whether a chord's name reaches below its line, whether there are letters above the
    staff, how far the staff lies beneath those and the stems reach beneath it, whether triplets, how many pick fingers stand above one
    another, whether nothing sounds, whether there are cue words."""

    over: bool
    voiced: bool
    fingers: float
    hangs: bool
    techniques: bool
    rise: float
    foot: float
    triplets: bool
    pick_rows: int
    silent: bool
    words: bool


def stack(section: Section, first: int, measures: Sequence[Measured]) -> Stack:
    """What makes the row of these measures high, of which the first one has this index in its section."""
    over = bool(section.repeats) and bool(
        brackets(section, first, len(measures)) or any(times(section, first + k) for k in range(len(measures)))
    )
    fingers = -1.0
    rise = foot = 0.0
    picks = 0
    voiced = hangs = techniques = triplets = words = False
    silent = True
    for measure, _, f in measures:
        if f.fingers and f.stack > fingers:
            fingers = f.stack
        if f.rise > rise:
            rise = f.rise
        if f.foot > foot:
            foot = f.foot
        if f.pick_rows > picks:
            picks = f.pick_rows
        hangs = hangs or f.hangs
        techniques = techniques or f.techniques
        triplets = triplets or f.pattern.triplet_values
        silent = silent and f.pattern.silent
        words = words or bool(measure.words)
        for v in measure.voice:
            voiced = voiced or v.state != "silent"
    return Stack(over, voiced, fingers, hangs, techniques, rise, foot, triplets, picks, silent, words)


def row(
    section: Section,
    first: int,
    measures: tuple[Measured, ...],
    high: Stack,
    room: float,
    fill: bool,
    voice_words: bool,
    last_of_song: bool,
    before: Measured | None = None,
    after: Measured | None = None,
) -> Row:
    """The row with its widths shared out and its bands stacked; `fill` makes it as wide as `room` in any case."""
    step, squeeze = share(measures, room, fill)
    edge = 0.0
    edges, places = [edge], []
    for m in measures:
        found = columns(m.fit, m.measure.ticks, edge, step, squeeze)
        places.append(found)
        edge = found[m.measure.ticks]
        edges.append(edge)
    beside = all_beside(measures, places, edges)
    lines = _lines(measures, edges) if high.words else 0
    return Row(
        section,
        first,
        measures,
        tuple(places),
        tuple(edges),
        bands(high, voice_words, beside is None, lines),
        voice_words and high.voiced,
        last_of_song,
        beside,
        before.fit if before is not None else None,
        after.fit if after is not None else None,
    )


def _lines(measures: Sequence[Measured], edges: Sequence[float]) -> int:
    """In how many lines cue words stand beneath the row, at the most."""
    return max(
        [
            len(word_lines(m.measure.words, right - left - m.fit.before)) if m.measure.words else 0
            for m, (left, right) in zip(measures, pairwise(edges), strict=True)
        ]
    )


def bands(high: Stack, voice_words: bool, names_apart: bool, lines: int) -> Bands:
    """Stacks the bands: `voice_words` tells that the voice's states have their words, `names_apart` that names have a line of their own,
    `lines` how many lines of cue words there are. Without names and with the fewest lines it is as high as it must be."""
    y = 13.0 if high.over else 1.0
    bracket = y - 3.0
    y += 11.5
    chord = y
    y += 3.0
    if high.voiced:
        y += 9.0 if voice_words else 3.5
    voice = y - (3.4 if voice_words else 0.5)
    if names_apart:
        y += NAMES
    names = y - 2.0
    if high.fingers >= 0:
        y += (9.0 if high.voiced or names_apart or high.hangs else 8.3) + high.fingers
    fingers = y - 1.8
    if high.techniques:
        y += 8.3
    letters = y
    top = y + high.rise
    y = top + style.STAFF_HEIGHT + high.foot
    if high.triplets:
        y += stems.TRIPLET_ROOM
    picks = y + 8.5
    if high.pick_rows:
        y += 8.5 + stems.PICK_STEP * (high.pick_rows - 1)
    elif high.silent:
        y = top + style.STAFF_HEIGHT + 2.0
    words = y + 11.5
    if lines:
        y += 3.5 + WORDS_STEP * lines
    return Bands(bracket, chord, voice, names, fingers, letters, top, picks, high.foot, words, y + 2.0)


def share(measures: tuple[Measured, ...], room: float, fill: bool) -> tuple[float, float]:
    """The step and the squeeze that make the row as wide as it shall be: one step for the whole row, so that what sounds alike stands
    alike. A row that need not fill the page is not torn wide for one or two short measures."""
    fits = [m.fit for m in measures]
    least = sum([f.least for f in fits])
    count = sum([not m.measure.pickup for m in measures])
    fill = fill or count > 2 or least * 1.35 > room
    full = room if fill else min(room, max(least * 1.15, count * room / 3.4))
    inner = full - sum([f.before + f.lead for f in fits])
    gaps = [g for f in fits for g in f.gaps]
    weights = [w for f in fits for w in f.weights]
    return level(gaps, weights, inner), min(1.0, inner / sum(gaps))
