"""The search for the least sum: bounds tell which candidates cannot be part of it, elimination finds it among the others.

The cheapest candidates of each slot are compared at first; of the others the cheapest of each group stands for all, with joins that cost
no more than any of theirs. Where such a one could be part of the best choice, its group is compared too. So the answer is the
best among all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chartc.slots.graph import Costs, Graph, Ints, Limits, Some
from chartc.slots.relax import Bound, relax
from chartc.slots.settle import SLACK, Answer, Settled

SIZES = (32, 64)
"""So many of the cheapest candidates are compared at first: as few of these as leave out only what costs FAR more than the cheapest."""

FAR = 18

_STEP = 16

_ROUNDS, _MOST_ROUNDS = 1, 27
# in which bounds of circles are bettered


@dataclass(frozen=True, slots=True)
class Found:
    """The chosen value of each variable, the sum, whether no other choice costs less, and what none costs less than."""

    choice: tuple[int, ...]
    total: int
    exact: bool
    least: int


def search(graph: Graph, limits: Limits, never: int, widest: int, sizes: Sequence[int] = SIZES) -> Found:
    """The choice with the least sum, `never` or more where there is none. Not exact where tables of more than `widest` entries would
    be needed."""
    own = graph.own
    some = [
        cheapest(costs, groups, sizes) if known is None else known
        for costs, groups, known in zip(own, graph.groups, graph.cheapest or [None] * len(own), strict=True)
    ]
    slack = [SLACK] * len(own)
    rounds, block_most = _ROUNDS, 3 * SLACK
    tree = graph.tree
    tables = graph.between(graph.pairs, some)
    bound: Bound | None = None
    while True:
        unary = [costs[x.index] for costs, x in zip(own, some, strict=True)]
        settled = Settled(tree, unary, tables, some, limits, never, widest, rounds, block_most, bound)
        answer, needed = settled.best(slack)
        tree, block_most = settled.tree, settled.block_most
        if not answer.exact:
            if tree.others and rounds < _MOST_ROUNDS:
                # a closer bound leaves fewer values, and narrower tables
                rounds = _MOST_ROUNDS
                bound = relax(tree, unary, tables, never, rounds, block_most)
                slack = [min(SLACK, max(1, answer.total - bound.least))] * len(own)
                continue
            if answer.total >= never:
                return _found(answer, some, min(never, settled.bound.least))
        # where it is not exact, the bound is closer when fewer stand for others, and tables may be narrow enough
        bound = settled.bound
        grown = False
        while changed := _grow(graph, some, bound, needed):
            tables |= graph.between([p for p in graph.pairs if not changed.isdisjoint(p)], some)
            unary = [costs[x.index] for costs, x in zip(own, some, strict=True)]
            bound = relax(tree, unary, tables, never, rounds, block_most)
            grown = True
        if not grown:
            return _found(answer, some, answer.total if answer.exact else min(never, bound.least))
        slack = needed


def _found(answer: Answer, some: Sequence[Some], least: int) -> Found:
    choice = tuple(int(x.index[n]) for n, x in zip(answer.choice, some, strict=True))
    return Found(choice, answer.total, answer.exact, least)


def _grow(graph: Graph, some: list[Some], bound: Bound, needed: Sequence[int]) -> set[int]:
    """Adds the values that could be part of a better choice to `some`; returns the variables that have got any."""
    changed = set()
    for v, x in enumerate(some):
        more = None if x.others is None else _grown(graph, v, x, bound.spare[v], needed[v])
        if more is not None:
            some[v] = more
            changed.add(v)
    return changed


def cheapest(own: Costs, groups: Ints, sizes: Sequence[int] = SIZES) -> Some:
    """The cheapest values, with the cheapest of each group of the rest."""
    if len(own) <= sizes[0]:
        return Some(len(own))
    rising = bool((own[1:] >= own[:-1]).all())
    order = np.arange(len(own)) if rising else np.argsort(own, kind="stable")
    far = own[order[0]] + FAR
    first = next((n for n in sizes if n < len(own) and own[order[n]] >= far), min(sizes[-1], len(own)))
    _, others = np.unique(groups[order[first:]], return_index=True)
    return Some(first if rising else order[:first], order[first:][others] if len(others) else None)


def _grown(graph: Graph, v: int, some: Some, spare: Costs, needed: int) -> Some | None:
    """With all values that could be part of a choice which costs less than `needed` more than the bound; None where there are none."""
    assert some.others is not None
    better = np.flatnonzero(spare[some.count :] < needed)
    if not len(better):
        return None
    own, groups = graph.own[v], graph.groups[v]
    rest = np.ones(len(own), dtype=bool)
    rest[some.index[: some.count]] = False
    new = np.zeros(len(own), dtype=bool)
    for n in better.tolist():
        x = some.others[n]
        new |= rest & (groups == groups[x]) & (own < own[x] + needed - spare[some.count + n])
    left = np.flatnonzero(rest & ~new)
    left = left[np.argsort(own[left], kind="stable")]
    # some of the next beside them: tables of few sizes can be worked out together
    fill = -(some.count + int(new.sum())) % _STEP
    which = np.concatenate([some.index[: some.count], np.flatnonzero(new), left[:fill]])
    left = left[fill:]
    if not len(left):
        return Some(which)
    _, others = np.unique(groups[left], return_index=True)
    return Some(which, left[others])
