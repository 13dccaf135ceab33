"""What joins need to know of candidates, as arrays."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

import numpy as np

from chartc.licks.lick import CARRYING
from chartc.neck.joint import Ends, Ints, Mask, ends
from chartc.slots.candidate import PLACES, Candidate


@dataclass(frozen=True, eq=False)
class Traits:
    """What joins need to know of candidates, as arrays with an entry for each. Names, bases and keys are numbers that are equal where
    the things are; `opens` and `closes` number the two-measure lick whose first or second half a candidate is, -1 elsewhere;
    `enter`, `leave`, `first`, `last` and `leads_to` are -1 where there is nothing."""

    names: Ints
    carrying: Mask
    rolls: Mask
    bases: Ints
    regions: Ints
    enter: Ints
    leave: Ints
    first: Ints
    last: Ints
    leads_to: Ints
    opens: Ints
    closes: Ints
    ends: Ends

    def take(self, index: Ints) -> Traits:
        """Some of the candidates."""
        arrays = {f.name: getattr(self, f.name)[index] for f in fields(self) if f.name != "ends"}
        return Traits(**arrays, ends=self.ends.take(index))


_numbers: dict[object, int] = {}
# equal things have equal numbers; nothing depends on which


def _number(thing: object) -> int:
    return _numbers.setdefault(thing, len(_numbers))


def traits(found: Sequence[Candidate]) -> Traits:
    """The traits of candidates."""

    def ints(values: Iterable[int]) -> Ints:
        return np.fromiter(values, dtype=np.int64, count=len(found))

    places = tuple(PLACES)
    return Traits(
        ints(_number(c.lick) for c in found),
        np.array([c.role in CARRYING for c in found], dtype=bool),
        np.array([c.role in ("roll", "vamp", "lead-in") for c in found], dtype=bool),
        ints(_number(c.base) for c in found),
        ints(places.index(c.place) for c in found),
        ints(c.grip.entry.position if c.grip.entry else -1 for c in found),
        ints(c.grip.exit.position if c.grip.exit else -1 for c in found),
        ints(c.notes[0].pitch if c.notes and not c.notes[0].at else -1 for c in found),
        ints(c.notes[-1].pitch if c.notes else -1 for c in found),
        ints(-1 if c.leads_to is None else c.leads_to for c in found),
        ints(_number(c.key) if c.part == (1, 2) else -1 for c in found),
        ints(_number(c.key) if c.part == (2, 2) else -1 for c in found),
        ends([c.grip for c in found]),
    )
