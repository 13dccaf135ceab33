"""A lick: notes written over one chord, with what it serves. A roll is a lick whose frets come from a chord shape."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from chartc.licks.notation import STEP, RawNote
from chartc.text.source import Span
from chartc.theory.chord import Quality, quality

ROLES = ("roll", "vamp", "lick", "fill", "lead-in", "kickoff", "turnaround", "ending")
"""What a lick is for. Rolls and vamps carry the song along and may go on; the others say something."""

REST = "rest"
"""The role of a slot in which the banjo is silent; it can be asked for like the others."""

CARRYING = ("roll", "vamp", REST)
"""Roles that may stand any number of times in a row."""

FAMILIES = {
    "major": "",
    "minor": "m",
    "seventh": "7",
    "diminished": "dim",
    "half-diminished": "m7b5",
    "augmented": "aug",
    "suspended": "sus4",
    "power": "5",
}
"""The kinds of chord that a lick may serve, each with the suffix that stands for it when a lick is proven."""


def family_quality(family: str) -> Quality:
    """The quality that stands for a family."""
    found = quality(FAMILIES[family])
    assert found is not None
    return found


@dataclass(frozen=True)
class Lick:
    """One entry of the library. Times are ticks at 240 a step (an eighth note); slots in sixteenths halve them.

    `root` is the pitch class of the chord the lick is written over (-1: a roll, or a lead-in from any chord), `serves` the
    kinds of chord it suits. `target` is the pitch class of the chord a lead-in lands on. A `movable` lick follows its chord along the neck, its
    index finger between the frets `lowest` and `highest`; any other stands where it is written. `tensions` are semitones
    above the root, named by the author as meant. `without_fifth` are the strings that stand in for the short string, note by note, where it
    fights the chord (empty: the note is left out). `order` is the place in the library.
    """

    name: str
    role: str
    about: str
    serves: frozenset[str]
    root: int
    target: int | None
    movable: bool
    lowest: int
    highest: int
    ticks: int
    compound: bool
    meters: tuple[str, ...]
    tensions: frozenset[int]
    difficulty: int
    notes: tuple[RawNote, ...]
    rests: tuple[tuple[int, int], ...]
    without_fifth: tuple[int, ...]
    tuning: tuple[int, ...]
    span: Span
    order: int

    @property
    def pattern(self) -> bool:
        """Whether the frets come from a chord shape."""
        return self.role in ("roll", "vamp")

    @cached_property
    def steps(self) -> int:
        """Length in steps."""
        return self.ticks // STEP

    @cached_property
    def ornaments(self) -> int:
        """How many notes are hammered, pulled, slid or choked."""
        return sum(n.how in ("hammer-on", "pull-off", "slide", "choke") for n in self.notes)


@dataclass(frozen=True, eq=False)
class Library:
    """Licks in order; names are unique. Compared by identity: what is made from a library is remembered for it.

    `beyond` are licks that are right in themselves but lie beyond the limits of the hand that the library is for.
    """

    licks: tuple[Lick, ...]
    beyond: tuple[Lick, ...] = ()

    @cached_property
    def by_name(self) -> dict[str, Lick]:
        """The licks by name."""
        return {lick.name: lick for lick in self.licks}
