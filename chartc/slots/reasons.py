"""Why a lick stands where it stands: the rules that spoke, what was kept and dropped, what it costs, and what else could stand there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from chartc.slots.candidate import Candidate
from chartc.slots.costs import NEVER, WORDS, costs
from chartc.slots.domain import possible
from chartc.slots.graph import Some, one
from chartc.slots.joins import Pairing
from chartc.slots.problem import Means, Problem, Solution

ALTERNATIVES = 5


@dataclass(frozen=True, slots=True)
class Said:
    """A rule that spoke of a slot: how many licks it forbade (`price` None), priced, or preferred, so that the others cost the price."""

    rule: str
    about: str
    licks: int
    price: int | None
    preferred: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """A lick that stands or could stand in a slot. `costs` are its own and its joins', by name; `more` is how much the whole song
    costs more with it than as chosen, `pin` what to write into the ask row to have it."""

    lick: str
    role: str
    position: int | None
    costs: tuple[tuple[str, int], ...]
    more: int
    pin: str


@dataclass(frozen=True, slots=True)
class Reason:
    """One slot of the printed song. `dropped` are licks that no hand can play there at the tempo, with the reason; `possible` counts the licks
    that fit the chord and length, `kept` those that no rule forbids. `exact` tells that `more` allows every other slot to change too; otherwise the neighbours
    stay as they are."""

    section: str
    number: int
    chord: str
    asked: str
    chosen: Choice
    rules: tuple[Said, ...]
    possible: int
    kept: int
    dropped: tuple[tuple[str, str], ...]
    alternatives: tuple[Choice, ...]
    exact: bool


def reasons(problem: Problem, means: Means, solution: Solution, slots: list[int], exact: bool) -> tuple[Reason, ...]:
    """The reasons for the choice in some slots. `exact` looks for the best song around each alternative, which takes longer."""
    return tuple(_reason(problem, means, solution, n, exact) for n in slots)


def _reason(problem: Problem, means: Means, solution: Solution, n: int, exact: bool) -> Reason:
    slot, pool, domain = problem.plan.slots[n], problem.pools[n], problem.domains[n]
    x = slot.context
    rules = [rule for rule in means.rulebook.rules if rule.applies(x)]
    usable = possible(pool, means.rulebook, means.hardest, problem.ms_per_tick)
    priced = costs(pool, x, means.rulebook.weight, rules, problem.setting, usable)
    fast = pool.heard & (pool.fastest <= problem.ms_per_tick)
    forbidden = np.zeros(pool.size, dtype=bool)
    said = []
    for rule in rules:
        covered = rule.covers(pool) & fast
        count = len(set(pool.names[covered].tolist()))
        if count:
            said.append(Said(rule.name, rule.about, count, rule.price, rule.preferred))
        if rule.price is None:
            forbidden |= covered
    alone = [(name, amounts) for name, amounts in priced]
    local = _local(problem, solution, n)
    here = solution.indexes[n]

    def choice(index: int, more: int) -> Choice:
        c = domain.candidates[index]
        k = domain.index[index]
        own = [(name, int(amounts[k])) for name, amounts in alone if 0 < int(amounts[k]) < NEVER]
        return Choice(
            c.lick, c.role, c.position, (*own, *_joins(problem, solution, n, index)), more, _pin(c, domain.candidates)
        )

    order = np.argsort(local, kind="stable")
    best_of: dict[str, int] = {}
    for index in order.tolist():
        c = domain.candidates[index]
        if c.notes and c.lick != domain.candidates[here].lick and int(local[index]) < NEVER:
            best_of.setdefault(c.lick, index)
    found = []
    for index in list(best_of.values())[: ALTERNATIVES + 3 if exact else ALTERNATIVES]:
        more = int(local[index] - local[here])
        if exact:
            total = problem.solve({n: np.where(np.arange(len(local)) == index, 0, NEVER)}).total
            if total >= NEVER:
                continue
            more = total - solution.total
        found.append(choice(index, more))
    found.sort(key=lambda a: a.more)
    r = slot.request
    asked = "" if r is None else " ".join(str(v) for v in (r.role, r.place, r.fret and f"fret {r.fret}", r.lick) if v)
    names = set(pool.names[fast].tolist())
    everything = problem.maker.candidates(pool.need, x.next_roots)
    dropped = {c.lick: c.grip.problem_at(problem.ms_per_tick) for c in everything if c.notes and c.lick not in names}
    return Reason(
        problem.song.sections[slot.section].label,
        problem.song.sections[slot.section].measures[slot.measure].number,
        slot.chord.label,
        asked,
        choice(here, 0),
        tuple(said),
        len(names),
        len(set(pool.names[~forbidden & fast].tolist())),
        tuple(sorted(dropped.items())),
        tuple(found[:ALTERNATIVES]),
        exact,
    )


def _local(problem: Problem, solution: Solution, n: int) -> npt.NDArray[np.int32]:
    """What each candidate of a slot costs with everything else as chosen."""
    every = Some(np.arange(problem.domains[n].size))
    total: npt.NDArray[np.int32] = problem.own[n]
    for tables in (problem.between, problem.limits):
        for (a, b), table in tables.items():
            if a == n:
                total = total + table(every, one(solution.indexes[b]))[:, 0]
            elif b == n:
                total = total + table(one(solution.indexes[a]), every)[0]
    return total


def _joins(problem: Problem, solution: Solution, n: int, index: int) -> list[tuple[str, int]]:
    """What the joins with the neighbours as chosen cost, as one number each way."""
    out = []
    for f in problem.plan.follows:
        if f.before == f.after or n not in (f.before, f.after):
            continue
        a = index if f.before == n else solution.indexes[f.before]
        b = index if f.after == n else solution.indexes[f.after]
        x, y = problem.domains[f.before], problem.domains[f.after]
        cost = int(problem.joiner.costs([Pairing(x, y, f.gap, False, one(a), one(b))])[0][0, 0])
        if 0 < cost < NEVER:
            other = problem.plan.slots[f.after if f.before == n else f.before]
            label = problem.song.sections[other.section].label
            number = problem.song.sections[other.section].measures[other.measure].number
            out.append((f"the join {'to' if f.before == n else 'from'} {label} {number}", cost))
    return out


def _pin(c: Candidate, others: tuple[Candidate, ...]) -> str:
    """What to write to have this lick; with its fret where it can stand in several places."""
    places = {other.position for other in others if other.lick == c.lick}
    return f"{c.lick} fret {c.position}" if len(places) > 1 and c.position else c.lick


def cost_words(name: str) -> str:
    """A cost's name with what it is about."""
    return f"{name}: {WORDS[name]}" if name in WORDS else name
