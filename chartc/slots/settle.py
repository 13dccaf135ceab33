"""The best choice among the values that a bound leaves, and the proof that none of the others belongs to a better one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from chartc.slots.graph import Costs, Ints, Limits, Some
from chartc.slots.pieces import Pieces
from chartc.slots.relax import BLOCK, Bound, Pair, Tree, in_blocks, relax

SLACK = 12
"""A choice is looked for among what costs at most so much more than the bound, and more where there is none."""

_TRIES = 60
# more than it takes to go from SLACK to anything by doubling; then the answer is not claimed to be the best


@dataclass(frozen=True, slots=True)
class Answer:
    """The best choice among some values."""

    choice: list[int]
    total: int
    exact: bool


class Settled:
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
        self._pieces: Pieces | None = None

    def _relaxed(self) -> Bound:
        return relax(self.tree, self._unary, self._tables, self._never, self._rounds, self.block_most)

    def best(self, slack: list[int]) -> tuple[Answer, list[int]]:
        """The best choice of all, beginning with values that cost at most `slack` more than the bound, variable by variable; with it, how
        much more than the bound each variable's values may cost so that they could be part of a better choice."""
        best: Answer | None = None
        wide = 0
        needed = slack
        for _ in range(_TRIES):
            bound = self.bound
            answer, some = self.within(slack, best)
            if best is None or answer.total < best.total:
                best = answer
            proven = answer.exact
            if best.total < self._never:
                needed, sure = self._needed(best, some)
                proven = proven and sure
            else:
                needed = [min(self._never, max(2 * n, SLACK, 1)) for n in slack]
            wide += not proven and best.total < self._never
            if wide > (1 if self.tree.others else 8):
                break
            if any(n > s for n, s in zip(needed, slack, strict=True)):
                # too few values to be sure of; or more of them than are needed, and their tables are too wide
                slack = [max(n, s) for n, s in zip(needed, slack, strict=True)] if proven else needed
            elif not proven and needed != slack:
                slack = needed
            elif self.bound is bound or self._hold(some, slack):
                return replace(best, exact=proven), needed
        assert best is not None
        return replace(best, exact=False), needed

    def _needed(self, best: Answer, some: list[Ints]) -> tuple[list[int], bool]:
        """How much more than the bound a value may cost in each variable's block to be part of a better choice than `best`, and whether
        that is proven: in a better choice some block costs less than it does at least for itself with its own limits. Blocks
        between which `best` is another than theirs become one."""
        while self.tree.tops:
            alone, in_doubt, sure = self._alone(best, some)
            if in_doubt:
                self.tree = replace(self.tree, tops=self.tree.tops - in_doubt, whole=True)
            elif max(alone) > self.block_most:
                self.block_most = 2 * max(alone)
            else:
                return [alone[b] for b in self.tree.blocks], sure
            self.bound = self._relaxed()
        return [best.total - self.bound.least] * len(some), True

    def _hold(self, some: list[Ints], slack: list[int]) -> bool:
        """Whether these values are still all that cost at most `slack` more than the bound, which has changed."""
        for spare, x, n, has in zip(self.bound.spare, self._values, slack, some, strict=True):
            within = spare[: x.count] <= n
            within[has] = False
            if within.any():
                return False
        return True

    def _alone(self, best: Answer, some: list[Ints]) -> tuple[list[int], set[int], bool]:
        """What each block costs at least beyond its share of the bound, the variables above which the best choice is another than
        that of the blocks, and whether the least costs are exact."""
        tree, bound = self.tree, self.bound
        # each block with the best that may lie above it, and without what lies beneath
        own = list(self._unary)
        altered = set(tree.tops)
        in_doubt = set()
        for v in tree.tops:
            p, message = tree.parent[v], bound.messages[v]
            assert message is not None
            altered.add(p)
            above = bound.towards(v, p) - message[:, None]
            least = above.min(axis=0)
            own[v] = own[v] + least
            own[p] = own[p] + message
            # the variable above has another value than the one that were best for the block beneath
            if above[best.choice[p], best.choice[v]] > least[best.choice[v]]:
                in_doubt.add(v)
        blocks = tree.blocks
        pieces = Pieces([c[x] for c, x in zip(own, some, strict=True)], self._never, self._widest)
        paid = [0] * (blocks[-1] + 1)
        for v, x in enumerate(best.choice):
            paid[blocks[v]] += int(own[v][x])
        for (a, b), joint in bound.between.items():
            if blocks[a] == blocks[b]:
                pieces.join(a, b, joint[some[a][:, None], some[b]])
                paid[blocks[a]] += int(joint[best.choice[a], best.choice[b]])
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
            if more[blocks[v]] or more[blocks[v] - 1]:
                in_doubt.add(v)
        for v, share in bound.roots.items():
            alone[blocks[v]] -= share
        return alone, in_doubt, pieces.exact

    def within(self, slack: list[int], known: Answer | None = None) -> tuple[Answer, list[Ints]]:
        """The best choice among values that cost at most `slack` more than the bound, as far as the bound tells, and these values.
        Those of a choice that is `known` are always among them."""
        some = []
        for v, (spare, x, n) in enumerate(zip(self.bound.spare, self._values, slack, strict=True)):
            near = spare[: x.count] <= n
            if known is not None:
                near[known.choice[v]] = True
            some.append(np.flatnonzero(near))
        if not all(len(x) for x in some):
            return Answer([0] * len(some), self._never, True), some
        pieces = Pieces([u[x] for u, x in zip(self._unary, some, strict=True)], self._never, self._widest)
        for (a, b), table in self.bound.between.items():
            pieces.join(a, b, table[some[a][:, None], some[b]])
        for (a, b), limit in self._limits.known.items():
            pieces.join(a, b, limit(self._some(a, some[a]), self._some(b, some[b])))
        self._pieces = pieces
        while True:
            choice = [int(x[n]) for x, n in zip(some, pieces.solve(), strict=True)]
            if pieces.total >= self._never:
                return Answer(choice, self._never, pieces.exact), some
            new = self._limits.broken([int(self._values[v].index[x]) for v, x in enumerate(choice)])
            new = {pair: limit for pair, limit in new.items() if pair not in self._limits.known}
            if not new:
                return Answer(choice, pieces.total, pieces.exact), some
            self._limits.known.update(new)
            for (a, b), limit in new.items():
                pieces.join(a, b, limit(self._some(a, some[a]), self._some(b, some[b])))

    def _some(self, v: int, x: Ints) -> Some:
        return Some(self._values[v].index[x])
