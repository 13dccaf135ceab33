"""The search by bounds against trying everything, on graphs of every shape: chains, circles, stars, songs in blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chartc.slots import relax as relaxing
from chartc.slots import search as searching
from chartc.slots import settle as settling
from chartc.slots.eliminate import least
from chartc.slots.graph import Graph, Limits, Some, Table
from chartc.slots.relax import Pair, relax, spanning
from chartc.slots.search import cheapest, search

NEVER = 10**8
Costs = npt.NDArray[np.int32]


class World:
    """A graph as numbers: costs, tables, groups of alike values, and prices for pairs of variables that hold the same value."""

    def __init__(self, seed: int, count: int, values: int, extra: int, forbidden: float, limits: int) -> None:
        rng = np.random.default_rng(seed)
        self.own = [
            rng.integers(0, rng.choice([6, 40]), rng.integers(1, values + 1)).astype(np.int32) for _ in range(count)
        ]
        pairs = {(v - 1, v) for v in range(1, count)}
        pairs |= {tuple(sorted(rng.choice(count, 2, replace=False).tolist())) for _ in range(extra) if count > 1}
        self.tables: dict[Pair, Costs] = {}
        for a, b in sorted(pairs):
            table = rng.integers(0, rng.choice([4, 30]), (len(self.own[a]), len(self.own[b]))).astype(np.int32)
            table[rng.random(table.shape) < forbidden] = NEVER
            self.tables[a, b] = table
        self.groups = [rng.integers(0, 3, len(c)) for c in self.own]
        self.prices: dict[Pair, int] = {}
        for _ in range(limits if count > 2 else 0):
            a, b = sorted(rng.choice(count, 2, replace=False).tolist())
            if (a, b) not in self.tables:
                self.prices[a, b] = int(rng.choice([4, NEVER]))

    def table(self, pair: Pair) -> Table:
        """The table of a pair; what stands for others costs no more than any of its group."""
        a, b = pair

        def found(rows: Some, columns: Some) -> Costs:
            full = self.tables[pair]
            least = full.copy()
            for group in range(3):
                alike = self.groups[a] == group
                if alike.any():
                    least[alike] = least[alike].min(axis=0)
            closed = least.copy()
            for group in range(3):
                alike = self.groups[b] == group
                if alike.any():
                    closed[:, alike] = closed[:, alike].min(axis=1)[:, None]
            out = closed[rows.index[:, None], columns.index]
            out[: rows.count, : columns.count] = full[rows.index[: rows.count, None], columns.index[: columns.count]]
            return out

        return found

    def broken(self, choice: Sequence[int]) -> dict[Pair, Table]:
        """The limits that a choice breaks."""

        def limit(price: int) -> Table:
            return lambda rows, columns: np.where(rows.index[:, None] == columns.index, price, 0).astype(np.int32)

        return {(a, b): limit(price) for (a, b), price in self.prices.items() if choice[a] == choice[b]}

    def graph(self) -> Graph:
        """The graph as the search wants it."""
        return Graph(
            self.own,
            tuple(self.tables),
            lambda wanted: {pair: self.table(pair)(*some) for pair, some in wanted.items()},
            spanning(len(self.own), tuple(self.tables)),
            self.groups,
        )

    def cost(self, choice: Sequence[int]) -> int:
        """What a choice costs, at most NEVER."""
        total = sum(int(c[x]) for c, x in zip(self.own, choice, strict=True))
        total += sum(int(t[choice[a], choice[b]]) for (a, b), t in self.tables.items())
        total += sum(price for (a, b), price in self.prices.items() if choice[a] == choice[b])
        return min(total, NEVER)

    def every(self) -> list[tuple[int, ...]]:
        """All choices."""
        return list(product(*(range(len(c)) for c in self.own)))

    def truths(self) -> Iterator[tuple[int, int, int]]:
        """For every value of every variable what the best choice with it costs."""
        for v, costs in enumerate(self.own):
            for x in range(len(costs)):
                yield v, x, min(self.cost(choice) for choice in self.every() if choice[v] == x)


worlds = st.builds(
    World,
    seed=st.integers(0, 10**9),
    count=st.integers(1, 6),
    values=st.integers(1, 5),
    extra=st.integers(0, 4),
    forbidden=st.sampled_from([0.0, 0.2, 0.6]),
    limits=st.integers(0, 3),
)


@pytest.fixture(params=[(2, 0), (6, 2), (100, 0), (100, 12)])
def narrow(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Songs cut into blocks as small as can be, and not cut; few values looked at first, and more."""
    block, slack = request.param
    monkeypatch.setattr(relaxing, "BLOCK", block)
    monkeypatch.setattr(settling, "BLOCK", block)
    monkeypatch.setattr(settling, "SLACK", slack)
    monkeypatch.setattr(searching, "SLACK", slack)
    return block, slack


def fixtured(test: Callable[..., None]) -> Callable[..., None]:
    """Many examples; the fixture holds for all of them alike."""
    return settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])(test)


@fixtured
@given(world=worlds, sizes=st.sampled_from([(1, 2), (2, 3), (9,)]))
def test_the_search_finds_the_least_of_all(narrow: tuple[int, int], world: World, sizes: tuple[int, ...]) -> None:
    """Protects the best choice: whatever the graph, however few values are compared at first, wherever the song is cut into blocks,
    the answer costs what the best of all choices does, limits counted, and costs what it says."""
    found = search(world.graph(), Limits(world.broken), NEVER, 10**6, sizes)
    assert found.exact
    assert found.total == min(world.cost(choice) for choice in world.every())
    if found.total < NEVER:
        assert world.cost(found.choice) == found.total


songlike = st.builds(
    World,
    seed=st.integers(0, 10**9),
    count=st.integers(10, 40),
    values=st.integers(2, 7),
    extra=st.integers(0, 3),
    forbidden=st.sampled_from([0.0, 0.1]),
    limits=st.just(0),
)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(world=songlike, price=st.sampled_from([3, 8, NEVER]), sizes=st.sampled_from([(1,), (2, 3), (9,)]))
def test_the_search_is_as_good_as_plain_elimination(
    narrow: tuple[int, int], world: World, price: int, sizes: tuple[int, ...]
) -> None:
    """Protects whole songs, too large to try everything: eliminating variables without any bound, with all limits from the beginning,
    gives the same total."""
    count = len(world.own)
    world.prices = {(v, v + 2): price for v in range(count - 2) if (v, v + 2) not in world.tables}
    tables: dict[Pair, npt.NDArray[np.int64]] = {pair: t.astype(np.int64) for pair, t in world.tables.items()}
    for a, b in world.prices:
        same = np.arange(len(world.own[a]))[:, None] == np.arange(len(world.own[b]))
        tables[a, b] = np.where(same, price, 0)
    plain = least([c.astype(np.int64) for c in world.own], tables, NEVER)
    found = search(world.graph(), Limits(world.broken), NEVER, 30_000_000, sizes)
    assert plain.exact and found.exact
    assert found.total == plain.total
    if found.total < NEVER:
        assert world.cost(found.choice) == found.total


@fixtured
@given(world=worlds, rounds=st.integers(0, 3))
def test_a_bound_is_never_more_than_the_truth(world: World, rounds: int) -> None:
    """Protects what is left out: no choice with a value costs less than the bound says of that value."""
    tree = spanning(len(world.own), tuple(world.tables))
    bound = relax(tree, world.own, world.tables, NEVER, rounds)
    world.prices = {}
    for v, x, truth in world.truths():
        assert min(NEVER, bound.least + int(bound.spare[v][x])) <= truth


@fixtured
@given(world=worlds, most=st.integers(0, 30), cut=st.sets(st.integers(1, 5)))
def test_a_bound_in_blocks_is_never_more_than_the_truth(world: World, most: int, cut: set[int]) -> None:
    """Protects long songs: wherever a chain is cut into blocks, no choice with a value costs less than its block's bound says."""
    world.prices = {}
    world.tables = {pair: table for pair, table in world.tables.items() if pair[1] == pair[0] + 1}
    tree = spanning(len(world.own), tuple(world.tables))
    tree = replace(tree, tops=frozenset(cut & set(tree.seams)))
    bound = relax(tree, world.own, world.tables, NEVER, 0, most)
    for v, x, truth in world.truths():
        assert min(NEVER, bound.least + int(bound.spare[v][x])) <= truth


@fixtured
@given(world=worlds)
def test_along_a_tree_the_bound_is_the_truth(world: World) -> None:
    """Protects speed: without circles the bound leaves out all that can be left out."""
    world.prices = {}
    world.tables = {pair: table for pair, table in world.tables.items() if pair[1] == pair[0] + 1}
    tree = spanning(len(world.own), tuple(world.tables))
    bound = relax(tree, world.own, world.tables, NEVER, 0)
    for v, x, truth in world.truths():
        assert truth == NEVER or bound.least + int(bound.spare[v][x]) == truth


def test_a_long_song_with_limits_all_along_is_cut_and_still_exact(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects long songs: a chain of 300 whose limits overlap everywhere has the same answer in blocks as in one."""
    rng = np.random.default_rng(3)
    own = [rng.integers(0, 6, 7).astype(np.int32) for _ in range(300)]
    tables = {(v - 1, v): rng.integers(0, 4, (7, 7)).astype(np.int32) for v in range(1, 300)}

    def answer(block: int) -> int:
        monkeypatch.setattr(relaxing, "BLOCK", block)
        monkeypatch.setattr(settling, "BLOCK", block)

        def same(rows: Some, columns: Some) -> Costs:
            return np.where(rows.index[:, None] == columns.index, NEVER, 0).astype(np.int32)

        def broken(choice: Sequence[int]) -> dict[Pair, Table]:
            return {(v, v + 2): same for v in range(298) if choice[v] == choice[v + 2]}

        def between(wanted: Mapping[Pair, tuple[Some, Some]]) -> dict[Pair, Costs]:
            return {p: tables[p][rows.index[:, None], columns.index] for p, (rows, columns) in wanted.items()}

        graph = Graph(own, tuple(tables), between, spanning(300, tuple(tables)), [np.arange(7)] * 300)
        found = search(graph, Limits(broken), NEVER, 10**6)
        assert found.exact
        assert not broken(found.choice)
        return found.total

    assert answer(10) == answer(40) == answer(1000)


def test_the_cheapest_come_first_and_one_stands_for_each_group() -> None:
    """Protects the shortened lists: the cheapest values are compared, and of the rest the cheapest of every group stands behind."""
    own = np.array([0, 1, 2, 50, 51, 52], dtype=np.int32)
    some = cheapest(own, np.array([0, 0, 1, 1, 1, 2]), (2, 3))
    assert (some.count, some.index.tolist()) == (3, [0, 1, 2, 3, 5])
    upside_down = cheapest(own[::-1], np.array([2, 1, 1, 1, 0, 0]), (2, 3))
    assert (upside_down.count, upside_down.index.tolist()) == (3, [5, 4, 3, 2, 0])
