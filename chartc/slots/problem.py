"""The problem of a choice: what each slot may hold and what joins cost, ready to be solved as often as is needed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from chartc.chart.song import Request, Song
from chartc.licks.lick import CARRYING, Library
from chartc.neck.hand import Limits
from chartc.neck.instrument import FifthString, Instrument
from chartc.slots.candidate import Candidate, Maker, Need
from chartc.slots.costs import NEVER, Setting
from chartc.slots.domain import Asked, Domain, reordered
from chartc.slots.eliminate import WIDEST
from chartc.slots.fifth import fifth_string
from chartc.slots.graph import Graph, Some, Table
from chartc.slots.graph import Limits as Broken
from chartc.slots.joins import ASKED_TWICE, Costs, Joiner, Pairing
from chartc.slots.pool import Pool
from chartc.slots.relax import Pair, Tree, spanning
from chartc.slots.rulebook import LEVELS, Rulebook
from chartc.slots.search import search
from chartc.slots.shelf import Shelf, shelf_for
from chartc.slots.slot import Cut, Slot, cut
from chartc.slots.yielding import bettered, yielding
from chartc.text.diagnostic import Diagnostic

AGAIN = 2
"""No lick but a roll or vamp comes back within so many slots."""

NEAR = 1.1
"""A choice that costs at most so many times what no choice costs less than is good enough to print a tangled form as it is written."""

NEXT_LINE = 20
"""The price of a lick on two neighbouring lines, times the weight of the cost `return`."""


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
    choice costs less. `indexes` are the candidates' places in their domains."""

    chosen: tuple[Candidate, ...]
    indexes: tuple[int, ...]
    total: int
    exact: bool
    least: int
    """What no choice costs less than: the total where it is exact."""

    @property
    def near(self) -> bool:
        """Whether no choice can be cheaper by more than `NEAR`."""
        return self.exact or (self.total < NEVER and self.total <= NEAR * self.least)


@dataclass(frozen=True)
class Met:
    """How two slots meet: the joins between them, each with the times that the form plays it."""

    joiner: Joiner
    a: Domain
    b: Domain
    ways: tuple[tuple[bool, int, int], ...]
    """For each join: whether it leads from `a` to `b`, the ticks between, and how often it is played."""

    def pairings(self, rows: Some, columns: Some) -> list[Pairing]:
        """The joins between some candidates of the two."""
        a, b = self.a, self.b
        return [
            Pairing(a, b, gap, False, rows, columns) if forth else Pairing(b, a, gap, False, columns, rows)
            for forth, gap, _ in self.ways
        ]

    def __call__(self, rows: Some, columns: Some) -> Costs:
        """What it costs to have some candidates in one slot and some in the other."""
        return self.added(self.joiner.costs(self.pairings(rows, columns)))

    def added(self, found: Sequence[Costs]) -> Costs:
        """The costs of all joins between the two together, each as often as it is played."""
        if len(self.ways) == 1 and self.ways[0][2] == 1:
            return found[0] if self.ways[0][0] else found[0].T
        # what is forbidden and often played leaves 32 bits
        total = np.zeros((found[0] if self.ways[0][0] else found[0].T).shape, dtype=np.int64)
        for table, (forth, _, times) in zip(found, self.ways, strict=True):
            total += (table if forth else table.T) * np.int64(times)
        return np.minimum(total, NEVER).astype(np.int32)


@dataclass(frozen=True)
class Problem:
    """One song in one key. `own` are the slots' costs as often as the form plays them, `between` the joins'."""

    song: Song
    plan: Cut
    fifth: FifthString
    instrument: Instrument
    maker: Maker
    ms_per_tick: float
    joiner: Joiner
    domains: tuple[Domain, ...]
    own: tuple[Costs, ...]
    between: Mapping[Pair, Met]
    tree: Tree
    setting: Setting
    found: tuple[Diagnostic, ...]
    remarks: tuple[str, ...] = ()
    widest: int = WIDEST
    limits: dict[Pair, Table] = field(default_factory=dict)
    """Limits on coming back that earlier solutions broke; they hold for the later ones too."""

    @property
    def pools(self) -> tuple[Pool, ...]:
        """For each slot, all that could be played there at some speed."""
        return tuple(d.pool for d in self.domains)

    def solve(self, extra: Mapping[int, Costs] | None = None) -> Solution:
        """The cheapest choice, with `extra` costs for some slots (they count for the choice, not in the total)."""
        own = list(self.own)
        for n, more in (extra or {}).items():
            own[n] = np.minimum(own[n] + more, NEVER)
        cheapest = [None if extra and n in extra else d.cheapest for n, d in enumerate(self.domains)]
        graph = Graph(own, tuple(self.between), self._tables, self.tree, [d.ways for d in self.domains], cheapest)
        limits = Broken(self._comes_back)
        limits.known = self.limits
        answer = search(graph, limits, NEVER, self.widest)
        if not answer.exact:
            other = yielding(graph, self._comes_back, NEVER, self.widest)
            if other is not None:
                better = min(answer, other, key=lambda found: found.total)
                answer = replace(better, least=max(answer.least, other.least))
            if answer.total < NEVER:
                answer = bettered(graph, self._comes_back, answer, NEVER)
        chosen = tuple(d.candidate(x) for d, x in zip(self.domains, answer.choice, strict=True))
        beside = sum(int(more[answer.choice[n]]) for n, more in (extra or {}).items()) if answer.total < NEVER else 0
        return Solution(chosen, answer.choice, answer.total - beside, answer.exact, answer.least - beside)

    def _tables(self, pairs: Mapping[Pair, tuple[Some, Some]]) -> dict[Pair, Costs]:
        wanted = [self.between[pair].pairings(*some) for pair, some in pairs.items()]
        found = iter(self.joiner.costs([p for pairings in wanted for p in pairings]))
        return {pair: self.between[pair].added([next(found) for _ in w]) for pair, w in zip(pairs, wanted, strict=True)}

    def _comes_back(self, choice: Sequence[int]) -> dict[Pair, Table]:
        """Pairs of slots that hold one lick which is no roll or vamp too soon, with the price of it: forbidden at most AGAIN slots
        apart as played (neighbours are never among them: their join forbids it), dear on neighbouring lines of a section."""
        out: dict[Pair, Table] = {}
        held = [d.candidate(x) for d, x in zip(self.domains, choice, strict=True)]
        asked = [bool(d.named) and c.lick in d.named for d, c in zip(self.domains, held, strict=True)]

        def look(a: int, b: int, price: int) -> None:
            x, y = held[a], held[b]
            if a == b or x.lick != y.lick or x.role in CARRYING or (x.key is not None and y.key is not None):
                return
            if not (asked[a] and asked[b]):
                a, b = min(a, b), max(a, b)
                out.setdefault((a, b), self._apart(a, b, price))

        played = self.plan.played
        for back in range(2, AGAIN + 1):
            for a, b in zip(played, played[back:], strict=False):
                look(a, b, NEVER)
        on_line: dict[tuple[int, int, str], list[int]] = {}
        for n, slot in enumerate(self.plan.slots):
            if held[n].role not in ("lead-in", *CARRYING):
                on_line.setdefault((slot.section, slot.line, held[n].lick), []).append(n)
        for (section, line, lick_name), before in on_line.items():
            for a, b in product(before, on_line.get((section, line + 1, lick_name), ())):
                look(a, b, NEXT_LINE * self.joiner.weight["return"])
        return out

    def _apart(self, a: int, b: int, price: int) -> Table:
        """The table that keeps two slots from holding the same lick, or prices it."""
        one, other = self.domains[a], self.domains[b]

        def table(rows: Some, columns: Some) -> Costs:
            x, y = one.traits(rows.which), other.traits(columns.which)
            same = (x.names[:, None] == y.names[None, :]) & (x.carrying[:, None] == 0)
            if one.named and other.named:
                same &= ~(one.asks(rows.which)[:, None] & other.asks(columns.which)[None, :])
            if price < NEVER:
                # a tail is no signature: it may close two lines
                same &= (x.leads_to < 0)[:, None]
            return np.where(same, min(price, ASKED_TWICE // 4) if one.pinned and other.pinned else price, 0)

        return table


def build_problem(song: Song, means: Means) -> Problem:
    """Everything about a choice but the choice. `found` tells of requests that nothing meets."""
    fifth, shelf = _shelf(song, means)
    speed = song.tempo.milliseconds(1)
    plan = cut(song, means.rulebook.phrase)
    setting = _setting(song, means)
    domains, found = _domains(song, plan, range(len(plan.slots)), shelf, setting, speed)
    joiner = Joiner(shelf.joins, speed)
    played = [0] * len(domains)
    for n in plan.played:
        played[n] += 1
    ways: dict[Pair, list[tuple[bool, int, int]]] = {}
    for f in plan.follows:
        a, b = f.before, f.after
        if a == b:
            costs = domains[a].costs + np.diagonal(joiner.pair(domains[a], domains[a], f.gap, itself=True))
            domains[a] = reordered(domains[a], np.minimum(costs, NEVER))
        else:
            ways.setdefault((min(a, b), max(a, b)), []).append((a < b, f.gap, f.times))
    own = tuple(
        np.minimum(d.costs * np.int64(n), NEVER).astype(np.int32) if n != 1 else d.costs
        for d, n in zip(domains, played, strict=True)
    )
    between = {(a, b): Met(joiner, domains[a], domains[b], tuple(w)) for (a, b), w in ways.items()}
    tree = spanning(len(domains), tuple(between))
    return Problem(
        song, plan, fifth, means.instrument, shelf.maker, speed, joiner, tuple(domains), own, between, tree, setting, found
    )  # fmt: skip


def unmet_requests(song: Song, means: Means, plan: Cut) -> tuple[Diagnostic, ...]:
    """The requests that nothing meets, as `build_problem` finds them, without looking at any other slot."""
    asked = [n for n, slot in enumerate(plan.slots) if slot.request is not None]
    return _domains(song, plan, asked, _shelf(song, means)[1], _setting(song, means), song.tempo.milliseconds(1))[1]


def _setting(song: Song, means: Means) -> Setting:
    return Setting(song.melody, means.limits.comfortable_mm, means.hardest)


def _shelf(song: Song, means: Means) -> tuple[FifthString, Shelf]:
    fifth = fifth_string(song, means.instrument, means.spikes)
    hands = (means.limits, means.library, means.rulebook, means.hardest)
    return fifth, shelf_for(means.instrument, fifth.fret, fifth.pitch, *hands)


# --- what each slot may hold ---------------------------------------------------------------------------------------------


def _domains(
    song: Song, plan: Cut, wanted: Sequence[int], shelf: Shelf, setting: Setting, speed: float
) -> tuple[list[Domain], tuple[Diagnostic, ...]]:
    halves = _halves(plan)
    found: list[Diagnostic] = []
    out: list[Domain] = []
    for n in wanted:
        slot = plan.slots[n]
        x = slot.context
        kind = (Need(slot.chord, slot.ticks, x.step, x.compound), x.next_roots, halves[n])
        # the neighbour of a pinned two-measure lick must be able to take the other half
        near = [plan.slots[k].request for k in (n - 1, n + 1) if halves[n] and 0 <= k < len(plan.slots)]
        beside = frozenset(r.lick for r in near if r is not None and r.lick is not None)
        roles = frozenset(r.role for r in near if r is not None and r.lick is None and r.role is not None)
        here = shelf.domain(kind, x, Asked(slot.request, beside, roles), setting, speed)
        if slot.request is not None and not here.pinned:
            found.append(_unmet(slot.request, slot, song))
        out.append(here)
    return out, tuple(found)


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
