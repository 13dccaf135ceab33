"""Lower bounds for a choice: what the song costs at least with each single candidate, from a tree of its joins.

Along a tree the least sum is found exactly by two sweeps (dynamic programming). Joins that would close a circle, where sections return,
are split into a share for each end; the shares are bettered by what is to spare at both ends (max-sum diffusion: Werner 2007,
from memory). A bound is never more than the truth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import accumulate

import numpy as np
import numpy.typing as npt

Costs = npt.NDArray[np.int32]
Pair = tuple[int, int]

BLOCK = 64
"""Variables of a block, about; shorter songs are not cut."""


@dataclass(frozen=True)
class Tree:
    """A spanning forest over variables: `order` from the roots to the leaves, the `parent` of each (-1 for a root), the `pairs` in
    it and the `others`, which would close circles. `seams` are the variables to which a single join leads from all that lies above
    them; `tops` are those of them above which the song is cut into blocks."""

    order: tuple[int, ...]
    parent: tuple[int, ...]
    others: tuple[Pair, ...]
    seams: tuple[int, ...]
    tops: frozenset[int] = field(default_factory=frozenset)
    whole: bool = False
    """Whether it is not to be cut."""

    @cached_property
    def blocks(self) -> tuple[int, ...]:
        """The number of each variable's block: blocks are runs of neighbours in number."""
        return tuple(accumulate(int(v in self.tops) for v in range(len(self.parent))))


def spanning(count: int, pairs: Sequence[Pair]) -> Tree:
    """A forest over so many variables; neighbours in number come first, so that a song is a path with few circles."""
    leader = list(range(count))

    def lead(v: int) -> int:
        while leader[v] != v:
            leader[v] = leader[leader[v]]
            v = leader[v]
        return v

    beside: list[list[int]] = [[] for _ in range(count)]
    others = []
    for a, b in sorted(pairs, key=lambda p: (p[1] - p[0], p)):
        x, y = lead(a), lead(b)
        if x == y:
            others.append((a, b))
        else:
            leader[x] = y
            beside[a].append(b)
            beside[b].append(a)
    parent = [-2] * count
    order = []
    for root in range(count):
        if parent[root] != -2:
            continue
        parent[root] = -1
        waiting = [root]
        while waiting:
            v = waiting.pop()
            order.append(v)
            for w in beside[v]:
                if parent[w] == -2:
                    parent[w] = v
                    waiting.append(w)
    return Tree(tuple(order), tuple(parent), tuple(others), _seams(count, pairs, parent))


def _seams(count: int, pairs: Sequence[Pair], parent: Sequence[int]) -> tuple[int, ...]:
    crossing = [0] * (count + 1)
    for a, b in pairs:
        crossing[a] += 1
        crossing[b] -= 1
    over = list(accumulate(crossing))
    return tuple(v for v in range(1, count) if over[v - 1] == 1 and parent[v] == v - 1)


def in_blocks(tree: Tree, spare: Sequence[Costs]) -> Tree:
    """The same tree cut into blocks of about BLOCK variables, there where the variable above has the clearest best value."""
    tops = []
    start = 0
    seams = iter(tree.seams)
    window: list[tuple[int, int]] = []
    for v in seams:
        if v - start < BLOCK // 2:
            continue
        second = int(np.partition(spare[v - 1], 1)[1]) if len(spare[v - 1]) > 1 else 1 << 30
        window.append((-second, v))
        if v - start >= BLOCK * 3 // 2:
            start = min(window)[1]
            tops.append(start)
            window = [w for w in window if w[1] - start >= BLOCK // 2]
    return replace(tree, tops=frozenset(tops))


@dataclass(frozen=True)
class Bound:
    """`least` is a lower bound of the whole, `spare[v][x]` how much more the block of `v` costs at least with value `x`, beyond its
    share of that. `messages[v]` is what `v` and all beneath it cost at least, for each value of its parent."""

    least: int
    spare: list[Costs]
    between: dict[Pair, Costs]
    messages: list[Costs | None]
    roots: dict[int, int]
    """What each tree costs at least, by its root."""

    def towards(self, v: int, parent: int) -> Costs:
        """The table of a variable and its parent, with a row for each value of the parent."""
        return self.between[v, parent].T if v < parent else self.between[parent, v]


def relax(
    tree: Tree, own: Sequence[Costs], between: dict[Pair, Costs], never: int, rounds: int = 0, block_most: int = 0
) -> Bound:
    """Bounds for variables with costs `own` and pairs of them with tables `between`; circles are bettered in so many rounds. In the best
    choice no block may cost more than `block_most` beyond its share of the bound, when blocks are looked at one by one."""
    unary = list(own)
    rest = {}
    for a, b in tree.others:
        rest[a, b] = _share(unary, a, b, between[a, b])
    bound = _sweep(tree, unary, between, never, block_most)
    for _ in range(rounds if tree.others else 0):
        for a, b in tree.others:
            x, y = bound.spare[a] // 2, bound.spare[b] // 2
            unary[a], unary[b] = unary[a] - x, unary[b] - y
            # several circles may meet in one variable: what one has taken is not there for the next
            bound.spare[a], bound.spare[b] = bound.spare[a] - 2 * x, bound.spare[b] - 2 * y
            rest[a, b] = _share(unary, a, b, rest[a, b] + x[:, None] + y[None, :])
        bound = _sweep(tree, unary, between, never, block_most)
    return bound


def _share(unary: list[Costs], a: int, b: int, table: Costs) -> Costs:
    """Gives both ends what a table costs at least with each of their values; returns what is left of it."""
    rows = table.min(axis=1)
    left: Costs = table - rows[:, None]
    columns = left.min(axis=0)
    unary[a], unary[b] = unary[a] + rows, unary[b] + columns
    left -= columns[None, :]
    return left


def _sweep(tree: Tree, unary: list[Costs], between: dict[Pair, Costs], never: int, block_most: int) -> Bound:
    parent = tree.parent
    below = list(unary)
    messages: list[Costs | None] = [None] * len(below)
    tables: list[Costs | None] = [None] * len(below)
    for v in reversed(tree.order):
        p = parent[v]
        if p < 0:
            continue
        towards = between[v, p].T if v < p else between[p, v]
        tables[v] = towards
        message = (towards + below[v]).min(axis=1)
        np.minimum(message, never, out=message)
        messages[v] = message
        below[p] = np.minimum(below[p] + message, never)
    roots = {}
    spare = below
    for v in tree.order:
        p, table, message = parent[v], tables[v], messages[v]
        if table is None or message is None:
            here = int(spare[v].min())
            roots[v] = here
            spare[v] = spare[v] - here
            continue
        # what lies in the block above is counted there, up to what a block may cost beyond the bound
        above = np.maximum(spare[p] - block_most, 0) - message if v in tree.tops else spare[p] - message
        spare[v] = below[v] + (table + above[:, None]).min(axis=0)
    return Bound(sum(roots.values()), spare, between, messages, roots)
