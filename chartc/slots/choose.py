"""The choice: one lick for every slot, so that the sum of all costs over everything the form plays is least."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from chartc.chart.song import Request, Song
from chartc.licks.lick import CARRYING, REST, Library
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.slots.candidate import Bench, Candidate, Maker, Need, onsets_tile
from chartc.slots.costs import NEVER, costs
from chartc.slots.eliminate import Costs, least
from chartc.slots.fifth import fifth_string
from chartc.slots.joins import Domain, Joiner
from chartc.slots.part import FilledSlot, Part
from chartc.slots.pool import Mask, Pool
from chartc.slots.rulebook import Rulebook
from chartc.slots.slot import Cut, Slot, cut
from chartc.text.diagnostic import Diagnostic, in_order

KEEP = 56
"""Candidates of a slot that are compared with all their joins: the cheapest, and the cheapest of every kind beside them."""


@dataclass(frozen=True)
class Means:
    """What a player brings: instrument, spikes, hands, licks and rules."""

    instrument: Instrument
    spikes: tuple[int, ...]
    limits: Limits
    library: Library
    rulebook: Rulebook


def fill(song: Song, means: Means) -> tuple[Part | None, tuple[Diagnostic, ...]]:
    """Fills every slot of a song in its key. The same song and means give the same part, always.

    None where pins contradict each other; a slot in which nothing can be played stays silent, and a warning says so.
    """
    fifth = fifth_string(song, means.instrument, means.spikes)
    bench = Bench(means.instrument, fifth, means.limits, means.library, song.tempo.milliseconds(1))
    plan = cut(song)
    found: list[Diagnostic] = []
    joiner = Joiner(bench, means.rulebook.weight)
    domains = _domains(song, plan, means, bench, joiner, found)
    if _pins_repeat(plan, domains, found):
        return None, in_order(found)
    played = np.bincount(np.array(plan.played, dtype=np.int64), minlength=len(domains)) if domains else np.zeros(0)
    own: list[Costs] = [d.costs * max(1, int(n)) for d, n in zip(domains, played, strict=True)]
    between: dict[tuple[int, int], Costs] = {}
    for follow in plan.follows:
        a, b = follow.before, follow.after
        table = joiner.pair(domains[a], domains[b], follow.gap) * follow.times
        if a == b:
            own[a] = own[a] + np.diagonal(table)
        elif a < b:
            between[a, b] = between[a, b] + table if (a, b) in between else table
        else:
            between[b, a] = between[b, a] + table.T if (b, a) in between else table.T
    answer = least(own, between, NEVER)
    if answer.total >= NEVER:
        found.extend(_contradictions(plan, domains, joiner))
        return None, in_order(found)
    chosen = [d.candidates[x] for d, x in zip(domains, answer.choice, strict=True)]
    for slot, candidate in zip(plan.slots, chosen, strict=True):
        asked = slot.request is not None and slot.request.role == REST
        if candidate.role == REST and not asked:
            place = song.sections[slot.section].measures[slot.measure].span
            found.append(
                Diagnostic("slot-silent", f"nothing in the library can be played over {slot.chord.label} here in {song.key.label}",
                           place, "the measure stays silent; a slower tempo, wider limits or another lick would help", "warning")
            )  # fmt: skip
    return Part(song, means.instrument, fifth, _filled(song, plan, chosen), 1, answer.total), in_order(found)


def _filled(song: Song, plan: Cut, chosen: list[Candidate]) -> tuple[tuple[tuple[FilledSlot, ...], ...], ...]:
    out: list[list[list[FilledSlot]]] = [[[] for _ in s.measures] for s in song.sections]
    for slot, c in zip(plan.slots, chosen, strict=True):
        assert onsets_tile(c.notes, c.rests, slot.ticks), f"{c.lick} does not fill its slot"
        notes = tuple(replace(n, at=n.at + slot.at) for n in c.notes)
        rests = tuple((at + slot.at, ticks) for at, ticks in c.rests)
        out[slot.section][slot.measure].append(
            FilledSlot(slot.at, slot.ticks, slot.chord, c.lick, c.role, c.part, c.position, notes, rests)
        )
    return tuple(tuple(tuple(m) for m in s) for s in out)


# --- what each slot may hold ---------------------------------------------------------------------------------------------


def _domains(
    song: Song, plan: Cut, means: Means, bench: Bench, joiner: Joiner, found: list[Diagnostic]
) -> list[Domain]:
    halves = _halves(plan)
    maker = Maker(bench)
    pools: dict[object, Pool] = {}
    domains: dict[object, Domain] = {}
    out = []
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
            if kind not in pools:
                pools[kind] = Pool(kind[0], maker.candidates(*kind), means.instrument.drone)
            domains[memo] = _domain(song, slot, pools[kind], means, joiner, beside)
        domain = domains[memo]
        if r is not None and not domain.pinned:
            found.append(_unmet(r, slot, song))
        out.append(domain)
    return out


def _domain(song: Song, slot: Slot, pool: Pool, means: Means, joiner: Joiner, beside: frozenset[str]) -> Domain:
    x = slot.context
    request = slot.request
    rules = [rule for rule in means.rulebook.rules if rule.applies(x)]
    priced = costs(pool, x, means.rulebook.weight, rules, song.melody, means.limits)
    total: Costs = sum((amount for _, amount in priced), np.zeros(pool.size, dtype=np.int64))
    # what the player asks for stands above the rules
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
    usable = (meets if asked else np.ones(pool.size, dtype=bool)) & (total < NEVER)
    kept = _shortened(pool, total, usable, np.isin(pool.names, list(beside)))
    return joiner.domain(tuple(pool.candidates[n] for n in kept), total[kept], x, asked)


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
    if r.place is not None and c.place != r.place:
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


# --- pins that contradict each other ------------------------------------------------------------------------------------


def _pins_repeat(plan: Cut, domains: list[Domain], found: list[Diagnostic]) -> bool:
    """Whether one lick that is no roll or vamp is pinned three times in a row on a played path."""
    bad = False
    names: list[tuple[str, int]] = []
    for n in plan.played:
        r = plan.slots[n].request
        pinned = r is not None and r.lick is not None and domains[n].pinned
        role = domains[n].candidates[0].role
        name = r.lick if r is not None and r.lick is not None and pinned and role not in CARRYING else ""
        names.append((name, n))
        if name and len(names) >= 3 and names[-2][0] == names[-3][0] == name:
            request = plan.slots[n].request
            assert request is not None
            bad = True
            found.append(
                Diagnostic("pin-repeat", f'"{name}" is pinned three times in a row as played', request.span,
                           "only rolls and vamps go on like that; free one of the three")
            )  # fmt: skip
    return bad


def _contradictions(plan: Cut, domains: list[Domain], joiner: Joiner) -> list[Diagnostic]:
    """The joins that cannot be played whatever is chosen around them."""
    out = []
    for f in plan.follows:
        a, b = domains[f.before], domains[f.after]
        if int(joiner.pair(a, b, f.gap).min()) < NEVER:
            continue
        request = plan.slots[f.after].request or plan.slots[f.before].request
        first, second = a.candidates[0].lick, b.candidates[0].lick
        if request is not None:
            out.append(
                Diagnostic("join-unplayable", f'no hand can join "{first}" to "{second}" at this tempo, or they repeat each other',
                           request.span, "free one of the two, or pin another lick")
            )  # fmt: skip
    if not out:
        spans = [s.request.span for s, d in zip(plan.slots, domains, strict=True) if s.request is not None and d.pinned]
        out.append(
            Diagnostic("join-unplayable", "the requests leave no playable path through the song", spans[0] if spans else None,
                       "free one of the requests")
        )  # fmt: skip
    return out
