"""A row of tablature: how wide its measures are, and the bands above, on and beneath the staff, which never meet. Coordinates in
points."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

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


def row(
    section: Section,
    first: int,
    measures: tuple[Measured, ...],
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
    over = bool(section.repeats) and bool(
        brackets(section, first, len(measures)) or any(times(section, first + k) for k in range(len(measures)))
    )
    voiced = any(v.state != "silent" for m in measures for v in m.measure.voice)
    return Row(
        section,
        first,
        measures,
        tuple(places),
        tuple(edges),
        _bands(measures, edges, over, voiced, voice_words, beside is None),
        voice_words and voiced,
        last_of_song,
        beside,
        before.fit if before is not None else None,
        after.fit if after is not None else None,
    )


def _bands(
    measures: tuple[Measured, ...],
    edges: Sequence[float],
    over: bool,
    voiced: bool,
    voice_words: bool,
    names_apart: bool,
) -> Bands:
    """Stacks the bands: `over` tells that something stands over the row, `names_apart` that names have a line of their own."""
    fits = [m.fit for m in measures]
    y = 13.0 if over else 1.0
    bracket = y - 3.0
    y += 11.5
    chord = y
    y += 3.0
    if voiced:
        y += 9.0 if voice_words else 3.5
    voice = y - (3.4 if voice_words else 0.5)
    if names_apart:
        y += NAMES
    names = y - 2.0
    if any(f.fingers for f in fits):
        deep = voiced or names_apart or any(f.hangs for f in fits)
        y += (9.0 if deep else 8.3) + max([f.stack for f in fits])
    fingers = y - 1.8
    if any(f.techniques for f in fits):
        y += 8.3
    letters = y
    top = y + max([f.rise for f in fits])
    foot = max([f.foot for f in fits])
    y = top + style.STAFF_HEIGHT + foot
    if any(f.pattern.triplet_values for f in fits):
        y += stems.TRIPLET_ROOM
    picks = y + 8.5
    stacked = max([f.pick_rows for f in fits])
    if stacked:
        y += 8.5 + stems.PICK_STEP * (stacked - 1)
    elif all(f.pattern.silent for f in fits):
        y = top + style.STAFF_HEIGHT + 2.0
    words = y + 11.5
    lines = 0
    for m, (left, right) in zip(measures, pairwise(edges), strict=True):
        if m.measure.words:
            lines = max(lines, len(word_lines(m.measure.words, right - left - m.fit.before)))
    if lines:
        y += 3.5 + WORDS_STEP * lines
    return Bands(bracket, chord, voice, names, fingers, letters, top, picks, foot, words, y + 2.0)


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
