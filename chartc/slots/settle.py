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
        best = None
        wide = 0
        for _ in range(_TRIES):
            answer, some = self.within(slack)
            if best is None or answer.total < best.total or (answer.total == best.total and answer.exact):
                best = answer
            if best.total < self._never:
                needed = self._needed(best, some)
            else:
                needed = [min(self._never, max(2 * n, SLACK, 1)) for n in slack]
            wide += not answer.exact
            if wide > (1 if self.tree.others else 8):
                break
            # too few values to be sure of; or more of them than are needed, and their tables are too wide
            if any(n > s for n, s in zip(needed, slack, strict=True)):
                slack = [max(n, s) for n, s in zip(needed, slack, strict=True)] if answer.exact else needed
            elif not best.exact and needed != slack:
                slack = needed
            else:
                return best, needed
        assert best is not None
        return replace(best, exact=False), needed

    def _needed(self, best: Answer, some: list[Ints]) -> list[int]:
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

    def _alone(self, best: Answer, some: list[Ints]) -> tuple[list[int], set[int]]:
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
        pieces = Pieces([c[x] for c, x in zip(own, some, strict=True)], self._never, self._widest)
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

    def within(self, slack: list[int]) -> tuple[Answer, list[Ints]]:
        """The best choice among values that cost at most `slack` more than the bound, as far as the bound tells, and these values."""
        some = [
            np.flatnonzero(s[: x.count] <= n) for s, x, n in zip(self.bound.spare, self._values, slack, strict=True)
        ]
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
                return Answer(choice, self._never, pieces.exact or min(slack) < self._never), some
            new = self._limits.broken([int(self._values[v].index[x]) for v, x in enumerate(choice)])
            new = {pair: limit for pair, limit in new.items() if pair not in self._limits.known}
            if not new:
                return Answer(choice, pieces.total, pieces.exact), some
            self._limits.known.update(new)
            for (a, b), limit in new.items():
                pieces.join(a, b, limit(self._some(a, some[a]), self._some(b, some[b])))

    def _some(self, v: int, x: Ints) -> Some:
        return Some(self._values[v].index[x])
