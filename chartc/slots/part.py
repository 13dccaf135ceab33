"""The part: notes on strings, with both hands' fingers. What the choice makes, and what every output eats."""

from __future__ import annotations

from dataclasses import dataclass

from chartc.chart.song import Song
from chartc.neck.instrument import FifthString, Instrument
from chartc.theory.chord import Chord


@dataclass(frozen=True, slots=True)
class Note:
    """One note. `at` counts ticks from the start of the measure; the note lasts `ticks`, to the next onset, rest or end of slot.

    `fret` is as printed (a short string open or at its spike is 0). `pick` is T, I or M, None for a note that the fretting
    hand makes; `finger` is i, m, r, p or t, None for an open string; `how` is None or hammer-on, pull-off, slide, choke or
    damped; `amount` is a choke's rise in semitones.
    """

    at: int
    ticks: int
    string: int
    fret: int
    pitch: int
    pick: str | None
    finger: str | None
    how: str | None = None
    amount: float = 0.0


@dataclass(frozen=True, slots=True)
class FilledSlot:
    """One stretch of a chord with what the banjo plays there. `part` (1, 2) and (2, 2) are the halves of a two-measure lick;
    `position` is the fret of the index finger at the slot's first fretted note, None where all is open."""

    at: int
    ticks: int
    chord: Chord
    lick: str
    role: str
    part: tuple[int, int]
    position: int | None
    notes: tuple[Note, ...]
    rests: tuple[tuple[int, int], ...]
    """Where the banjo is silent: onset and length in ticks."""


@dataclass(frozen=True, slots=True)
class Part:
    """A song in one key with every slot filled. `slots[s][m]` are the slots of measure `m` of section `s`; empty where a
    measure is a pickup or has no chord. `cost` is the choice's total;
    `remarks` are lines that the sheet says about the part as a whole."""

    song: Song
    instrument: Instrument
    fifth: FifthString
    slots: tuple[tuple[tuple[FilledSlot, ...], ...], ...]
    way: int = 1
    cost: int = 0
    remarks: tuple[str, ...] = ()
