"""A graph of choices in pieces that have nothing to do with each other, each solved for itself and only when something in it changes."""

from __future__ import annotations

from collections.abc import Sequence, Set

import numpy as np

from chartc.slots.eliminate import least
from chartc.slots.graph import Costs
from chartc.slots.relax import Pair


class Pieces:
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

    def solve(self, alike: Pieces | None = None, altered: Set[int] = frozenset()) -> list[int]:
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
