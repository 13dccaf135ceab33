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
        broken = breaks(found.choice)
        prices = {pair: _price(table, pair, found.choice) for pair, table in broken.items()}
        if max(prices.values(), default=0) < never:
            return Found(found.choice, found.total + sum(prices.values()), False, least)
        done: set[int] = set()
        for (a, b), table in broken.items():
            if prices[a, b] < never or not done.isdisjoint((a, b)):
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


def bettered(graph: Graph, breaks: Breaks, found: Found, never: int) -> Found:
    """A choice that may be played, with one slot after the other changed as long as that makes it cheaper: after it no single change does."""
    choice, total = list(found.choice), found.total
    limits = _prices(breaks, choice)
    beside: list[list[Pair]] = [[] for _ in choice]
    for a, b in graph.pairs:
        beside[a].append((a, b))
        beside[b].append((a, b))
    # a change may lift a limit from any other slot, so that all of them are looked at again
    v = same = 0
    while same < len(choice):
        every = Some(len(graph.own[v]))
        some = {p: tuple([every if w == v else one(choice[w]) for w in p]) for p in beside[v]}
        sums = graph.own[v].astype(np.int64)
        for (a, _), table in graph.tables(some).items():  # type: ignore[arg-type]
            sums = sums + (table[:, 0] if a == v else table[0])
        now = int(sums[choice[v]])
        for x in np.argsort(sums, kind="stable").tolist():
            # limits cannot give back more than they cost now
            if sums[x] >= now + limits:
                break
            tried = [*choice[:v], x, *choice[v + 1 :]]
            price = _prices(breaks, tried)
            if sums[x] + price < now + limits:
                total += int(sums[x]) - now + price - limits
                choice, limits, same = tried, price, -1
                break
        v, same = (v + 1) % len(choice), same + 1
    return replace(found, choice=tuple(choice), total=total)


def _prices(breaks: Breaks, choice: Sequence[int]) -> int:
    """What all limits cost that a choice breaks."""
    return sum(_price(table, pair, choice) for pair, table in breaks(choice).items())


def _price(table: Table, pair: Pair, choice: Sequence[int]) -> int:
    return int(table(one(choice[pair[0]]), one(choice[pair[1]]))[0, 0])


def _loss(own: Costs, now: int, limit: Costs, never: int) -> int:
    """How much dearer a variable is at least with a value that the limit does not forbid."""
    left = np.where(limit >= never, never, own)
    return int(left.min()) - int(own[now]) if left.min() < never else never
