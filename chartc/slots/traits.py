"""What joins need to know of candidates, as arrays."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from chartc.licks.lick import CARRYING
from chartc.neck.joint import ENDS, Ends, Ints, Row, Tabled, ends
from chartc.slots.candidate import PLACES, Candidate

FRETS = 40
"""More than any neck has."""

MAJOR_THIRD = 4
"""In semitones."""

CODES = (FRETS + 1) * len(PLACES)
"""Codes of a fret (from -1: open-handed) and a region."""


class Traits(Tabled):
    """What joins need to know of candidates. Names, bases and keys are numbers that are equal where the things are; `carrying` and
    `rolls` are 0 or 1; `opens` and `closes` number the two-measure lick whose first or second half a candidate is, -1
    elsewhere; `enter`, `leave`, `first`, `last` and `leads_to` are -1 where there is nothing; `brightens` is 1 for a lead-in whose tail
    has the major third of the chord that it makes for."""

    names, carrying, rolls, bases = Row(ENDS), Row(ENDS + 1), Row(ENDS + 2), Row(ENDS + 3)
    regions, enter, leave = Row(ENDS + 4), Row(ENDS + 5), Row(ENDS + 6)
    first, last, leads_to = Row(ENDS + 7), Row(ENDS + 8), Row(ENDS + 9)
    opens, closes, brightens = Row(ENDS + 10), Row(ENDS + 11), Row(ENDS + 12)

    @property
    def ends(self) -> Ends:
        """Both ends of the candidates."""
        return Ends(self.table[..., :ENDS, :])

    @property
    def leaving(self) -> Ints:
        """Where the hand leaves, as codes."""
        return (self.leave + 1) * len(PLACES) + self.regions

    @property
    def entering(self) -> Ints:
        """Where the hand enters, as codes."""
        return (self.enter + 1) * len(PLACES) + self.regions


_numbers: dict[object, int] = {}
# equal things have equal numbers; nothing depends on which


def _number(thing: object) -> int:
    return _numbers.setdefault(thing, len(_numbers))


def _brightens(c: Candidate) -> bool:
    if c.leads_to is None or not c.notes:
        return False
    begins = max([n.at + n.ticks for n in c.notes]) - c.tail
    return any((n.pitch - c.leads_to) % 12 == MAJOR_THIRD for n in c.notes if n.at >= begins)


def traits(found: Sequence[Candidate]) -> Traits:
    """The traits of candidates."""
    places = tuple(PLACES)
    rows = [
        [_number(c.lick) for c in found],
        [c.role in CARRYING for c in found],
        [c.role in ("roll", "vamp", "lead-in") for c in found],
        [_number(c.base) for c in found],
        [places.index(c.place) for c in found],
        [c.grip.entry.position if c.grip.entry else -1 for c in found],
        [c.grip.exit.position if c.grip.exit else -1 for c in found],
        [c.notes[0].pitch if c.notes and not c.notes[0].at else -1 for c in found],
        [c.notes[-1].pitch if c.notes else -1 for c in found],
        [-1 if c.leads_to is None else c.leads_to for c in found],
        [_number(c.key) if c.part == (1, 2) else -1 for c in found],
        [_number(c.key) if c.part == (2, 2) else -1 for c in found],
        [_brightens(c) for c in found],
    ]
    return Traits(np.concatenate([ends([c.grip for c in found]).table, np.array(rows, dtype=np.int32)]))
