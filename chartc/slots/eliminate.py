"""The least sum of costs over a graph of choices, exactly: variables are eliminated one by one (dynamic programming over a graph;
Bertelè & Brioschi 1972, from memory). Those with two neighbours at most go first and quickly: mostly nothing else is left.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Costs = npt.NDArray[Any]

WIDEST = 30_000_000
"""Entries of the largest table that is made. Beyond it one variable is fixed at what is best for it alone, and the answer is not
claimed to be exact."""

_SAFE = 16
# so many tables are added before sums are cut back to `never`; many more could leave 32 bits


@dataclass(frozen=True, slots=True)
class Answer:
    """The chosen index of each variable, the sum, and whether it is proven to be the least."""

    choice: tuple[int, ...]
    total: int
    exact: bool


def least(own: Sequence[Costs], between: dict[tuple[int, int], Costs], never: int, widest: int = WIDEST) -> Answer:
    """Chooses one index for every variable so that the sum of `own[i][x]` and `between[i, j][x, y]` (i < j) is least.

    Sums reach at most `never`, which is at most 10^8 so that sums of several stay within 32 bits; equal sums go to the lower index
    of the variable eliminated last. Ends in time linear in the number of variables for chains and for graphs of small width.
    """
    unary = [np.minimum(costs, never).astype(np.int32) for costs in own]
    # every table from both of its sides
    beside: list[dict[int, Costs]] = [{} for _ in own]
    for (i, j), table in between.items():
        small = np.minimum(table, never).astype(np.int32)
        beside[i][j], beside[j][i] = small, small.T

    def size(v: int) -> int:
        out = len(unary[v])
        for w in beside[v]:
            out *= len(unary[w])
        return out

    heap = [(size(v), v) for v in range(len(own)) if len(beside[v]) <= 2]
    heapq.heapify(heap)
    steps: list[tuple[int, dict[int, Costs]]] = []
    left = set(range(len(own)))
    while heap:
        noted, v = heapq.heappop(heap)
        near = beside[v]
        if v not in left or len(near) > 2 or noted != size(v) or noted > widest:
            continue
        left.remove(v)
        steps.append((v, near))
        if not near:
            continue
        if len(near) == 1:
            ((w, table),) = near.items()
            sums = _smallest(table + unary[v][:, None])
            unary[w] = np.minimum(unary[w] + sums, never)
            del beside[w][v]
        else:
            (u, one), (w, other) = near.items()
            sums = _smallest(one[:, :, None] + (other + unary[v][:, None])[:, None, :])
            del beside[u][v], beside[w][v]
            if w in beside[u]:
                sums = sums + beside[u][w]
            sums = np.minimum(sums, never)
            beside[u][w], beside[w][u] = sums, sums.T
            if len(beside[u]) <= 2:
                heapq.heappush(heap, (size(u), u))
        if len(beside[w]) <= 2:
            heapq.heappush(heap, (size(w), w))
    choice = [0] * len(own)
    total, exact = 0, True
    if left:
        core = sorted(left)
        number = {v: n for n, v in enumerate(core)}
        tables = {(number[v], number[w]): beside[v][w] for v in core for w in beside[v] if v < w}
        found = _tangled([unary[v] for v in core], tables, never, widest)
        total, exact = found.total, found.exact
        for v, x in zip(core, found.choice, strict=True):
            choice[v] = x
    for v, near in reversed(steps):
        # what the neighbours have chosen leaves one row of each table
        sums = unary[v].astype(np.int64)
        for w, table in near.items():
            sums += table[:, choice[w]]
        choice[v] = int(np.argmin(sums))
        if not near:
            total += int(sums[choice[v]])
    return Answer(tuple(choice), min(total, never), exact)


def _tangled(own: Sequence[Costs], between: dict[tuple[int, int], Costs], never: int, widest: int) -> Answer:
    """The same for variables with any number of neighbours."""
    count = len(own)
    factors: dict[int, tuple[tuple[int, ...], Costs]] = {}
    touching: list[set[int]] = [set() for _ in range(count)]
    serial = 0

    def add(scope: tuple[int, ...], table: Costs) -> None:
        nonlocal serial
        factors[serial] = (scope, table)
        for v in scope:
            touching[v].add(serial)
        serial += 1

    for v, table in enumerate(own):
        add((v,), np.minimum(table, never).astype(np.int32))
    for (i, j), table in sorted(between.items()):
        add((i, j), np.minimum(table, never).astype(np.int32))

    def around(v: int) -> tuple[int, ...]:
        return tuple(sorted({w for f in touching[v] for w in factors[f][0]} - {v}))

    def size(v: int) -> int:
        product = len(own[v])
        for w in around(v):
            product *= len(own[w])
        return product

    heap = [(size(v), v) for v in range(count)]
    heapq.heapify(heap)
    done = [False] * count
    steps: list[tuple[int, list[tuple[tuple[int, ...], Costs]] | int]] = []
    exact = True
    base = 0
    while heap:
        noted, v = heapq.heappop(heap)
        if done[v]:
            continue
        now = size(v)
        if now != noted:
            heapq.heappush(heap, (now, v))
            continue
        done[v] = True
        others = around(v)
        mine = sorted(touching[v])
        if now > widest:
            exact = False
            x = int(np.argmin(sum(_over(factors[f], (v,)).astype(np.int64) for f in mine)))
            for f in mine:
                scope, table = factors.pop(f)
                for w in scope:
                    touching[w].discard(f)
                rest = tuple(w for w in scope if w != v)
                cut = np.take(table, x, axis=scope.index(v))
                if rest:
                    add(rest, cut)
                else:
                    base += int(cut)
            steps.append((v, x))
        else:
            scope_all = (v, *others)
            taken = [factors[f] for f in mine]
            total = _spread(taken[0], scope_all)
            for n, factor in enumerate(taken[1:], 2):
                total = total + _spread(factor, scope_all)
                if n % _SAFE == 0:
                    total = np.minimum(total, never)
            for f in mine:
                for w in factors.pop(f)[0]:
                    touching[w].discard(f)
            smallest = np.minimum(_smallest(total), never)
            steps.append((v, taken))
            if others:
                add(others, smallest)
            else:
                base = base + int(smallest)
        for w in others:
            heapq.heappush(heap, (size(w), w))
    choice = [0] * count
    for v, taken_or_fixed in reversed(steps):
        if isinstance(taken_or_fixed, int):
            choice[v] = taken_or_fixed
            continue
        # what the others have chosen leaves one row of each table
        sums = np.zeros(len(own[v]), dtype=np.int64)
        for scope, table in taken_or_fixed:
            sums += table[tuple(slice(None) if w == v else choice[w] for w in scope)]
        choice[v] = int(np.argmin(sums))
    return Answer(tuple(choice), min(base, never), exact)


def _smallest(total: Costs) -> Costs:
    """Each sum with the variable on the first axis at its best."""
    found: Costs = np.min(total, axis=0)
    return found


def _spread(factor: tuple[tuple[int, ...], Costs], scope: tuple[int, ...]) -> Costs:
    """The factor's table with its axes where the scope has them, and length 1 elsewhere."""
    own, table = factor
    order = sorted(range(len(own)), key=lambda axis: scope.index(own[axis]))
    table = np.transpose(table, order)
    places = [scope.index(own[axis]) for axis in order]
    shape = [1] * len(scope)
    for place, length in zip(places, table.shape, strict=True):
        shape[place] = length
    return table.reshape(shape)


def _over(factor: tuple[tuple[int, ...], Costs], keep: tuple[int, ...]) -> Costs:
    """The factor with every other variable at its best."""
    scope, table = factor
    axes = tuple(n for n, w in enumerate(scope) if w not in keep)
    return table.min(axis=axes) if axes else table
