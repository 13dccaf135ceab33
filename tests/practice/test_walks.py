"""Walks over joins, against trying every way."""

from __future__ import annotations

import heapq
from itertools import pairwise, permutations
from math import factorial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.practice.walks import Join, Walk, cards, circuit, cover


def joins_of(walks: tuple[Walk, ...]) -> list[Join]:
    """Every join of the walks, as often as it is walked."""
    return [join for walk in walks for join in pairwise(walk)]


@pytest.mark.parametrize("count", range(31))
def test_a_circuit_has_every_ordered_join_once(count: int) -> None:
    """Protects the drill of all joins: n² joins, none twice, and the first lick again at the end."""
    walk = circuit(count)
    assert sorted(pairwise(walk)) == [(a, b) for a in range(count) for b in range(count)]
    assert not walk or walk[0] == walk[-1]


def _circuits(count: int) -> int:
    """The Eulerian circuits of the complete graph with loops, counted by walking them all: cyclic, so that the first join is fixed."""
    everything = frozenset((a, b) for a in range(count) for b in range(count))

    def on(node: int, left: frozenset[Join]) -> int:
        if not left:
            return int(node == 0)
        return sum(on(b, left - {(a, b)}) for a, b in left if a == node)

    return on(0, everything - {(0, 0)})


@pytest.mark.parametrize("count", [1, 2, 3])
def test_how_many_circuits_there_are(count: int) -> None:
    """There are (n!)^n / n² circuits, counted one by one. Source: T. van Aardenne-Ehrenfest and N. G. de Bruijn, Circuits and
    trees in oriented linear graphs, Simon Stevin 28 (1951), 203-217 (the formula for this graph follows from theirs; from memory)."""
    assert _circuits(count) == factorial(count) ** count // count**2


@pytest.mark.parametrize("count", range(1, 41))
def test_cards_have_every_join_exactly_once(count: int) -> None:
    """Protects the drill of many licks: no join is forgotten, none is on two cards, cards have six to eight licks."""
    found = cards(count)
    assert sorted(j for card in found for j in card.joins) == [(a, b) for a in range(count) for b in range(count)]
    for card in found:
        assert {n for j in card.joins for n in j} == set(card.licks)
        assert len(card.licks) == count if count <= 8 else 6 <= len(card.licks) <= 8
        walks = cover(card.joins)
        assert len(walks) == 1
        assert sorted(joins_of(walks)) == sorted(card.joins)
        assert walks[0][0] == walks[0][-1]


def test_thirty_licks_are_900_joins() -> None:
    """Protects the size that is promised: 30 licks have 900 joins on 28 cards."""
    assert (sum(len(c.joins) for c in cards(30)), len(cards(30))) == (900, 28)


def _shortest(joins: frozenset[Join]) -> tuple[int, int]:
    """Fewest walks, and fewest joins walked among those, by trying every way: the state is the lick and the joins still to do."""
    order = sorted(joins)
    number = {join: 1 << n for n, join in enumerate(order)}
    full = (1 << len(order)) - 1
    nodes = sorted({n for j in joins for n in j})
    queue = [(1, 0, node, 0) for node in nodes]
    best: dict[tuple[int, int], tuple[int, int]] = {}
    while queue:
        walks, steps, node, done = heapq.heappop(queue)
        if done == full:
            return walks, steps
        if best.get((node, done), (1 << 30, 0)) <= (walks, steps):
            continue
        best[node, done] = (walks, steps)
        for a, b in order:
            if a == node:
                heapq.heappush(queue, (walks, steps + 1, b, done | number[a, b]))
        for other in nodes:
            if other != node:
                heapq.heappush(queue, (walks + 1, steps, other, done))
    raise AssertionError("every join can be walked")


SMALL = st.frozensets(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=9)


@given(SMALL)
def test_a_cover_is_the_shortest(joins: frozenset[Join]) -> None:
    """Protects the player's time where joins are missing: no fewer walks, and no shorter ones, go over all of them."""
    walks = cover(joins)
    walked = joins_of(walks)
    assert set(walked) == joins
    assert (len(walks), len(walked)) == _shortest(joins)


def test_every_graph_of_three_licks_is_covered_shortest() -> None:
    """The same for all 511 sets of joins of three licks, so that no case is left to chance."""
    everything = [(a, b) for a in range(3) for b in range(3)]
    for mask in range(1, 512):
        joins = frozenset(j for n, j in enumerate(everything) if mask >> n & 1)
        walks = cover(joins)
        assert set(joins_of(walks)) == joins
        assert (len(walks), len(joins_of(walks))) == _shortest(joins)


@given(SMALL)
def test_the_order_in_which_joins_are_given_does_not_matter(joins: frozenset[Join]) -> None:
    """Protects builds that can be repeated: the same joins give the same walks."""
    assert cover(sorted(joins)) == cover(sorted(joins, reverse=True))


def test_no_joins_no_walks() -> None:
    """Protects the edge: nothing to do gives nothing, and one lick into itself is one walk of two."""
    assert cover([]) == ()
    assert cover([(5, 5)]) == ((5, 5),)
    assert cards(0) == ()


def test_rolls_that_end_and_begin_on_one_finger() -> None:
    """Of the 25 joins of two of the five usual rolls, 7 end and begin on one finger (rolls: common practice, no source)."""
    rolls = ["IMTIMTIM", "MITMITMI", "TITMTITM", "TIMTMITM", "IMTMTIMT"]
    same = [(a, b) for a in rolls for b in rolls if a[-1] == b[0]]
    assert len(same) == 7
    walks = cover([(i, j) for i, a in enumerate(rolls) for j, b in enumerate(rolls) if a[-1] != b[0]])
    assert sum(len(w) - 1 for w in walks) >= 18


def test_permuted_names_change_nothing_of_the_length() -> None:
    """Protects against a walk that depends on how licks are numbered: its length is the same for every numbering."""
    joins = {(0, 1), (1, 2), (2, 0), (2, 3), (3, 1), (0, 3)}
    lengths = {len(joins_of(cover([(p[a], p[b]) for a, b in joins]))) for p in permutations(range(4))}
    assert len(lengths) == 1
