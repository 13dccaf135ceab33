"""The choice: one lick for every slot, so that the sum of all costs over everything the form plays is least."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Song
from chartc.licks.lick import CARRYING, REST
from chartc.slots.candidate import onsets_tile
from chartc.slots.costs import NEVER
from chartc.slots.part import FilledSlot, Part
from chartc.slots.problem import Means, Problem, Solution, build_problem
from chartc.text.diagnostic import Diagnostic, in_order

__all__ = ["Means", "fill"]


def fill(song: Song, means: Means) -> tuple[Part | None, tuple[Diagnostic, ...]]:
    """Fills every slot of a song in its key. The same song and means give the same part, always.

    None where pins contradict each other; a slot in which nothing can be played stays silent, and a warning says so.
    """
    problem = build_problem(song, means)
    errors = pins_repeat(problem)
    if errors:
        return None, in_order((*problem.found, *errors))
    solution = problem.solve()
    if solution.total >= NEVER:
        return None, in_order((*problem.found, *contradictions(problem)))
    return part_of(problem, solution), in_order((*problem.found, *silences(problem, solution)))


def part_of(problem: Problem, solution: Solution, way: int = 1) -> Part:
    """The part that a solution means."""
    song = problem.song
    out: list[list[list[FilledSlot]]] = [[[] for _ in s.measures] for s in song.sections]
    for slot, c in zip(problem.plan.slots, solution.chosen, strict=True):
        assert onsets_tile(c.notes, c.rests, slot.ticks), f"{c.lick} does not fill its slot"
        notes = tuple(replace(n, at=n.at + slot.at) for n in c.notes)
        rests = tuple((at + slot.at, ticks) for at, ticks in c.rests)
        out[slot.section][slot.measure].append(
            FilledSlot(slot.at, slot.ticks, slot.chord, c.lick, c.role, c.part, c.position, notes, rests)
        )
    slots = tuple(tuple(tuple(m) for m in s) for s in out)
    return Part(song, problem.maker.bench.instrument, problem.fifth, slots, way, solution.total)


def silences(problem: Problem, solution: Solution) -> list[Diagnostic]:
    """A warning for each slot that stays silent unasked."""
    out = []
    song = problem.song
    for slot, c in zip(problem.plan.slots, solution.chosen, strict=True):
        if c.role != REST or (slot.request is not None and slot.request.role == REST):
            continue
        place = song.sections[slot.section].measures[slot.measure].span
        out.append(
            Diagnostic("slot-silent", f"nothing in the library can be played over {slot.chord.label} here in {song.key.label}", place,
                       "the measure stays silent; a slower tempo, wider limits or another lick would help", "warning")
        )  # fmt: skip
    return out


# --- pins that contradict each other ------------------------------------------------------------------------------------


def pins_repeat(problem: Problem) -> list[Diagnostic]:
    """An error for each lick that is no roll or vamp and is pinned three times in a row on a played path."""
    plan, domains = problem.plan, problem.domains
    found = []
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
            found.append(
                Diagnostic("pin-repeat", f'"{name}" is pinned three times in a row as played', request.span,
                           "only rolls and vamps go on like that; free one of the three")
            )  # fmt: skip
    return found


def contradictions(problem: Problem) -> list[Diagnostic]:
    """The joins that cannot be played whatever is chosen around them."""
    plan, domains, joiner = problem.plan, problem.domains, problem.joiner
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
