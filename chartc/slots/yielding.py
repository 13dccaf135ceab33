"""A choice where limits are too tangled to be looked at all together: the best one without them, in which slots yield one after the other
until no limit is broken. It need not be the best, but it is near it, and there is one wherever slots have something else to hold."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from chartc.slots.graph import Costs, Graph, Limits, Some, Table, one
from chartc.slots.relax import Pair
from chartc.slots.search import Found, search

_ROUNDS = 100
"""In each of which all limits are kept that are broken, but where two of them meet in a slot."""

Breaks = Callable[[Sequence[int]], dict[Pair, Table]]
"""The limits that a choice breaks, with their tables."""


def yielding(graph: Graph, breaks: Breaks, never: int, widest: int) -> Found | None:
    """A choice that breaks no limit that forbids, with the prices of the others in its sum; None where none is found. Its `least` is
    what no choice costs less than even without limits."""
    own = list(graph.own)
    cheapest = list(graph.cheapest or [None] * len(own))
    least: int | None = None
    for _ in range(_ROUNDS):
        free = Limits(lambda _: {})
        found = search(replace(graph, own=own, cheapest=cheapest), free, never, widest)
        least = found.least if least is None else least
        if found.total >= never:
            return None
        prices = 0
        forbidden: list[tuple[Pair, Table]] = []
        for (a, b), table in breaks(found.choice).items():
            price = int(table(one(found.choice[a]), one(found.choice[b]))[0, 0])
            if price >= never:
                forbidden.append(((a, b), table))
            else:
                prices += price
        if not forbidden:
            return Found(found.choice, found.total + prices, False, least)
        done: set[int] = set()
        for (a, b), table in forbidden:
            if not done.isdisjoint((a, b)):
                continue
            x, y = found.choice[a], found.choice[b]
            sides = (
                (a, x, table(Some(len(own[a])), one(y))[:, 0]),
                (b, y, table(one(x), Some(len(own[b])))[0]),
            )
            # the one to yield is that which loses less by it
            lost, v, others = min(
                [(_loss(own[v], now, limit, never), v, limit) for v, now, limit in sides], key=lambda s: s[:2]
            )
            if lost < never:
                own[v] = np.where(others >= never, never, own[v]).astype(np.int32)
                cheapest[v] = None
                done.add(v)
        if not done:
            return None
    return None


def _loss(own: Costs, now: int, limit: Costs, never: int) -> int:
    """How much dearer a variable is at least with a value that the limit does not forbid."""
    left = np.where(limit >= never, never, own)
    return int(left.min()) - int(own[now]) if left.min() < never else never
