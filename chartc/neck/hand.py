"""One model of both hands: what they reach, how long a move takes, and what cannot be played.

All distances are millimetres along the neck, all times milliseconds. The table of limits is ours (no published weights or reach
table in millimetres was found); the form of the time to move is Fitts's law, need = slope · log2(D / W + 1), with the distance D
between the index finger's frets and the width W of the fret aimed at (Fitts 1954; the slopes are ours). A single finger
does not strike again faster than 150 to 200 ms (single-finger tapping: Fujii et al. 2009, Neurosci. Lett. 459:69-73).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

from chartc.neck.instrument import Instrument

FINGERS = ("i", "m", "r", "p")
PICKS = ("T", "I", "M")

OFFSETS = {"i": (0, 0), "m": (0, 2), "r": (0, 3), "p": (1, 5)}
"""How many frets above the index finger each finger may stand while the hand stays where it is."""


@dataclass(frozen=True, slots=True)
class Limits:
    """A player's hands. Up to `comfortable_mm` a stretch costs nothing, beyond `most_mm` it is not played. `shift_ms` is the slope
    of a free move, `guided_ms` of a short one in which a finger keeps its string; `release_ms` after its onset a fretted note may be
    let go. No pick finger strikes again within `pick_ms`; within `even_ms` it is uneven. `run_ms` is the least time
    between two strokes of any fingers, 0 for no limit. `highest_fret` 0 is the instrument's own.
    """

    comfortable_mm: float = 100.0
    most_mm: float = 130.0
    shift_ms: float = 85.0
    guided_ms: float = 30.0
    release_ms: float = 70.0
    pick_ms: float = 150.0
    even_ms: float = 200.0
    run_ms: float = 0.0
    highest_fret: int = 0
    little_finger: bool = True

    def with_usual(self) -> Limits:
        """What these hands or the usual ones can do, whichever is more."""
        usual = Limits()
        frets = (self.highest_fret, usual.highest_fret)
        return Limits(
            max(self.comfortable_mm, usual.comfortable_mm),
            max(self.most_mm, usual.most_mm),
            min(self.shift_ms, usual.shift_ms),
            min(self.guided_ms, usual.guided_ms),
            min(self.release_ms, usual.release_ms),
            min(self.pick_ms, usual.pick_ms),
            min(self.even_ms, usual.even_ms),
            min(self.run_ms, usual.run_ms),
            max(frets) if all(frets) else 0,
            self.little_finger or usual.little_finger,
        )


@dataclass(frozen=True)
class Weights:
    """What a fingering costs, in points (ours; no published weights are in millimetres of one neck).

    `near` is for each fret by which a finger stands closer to the index finger than one finger a fret, `far` for each by which it stands farther, `stretch_cm` for each centimetre
    beyond `reach_mm`, the comfortable reach of two fingers (0 is the index finger) of a hand whose comfortable stretch is 100 mm. `crossed` is a
    lower finger at a higher fret, `wrong_string` a higher finger on a lower string of one fret, `across` a finger laid
    over a second string, `across_more` over a third, `across_other` more where it is not the index finger, `over_open`
    more where an open string lies beneath it. `same_finger` is one
    finger on two frets in direct succession, `again` with few notes between, `exchange` another finger for a note that one is still on. A `shift` costs that and `shift_cm` for each
    centimetre, up to `late` more where there is too little time; `along` is a shift that a slide makes. `little` is the little finger, `choke` a
    choke by the index finger, `slide` a slide by another than the middle finger. `impossible` is a hammer-on, pull-off or slide by the wrong finger.
    """

    near: int = 20
    far: int = 10
    stretch_cm: int = 10
    crossed: int = 80
    wrong_string: int = 20
    across: int = 30
    across_more: int = 10
    across_other: int = 30
    over_open: int = 60
    same_finger: int = 60
    again: int = 20
    exchange: int = 60
    shift: int = 40
    shift_cm: int = 4
    late: int = 400
    along: int = 5
    little: int = 5
    choke: int = 30
    slide: int = 10
    impossible: int = 2000
    reach_mm: Mapping[tuple[int, int], float] = field(
        default_factory=lambda: {(0, 1): 45.0, (0, 2): 75.0, (0, 3): 100.0, (1, 2): 40.0, (1, 3): 72.0, (2, 3): 42.0}
    )


WEIGHTS = Weights()


class Fingered(Protocol):
    """A note as the hand sees it: time in ticks, and what touches the string."""

    @property
    def at(self) -> int: ...
    @property
    def string(self) -> int: ...
    @property
    def fret(self) -> int: ...
    @property
    def finger(self) -> str | None: ...
    @property
    def pick(self) -> str | None: ...
    @property
    def how(self) -> str | None: ...


# Reaches and grips are made by the thousand for every song: as named tuples they are made four times as fast as frozen dataclasses.

Form = frozenset[tuple[int, str]]
"""Which finger is on which string."""


class Reach(NamedTuple):
    """The hand at one end of a passage: index finger's fret, the frets used there, which finger is on which string, and when the
    first fretted note sounds (at the entry) or the last one sounds (at the exit), in ticks from the passage's start."""

    position: int
    low: int
    high: int
    form: Form
    at: int


class Grip(NamedTuple):
    """What both hands do in a passage: entry and exit of the fretting hand (None where every string is open), first and last
    stroke of each pick finger (ticks, -1 where it does not play), the widest stretch in mm, and the positions taken.

    `problem` is empty where the passage can be played slowly, else a few words about what cannot. `fastest` is the speed, in
    milliseconds a tick, beyond which it cannot be played, `haste` what stops it there.
    """

    entry: Reach | None
    exit: Reach | None
    first: tuple[int, int, int]
    last: tuple[int, int, int]
    stretch_mm: float
    positions: tuple[tuple[int, int], ...]
    problem: str = ""
    fastest: float = 0.0
    haste: str = ""

    def problem_at(self, ms_per_tick: float) -> str:
        """What cannot be played at a speed, in a few words; empty where all can."""
        return self.problem or (self.haste if ms_per_tick < self.fastest else "")


GUIDED_FRETS = 5
"""A finger that keeps its string guides the hand over so many frets; a longer way is half a leap (ours, no source)."""
_LEAP = 1.7
# so much longer the hand then needs than if it were guided all the way (ours, no source)


def move_ms(instrument: Instrument, limits: Limits, start: int, end: int, guided: bool) -> float:
    """How long the hand needs from one index fret to another: slope · log2(D / W + 1)."""
    mm = instrument.fret_mm
    start, end = max(1, start), max(1, end)
    distance = abs(mm[end] - mm[start])
    width = mm[end] - mm[end - 1]
    far = abs(end - start) > GUIDED_FRETS
    slope = (leap_ms(limits) if far else limits.guided_ms) if guided else limits.shift_ms
    return slope * math.log2(distance / width + 1)


def leap_ms(limits: Limits) -> float:
    """The slope of a move in which a finger keeps its string over more than GUIDED_FRETS frets."""
    return max(limits.guided_ms, min(limits.shift_ms, _LEAP * limits.guided_ms))


ROUNDING_MS = 0.01
"""Added to the time between two strokes of a finger, so that rounding in another program's milliseconds cannot fall below the limit."""
