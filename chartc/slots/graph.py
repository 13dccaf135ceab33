"""A graph of choices as the search sees it: variables with values, tables for pairs of them, and limits that are found on the way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from chartc.slots.relax import Pair, Tree

Costs = npt.NDArray[np.int32]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Some:
    """Some values of a variable: `which` are compared (so many of the first, or these), `others` stand for the rest."""

    which: Ints | int
    others: Ints | None = None

    @cached_property
    def index(self) -> Ints:
        """All of them in a row."""
        which = np.arange(self.which) if isinstance(self.which, int) else self.which
        return which if self.others is None else np.concatenate([which, self.others])

    @cached_property
    def key(self) -> bytes:
        """Equal for the same values."""
        return self.count.to_bytes(4, "big") + self.index.tobytes()

    @property
    def count(self) -> int:
        """How many are compared."""
        return self.which if isinstance(self.which, int) else len(self.which)


def one(value: int) -> Some:
    """A single value."""
    return Some(np.array([value]))


Table = Callable[[Some, Some], Costs]
"""The costs of a pair for some values of either; with the others, which stand behind, at most what each of the rest costs."""


@dataclass(frozen=True)
class Graph:
    """What is to be chosen: a cost for each value of each variable, and pairs of variables with tables; `tables` gives those of some
    pairs for some values, all together. `groups` are numbers that are equal for values of which one may stand for the
    others, where there are too many to compare them all."""

    own: Sequence[Costs]
    pairs: Sequence[Pair]
    tables: Callable[[Mapping[Pair, tuple[Some, Some]]], dict[Pair, Costs]]
    tree: Tree
    groups: Sequence[Ints]
    cheapest: Sequence[Some | None] | None = None
    """The cheapest values of the variables (see `cheapest`), where they are known."""

    def between(self, pairs: Iterable[Pair], some: Sequence[Some]) -> dict[Pair, Costs]:
        """The tables of pairs for some values of each variable."""
        return self.tables({(a, b): (some[a], some[b]) for a, b in pairs})


class Limits:
    """Pairs of variables whose values limit each other, found when a choice breaks them. `broken` names the ones that a choice
    breaks, with their tables."""

    def __init__(self, broken: Callable[[Sequence[int]], dict[Pair, Table]]) -> None:
        self.broken = broken
        self.known: dict[Pair, Table] = {}
