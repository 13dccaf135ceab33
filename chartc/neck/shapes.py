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
    wanted = chord.classes
    top = min(instrument.frets, limits.highest_fret or instrument.frets)
    mm = instrument.fret_mm
    found: dict[tuple[int, ...], Shape] = {}
    for low in range(1, top + 1):
        options = []
        for s in strings:
            open_note = instrument.strings[s - 1].open
            here = [f for f in range(low, min(top, low + WINDOW) + 1) if (open_note + f) % 12 in wanted]
            if open_note % 12 in wanted:
                here.append(0)
            options.append(here)
        if not all(options):
            continue
        for frets in product(*options):
            if frets in found or (any(frets) and min(f for f in frets if f) != low):
                continue
            fingers = _fingers(strings, frets)
            if fingers is None:
                continue
            fretted = [f for f in frets if f]
            span = mm[max(fretted)] - mm[min(fretted)] if fretted else 0.0
            if span > limits.most_mm or (not limits.little_finger and "p" in fingers):
                continue
            rank = _rank(instrument, chord, strings, frets, span, limits)
            found[frets] = Shape(strings, frets, fingers, low if fretted else 0, span, rank)
    return tuple(sorted(found.values(), key=lambda s: (s.rank, s.position, s.frets)))


def _fingers(strings: tuple[int, ...], frets: tuple[int, ...]) -> tuple[str | None, ...] | None:
    """Fingers for a shape: the index finger lies across three strings or more at the lowest fret, or across two where five
    fingers would be needed; the others follow fret by fret, lower strings first."""
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


def _rank(
    instrument: Instrument, chord: Chord, strings: tuple[int, ...], frets: tuple[int, ...], span: float, limits: Limits
) -> int:
    pitches = [instrument.strings[s - 1].open + f for s, f in zip(strings, frets, strict=True)]
    sounding = {p % 12 for p in pitches}
    rank = 0
    for degree in chord.quality.degrees:
        if (chord.root_class + STEPS[degree] * 7) % 12 not in sounding:
            named = degree == "3" and "b7" in chord.quality.degrees
            rank += _MISSING_NAMED if named else _MISSING.get(degree, _MISSING_ADDED)
    lowest = min(pitches) % 12
    if chord.bass is not None and lowest != pitch.pitch_class(chord.bass):
        rank += 10 if pitch.pitch_class(chord.bass) in sounding else 16
    fretted = [f for f in frets if f]
    rank += len(set(fretted)) * 2
    if fretted:
        opens = len(frets) - len(fretted)
        # an open string beside a hand far up the neck is a sound of its own, not the usual shape
        if opens and min(fretted) > 4:
            rank += 3 * opens + min(fretted)
        rank += max(0, round((span - 0.7 * limits.comfortable_mm) / 4))
        rank += max(0, round((span - limits.comfortable_mm) / 2))
    # two strings on one note double it and leave the chord thin
    rank += 4 * (len(pitches) - len(set(pitches)))
    return rank
