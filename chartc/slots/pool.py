"""A pool: the candidates of one kind of slot as arrays, so that costs and rules are worked out for all of them at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from itertools import pairwise
from zlib import crc32

import numpy as np
import numpy.typing as npt

from chartc.licks.lick import CARRYING
from chartc.slots.candidate import Candidate, Need
from chartc.slots.traits import Traits, traits
from chartc.theory.pitch import pitch_class

Ints = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]

_LIKINGS = 6
# how many steps the liking of a phrase for a lick has

_ORNAMENTS = ("hammer-on", "pull-off", "slide", "choke")
_HOWS = (None, *_ORNAMENTS, "damped")


class Pool:
    """Candidates of one need at any speed. Arrays have an entry for each candidate; those that begin with `note_` one for each note of all
    candidates, `owner` says whose note it is."""

    def __init__(self, need: Need, candidates: tuple[Candidate, ...], drone: int | None) -> None:
        self.need = need
        self.candidates = candidates
        self.size = len(candidates)
        notes = [n for c in candidates for n in c.notes]
        self.owner = np.repeat(np.arange(self.size), [len(c.notes) for c in candidates])
        self.note_at = np.array([n.at for n in notes], dtype=np.int32)
        self.note_ticks = np.array([n.ticks for n in notes], dtype=np.int32)
        self.note_pitch = np.array([n.pitch for n in notes], dtype=np.int32)
        self.note_drone = np.array([n.string == drone and not n.fret for n in notes], dtype=bool)
        self.note_ornament = np.array([n.how in _ORNAMENTS for n in notes], dtype=bool)
        self._how = np.array([_HOWS.index(n.how) for n in notes], dtype=np.int8)
        # two-measure halves of one lick in one place have one name for each place
        self.tail = self._each(c.tail for c in candidates)
        self.onsets = self._each(c.onsets for c in candidates)
        self.ornaments = self._each(c.ornaments for c in candidates)
        self.difficulty = self._each(c.difficulty for c in candidates)
        # how far along in learning the neck one must be for it
        self.reach = self._each(_reach(c) for c in candidates)
        self.left_out = self._each(c.left_out for c in candidates)
        self.stretch = np.array([c.grip.stretch_mm for c in candidates])
        # how far the hand moves within the slot beyond three frets at a time
        self.hops = self._each(
            sum(max(0, abs(q - p) - 3) for (_, p), (_, q) in pairwise(c.grip.positions)) for c in candidates
        )
        self.silent = np.array([not c.notes for c in candidates], dtype=bool)
        self.heard = ~self.silent
        # milliseconds a tick beyond which a candidate cannot be played
        self.fastest = np.array([c.grip.fastest for c in candidates])
        # the plain np.unique would load numpy's masked arrays, which takes a twentieth of a command
        self._speeds = np.array(sorted(set(self.fastest.tolist())))
        self.first_at = self._each(c.notes[0].at if c.notes else need.ticks for c in candidates)
        self.last_at = self._each(c.notes[-1].at if c.notes else 0 for c in candidates)
        self.rest_end = self._each(max((at + t for at, t in c.rests), default=0) for c in candidates)
        self.roles = np.array([c.role for c in candidates])
        self.names = np.array([c.lick for c in candidates])
        unique, self._name_of = np.unique(self.names, return_inverse=True)
        # checksums of the names, to be continued
        self._sums = [crc32(str(name).encode()) for name in unique]
        self._made: dict[object, npt.NDArray[np.int32]] = {}
        self._by_role: dict[tuple[str, ...], Mask] = {}
        self._at_home: dict[str, Mask] = {}
        self.places = np.array([c.place for c in candidates])
        self.carrying = np.isin(self.roles, CARRYING)

    def once(self, key: object, make: Callable[[], Ints]) -> npt.NDArray[np.int32]:
        """What `make` gives, remembered under a key in half the space; nobody may change it."""
        if key not in self._made:
            if len(self._made) >= _MOST:
                self._made.clear()
            self._made[key] = make().astype(np.int32)
        return self._made[key]

    def speed(self, ms_per_tick: float) -> int:
        """A number that is equal for speeds at which the same candidates can be played."""
        return int(np.searchsorted(self._speeds, ms_per_tick, "right"))

    @staticmethod
    def _each(values: Iterable[int]) -> Ints:
        return np.fromiter(values, dtype=np.int64)

    def role(self, *roles: str) -> Mask:
        """The candidates of these roles."""
        if roles not in self._by_role:
            self._by_role[roles] = np.isin(self.roles, roles)
        return self._by_role[roles]

    def place(self, *places: str) -> Mask:
        """The candidates at these places on the neck."""
        found: Mask = np.isin(self.places, places)
        return found

    def technique(self, techniques: Iterable[str]) -> Mask:
        """The candidates with a note made in one of these ways."""
        return self.count(np.isin(self._how, [_HOWS.index(word) for word in techniques])) > 0

    def count(self, notes: Mask) -> Ints:
        """How many of the marked notes each candidate has."""
        found: Ints = np.bincount(self.owner[notes], minlength=self.size)
        return found

    @cached_property
    def note_class(self) -> npt.NDArray[np.int32]:
        """Each note's semitones above the chord's root."""
        found: npt.NDArray[np.int32] = (self.note_pitch - self.need.chord.root_class) % 12
        return found

    @cached_property
    def in_chord(self) -> Mask:
        """Which notes are chord tones."""
        root = self.need.chord.root_class
        found: Mask = np.isin(self.note_class, [(c - root) % 12 for c in self.need.chord.classes])
        return found

    @cached_property
    def per_eight(self) -> Ints:
        """Attacks, as so many in eight steps."""
        return self.onsets * 8 * self.need.step // self.need.ticks

    @cached_property
    def clash(self) -> Ints:
        """How badly notes a semitone above a chord tone stand out: 4 for one longer than a step, 3 for one on a beat. The drone,
        tails, and the tensions that a lick names do not count."""
        need = self.need
        root = need.chord.root_class
        below = np.isin((self.note_class - 1) % 12, [(c - root) % 12 for c in need.chord.classes])
        named = np.array([(n.pitch - root) % 12 in c.tensions for c in self.candidates for n in c.notes], dtype=bool)
        body = self.note_at < need.ticks - self.tail[self.owner]
        hard = below & ~self.in_chord & ~named & body & ~self.note_drone
        beat = (3 if need.compound else 2) * need.step
        return 4 * self.count(hard & (self.note_ticks > need.step)) + 3 * self.count(hard & (self.note_at % beat == 0))

    @cached_property
    def frame_first(self) -> Mask:
        """Whether the slot's first beat has the chord's root, third (or fourth, second) or fifth."""
        degrees = {"1", "3", "b3", "5", "b5", "#5", "4", "2"}
        quality = self.need.chord.quality
        frame = [s for d, s in zip(quality.degrees, quality.classes, strict=True) if d in degrees]
        return self.count((self.note_at == 0) & np.isin(self.note_class, frame)) > 0

    @cached_property
    def bass_first(self) -> Mask:
        """Whether the lowest note of the first beat is the chord's bass."""
        chord = self.need.chord
        bass = chord.root_class if chord.bass is None else pitch_class(chord.bass)
        low = [min((n.pitch for n in c.notes if n.at == 0), default=-1) for c in self.candidates]
        found: Mask = np.array(low) % 12 == bass
        return found

    @cached_property
    def third_soon(self) -> Mask:
        """Whether the chord's third sounds within two beats; true where it has none."""
        quality = self.need.chord.quality
        third = [s for d, s in zip(quality.degrees, quality.classes, strict=True) if d in ("3", "b3")]
        if not third:
            return np.ones(self.size, dtype=bool)
        soon = self.note_at < (6 if self.need.compound else 4) * self.need.step
        return self.count(soon & np.isin(self.note_class, third)) > 0

    @cached_property
    def accented(self) -> Mask:
        """Which notes lie on accents: 3+3+2 in eight steps, the beats elsewhere; drones are not heard as such."""
        step, ticks = self.need.step, self.need.ticks
        if self.need.compound:
            on = self.note_at % (3 * step) == 0
        elif ticks % (8 * step) == 0:
            on = np.isin(self.note_at % (8 * step), [0, 3 * step, 6 * step])
        else:
            on = self.note_at % (2 * step) == 0
        found: Mask = on & ~self.note_drone
        return found

    @cached_property
    def sounds_seventh_or_third(self) -> Mask:
        """Whether the chord's third or its minor seventh sounds."""
        return self.count(np.isin(self.note_class, [3, 4, 10])) > 0

    @cached_property
    def ends_on_root(self) -> Mask:
        """Whether the last stroke has the root."""
        return self.count((self.note_at == self.last_at[self.owner]) & (self.note_class == 0)) > 0

    @cached_property
    def traits(self) -> Traits:
        """What joins need to know of the candidates."""
        return traits(self.candidates)

    def liking(self, motif: int, letter: int) -> Ints:
        """A small number for each candidate that depends on its lick and the motif only, for rolls on the letter of the phrase."""
        place, phrase = f"/{motif}".encode(), f"/{-1 - letter}".encode()
        said = np.array([crc32(place, name) % _LIKINGS for name in self._sums])
        carried = np.array([crc32(phrase, name) % _LIKINGS for name in self._sums])
        of: Ints = np.where(self.carrying, carried[self._name_of], said[self._name_of])
        return of

    @cached_property
    def leaving(self) -> npt.NDArray[np.int32]:
        """Where the hand leaves each candidate, as codes."""
        return self.traits.leaving

    @cached_property
    def entering(self) -> npt.NDArray[np.int32]:
        """Where the hand enters each candidate, as codes."""
        return self.traits.entering

    @cached_property
    def ways(self) -> Ints:
        """Numbers that are equal for candidates with the same region, entry and exit of the hand: joins with them cost the same
        as far as the way along the neck goes."""
        t = self.traits
        _, found = np.unique(np.stack([t.enter, t.leave, t.regions]), axis=1, return_inverse=True)
        return found.reshape(-1)

    def at_home(self, meter: str) -> Mask:
        """Which candidates belong to a meter."""
        if meter not in self._at_home:
            self._at_home[meter] = np.array([meter in c.meters for c in self.candidates], dtype=bool)
        return self._at_home[meter]


_REACHES = ((5, 1), (7, 2), (12, 3))
# up to these frets the neck is as hard as that; beyond the octave it is harder still

_WIDE_MM = 100.0
# a stretch for who has played for a while


def _reach(c: Candidate) -> int:
    """How hard a candidate's places on the neck are, as difficulties go: students learn it from the nut upwards."""
    highest = max((place for _, place in c.grip.positions), default=0)
    found = next((hard for fret, hard in _REACHES if highest <= fret), 4)
    return max(found, 3) if c.grip.stretch_mm > _WIDE_MM else found


_MOST = 300
# arrays remembered for a pool, each of a few hundred numbers
