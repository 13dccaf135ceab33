"""A domain: what one slot may hold, the cheapest first, with what joins need to know."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from itertools import count

import numpy as np
import numpy.typing as npt

from chartc.chart.song import Request
from chartc.licks.lick import REST
from chartc.slots.candidate import ASKED_PLACES, Candidate
from chartc.slots.costs import NEVER, Setting, costs
from chartc.slots.graph import Some
from chartc.slots.pool import Ints, Mask, Pool
from chartc.slots.rulebook import Rulebook
from chartc.slots.search import cheapest
from chartc.slots.slot import Context
from chartc.slots.traits import Traits

Which = Ints | int
"""Some of a domain's candidates, or so many of the cheapest."""


@dataclass(frozen=True, eq=False)
class Domain:
    """The candidates of a slot that may stand there. `index` are their places in the pool, `costs` the slot's own costs, which
    rise; `named` are the licks that the player asks for by name, here or in the measure that shares them."""

    pool: Pool
    index: Ints
    costs: npt.NDArray[np.int32]
    context: Context
    pinned: bool
    named: frozenset[str]
    serial: int = field(default_factory=count().__next__)
    """A number of its own."""
    _known: dict[int, Traits] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """How many candidates there are."""
        return len(self.index)

    @cached_property
    def candidates(self) -> tuple[Candidate, ...]:
        """All candidates in the order of their costs."""
        return tuple(self.pool.candidates[n] for n in self.index)

    def candidate(self, n: int) -> Candidate:
        """One candidate."""
        return self.pool.candidates[int(self.index[n])]

    def traits(self, which: Which) -> Traits:
        """The traits of some candidates, or of so many of the cheapest."""
        if isinstance(which, int):
            if which not in self._known:
                self._known[which] = self.pool.traits.take(self.index[:which])
            return self._known[which]
        return self.pool.traits.take(self.index[which])

    @property
    def ways(self) -> Ints:
        """The pool's `ways` of the candidates."""
        return self.pool.ways[self.index]

    def leaving(self, which: Ints) -> npt.NDArray[np.int32]:
        """Where the hand leaves some candidates, as codes."""
        return self.pool.leaving[self.index[which]]

    def entering(self, which: Ints) -> npt.NDArray[np.int32]:
        """Where the hand enters some candidates, as codes."""
        return self.pool.entering[self.index[which]]

    @cached_property
    def cheapest(self) -> Some:
        """The candidates that are compared first."""
        return cheapest(self.costs, self.ways)

    def asks(self, which: Which) -> Mask:
        """Which of some candidates the player asks for by name."""
        index = self.index[:which] if isinstance(which, int) else self.index[which]
        return np.isin(self.pool.names[index], list(self.named))


@dataclass(frozen=True)
class Asked:
    """What a player asks of a slot: the request, and the two-measure licks that a neighbour pins, by name or by their role."""

    request: Request | None
    beside: frozenset[str]
    roles_beside: frozenset[str] = frozenset()

    @property
    def key(self) -> object:
        """Equal where the same is asked, wherever it is written."""
        r = self.request
        return (None if r is None else (r.role, r.place, r.fret, r.lick), self.beside, self.roles_beside)


def domain(
    pool: Pool,
    x: Context,
    asked: Asked,
    book: Rulebook,
    hardest: int,
    setting: Setting,
    ms_per_tick: float,
) -> Domain:
    """What a slot may hold: all that can be played at the speed and that no rule forbids; what the player asks for stands above
    the rules. Where nothing meets a request, the slot is free."""
    rules = [rule for rule in book.rules if rule.applies(x)]
    usable = possible(pool, book, hardest, ms_per_tick)
    priced = costs(pool, x, book.weight, rules, setting, usable)
    total: Ints = np.sum([amount for _, amount in priced], axis=0, dtype=np.int64)
    fast = pool.fastest <= ms_per_tick
    request, beside = asked.request, asked.beside
    pinned = False
    named: frozenset[str] = frozenset()
    if request is not None or beside or asked.roles_beside:
        halves = [c for c in pool.candidates if c.part != (1, 1)]
        shared = {c.lick for c in halves if c.lick in beside}
        allowed = list(shared | {c.lick for c in halves if c.role in asked.roles_beside})
        meets = np.zeros(pool.size, dtype=bool)
        if request is not None:
            meets = np.array([_meets(c, request) for c in pool.candidates], dtype=bool) & fast
        unruled: Ints = np.sum([np.where(amount < NEVER, amount, 0) for _, amount in priced], axis=0, dtype=np.int64)
        total = np.where(meets | np.isin(pool.names, allowed), unruled, total)
        if request is not None and request.role == REST:
            total = np.where(pool.silent, 0, total)
        pinned = bool(meets.any())
        usable = meets if pinned else usable
        named = frozenset(shared if request is None or request.lick is None or not pinned else {*shared, request.lick})
    index = np.flatnonzero(usable & (total < NEVER))
    order = np.argsort(total[index], kind="stable")
    index = index[order]
    return Domain(pool, index, total[index].astype(np.int32), x, pinned, named)


def possible(pool: Pool, book: Rulebook, hardest: int, ms_per_tick: float) -> Mask:
    """The candidates that can be played at a speed, are not too difficult for the level and not resting."""
    found: Mask = (pool.fastest <= ms_per_tick) & (pool.difficulty <= hardest)
    if book.resting:
        found &= ~np.isin(pool.names, [leaf.text for leaf in book.resting])
    return found


def _meets(c: Candidate, r: Request) -> bool:
    """Whether a candidate is what was asked for; silence only where it was."""
    if r.lick is not None and c.lick != r.lick:
        return False
    if r.role is not None and c.role != r.role:
        return False
    if c.role == REST and r.role != REST:
        return False
    if r.place is not None:
        low, high = ASKED_PLACES[r.place]
        if not low <= (c.position or 0) <= high:
            return False
    return r.fret is None or c.position == r.fret


def reordered(d: Domain, costs: npt.NDArray[np.int32]) -> Domain:
    """The same candidates with other costs."""
    order = np.argsort(costs, kind="stable")
    return Domain(d.pool, d.index[order], costs[order], d.context, d.pinned, d.named)
