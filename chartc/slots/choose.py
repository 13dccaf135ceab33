"""The choice: one lick for every slot, so that the sum of all costs over everything the form plays is least."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from chartc.chart.song import Song, with_requests
from chartc.licks.lick import CARRYING, REST
from chartc.neck.joint import problem as unplayable
from chartc.slots.candidate import onsets_tile
from chartc.slots.costs import NEVER
from chartc.slots.eliminate import WIDEST
from chartc.slots.fifth import untouched
from chartc.slots.joins import Costs
from chartc.slots.part import FilledSlot, Part
from chartc.slots.problem import NEAR, Means, Problem, Solution, build_problem, unmet_requests
from chartc.slots.slot import cut
from chartc.slots.unfold import before_each_neighbour, for_each_time, merged
from chartc.text.diagnostic import Diagnostic, in_order

__all__ = ["Means", "choose", "fill", "fill_ways"]


def fill(song: Song, means: Means) -> tuple[Part | None, tuple[Diagnostic, ...]]:
    """Fills every slot of a song in its key. The same song and means give the same part, always.

    None where pins contradict each other; a slot in which nothing can be played stays silent, and a warning says so.
    """
    parts, found = fill_ways(song, means, 1)
    return (parts[0] if parts else None), found


def choose(song: Song, means: Means, widest: int = WIDEST) -> tuple[Problem, Solution | None, tuple[Diagnostic, ...]]:
    """The problem of a song in its key and the best solution, None where pins contradict each other.

    A form so tangled that tables of more than `widest` entries would be needed, and for which no choice is found that is surely near the
    best, is loosened: its sections are printed once before each neighbour, and if need be once for each time they are played, unless
    that is hardly better; the problem's remarks say so. Where the player wants another way for each return, sections are printed once
    for each time at once.
    """
    remarks: tuple[str, ...] = ()
    if means.vary:
        song, remarks = for_each_time(song)
    problem = replace(build_problem(song, means), remarks=remarks, widest=widest)
    errors = pins_repeat(problem)
    if errors:
        return problem, None, in_order((*problem.found, *errors))
    best = problem.solve(_vocabulary_limit(problem, means))
    once, as_written = problem, best
    for loosen in (before_each_neighbour, for_each_time):
        if best.near:
            break
        loose, remarks = loosen(song)
        problem = replace(build_problem(loose, means), remarks=remarks, widest=widest)
        best = problem.solve(_vocabulary_limit(problem, means))
    if as_written.total < NEVER and as_written.total <= NEAR * best.total:
        # what the sections lose by being printed once is not worth more paper
        problem, best = once, as_written
    if best.total >= NEVER:
        return problem, None, in_order((*problem.found, *contradictions(problem, means)))
    if means.vary:
        best = _varied(problem, _vocabulary_limit(problem, means), best)
    best = _around_pins(problem, means, best)
    return problem, best, in_order((*problem.found, *silences(problem, best)))


def fill_ways(song: Song, means: Means, ways: int) -> tuple[tuple[Part, ...], tuple[Diagnostic, ...]]:
    """Up to so many different fills, the cheapest first. Each next one differs from every earlier one in at least a quarter of
    the slots that are free; where that would cost more than WORTH times the best, there are fewer, and a warning says so."""
    problem, best, found = choose(song, means)
    if best is None:
        return (), found
    solutions = [best]
    base = _vocabulary_limit(problem, means) if ways > 1 else {}
    while len(solutions) < ways:
        another = _another(problem, base, solutions)
        if another is None:
            span = song.sections[0].span
            message = f"{len(solutions)} of {ways} ways in {song.key.label}: one more would be too much like them, or much worse"
            help = "free some requests, or add licks"
            found = (*found, Diagnostic("ways-fewer", message, span, help, "warning"))
            break
        solutions.append(another)
    return tuple(merged(part_of(problem, s, way), song) for way, s in enumerate(solutions, 1)), in_order(found)


def requests(song: Song, means: Means) -> tuple[Diagnostic, ...]:
    """What a fill would say of the requests: what nothing meets, and what cannot be played one after the other. Nothing is chosen where no
    two requests follow each other as the form plays them."""
    plan = cut(song, means.rulebook.phrase)
    asked = [slot.request is not None for slot in plan.slots]
    if not any(asked[f.before] and asked[f.after] for f in plan.follows):
        return unmet_requests(song, means, plan)
    return tuple(d for d in choose(song, means)[2] if d.code in _OF_REQUESTS)


_OF_REQUESTS = frozenset({"request-unmet", "pin-repeat", "join-unplayable"})


def _around_pins(problem: Problem, means: Means, best: Solution) -> Solution:
    """The choice with the pinned licks. What was chosen without them stays as it was, but for the pins' measures and, as far as
    they must, their neighbours: a player who pins one lick does not want another sheet."""
    plan = problem.plan
    pins = {n for n, s in enumerate(plan.slots) if s.request is not None and s.request.lick is not None}
    if not any(problem.domains[n].pinned for n in pins):
        return best
    free = replace(build_problem(_unpinned(problem.song), means), widest=problem.widest)
    before = free.solve(_vocabulary_limit(free, means))
    if before.total >= NEVER:
        return best
    base = _vocabulary_limit(problem, means)
    beside: dict[int, set[int]] = {}
    for f in plan.follows:
        beside.setdefault(f.before, set()).add(f.after)
        beside.setdefault(f.after, set()).add(f.before)
    near, wider = pins, pins.union(*(beside.get(n, set()) for n in pins))
    while wider != near:
        near = wider
        extra = dict(base)
        for n in set(range(len(plan.slots))) - near:
            stays = [c == before.chosen[n] for c in problem.domains[n].candidates]
            if any(stays):
                extra[n] = np.where(stays, 0, NEVER)
        found = problem.solve(extra)
        if found.total < NEVER:
            return replace(found, exact=found.exact and found.total == best.total)
        wider = near.union(*(beside.get(n, set()) for n in near))
    return best


def _unpinned(song: Song) -> Song:
    """The song without its pinned licks; what else is asked for stays."""
    return with_requests(song, lambda section, measure, r: replace(r, lick=None))


WORTH = 1.2
"""A further way may cost so many times the best."""

_DIFFER = 4  # one of so many free slots differs, at least


def _another(problem: Problem, base: dict[int, Costs], earlier: list[Solution]) -> Solution | None:
    """A way that differs enough from the earlier ones: sharing a slot with one of them costs more and more until it does."""
    free = [n for n, d in enumerate(problem.domains) if not d.pinned and d.size > 1]
    played = np.bincount(np.array(problem.plan.played, dtype=np.int64), minlength=len(problem.domains))
    price = max(1, earlier[0].total // (8 * max(1, len(problem.plan.played))))
    while free and price < NEVER // 1000:
        extra = dict(base)
        for n in free:
            domain = problem.domains[n]
            names = domain.pool.names[domain.index]
            shared = sum((names == names[s.indexes[n]]).astype(np.int64) for s in earlier)
            extra[n] = extra.get(n, np.zeros(domain.size, dtype=np.int64)) + shared * price * int(played[n])
        found = problem.solve(extra)
        if found.total > WORTH * earlier[0].total + _DIFFER:
            return None
        differing = [sum(a.chosen[n].lick != found.chosen[n].lick for n in free) for a in earlier]
        if all(_DIFFER * d >= len(free) for d in differing):
            return found
        price *= 2
    return None


def _varied(problem: Problem, base: dict[int, Costs], best: Solution) -> Solution:
    """Another way for each return of a section: a lick that the section had before costs more and more, until a quarter of what is
    free differs each time, or it would cost more than WORTH times the best."""
    copies: dict[object, list[int]] = {}
    for n, slot in enumerate(problem.plan.slots):
        span = problem.song.sections[slot.section].span
        copies.setdefault((span.line, slot.measure, slot.at), []).append(n)
    again = [group for group in copies.values() if len(group) > 1 and not problem.domains[group[0]].pinned]
    found, price = best, max(1, best.total // (8 * max(1, len(problem.plan.played))))
    while again and price < NEVER // 1000:
        differing = sum(found.chosen[a].lick != found.chosen[b].lick for group in again for a, b in pairwise(group))
        if _DIFFER * differing >= sum(len(group) - 1 for group in again):
            return found
        extra = dict(base)
        for group in again:
            for k, n in enumerate(group):
                domain = problem.domains[n]
                earlier = [found.chosen[m].lick for m in group[:k]]
                shared = np.array([earlier.count(c.lick) * price for c in domain.candidates], dtype=np.int64)
                extra[n] = extra.get(n, np.zeros(len(shared), dtype=np.int64)) + shared
        other = problem.solve(extra)
        if other.total > WORTH * best.total + _DIFFER:
            return found
        found, price = other, price * 2
    return found


def _vocabulary_limit(problem: Problem, means: Means) -> dict[int, Costs]:
    """Extra costs that keep a song to the licks that the player knows, with so many new ones as the rulebook allows: the ones with
    which the song is best, found one by one."""
    book = means.rulebook
    if book.known is None:
        return {}
    known = {leaf.text for leaf in book.known}

    def forbidding(allowed: set[str]) -> dict[int, Costs]:
        out: dict[int, Costs] = {}
        for n, d in enumerate(problem.domains):
            if not d.pinned:
                new = [c.role not in CARRYING and c.lick not in known and c.lick not in allowed for c in d.candidates]
                if any(new):
                    out[n] = np.where(new, NEVER, 0)
        return out

    allowed: set[str] = set()
    for _ in range(book.new_most):
        wanted = problem.solve()
        liked = dict.fromkeys(c.lick for c in wanted.chosen if c.role not in CARRYING and c.lick not in known | allowed)
        trials = [(problem.solve(forbidding({*allowed, name})).total, name) for name in list(liked)[:_TRIALS]]
        if not trials or min(trials)[0] >= problem.solve(forbidding(allowed)).total:
            break
        allowed.add(min(trials)[1])
    return forbidding(allowed)


_TRIALS = 12


def part_of(problem: Problem, solution: Solution, way: int = 1) -> Part:
    """The part that a solution means."""
    song = problem.song
    out: list[list[list[FilledSlot]]] = [[[] for _ in s.measures] for s in song.sections]
    for slot, c in zip(problem.plan.slots, solution.chosen, strict=True):
        assert onsets_tile(c.notes, c.rests, slot.ticks), f"{c.lick} does not fill its slot"
        notes = tuple(replace(n, at=n.at + slot.at) for n in c.notes) if slot.at else c.notes
        rests = tuple((at + slot.at, ticks) for at, ticks in c.rests)
        out[slot.section][slot.measure].append(
            FilledSlot(slot.at, slot.ticks, slot.chord, c.lick, c.role, c.part, c.position, notes, rests)
        )
    slots = tuple(tuple(tuple(m) for m in s) for s in out)
    drone = problem.instrument.drone
    played = any(n.string == drone for c in solution.chosen for n in c.notes)
    fifth = problem.fifth if drone is None or played else untouched(song, problem.instrument.strings[drone - 1])
    return Part(song, problem.instrument, fifth, slots, way, solution.total, problem.remarks)


def silences(problem: Problem, solution: Solution) -> list[Diagnostic]:
    """A warning for each slot that stays silent unasked."""
    out = []
    song = problem.song
    for slot, c in zip(problem.plan.slots, solution.chosen, strict=True):
        if c.role != REST or (slot.request is not None and slot.request.role == REST):
            continue
        place = song.sections[slot.section].measures[slot.measure].span
        out.append(
            Diagnostic("slot-silent", f"nothing that the rules allow can be played over {slot.chord.label} here in {song.key.label}", place,
                       "the measure stays silent; a slower tempo, wider limits, other rules or another lick would help", "warning")
        )  # fmt: skip
    return out


# --- pins that contradict each other ------------------------------------------------------------------------------------


def pins_repeat(problem: Problem) -> list[Diagnostic]:
    """An error for each lick of one measure that is no roll or vamp and is pinned three times in a row on a played path."""
    plan, domains = problem.plan, problem.domains
    found = []
    names: list[tuple[str, int]] = []
    for n in plan.played:
        r = plan.slots[n].request
        pinned = r is not None and r.lick is not None and domains[n].pinned
        one = domains[n].candidate(0)
        counts = pinned and one.role not in CARRYING and one.part == (1, 1)
        name = r.lick if r is not None and r.lick is not None and counts else ""
        names.append((name, n))
        if name and len(names) >= 3 and names[-2][0] == names[-3][0] == name:
            request = plan.slots[n].request
            assert request is not None
            found.append(
                Diagnostic("pin-repeat", f'"{name}" is pinned three times in a row as played', request.span,
                           "only rolls and vamps go on like that; free one of the three")
            )  # fmt: skip
    return found


def contradictions(problem: Problem, means: Means) -> list[Diagnostic]:
    """The joins that cannot be played whatever is chosen around them."""
    plan, domains, joiner = problem.plan, problem.domains, problem.joiner
    out = []
    for f in plan.follows:
        a, b = domains[f.before], domains[f.after]
        if int(joiner.pair(a, b, f.gap, f.before == f.after).min()) < NEVER:
            continue
        request = plan.slots[f.after].request or plan.slots[f.before].request
        first, second = a.candidate(0), b.candidate(0)
        if request is not None:
            why = unplayable(
                first.grip,
                second.grip,
                plan.slots[f.before].ticks,
                f.gap,
                problem.instrument,
                means.limits,
                problem.ms_per_tick,
            )
            message = f'no hand can join "{first.lick}" to "{second.lick}" at this tempo: {why}'
            halves = [d for d in (a, b) if d.pinned and all(c.part != (1, 1) for c in d.candidates)]
            if halves:
                message = (
                    f'"{halves[0].candidate(0).lick}" is two measures long, and its other half has no place beside it'
                )
            elif not why:
                message = f'"{first.lick}" cannot be followed by "{second.lick}": they repeat each other'
            out.append(Diagnostic("join-unplayable", message, request.span, "free one of the two, or pin another lick"))
    if not out:
        spans = [s.request.span for s, d in zip(plan.slots, domains, strict=True) if s.request is not None and d.pinned]
        out.append(
            Diagnostic("join-unplayable", "the requests leave no playable path through the song", spans[0] if spans else None,
                       "free one of the requests")
        )  # fmt: skip
    return out
