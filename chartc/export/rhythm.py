"""Lengths in ticks as note values, tied where one value is not enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from chartc.theory.meter import DIVISION


@dataclass(frozen=True, slots=True)
class Value:
    """A note value: its name in the standard, whether it is dotted, whether it is one of three in the time of two."""

    ticks: int
    name: str
    dotted: bool = False
    triplet: bool = False

    @property
    def flags(self) -> int:
        """Beams or flags that it has."""
        return {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4}.get(self.name, 0)


_NAMES = ("whole", "half", "quarter", "eighth", "16th", "32nd", "64th")

VALUES: tuple[Value, ...] = tuple(
    sorted(
        (
            Value(ticks, name, dotted, triplet)
            for n, name in enumerate(_NAMES)
            for plain in [4 * DIVISION >> n]
            for ticks, dotted, triplet in (
                (plain, False, False),
                (plain * 3 // 2, True, False),
                (plain * 2 // 3, False, True),
            )
            if not (triplet and n < 2)
        ),
        key=lambda v: -v.ticks,
    )
)
"""Every value, the longest first."""

_PLAIN = tuple(v for v in VALUES if not v.triplet)
_TRIPLETS = {v.ticks: v for v in VALUES if v.triplet}


def values(ticks: int) -> Iterator[Value]:
    """The values that make up a length, to be tied. Raises ValueError where none do: less than a sixty-fourth is left."""
    exact = _TRIPLETS.get(ticks)
    if exact is not None:
        yield exact
        return
    left = ticks
    while left:
        found = next((v for v in _PLAIN if v.ticks <= left), None)
        rest = left - found.ticks if found else left
        if found is None or (rest and rest < 30):
            # what is no multiple of plain values ends in one triplet note
            found = next((v for v in _TRIPLETS.values() if v.ticks <= left and (left - v.ticks) % 30 == 0), None)
            if found is None:
                raise ValueError(f"{ticks} ticks are no note values")
        yield found
        left -= found.ticks
