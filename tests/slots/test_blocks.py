"""A long song is searched in blocks, a tangled one with tables that may be too wide: what is noted of each block must leave nothing
better out, and nothing is called the best that is not. Against plain elimination."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import pytest

from chartc.slots import relax as relaxing
from chartc.slots import search as searching
from chartc.slots import settle as settling
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

    def found(self, widest: int = WIDE) -> tuple[int, bool, int, int]:
        """What the search says is the least sum, whether it claims so, what its choice really costs, and what it says none costs less than."""

        def some(table: Costs) -> Table:
            return lambda rows, columns: table[rows.index][:, columns.index]

        def broken(choice: Sequence[int]) -> dict[Pair, Table]:
            return {(a, b): some(t) for (a, b), t in self.limits.items() if t[choice[a], choice[b]]}

        def between(wanted: Mapping[Pair, tuple[Some, Some]]) -> dict[Pair, Costs]:
            return {pair: some(self.tables[pair])(*both) for pair, both in wanted.items()}

        pairs = tuple(self.tables)
        groups = [np.zeros(len(costs), dtype=np.int64) for costs in self.own]
        answer = search(
            Graph(self.own, pairs, between, spanning(len(self.own), pairs), groups), Limits(broken), NEVER, widest
        )
        total = sum(int(costs[x]) for costs, x in zip(self.own, answer.choice, strict=True))
        for (a, b), table in (*self.tables.items(), *self.limits.items()):
            total += int(table[answer.choice[a], answer.choice[b]])
        return answer.total, answer.exact, min(total, NEVER), answer.least

    def truth(self) -> int:
        """The least sum, all limits known from the start."""
        return least(self.own, {**self.tables, **self.limits}, NEVER).total


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


# songs in which one fault of the bookkeeping, made on purpose, gives a dearer choice than the best (found among 12,000)
TELLING = {
    "what a block may cost grows, and the bound with it": (65,),
    "blocks that a limit between them changed are solved again": (4201, 5080),
    "what blocks save together counts for each of them": (3408, 4326, 5319, 5910, 5929),
}


@pytest.mark.parametrize("slack", [0, 1])
@pytest.mark.parametrize("seeds", [*TELLING.values(), tuple(range(150))], ids=[*TELLING, "any"])
def test_a_song_in_blocks_is_chosen_as_without_them(
    seeds: tuple[int, ...], slack: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects the proof for long songs: cut into the smallest blocks, with few values looked at first, the least sum is that of plain
    elimination, and the choice costs it."""
    for module in (relaxing, settling):
        monkeypatch.setattr(module, "BLOCK", 2)
    for module in (searching, settling):
        monkeypatch.setattr(module, "SLACK", slack)
    for seed in seeds:
        song = long_song(seed)
        total, exact, paid, _ = song.found()
        assert (seed, total, exact) == (seed, song.truth(), True)
        assert paid == total


# the same among 60,000 tangled songs, found with one fault made on purpose
TELLING_TANGLED = {
    "no choice within too wide a table is no proof that there is none": (12, 45, 62, 84, 115),
    "a choice is the best by its own tables, not by narrower ones of an earlier round": (274, 313, 390, 511),
    "the value above a seam is the best for what lies beneath": (372, 1164, 2240, 4262),
    "a limit across a seam is paid": (1, 9, 38, 42),
    "a block is chosen as for itself alone": (82, 104, 121, 194),
    "blocks that a limit joins are solved again": (3831, 7429),
}


@pytest.mark.parametrize("seeds", [*TELLING_TANGLED.values(), tuple(range(400))], ids=[*TELLING_TANGLED, "any"])
def test_nothing_is_called_the_best_that_is_not(seeds: tuple[int, ...], monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the word "exact": however small the blocks, however few values are looked at first, however narrow the tables must be, a
    choice that is called the best costs what the best does; and where tables may be wide it is the best."""
    for seed in seeds:
        chance = np.random.default_rng(seed + 10**9)
        block, slack, widest = (int(chance.choice(x)) for x in ((1, 2, 2, 3), (0, 1, 2, 5), (WIDE, WIDE, 30, 8)))
        for module in (relaxing, settling):
            monkeypatch.setattr(module, "BLOCK", block)
        for module in (searching, settling):
            monkeypatch.setattr(module, "SLACK", slack)
        song = tangled_song(seed)
        total, exact, paid, bound = song.found(widest)
        least_sum = song.truth()
        assert (seed, exact or widest < WIDE) == (seed, True)
        assert (seed, total == least_sum or not exact, total >= least_sum) == (seed, True, True)
        assert total in (NEVER, paid)
        assert (seed, bound <= least_sum) == (seed, True)
