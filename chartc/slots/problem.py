"""The problem of a choice: what each slot may hold and what joins cost, ready to be solved as often as is needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product

import numpy as np
import numpy.typing as npt

from chartc.chart.song import Request, Song
from chartc.licks.lick import CARRYING, REST, Library
from chartc.neck.hand import Limits
from chartc.neck.instrument import FifthString, Instrument
from chartc.slots.candidate import ASKED_PLACES, Candidate, Maker, Need
from chartc.slots.costs import NEVER, costs
from chartc.slots.eliminate import WIDEST, Costs, least
from chartc.slots.fifth import fifth_string
from chartc.slots.joins import ASKED_TWICE, Domain, Joiner, domain
from chartc.slots.pool import Mask, Pool, Pools, pools_for
from chartc.slots.rulebook import LEVELS, Rulebook
from chartc.slots.slot import Cut, Slot, cut
from chartc.text.diagnostic import Diagnostic

KEEP = 56
"""Candidates of a slot that are compared with all their joins: the cheapest, and the cheapest of every kind beside them."""

AGAIN = 2
"""No lick but a roll or vamp comes back within so many slots."""

NEXT_LINE = 10
"""The price of a lick on two neighbouring lines, times the weight of the cost `return`."""

_ROUNDS = 12
# a limit on coming back is added only where it is broken; what is still broken after so many rounds stands


@dataclass(frozen=True)
class Means:
    """What a player brings: instrument, spikes, hands, licks and rules."""

    instrument: Instrument
    spikes: tuple[int, ...]
    limits: Limits
    library: Library
    rulebook: Rulebook
    level: str = "full"
    """The greatest difficulty, as one of the rulebook's levels."""
    vary: bool = False
    """Whether a section that returns is to be filled in another way each time."""

    @property
    def hardest(self) -> int:
        """The greatest difficulty of a lick that may be chosen."""
        return self.rulebook.levels[LEVELS.index(self.level)]


@dataclass(frozen=True)
class Solution:
    """A candidate for every slot; `total` is its cost, NEVER or more where no choice can be played; `exact` tells that no other
    choice costs less."""

    chosen: tuple[Candidate, ...]
    indexes: tuple[int, ...]
    total: int
    exact: bool


@dataclass(frozen=True)
class Problem:
    """One song in one key. `own` are the slots' costs, `between` the joins', both as often as the form plays them."""

    song: Song
    plan: Cut
    fifth: FifthString
    instrument: Instrument
    maker: Maker
    ms_per_tick: float
    joiner: Joiner
    pools: tuple[Pool, ...]
    domains: tuple[Domain, ...]
    own: tuple[Costs, ...]
    between: Mapping[tuple[int, int], Costs]
    found: tuple[Diagnostic, ...]
    remarks: tuple[str, ...] = ()
    widest: int = WIDEST
    limits: dict[tuple[int, int], Costs] = field(default_factory=dict)
    """Limits on coming back that earlier solutions broke; they hold for the later ones too."""

    def solve(self, extra: Mapping[int, Costs] | None = None) -> Solution:
        """The cheapest choice, with `extra` costs for some slots (they count for the choice, not in the total)."""
        own = list(self.own)
        for n, more in (extra or {}).items():
            own[n] = np.minimum(own[n] + more, NEVER)
        for _ in range(_ROUNDS):
            between = dict(self.between)
            for pair, table in self.limits.items():
                between[pair] = np.minimum(between[pair] + table, NEVER) if pair in between else table
            answer = least(own, between, NEVER, self.widest)
            if answer.total >= NEVER:
                break
            new = {pair: price for pair, price in self._comes_back(answer.choice).items() if pair not in self.limits}
            if not new:
                break
            for (a, b), price in new.items():
                self.limits[a, b] = self._apart(a, b, price)
        chosen = tuple(d.candidates[x] for d, x in zip(self.domains, answer.choice, strict=True))
        total = answer.total
        if extra and total < NEVER:
            total -= sum(int(more[answer.choice[n]]) for n, more in extra.items())
        return Solution(chosen, answer.choice, total, answer.exact)

    def _comes_back(self, choice: tuple[int, ...]) -> dict[tuple[int, int], int]:
        """Pairs of slots that hold one lick which is no roll or vamp too soon, with the price of it: forbidden at most AGAIN slots
        apart as played (neighbours are never among them: their join forbids it), dear on neighbouring lines of a section."""
        out: dict[tuple[int, int], int] = {}

        def look(a: int, b: int, price: int) -> None:
            x, y = self.domains[a].candidates[choice[a]], self.domains[b].candidates[choice[b]]
            if a == b or x.lick != y.lick or x.role in CARRYING or (x.key is not None and y.key is not None):
                return
            if not (self.domains[a].named[choice[a]] and self.domains[b].named[choice[b]]):
                out.setdefault((min(a, b), max(a, b)), price)

        played = self.plan.played
        for back in range(2, AGAIN + 1):
            for a, b in zip(played, played[back:], strict=False):
                look(a, b, NEVER)
        on_line: dict[tuple[int, int, str], list[int]] = {}
        for n, slot in enumerate(self.plan.slots):
            lick = self.domains[n].candidates[choice[n]]
            if lick.role not in ("lead-in", *CARRYING):
                on_line.setdefault((slot.section, slot.line, lick.lick), []).append(n)
        for (section, line, lick_name), before in on_line.items():
            for a, b in product(before, on_line.get((section, line + 1, lick_name), ())):
                look(a, b, NEXT_LINE * self.joiner.weight["return"])
        return out

    def _apart(self, a: int, b: int, price: int) -> Costs:
        """The table that keeps two slots from holding the same lick, or prices it."""
        x, y = self.domains[a], self.domains[b]
        asked = x.named[:, None] & y.named[None, :]
        same = (x.traits.names[:, None] == y.traits.names[None, :]) & ~x.traits.carrying[:, None] & ~asked
        if price < NEVER:
            # a tail is no signature: it may close two lines
            same &= (x.traits.leads_to < 0)[:, None]
        return np.where(same, min(price, ASKED_TWICE // 4) if x.pinned and y.pinned else price, 0)


def build_problem(song: Song, means: Means) -> Problem:
    """Everything about a choice but the choice. `found` tells of requests that nothing meets."""
    fifth = fifth_string(song, means.instrument, means.spikes)
    speed = song.tempo.milliseconds(1)
    pools_ = pools_for(means.instrument, fifth.fret, fifth.pitch, means.limits, means.library)
    plan = cut(song, means.rulebook.phrase)
    found: list[Diagnostic] = []
    joiner = Joiner(means.instrument, means.limits, speed, means.rulebook.weight)
    pools, domains = _domains(song, plan, means, pools_, speed, found)
    played = np.bincount(np.array(plan.played, dtype=np.int64), minlength=len(domains))
    own: list[Costs] = [np.minimum(d.costs * int(n), NEVER) for d, n in zip(domains, played, strict=True)]
    between: dict[tuple[int, int], Costs] = {}
    for follow in plan.follows:
        a, b = follow.before, follow.after
        table = np.minimum(joiner.pair(domains[a], domains[b], follow.gap, a == b) * follow.times, NEVER)
        if a == b:
            own[a] = np.minimum(own[a] + np.diagonal(table), NEVER)
            continue
        if a > b:
            a, b, table = b, a, table.T
        between[a, b] = np.minimum(between[a, b] + table, NEVER) if (a, b) in between else table
    slots_of = (tuple(pools), tuple(domains), tuple(own))
    return Problem(song, plan, fifth, means.instrument, pools_.maker, speed, joiner, *slots_of, between, tuple(found))


# --- what each slot may hold ---------------------------------------------------------------------------------------------


def _domains(
    song: Song, plan: Cut, means: Means, made: Pools, speed: float, found: list[Diagnostic]
) -> tuple[list[Pool], list[Domain]]:
    halves = _halves(plan)
    domains: dict[object, Domain] = {}
    out_pools: list[Pool] = []
    out: list[Domain] = []
    for n, slot in enumerate(plan.slots):
        x = slot.context
        kind = (Need(slot.chord, slot.ticks, x.step, x.compound), x.next_roots, halves[n])
        r = slot.request
        asked = None if r is None else (r.role, r.place, r.fret, r.lick)
        # the neighbour of a pinned two-measure lick must be able to take the other half
        beside = frozenset(
            other.lick
            for k in (n - 1, n + 1)
            if halves[n] and 0 <= k < len(plan.slots)
            for other in [plan.slots[k].request]
            if other is not None and other.lick is not None
        )
        memo = (kind, x, asked, beside)
        if memo not in domains:
            domains[memo] = _domain(song, slot, made.pool(kind, speed), means, beside)
        here = domains[memo]
        if r is not None and not here.pinned:
            found.append(_unmet(r, slot, song))
        out.append(here)
        out_pools.append(made.pool(kind, speed))
    return out_pools, out


def _domain(song: Song, slot: Slot, pool: Pool, means: Means, beside: frozenset[str]) -> Domain:
    x = slot.context
    request = slot.request
    rules = [rule for rule in means.rulebook.rules if rule.applies(x)]
    priced = costs(pool, x, means.rulebook.weight, rules, song.melody, means.limits)
    total: Costs = sum((amount for _, amount in priced), np.zeros(pool.size, dtype=np.int64))
    # what the player asks for stands above the rules
    beside = frozenset(c.lick for c in pool.candidates if c.part != (1, 1) and c.lick in beside)
    allowed = np.isin(pool.names, list(beside))
    meets = np.zeros(pool.size, dtype=bool)
    if request is not None:
        meets = np.array([_meets(c, request) for c in pool.candidates], dtype=bool)
        allowed |= meets
    if allowed.any():
        unruled = sum(
            (np.where(amount < NEVER, amount, 0) for _, amount in priced), np.zeros(pool.size, dtype=np.int64)
        )
        total = np.where(allowed, unruled, total)
    asked = bool(meets.any())
    if request is not None and request.role == REST:
        total = np.where(pool.silent, 0, total)
    usable = (meets if asked else _unforbidden(pool, means)) & (total < NEVER)
    kept = _shortened(pool, total, usable, np.isin(pool.names, list(beside)))
    named = beside | ({request.lick} if request is not None and request.lick is not None and asked else frozenset())
    chosen = tuple(pool.candidates[n] for n in kept)
    return domain(chosen, total[kept], x, asked, named, pool.traits.take(kept))


def _unforbidden(pool: Pool, means: Means) -> Mask:
    """The candidates that are not too difficult for the level and not resting."""
    resting = [leaf.text for leaf in means.rulebook.resting]
    found: Mask = (pool.difficulty <= means.hardest) & ~np.isin(pool.names, resting)
    return found


def _shortened(pool: Pool, total: Costs, usable: Mask, always: Mask) -> npt.NDArray[np.int64]:
    """The candidates whose joins are compared: the cheapest, the cheapest of every kind, and those that are always needed."""
    order = np.argsort(total, kind="stable")
    order = order[usable[order]]
    if len(order) <= KEEP:
        return np.sort(order)
    keep = np.zeros(pool.size, dtype=bool)
    keep[order[:KEEP]] = True
    for kinds in pool.kinds:
        _, first = np.unique(kinds[order], return_index=True)
        keep[order[first]] = True
    return np.flatnonzero(keep | (always & usable))


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


def _unmet(r: Request, slot: Slot, song: Song) -> Diagnostic:
    what = " ".join(
        str(v) for v in (r.role, r.place, None if r.fret is None else f"fret {r.fret}", r.lick) if v is not None
    )
    return Diagnostic(
        "request-unmet",
        f"no lick that is asked for ({what}) fits over {slot.chord.label} here in {song.key.label}",
        r.span,
        "the choice was left free; ask for a role or a place instead, or pin a lick of this chord and length",
        "warning",
    )


def _halves(plan: Cut) -> list[frozenset[int]]:
    """For each slot which halves of a two-measure lick it may hold: it and its neighbour are whole measures of one chord, and always
    follow each other as played."""
    out: list[set[int]] = [set() for _ in plan.slots]
    after: dict[int, list[tuple[int, int]]] = {}
    before: dict[int, list[int]] = {}
    for f in plan.follows:
        after.setdefault(f.before, []).append((f.after, f.gap))
        before.setdefault(f.after, []).append(f.before)
    for n, (a, b) in enumerate(zip(plan.slots, plan.slots[1:], strict=False)):
        if (
            a.section == b.section
            and b.measure == a.measure + 1
            and a.context.whole
            and b.context.whole
            and a.ticks == b.ticks
            and a.chord == b.chord
            and after.get(n) == [(n + 1, 0)]
            and before.get(n + 1) == [n]
        ):
            out[n].add(1)
            out[n + 1].add(2)
    return [frozenset(s) for s in out]
