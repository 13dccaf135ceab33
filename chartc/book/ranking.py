"""Which keys suit singers: the melody laid inside their ranges, in whichever octave it lies best. Notes are MIDI numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chartc.book.singers import VOICES, Range, Singer, Voice
from chartc.chart.song import Melody
from chartc.theory import pitch
from chartc.theory.key import Key, all_keys

OCTAVES = 3
"""The melody is tried so many octaves up and down."""


@dataclass(frozen=True, slots=True)
class Sung:
    """Who sings, and which part of a duet."""

    singer: Singer
    voice: Voice = VOICES["lead"]

    def notes(self, melody: Melody) -> Range:
        """The lowest and highest note to be sung."""
        return Range(melody.low + self.voice.at_low, melody.high + self.voice.at_high)


@dataclass(frozen=True, slots=True)
class Fit:
    """How a key suits. `outside` has for each singer the semitones too low and too high for the whole range; `strain` counts the
    semitones outside what is comfortable, `off` the half semitones between the middle of what is sung and the middle of what is
    comfortable, both over all singers; `moved` the semitones from the melody as written."""

    key: Key
    melody: Melody
    outside: tuple[tuple[int, int], ...]
    strain: int
    off: int
    moved: int

    @property
    def missing(self) -> int:
        """Semitones that are missing in all; 0 where the key fits."""
        return sum(low + high for low, high in self.outside)

    @property
    def rank(self) -> tuple[int, int, int, int, int]:
        """The lower the better: what cannot be sung, what strains, what lies off the middle, how far it is moved; then the lower key."""
        return (self.missing, self.strain, self.off, abs(self.moved), self.moved)


def trio(singers: Sequence[Singer]) -> tuple[Sung, ...]:
    """The first singer leads, the others sing their own parts above or below."""
    return tuple(Sung(s) if n == 0 else Sung(s, VOICES[s.part]) for n, s in enumerate(singers))


def fit(key: Key, melody: Melody, moved: int, sung: Sequence[Sung]) -> Fit:
    """How a melody, moved by so many semitones, suits those who sing it."""
    there = Melody(melody.low + moved, melody.high + moved)
    outside, strain, off = [], 0, 0
    for one in sung:
        notes, whole, good = one.notes(there), one.singer.range, one.singer.comfortable
        outside.append((max(0, whole.low - notes.low), max(0, notes.high - whole.high)))
        strain += max(0, good.low - notes.low) + max(0, notes.high - good.high)
        off += abs(notes.low + notes.high - good.low - good.high)
    return Fit(key, there, tuple(outside), strain, off, moved)


def ranked(key: Key, melody: Melody, sung: Sequence[Sung]) -> tuple[Fit, ...]:
    """The twelve keys of the song's mode, the best first, each in the octave in which it suits best. `key` is that of the melody."""
    out = []
    for other in all_keys(key.mode):
        up = (pitch.pitch_class(other.tonic) - pitch.pitch_class(key.tonic)) % 12
        own = key if up == 0 else other
        moves = range(up - 12 * OCTAVES, up + 12 * OCTAVES + 1, 12)
        out.append(min((fit(own, melody, m, sung) for m in moves), key=lambda f: f.rank))
    return tuple(sorted(out, key=lambda f: f.rank))


NEAR = 2
"""A key is as good for a singer as the best one if the melody lies so many half semitones farther off the middle."""


def chosen(fits: Sequence[Fit]) -> Fit:
    """The key that a band takes of those that suit its singers, the best first: of all in which nothing more strains, and the melody
    lies within a semitone of where it lies best, the one with the fewest sharps or flats; of equal ones the better."""
    best = fits[0]
    most = best.off + NEAR * len(best.outside)
    near = [f for f in fits if (f.missing, f.strain) == (best.missing, best.strain) and f.off <= most]
    return min(near, key=lambda f: abs(f.key.signature))


def in_words(found: Fit, sung: Sequence[Sung]) -> str:
    """What is missing, for each singer: `2 semitones too high for Orla Tennick`."""
    said = []
    for one, (low, high) in zip(sung, found.outside, strict=True):
        for count, word in ((low, "low"), (high, "high")):
            if count:
                said.append(f"{count} semitone{'s' if count > 1 else ''} too {word} for {one.singer.name}")
    return ", ".join(said)
