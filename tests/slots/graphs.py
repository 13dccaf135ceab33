"""Graphs of choices by lot, as songs have them: chains with circles, and limits that a search finds on its way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from chartc.slots.eliminate import least
from chartc.slots.graph import Costs, Graph, Limits, Some, Table
from chartc.slots.relax import Pair, spanning
from chartc.slots.search import search

NEVER = 10**8

WIDE = 10**6


@dataclass(frozen=True)
class Long:
    """A chain of variables with a few circles, and limits between neighbours but one or two that a search finds on its way."""

    own: list[Costs]
    tables: dict[Pair, Costs]
    limits: dict[Pair, Costs]

    def broken(self, choice: Sequence[int]) -> dict[Pair, Table]:
        """The limits that a choice breaks."""
        return {(a, b): _some(t) for (a, b), t in self.limits.items() if t[choice[a], choice[b]]}

    def graph(self) -> Graph:
        """All but the limits, as the search sees it."""

        def between(wanted: Mapping[Pair, tuple[Some, Some]]) -> dict[Pair, Costs]:
            return {pair: _some(self.tables[pair])(*both) for pair, both in wanted.items()}

        pairs = tuple(self.tables)
        groups = [np.zeros(len(costs), dtype=np.int64) for costs in self.own]
        return Graph(self.own, pairs, between, spanning(len(self.own), pairs), groups)

    def costs(self, choice: Sequence[int]) -> int:
        """What a choice really costs."""
        total = sum(int(costs[x]) for costs, x in zip(self.own, choice, strict=True))
        for (a, b), table in (*self.tables.items(), *self.limits.items()):
            total += int(table[choice[a], choice[b]])
        return min(total, NEVER)

    def found(self, widest: int = WIDE) -> tuple[int, bool, int, int]:
        """What the search says is the least sum, whether it claims so, what its choice really costs, and what it says none costs less than."""
        answer = search(self.graph(), Limits(self.broken), NEVER, widest)
        return answer.total, answer.exact, self.costs(answer.choice), answer.least

    def truth(self) -> int:
        """The least sum, all limits known from the start."""
        return least(self.own, {**self.tables, **self.limits}, NEVER).total


def _some(table: Costs) -> Table:
    return lambda rows, columns: table[rows.index][:, columns.index]


def costs_of(rng: np.random.Generator, count: int, values: int) -> list[Costs]:
    """Costs of so many variables, each with so many values at most."""
    return [
        rng.integers(0, int(rng.choice([3, 12])), int(rng.integers(1, values + 1))).astype(np.int32)
        for _ in range(count)
    ]


def tables_of(
    rng: np.random.Generator, own: Sequence[Costs], pairs: Iterable[Pair], forbidden: float
) -> dict[Pair, Costs]:
    """A table for each pair, a share of its entries forbidden."""
    tables = {}
    for a, b in sorted(pairs):
        table = rng.integers(0, int(rng.choice([3, 12])), (len(own[a]), len(own[b]))).astype(np.int32)
        table[rng.random(table.shape) < forbidden] = NEVER
        tables[a, b] = table
    return tables


def limited(
    rng: np.random.Generator, own: Sequence[Costs], tables: Mapping[Pair, Costs], dense: float
) -> dict[Pair, Costs]:
    """Limits between variables two or three apart."""
    limits = {}
    for a in range(len(own) - 2):
        for b in (a + 2, a + 3):
            if b < len(own) and (a, b) not in tables and rng.random() < dense:
                hit = rng.random((len(own[a]), len(own[b]))) < 0.4
                limits[a, b] = np.where(hit, int(rng.choice([2, 5, 9, NEVER])), 0).astype(np.int32)
    return limits


def long_song(seed: int) -> Long:
    """A song of nine to twenty-one variables."""
    rng = np.random.default_rng(seed)
    dense = float(rng.choice([0.15, 0.4, 0.8]))
    count = int(rng.integers(9, 22))
    values = int(rng.integers(2, 7))
    own = costs_of(rng, count, values)
    pairs = {(v - 1, v) for v in range(1, count)}
    for _ in range(int(rng.integers(0, 3))):
        a = int(rng.integers(0, count - 2))
        pairs.add((a, min(count - 1, a + int(rng.integers(2, 4)))))
    tables = tables_of(rng, own, pairs, 0.1)
    return Long(own, tables, limited(rng, own, tables, dense))


def tangled_song(seed: int) -> Long:
    """A song of four to twenty-one variables with up to six circles, one of which may be long, or in two halves."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 22))
    values = int(rng.integers(2, 7))
    own = costs_of(rng, count, values)
    pairs = {(v - 1, v) for v in range(1, count)}
    for _ in range(int(rng.choice([0, 0, 1, 2, 5]))):
        a = int(rng.integers(0, count - 2))
        pairs.add((a, min(count - 1, a + int(rng.integers(2, 4)))))
    if rng.random() < 0.2 and count > 8:
        a, b = sorted(rng.choice(count, 2, replace=False).tolist())
        pairs.add((a, b))
    if rng.random() < 0.1 and len(pairs) > 3:
        pairs.discard(sorted(pairs)[int(rng.integers(0, len(pairs)))])
    tables = tables_of(rng, own, pairs, float(rng.choice([0, 0.1, 0.3])))
    return Long(own, tables, limited(rng, own, tables, float(rng.choice([0, 0.15, 0.4, 0.8]))))
