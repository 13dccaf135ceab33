"""The least sum over a graph of choices, against trying everything."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartc.slots import eliminate
from chartc.slots.eliminate import Answer, Costs, least

NEVER = 10**8


def cost(own: list[Costs], between: dict[tuple[int, int], Costs], choice: tuple[int, ...]) -> int:
    """What a choice costs, added up one by one."""
    total = sum(int(table[x]) for table, x in zip(own, choice, strict=True))
    total += sum(int(table[choice[i], choice[j]]) for (i, j), table in between.items())
    return min(total, NEVER)


def everything(own: list[Costs], between: dict[tuple[int, int], Costs]) -> int:
    """The least cost of all choices, by trying every one."""
    return min(cost(own, between, choice) for choice in product(*(range(len(t)) for t in own)))


def chain(n: int) -> list[tuple[int, int]]:
    """Slots of a song that is played straight through."""
    return [(i, i + 1) for i in range(n - 1)]


def cycle(n: int) -> list[tuple[int, int]]:
    """A section that is played over and over."""
    return [*chain(n), *([(0, n - 1)] if n > 2 else [])]


def star(n: int) -> list[tuple[int, int]]:
    """One measure between many others."""
    return [(0, i) for i in range(1, n)]


def returning(n: int) -> list[tuple[int, int]]:
    """Two sections in turn: each end meets the other's beginning."""
    half = max(1, n // 2)
    pairs = [*chain(half), *((i, i + 1) for i in range(half, n - 1)), (half - 1, half), (0, n - 1)]
    return sorted({(i, j) for i, j in pairs if i < j < n})


def everywhere(n: int) -> list[tuple[int, int]]:
    """Every slot beside every other."""
    return list(combinations(range(n), 2))


SHAPES = (chain, cycle, star, returning, everywhere)
Graph = tuple[list[Costs], dict[tuple[int, int], Costs]]


@st.composite
def graphs(draw: st.DrawFn) -> Graph:
    """A small graph with some forbidden values."""
    n = draw(st.integers(1, 6))
    sizes = [draw(st.integers(1, 4 if n < 5 else 3)) for _ in range(n)]
    value = st.one_of(st.integers(0, 9), st.integers(0, 9), st.sampled_from((NEVER, 0)))
    edges = draw(st.sampled_from(SHAPES))(n)
    if draw(st.booleans()):
        edges = [e for e in edges if draw(st.booleans())]

    def table(*shape: int) -> Costs:
        size = int(np.prod(shape))
        return np.array(draw(st.lists(value, min_size=size, max_size=size)), dtype=np.int64).reshape(shape)

    return [table(s) for s in sizes], {(i, j): table(sizes[i], sizes[j]) for i, j in edges}


@settings(max_examples=250)
@given(graphs())
def test_least_of_all_choices(graph: Graph) -> None:
    """Protects the choice from missing a better way through the song: no other choice of licks costs less, and the sum that
    is named is the sum of what was chosen."""
    own, between = graph
    answer = least(own, between, NEVER)
    assert answer.exact
    assert answer.total == everything(own, between)
    if answer.total < NEVER:
        assert cost(own, between, answer.choice) == answer.total


@settings(max_examples=120)
@given(graphs(), st.integers(0, 30))
def test_a_table_limit_gives_an_honest_answer(graph: Graph, widest: int) -> None:
    """Protects songs whose form is too tangled to be proven: there is an answer, its sum is true, and it says that it is not
    proven to be the least wherever it could not be."""
    own, between = graph
    answer = least(own, between, NEVER, widest)
    assert len(answer.choice) == len(own)
    assert all(0 <= x < len(table) for x, table in zip(answer.choice, own, strict=True))
    if answer.total < NEVER:
        assert cost(own, between, answer.choice) == answer.total
    assert answer.total >= everything(own, between)
    if answer.exact:
        assert answer.total == everything(own, between)


def test_too_small_a_limit_is_said() -> None:
    """Protects against calling a guess exact: with room for nothing, not even one slot's own table is proven."""
    own = [np.array([3, 1], dtype=np.int64), np.array([5, 2], dtype=np.int64)]
    between = {(0, 1): np.array([[0, 9], [9, 0]], dtype=np.int64)}
    assert not least(own, between, NEVER, 1).exact
    assert least(own, between, NEVER, 4) == Answer((1, 1), 3, True)


def test_all_forbidden() -> None:
    """Protects the way in which contradictions are noticed: where nothing is allowed the sum is the forbidden one, not beyond."""
    never = np.full((2, 2), NEVER, dtype=np.int64)
    zero = np.zeros(2, dtype=np.int64)
    assert least([zero, zero, zero], {(0, 1): never, (1, 2): never}, NEVER).total == NEVER
    assert least([zero + NEVER, zero + NEVER], {}, NEVER).total == NEVER


@pytest.mark.parametrize("leaves", [20, 30, 60, 300])
def test_one_measure_among_very_many(leaves: int) -> None:
    """Protects a tag between dozens of verses: forbidden values that add up stay forbidden, however many meet in one place."""
    own = [np.zeros(2, dtype=np.int64), *(np.zeros(3, dtype=np.int64) for _ in range(leaves))]
    between = {(0, n): np.array([[NEVER] * 3, [1, 2, 3]], dtype=np.int64) for n in range(1, leaves + 1)}
    assert least(own, between, NEVER) == Answer((1, *[0] * leaves), leaves, True)
    assert least(own, between, NEVER, 2).choice[0] == 1


def test_nothing_to_choose() -> None:
    """Protects charts without any chord: no slot is no cost."""
    assert least([], {}, NEVER) == Answer((), 0, True)


def test_slots_that_never_meet() -> None:
    """Protects songs that fall apart into pieces: each is the best for itself."""
    own = [np.array([2, 1, 3], dtype=np.int64), np.array([0, 4], dtype=np.int64), np.array([7], dtype=np.int64)]
    assert least(own, {}, NEVER) == Answer((1, 0, 0), 8, True)


def test_equal_sums_are_settled() -> None:
    """Protects reproducible sheets: of two equal choices the same one is taken each time, and it is the earlier candidate."""
    own = [np.zeros(3, dtype=np.int64)] * 4
    between = {edge: np.zeros((3, 3), dtype=np.int64) for edge in cycle(4)}
    answers = {least(own, dict(sorted(between.items(), reverse=back)), NEVER) for back in (False, True)}
    assert answers == {Answer((0, 0, 0, 0), 0, True)}


def tables(monkeypatch: pytest.MonkeyPatch, own: list[Costs], edges: list[tuple[int, int]]) -> list[int]:
    """The sizes of all tables that are spread out while a graph is solved."""
    sizes: list[int] = []
    usual = eliminate._smallest

    def counted(total: Costs) -> Costs:
        sizes.append(total.size)
        return usual(total)

    rng = np.random.default_rng(5)
    between = {(i, j): rng.integers(0, 9, (len(own[i]), len(own[j]))) for i, j in edges}
    with monkeypatch.context() as patch:
        patch.setattr(eliminate, "_smallest", counted)
        assert least(own, between, NEVER).exact
    return sizes


@pytest.mark.parametrize(("shape", "width"), [(chain, 2), (cycle, 3), (star, 2), (returning, 3)])
def test_work_grows_with_the_length_only(
    monkeypatch: pytest.MonkeyPatch, shape: object, width: int, domain: int = 5
) -> None:
    """Protects long songs: twice the measures are twice the work (counted in entries of tables, not in time), and no table
    gets wider than the form is."""
    assert callable(shape)
    work = []
    for n in (100, 200, 400):
        own = [np.zeros(domain, dtype=np.int64)] * n
        sizes = tables(monkeypatch, own, shape(n))
        assert max(sizes) <= domain**width
        work.append(sum(sizes))
    first, second = work[1] - work[0], work[2] - work[1]
    assert second == pytest.approx(2 * first, rel=0.02)
