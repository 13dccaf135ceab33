"""Chord shapes found by search: every way to hold a chord on all the long strings, ranked as players would."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from chartc.neck.hand import FINGERS, OFFSETS, Limits
from chartc.neck.instrument import Instrument
from chartc.theory import pitch
from chartc.theory.chord import STEPS, Chord

# What it costs to leave a tone out (ours): the bass has the root, the fifth is heard anyway, third and seventh name the chord.
_MISSING = {
    "1": 12,
    "3": 16,
    "b3": 16,
    "5": 4,
    "b7": 14,
    "7": 14,
    "bb7": 10,
    "b5": 14,
    "#5": 14,
    "6": 10,
    "2": 12,
    "4": 12,
}
_MISSING_ADDED = 8  # ninths, elevenths, thirteenths and their alterations
_MISSING_NAMED = 8  # the third where the flat seventh names the chord: players hold the open D7 without it

WINDOW = 4
"""A shape lies within so many frets above its lowest fretted note; millimetres decide within that."""


@dataclass(frozen=True, slots=True)
class Shape:
    """`frets[n]` and `fingers[n]` belong to the long string `strings[n]` (string 1 first); fret 0 and finger None are an open
    string. `position` is the index finger's fret, 0 where all strings are open. `rank` orders shapes, the least first."""

    strings: tuple[int, ...]
    frets: tuple[int, ...]
    fingers: tuple[str | None, ...]
    position: int
    span_mm: float
    rank: int

    @property
    def closed(self) -> bool:
        """Whether every string is fretted, so that the whole chord can be damped."""
        return all(self.frets)

    def on(self, string: int) -> tuple[int, str | None]:
        """Fret and finger on a string."""
        n = self.strings.index(string)
        return self.frets[n], self.fingers[n]


@lru_cache(maxsize=4096)
def shapes(instrument: Instrument, chord: Chord, limits: Limits) -> tuple[Shape, ...]:
    """All shapes of a chord, best first."""
    strings = instrument.long_strings
    opens = [instrument.strings[s - 1].open for s in strings]
    wanted = chord.classes
    top = min(instrument.frets, limits.highest_fret or instrument.frets)
    mm = instrument.fret_mm
    # on each string the frets that sound a tone of the chord
    tones = [[f for f in range(1, top + 1) if (note + f) % 12 in wanted] for note in opens]
    rank = _Rank(instrument, chord, limits)
    found: list[Shape] = []
    if all(note % 12 in wanted for note in opens):
        free = (0,) * len(strings)
        found.append(Shape(strings, free, (None,) * len(strings), 0, 0.0, rank(free)))
    for low in range(1, top + 1):
        options = [
            [f for f in frets if low <= f <= low + WINDOW] + ([0] if note % 12 in wanted else [])
            for frets, note in zip(tones, opens, strict=True)
        ]
        if not all(options) or not any(o[0] == low for o in options):
            continue
        for frets in product(*options):
            if low not in frets:
                continue
            fingers = _fingers(strings, tuple([f - low + 1 if f else 0 for f in frets]))
            if fingers is None:
                continue
            span = mm[max(frets)] - mm[low]
            if span > limits.most_mm or (not limits.little_finger and "p" in fingers):
                continue
            found.append(Shape(strings, frets, fingers, low, span, rank(frets)))
    found.sort(key=lambda s: (s.rank, s.position, s.frets))
    return tuple(found)


@lru_cache(maxsize=4096)
def _fingers(strings: tuple[int, ...], frets: tuple[int, ...]) -> tuple[str | None, ...] | None:
    """Fingers for a shape whose lowest fret counts as 1: the index finger lies across three strings or more at the lowest fret, or
    across two where five fingers would be needed; the others follow fret by fret, lower strings first."""
    fretted = sorted((f, -s, n) for n, (s, f) in enumerate(zip(strings, frets, strict=True)) if f)
    out: list[str | None] = [None] * len(frets)
    if not fretted:
        return tuple(out)
    low = fretted[0][0]
    lowest = [entry for entry in fretted if entry[0] == low]
    across = {-entry[1] for entry in lowest}
    # a barre would stop an open string that lies beneath it
    stopped = any(not f and min(across) < s < max(across) for s, f in zip(strings, frets, strict=True))
    barre = len(fretted) > 4 or (len(lowest) >= 3 and not stopped)
    if barre:
        if stopped:
            return None
        for entry in lowest:
            out[entry[2]] = "i"
        rest = fretted[len(lowest) :]
        place = 1
    else:
        rest, place = fretted, 0
    for count, (fret, _, n) in enumerate(rest):
        left = len(rest) - count - 1
        place = max(place, min(fret - low, 3))
        place = min(place, 3 - left)
        if place > 3 or place < (1 if barre else 0) + count:
            return None
        finger = FINGERS[place]
        if not OFFSETS[finger][0] <= fret - low <= OFFSETS[finger][1]:
            return None
        out[n] = finger
        place += 1
    return tuple(out)


class _Rank:
    """What shapes of one chord are worth: the less, the better."""

    def __init__(self, instrument: Instrument, chord: Chord, limits: Limits) -> None:
        self._opens = [instrument.strings[s - 1].open for s in instrument.long_strings]
        self._mm = instrument.fret_mm
        self._comfortable = limits.comfortable_mm
        self._missing: list[tuple[int, int]] = []
        """Each tone's pitch class, and what it costs to leave it out."""
        for degree in chord.quality.degrees:
            named = degree == "3" and "b7" in chord.quality.degrees
            cost = _MISSING_NAMED if named else _MISSING.get(degree, _MISSING_ADDED)
            self._missing.append(((chord.root_class + STEPS[degree] * 7) % 12, cost))
        self._bass = None if chord.bass is None else pitch.pitch_class(chord.bass)
        self._spans: dict[tuple[int, int], int] = {}

    def __call__(self, frets: tuple[int, ...]) -> int:
        """The rank of a shape by its frets."""
        pitches = [note + f for note, f in zip(self._opens, frets, strict=True)]
        sounding = {p % 12 for p in pitches}
        rank = 0
        for tone, cost in self._missing:
            if tone not in sounding:
                rank += cost
        if self._bass is not None and min(pitches) % 12 != self._bass:
            rank += 10 if self._bass in sounding else 16
        fretted = {*frets} - {0}
        if fretted:
            rank += len(fretted) * 2
            low, high = min(fretted), max(fretted)
            # an open string beside a hand far up the neck is a sound of its own, not the usual shape
            if low > 4 and (opens := frets.count(0)):
                rank += 3 * opens + low
            rank += self._span(low, high)
        # two strings on one note double it and leave the chord thin
        return rank + 4 * (len(pitches) - len(set(pitches)))

    def _span(self, low: int, high: int) -> int:
        if (low, high) not in self._spans:
            span = self._mm[high] - self._mm[low]
            early = max(0, round((span - 0.7 * self._comfortable) / 4))
            self._spans[low, high] = early + max(0, round((span - self._comfortable) / 2))
        return self._spans[low, high]
