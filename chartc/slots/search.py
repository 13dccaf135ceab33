"""The search for the least sum: bounds tell which candidates cannot be part of it, elimination finds it among the others.

A few of the cheapest candidates of each slot are compared; all others together are one that costs as little as the cheapest of them
and joins for nothing. Where that one could be part of the best choice, more are compared. So the answer is the best among all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from chartc.slots.eliminate import least
from chartc.slots.relax import BLOCK, Bound, Pair, Tree, in_blocks, relax

Costs = npt.NDArray[np.int32]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Some:
    """Some values of a variable: `which` are compared (so many of the first, or these), `others` stand for the rest."""

    which: Ints | int
    others: Ints | None = None

    @cached_property
    def index(self) -> Ints:
        """All of them in a row."""
        which = np.arange(self.which) if isinstance(self.which, int) else self.which
        return which if self.others is None else np.concatenate([which, self.others])

    @cached_property
    def key(self) -> bytes:
        """Equal for the same values."""
        return self.count.to_bytes(4, "big") + self.index.tobytes()

    @property
    def count(self) -> int:
        """How many are compared."""
        return self.which if isinstance(self.which, int) else len(self.which)


def one(value: int) -> Some:
    """A single value."""
    return Some(np.array([value]))


Table = Callable[[Some, Some], Costs]
"""The costs of a pair for some values of either; with the others, which stand behind, at most what each of the rest costs."""

SIZES = (32, 64)
"""So many of the cheapest candidates are compared at first: as few of these as leave out only what costs FAR more than the cheapest."""

FAR = 18

_STEP = 16

_ROUNDS, _MOST_ROUNDS = 1, 27
# in which bounds of circles are bettered

_SLACK = 12
# a choice is looked for among what costs at most so much more than the bound, and more where there is none


@dataclass(frozen=True)
class Graph:
    """What is to be chosen: a cost for each value of each variable, and pairs of variables with tables. `groups` are numbers that are
    equal for values of which one may stand for the others, where there are too many to compare them all."""

    own: Sequence[Costs]
    between: Mapping[Pair, Table]
    tree: Tree
    groups: Sequence[Ints]
    cheapest: Sequence[Some | None] | None = None
    """The cheapest values of the variables (see `cheapest`), where they are known."""
    prepare: Callable[[Mapping[Pair, tuple[Some, Some]]], None] | None = None
    """Told which tables will be wanted, so that they can be worked out together."""

    def tables(self, pairs: Iterable[Pair], some: Sequence[Some]) -> dict[Pair, Costs]:
        """The tables of pairs for some values of each variable."""
        wanted = {(a, b): (some[a], some[b]) for a, b in pairs}
        if self.prepare is not None:
            self.prepare(wanted)
        return {pair: self.between[pair](*values) for pair, values in wanted.items()}


@dataclass(frozen=True, slots=True)
class Found:
    """The chosen value of each variable, the sum, and whether no other choice costs less."""

    choice: tuple[int, ...]
    total: int
    exact: bool


class Limits:
    """Pairs of variables whose values limit each other, found when a choice breaks them. `broken` names the ones that a choice
    breaks, with their tables."""

    def __init__(self, broken: Callable[[Sequence[int]], dict[Pair, Table]]) -> None:
        self.broken = broken
        self.known: dict[Pair, Table] = {}


def search(graph: Graph, limits: Limits, never: int, widest: int, sizes: Sequence[int] = SIZES) -> Found:
    """The choice with the least sum, `never` or more where there is none. Not exact where tables of more than `widest` entries would
    be needed."""
    own = graph.own
    some = [
        cheapest(costs, groups, sizes) if known is None else known
        for costs, groups, known in zip(own, graph.groups, graph.cheapest or [None] * len(own), strict=True)
    ]
    slack = [_SLACK] * len(own)
    rounds, block_most = _ROUNDS, 3 * _SLACK
    tree = graph.tree
    tables = graph.tables(graph.between, some)
    bound: Bound | None = None
    while True:
        unary = [costs[x.index] for costs, x in zip(own, some, strict=True)]
        settled = _Settled(tree, unary, tables, some, limits, never, widest, rounds, block_most, bound)
        answer, needed = settled.best(slack)
        tree, block_most = settled.tree, settled.block_most
        if not answer.exact and tree.others and rounds < _MOST_ROUNDS:
            # a closer bound leaves fewer values, and narrower tables
            rounds *= 3
            bound = None
            continue
        bound = settled.bound
        grown = False
        while changed := _grow(graph, some, bound, needed):
            tables |= graph.tables([p for p in graph.between if not changed.isdisjoint(p)], some)
            unary = [costs[x.index] for costs, x in zip(own, some, strict=True)]
            bound = relax(tree, unary, tables, never, rounds, block_most)
            grown = True
        if not grown:
            choice = [int(x.index[n]) for n, x in zip(answer.choice, some, strict=True)]
            return Found(tuple(choice), answer.total, answer.exact)
        slack = needed


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


@dataclass(frozen=True, slots=True)
class _Answer:
    """The best choice among some values."""

    choice: list[int]
    total: int
    exact: bool


class _Settled:
    """Choices among the values that cost at most so much more than the bound."""

    def __init__(
        self, tree: Tree, unary: list[Costs], tables: dict[Pair, Costs], values: Sequence[Some], limits: Limits,
        never: int, widest: int, rounds: int, block_most: int, bound: Bound | None,
    ) -> None:  # fmt: skip
        self.tree = tree
        self.block_most = block_most
        """What a block costs at most beyond its share of the bound."""
        self._unary = unary
        self._tables = tables
        self._values = values
        self._limits = limits
        self._never = never
        self._widest = widest
        self._rounds = rounds
        self.bound = bound or self._relaxed()
        if not tree.tops and not tree.whole and len(values) > 2 * BLOCK:
            self.tree = in_blocks(tree, self.bound.spare)
            self.bound = self._relaxed()
        self._pieces: _Pieces | None = None

    def _relaxed(self) -> Bound:
        return relax(self.tree, self._unary, self._tables, self._never, self._rounds, self.block_most)

    def best(self, slack: list[int]) -> tuple[_Answer, list[int]]:
        """The best choice of all, beginning with values that cost at most `slack` more than the bound, variable by variable; with it, how
        much more than the bound each variable's values may cost so that they could be part of a better choice."""
        best = None
        while True:
            answer, some = self.within(slack)
            if best is None or answer.total < best.total or (answer.total == best.total and answer.exact):
                best = answer
            if best.total < self._never:
                needed = self._needed(best, some)
            else:
                needed = [min(self._never, max(2 * n, _SLACK, 1)) for n in slack]
            # too few values to be sure of; or more of them than are needed, and their tables are too wide
            if any(n > s for n, s in zip(needed, slack, strict=True)):
                slack = [max(n, s) for n, s in zip(needed, slack, strict=True)] if answer.exact else needed
            elif not best.exact and needed != slack:
                slack = needed
            else:
                return best, needed

    def _needed(self, best: _Answer, some: list[Ints]) -> list[int]:
        """How much more than the bound a value may cost in each variable's block: what a choice with it saves elsewhere is at most
        the difference of the total and what all blocks cost at least, each for itself with its own limits. Blocks between which
        the best choice is another than theirs become one."""
        spent = best.total - self.bound.least
        tree = self.tree
        alone: list[int] = []
        while self.tree.tops:
            alone, in_doubt = self._alone(best, some)
            if not in_doubt:
                break
            self.tree = replace(self.tree, tops=self.tree.tops - in_doubt, whole=True)
        if not self.tree.tops:
            alone = [spent]
        if self.tree is not tree or max(alone) > self.block_most:
            self.block_most = max(self.block_most, 2 * max(alone)) if self.tree.tops else self.block_most
            self.bound = self._relaxed()
        saved = spent - sum(alone)
        return [alone[b] + saved for b in self.tree.blocks]

    def _alone(self, best: _Answer, some: list[Ints]) -> tuple[list[int], set[int]]:
        """What each block costs at least beyond its share of the bound, and the variables above which the best choice is another than
        that of the blocks."""
        tree, bound = self.tree, self.bound
        # each block with the best that may lie above it, and without what lies beneath
        own = list(self._unary)
        altered = set(tree.tops)
        for v in tree.tops:
            p, message = tree.parent[v], bound.messages[v]
            assert message is not None
            altered.add(p)
            own[v] = own[v] + (bound.towards(v, p) - message[:, None]).min(axis=0)
            own[p] = own[p] + message
        blocks = tree.blocks
        pieces = _Pieces([c[x] for c, x in zip(own, some, strict=True)], self._never, self._widest)
        paid = [0] * (blocks[-1] + 1)
        for v, x in enumerate(best.choice):
            paid[blocks[v]] += int(own[v][x])
        for (a, b), joint in bound.between.items():
            if blocks[a] == blocks[b]:
                pieces.join(a, b, joint[some[a][:, None], some[b]])
                paid[blocks[a]] += int(joint[best.choice[a], best.choice[b]])
        in_doubt = set()
        for (a, b), limit in self._limits.known.items():
            here = int(
                limit(self._some(a, np.array([best.choice[a]])), self._some(b, np.array([best.choice[b]])))[0, 0]
            )
            if blocks[a] == blocks[b]:
                pieces.join(a, b, limit(self._some(a, some[a]), self._some(b, some[b])))
                paid[blocks[a]] += here
                continue
            altered |= {a, b}
            if here:
                in_doubt |= {v for v in tree.tops if a < v <= b}
        pieces.solve(self._pieces, altered)
        alone = pieces.sums(blocks)
        more = [p - n for p, n in zip(paid, alone, strict=True)]
        for v in tree.tops:
            if more[blocks[v]] or more[blocks[v] - 1] or self._other_above(v, own[v], best.choice):
                in_doubt.add(v)
        for v, share in bound.roots.items():
            alone[blocks[v]] -= share
        return alone, in_doubt

    def _other_above(self, v: int, own: Costs, choice: list[int]) -> bool:
        """Whether the variable above a seam has another value than the one that were best for the block beneath."""
        p, message = self.tree.parent[v], self.bound.messages[v]
        assert message is not None
        here = int(self.bound.towards(v, p)[choice[p], choice[v]] - message[choice[p]])
        return here > int(own[choice[v]] - self._unary[v][choice[v]])

    def within(self, slack: list[int]) -> tuple[_Answer, list[Ints]]:
        """The best choice among values that cost at most `slack` more than the bound, as far as the bound tells, and these values."""
        some = [
            np.flatnonzero(s[: x.count] <= n) for s, x, n in zip(self.bound.spare, self._values, slack, strict=True)
        ]
        if not all(len(x) for x in some):
            return _Answer([0] * len(some), self._never, True), some
        pieces = _Pieces([u[x] for u, x in zip(self._unary, some, strict=True)], self._never, self._widest)
        for (a, b), table in self.bound.between.items():
            pieces.join(a, b, table[some[a][:, None], some[b]])
        for (a, b), limit in self._limits.known.items():
            pieces.join(a, b, limit(self._some(a, some[a]), self._some(b, some[b])))
        self._pieces = pieces
        while True:
            choice = [int(x[n]) for x, n in zip(some, pieces.solve(), strict=True)]
            if pieces.total >= self._never:
                return _Answer(choice, self._never, pieces.exact or min(slack) < self._never), some
            new = self._limits.broken([int(self._values[v].index[x]) for v, x in enumerate(choice)])
            new = {pair: limit for pair, limit in new.items() if pair not in self._limits.known}
            if not new:
                return _Answer(choice, pieces.total, pieces.exact), some
            self._limits.known.update(new)
            for (a, b), limit in new.items():
                pieces.join(a, b, limit(self._some(a, some[a]), self._some(b, some[b])))

    def _some(self, v: int, x: Ints) -> Some:
        return Some(self._values[v].index[x])


class _Pieces:
    """A graph in pieces that have nothing to do with each other: what has one value only belongs to none. A new table only touches
    the pieces that it joins."""

    def __init__(self, own: list[Costs], never: int, widest: int) -> None:
        self._own = own
        self._never = never
        self._widest = widest
        self._tables: dict[Pair, Costs] = {}
        self._piece = list(range(len(own)))
        self._members: dict[int, list[int]] = {v: [v] for v, costs in enumerate(own) if len(costs) > 1}
        self._solved: dict[int, tuple[list[int], int, bool]] = {}
        self._choice = [0] * len(own)
        self._alone = [int(costs[0]) if len(costs) == 1 else 0 for costs in own]
        self.total = 0
        self.exact = True

    def join(self, a: int, b: int, table: Costs) -> None:
        """Adds a table."""
        rows, columns = table.shape
        if rows == 1 and columns == 1:
            self._alone[a] += int(table[0, 0])
        elif rows == 1:
            self._own[b] = self._own[b] + table[0]
            self._solved.pop(self._piece[b], None)
        elif columns == 1:
            self._own[a] = self._own[a] + table[:, 0]
            self._solved.pop(self._piece[a], None)
        else:
            self._tables[a, b] = self._tables[a, b] + table if (a, b) in self._tables else table
            one, other = self._piece[a], self._piece[b]
            self._solved.pop(one, None)
            if one != other:
                self._solved.pop(other, None)
                moved = self._members.pop(other)
                for v in moved:
                    self._piece[v] = one
                self._members[one] += moved

    def solve(self, alike: _Pieces | None = None, altered: Set[int] = frozenset()) -> list[int]:
        """The index of each variable's best value; sets `total` and `exact`. What `alike` has solved is not solved again, where none of
        the `altered` variables is in it."""
        todo = [piece for piece in self._members if piece not in self._solved]
        inside: dict[int, list[Pair]] = {piece: [] for piece in todo}
        for pair in self._tables:
            piece = self._piece[pair[0]]
            if piece in inside:
                inside[piece].append(pair)
        for piece in todo:
            members = sorted(self._members[piece])
            known = None if alike is None or not altered.isdisjoint(members) else alike.solved(members)
            if known is not None:
                self._solved[piece] = known
                continue
            if len(members) == 1:
                costs = self._own[members[0]]
                x = int(np.argmin(costs))
                self._solved[piece] = ([x], int(costs[x]), True)
                self._choice[members[0]] = x
                continue
            number = {v: n for n, v in enumerate(members)}
            tables = {(number[a], number[b]): self._tables[a, b] for a, b in inside[piece]}
            answer = least([self._own[v] for v in members], tables, self._never, self._widest)
            self._solved[piece] = (list(answer.choice), answer.total, answer.exact)
            for v, x in zip(members, answer.choice, strict=True):
                self._choice[v] = x
        self.total = min(self._never, sum(self._alone) + sum(total for _, total, _ in self._solved.values()))
        self.exact = all(exact for _, _, exact in self._solved.values())
        return self._choice

    def solved(self, members: list[int]) -> tuple[list[int], int, bool] | None:
        """The solution of the piece that has these members, None where none has."""
        piece = self._piece[members[0]]
        return self._solved.get(piece) if sorted(self._members[piece]) == members else None

    def sums(self, groups: Sequence[int]) -> list[int]:
        """The total of each group of variables; no table may join variables of different groups."""
        out = [0] * (max(groups, default=-1) + 1)
        for v, costs in enumerate(self._alone):
            out[groups[v]] += costs
        for piece, (_, total, _) in self._solved.items():
            out[groups[self._members[piece][0]]] += total
        return out
