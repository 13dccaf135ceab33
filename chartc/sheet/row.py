"""A row of tablature as it will be drawn. Coordinates in points."""

from __future__ import annotations

from typing import NamedTuple

from chartc.chart.song import Section
from chartc.sheet.fit import Fit
from chartc.sheet.measure import Measured

Beside = tuple[tuple[float, str, bool], ...]
"""Words beside a measure's chords: where they begin, from the row's left edge, and whether they are a move (else a lick's name)."""

Columns = dict[int, float]
"""The x of each column of a measure by its ticks, from the row's left edge."""


class Bands(NamedTuple):
    """The y of each band from the row's top (baselines of text; `fingers` is the lowest letter's), the staff's first line, how
    far the stems reach beneath its last, and the row's height."""

    bracket: float
    chord: float
    voice: float
    names: float
    fingers: float
    letters: float
    top: float
    picks: float
    foot: float
    words: float
    height: float


class Row(NamedTuple):
    """Measures `first` and on of a section, side by side; `columns` are those of each measure, `edges` where each one begins, and
    where the last one ends, from the row's left edge."""

    section: Section
    first: int
    measures: tuple[Measured, ...]
    columns: tuple[Columns, ...]
    edges: tuple[float, ...]
    bands: Bands
    voice_words: bool
    last_of_song: bool
    beside: tuple[Beside, ...] | None
    """For each measure, moves and the names of licks beside the chords; None where they are on a line of their own."""
    before: Fit | None
    after: Fit | None
    """The measures at the end of the row before and the start of the row after: slurs reach across."""

    @property
    def width(self) -> float:
        """Width of the row."""
        return self.edges[-1]
