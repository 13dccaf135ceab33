"""Sections printed more than once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from chartc.slots.choose import choose
from chartc.slots.costs import NEVER
from chartc.slots.joins import Costs
from chartc.slots.problem import Problem, Solution
from chartc.slots.unfold import before_each_neighbour, for_each_time, merged
from tests.slots.small import library, means, part, song, weighing

ROWS = """form verse, chorus, verse, tag, verse
section verse, 2 measures
| G | C |
section chorus, 1 measure
| G |
section tag, 1 measure
| D |
"""
ROLL = "{name: plain, role: roll, strings: 3 2 1 2 3 2 1 2, picks: T I M I T I M I}"


def test_copies_that_turn_out_alike_are_printed_once() -> None:
    """Protects paper, and the player's eyes: a section is printed as often as it differs, its name says where each copy is played, and what is
    played stays the same."""
    lib = library(f"\n  - {ROLL}")
    of = song(ROWS, lib)
    whole = part(of, means(lib, weighing()))
    verse, chorus, tag = whole.slots
    other = tuple(tuple(replace(s, lick="other") for s in measure) for measure in verse)
    for loosen, label in (
        (for_each_time, "verse (times 1 and 3)"),
        (before_each_neighbour, "verse (before chorus and at the end)"),
    ):
        loose, remarks = loosen(of)
        assert [s.kind for s in loose.sections] == ["verse", "chorus", "verse", "tag", "verse"]
        apart = replace(whole, song=loose, slots=(verse, chorus, verse, tag, verse), remarks=remarks)
        once = merged(apart, of)
        assert (once.song.sections, once.slots, once.remarks) == (of.sections, whole.slots, ())
        assert once.song.order == of.order
        twice = merged(replace(apart, slots=(verse, chorus, other, tag, verse)), of)
        assert next(s.label for s in twice.song.sections if s.kind == "verse") == label
        assert len(twice.song.sections) == 4 and "verse is printed 2 times" in twice.remarks[0]
        played = [twice.slots[p.section] for p in twice.song.order]
        assert played == [verse, chorus, other, tag, verse]


@pytest.mark.parametrize(("apart", "printed"), [(50, 3), (95, 1), (120, 1), (NEVER, 1)])
def test_a_tangled_form_is_printed_once_unless_that_costs_much(
    apart: int, printed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects paper: a choice of which nobody knows how far it is from the best stands as the chart is written, unless one with copies of
    sections costs less by more than a tenth."""
    of = song(ROWS, lib := library(f"\n  - {ROLL}"))
    solve = Problem.solve

    def doubtful(self: Problem, extra: dict[int, Costs] | None = None) -> Solution:
        return replace(solve(self, extra), exact=False, total=apart if self.remarks else 100, least=0)

    monkeypatch.setattr(Problem, "solve", doubtful)
    problem, solution, _ = choose(of, means(lib, weighing()))
    assert solution is not None
    verses = [s for s in problem.song.sections if s.kind == "verse"]
    assert len(verses) == printed and bool(problem.remarks) == (printed > 1)
