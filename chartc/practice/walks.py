"""Walks over joins: every one exactly once where that can be, else the shortest way over all of them.

Licks are numbers from 0, a join is a pair of them. All ordered pairs of n licks, a lick into itself included, are an Eulerian circuit of
n² joins; there are (n!)^n / n² of them (de Bruijn and van Aardenne-Ehrenfest 1951, by the matrix-tree theorem). Where some joins
are missing the shortest cover is that of the directed postman (Edmonds and Johnson 1973): the cheapest flow that balances every lick.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

Join = tuple[int, int]
Walk = tuple[int, ...]

MOST_ON_A_CARD = 8


@dataclass(frozen=True, slots=True)
class Card:
    """A few licks and the joins among them that this card has."""

    licks: tuple[int, ...]
    joins: tuple[Join, ...]


def circuit(count: int) -> Walk:
    """All ordered joins of so many licks once each; the first lick stands again at the end.

    Lick i is emitted alone, then in turn with each later one: i, then i j for every j above i."""
    out: list[int] = []
    for i in range(count):
        out.append(i)
        for j in range(i + 1, count):
            out += [i, j]
    return (*out, 0) if count else ()


def cards(count: int) -> tuple[Card, ...]:
    """All ordered joins of so many licks, each on exactly one card of at most eight licks, and of six at least where there are more
    than eight: licks are parted into blocks of three or four, and each two blocks share a card."""
    if count <= MOST_ON_A_CARD:
        everything = tuple((a, b) for a in range(count) for b in range(count))
        return (Card(tuple(range(count)), everything),) if count else ()
    number = -(-count // (MOST_ON_A_CARD // 2))
    ends = [count * n // number for n in range(number + 1)]
    blocks = [tuple(range(a, b)) for a, b in pairwise(ends)]
    out = []
    for i, j in combinations(range(number), 2):
        joins = [(a, b) for a in blocks[i] for b in blocks[j]] + [(b, a) for a in blocks[i] for b in blocks[j]]
        # a block's joins within itself go on its card with the next block, the last block's on its last one
        for k in (i, j) if (i, j) == (number - 2, number - 1) else (i,) if j == i + 1 else ():
            joins += [(a, b) for a in blocks[k] for b in blocks[k]]
        out.append(Card((*blocks[i], *blocks[j]), tuple(sorted(joins))))
    return tuple(out)


def cover(joins: Iterable[Join]) -> tuple[Walk, ...]:
    """Walks that go over every one of the joins and no other, as few walks as can be, and among those the shortest. Joins that
    come back are repeated as seldom as can be. The same joins give the same walks."""
    wanted = sorted(set(joins))
    out: list[Walk] = []
    for part in _together(wanted):
        out += _cover_connected(part)
    return tuple(out)


def _together(joins: Sequence[Join]) -> list[list[Join]]:
    """The joins parted so that those of two parts have no lick in common."""
    home: dict[int, int] = {}

    def find(a: int) -> int:
        home.setdefault(a, a)
        while home[a] != a:
            home[a] = home[home[a]]
            a = home[a]
        return a

    for a, b in joins:
        home[find(a)] = find(b)
    parts: dict[int, list[Join]] = {}
    for join in joins:
        parts.setdefault(find(join[0]), []).append(join)
    return sorted(parts.values())


def _cover_connected(joins: list[Join]) -> list[Walk]:
    """The walks over joins that hang together. Two more nodes stand for the pause between walks: every walk ends by going into the
    pause, and the pause must be gone through once at least."""
    nodes = sorted({n for join in joins for n in join})
    into, out_of = max(nodes) + 1, max(nodes) + 2
    # what may be added and what it costs: a repeated join one, one more pause more than any repeats
    dear = len(nodes) * len(joins) + 1
    extra: dict[Join, int] = dict.fromkeys(joins, 1)
    for n in nodes:
        extra[n, into] = extra[out_of, n] = 0
    extra[into, out_of] = dear
    needed = [*joins, (into, out_of)]
    added = _balance(needed, extra)
    times: dict[Join, int] = dict.fromkeys(needed, 1)
    for join, more in added.items():
        times[join] = times.get(join, 0) + more
    tour = _euler(times, out_of)
    walks: list[list[int]] = [[]]
    for node in tour[1:]:
        if node == into:
            walks.append([])
        elif node != out_of:
            walks[-1].append(node)
    return [tuple(w) for w in walks if w]


def _balance(needed: Sequence[Join], extra: dict[Join, int]) -> dict[Join, int]:
    """The cheapest joins to add so that every node is left as often as it is reached: a minimum-cost flow from nodes that are
    reached too often to nodes that are left too often, by successive cheapest paths."""
    surplus: dict[int, int] = {}
    for a, b in needed:
        surplus[b] = surplus.get(b, 0) + 1
        surplus[a] = surplus.get(a, 0) - 1
    flow: dict[Join, int] = {}
    beside: dict[int, list[tuple[int, int, Join, bool]]] = {}
    for (a, b), cost in sorted(extra.items()):
        if a != b:
            beside.setdefault(a, []).append((b, cost, (a, b), True))
            beside.setdefault(b, []).append((a, -cost, (a, b), False))
    while any(v > 0 for v in surplus.values()):
        path = _cheapest(beside, flow, surplus)
        start, end = path[0][0], path[-1][1]
        most = min([surplus[start], -surplus[end]] + [flow[join] for _, _, join, forward in path if not forward])
        for _, _, join, forward in path:
            flow[join] = flow.get(join, 0) + (most if forward else -most)
        surplus[start] -= most
        surplus[end] += most
    return {join: n for join, n in flow.items() if n}


def _cheapest(
    beside: dict[int, list[tuple[int, int, Join, bool]]], flow: dict[Join, int], surplus: dict[int, int]
) -> list[tuple[int, int, Join, bool]]:
    """The cheapest path from any node with a surplus to any with a lack (Bellman and Ford: returned flow costs less than nothing)."""
    cost = {n: 0 for n in sorted(surplus) if surplus[n] > 0}
    came: dict[int, tuple[int, int, Join, bool]] = {}
    queue = list(cost)
    while queue:
        later: dict[int, None] = {}
        for a in queue:
            for b, price, join, forward in beside.get(a, ()):
                if (forward or flow.get(join, 0) > 0) and cost[a] + price < cost.get(b, 1 << 60):
                    cost[b] = cost[a] + price
                    came[b] = (a, b, join, forward)
                    later[b] = None
        queue = list(later)
    end = min((n for n in sorted(surplus) if surplus[n] < 0 and n in cost), key=lambda n: (cost[n], n))
    path = []
    while end in came:
        path.append(came[end])
        end = came[end][0]
    return path[::-1]


def _euler(times: dict[Join, int], start: int) -> Walk:
    """The circuit from a node over every join as often as is said (Hierholzer)."""
    left: dict[int, list[int]] = {}
    for a, b in sorted(times, reverse=True):
        left.setdefault(a, []).extend([b] * times[a, b])
    stack, out = [start], []
    while stack:
        if left.get(stack[-1]):
            stack.append(left[stack[-1]].pop())
        else:
            out.append(stack.pop())
    return tuple(out[::-1])
