"""The choice against trying every way through small songs, with the objective added up anew from the song's form."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from chartc.chart.song import Song
from chartc.licks.lick import CARRYING
from chartc.slots.candidate import onsets_tile, place_of
from chartc.slots.choose import fill
from chartc.slots.costs import NEVER
from chartc.slots.domain import Domain
from chartc.slots.eliminate import Costs
from chartc.slots.joins import Joiner
from chartc.slots.problem import NEXT_LINE, Means, build_problem
from chartc.slots.slot import cut
from tests.slots.small import (
    CHOP,
    LONG,
    ROLLS,
    SAYINGS,
    flat,
    house,
    library,
    licks,
    means,
    part,
    ruled,
    song,
    weighing,
)

LIBRARY = library(ROLLS, CHOP, SAYINGS)
FEW = library(CHOP, SAYINGS)

# returning sections, a section that meets itself, repeats with endings, chords of half a measure, a stretch without a chord
SONGS = {
    "a measure": "| G |",
    "a measure again and again": "section verse, 3 measures\nrepeat 3 times\n| G |\nend repeat",
    "three measures": "| G | C | G |",
    "halves": "| G C | D G |",
    "silence between": "| G | NC | C |",
    "endings": "section verse, 4 measures\nrepeat\n| G |\nending 1\n| C |\nending 2\n| G |\nend repeat",
    "sections return": "form verse, chorus, verse, chorus, verse\nsection verse, 2 measures\n| G | C |\nsection chorus, 1 measure\n| G |",
    # what is forbidden, counted as often as it is played, is more than 32 bits hold
    "thirty times": f"form {', '.join(['verse, chorus'] * 30)}\nsection verse, 1 measure\n| G |\nsection chorus, 1 measure\n| C |",
    "a way there and back": "section break, 4 measures\n| G | C | G | C |",
    "two lines": "section break, 4 measures\n| G | C |\n| C | G |\nask | roll | |",
    "three lines": "| G |\nvoice | silent |\n| C |\nvoice | silent |\n| G |\nvoice | silent |",
    "voices": "| G | C | G |\nvoice | sung | held silent | silent |",
}


def domains(of: Song, player: Means) -> tuple[tuple[Domain, ...], Joiner]:
    """Every slot's candidates with their own costs."""
    problem = build_problem(of, player)
    return problem.domains, problem.joiner


def heard(of: Song) -> list[tuple[int, int, int]]:
    """For every slot as played: its number as printed, where it begins and where it ends, in ticks from the song's start."""
    number: dict[tuple[int, int, int], int] = {}
    for s, section in enumerate(of.sections):
        for m, measure in enumerate(section.measures):
            for stretch in measure.stretches:
                if stretch.chord is not None and not measure.pickup:
                    number[s, m, stretch.at] = len(number)
    out, now = [], 0
    for passage in of.order:
        for m in passage.measures:
            measure = of.sections[passage.section].measures[m]
            for stretch in measure.stretches:
                if (passage.section, m, stretch.at) in number:
                    at = now + stretch.at
                    out.append((number[passage.section, m, stretch.at], at, at + stretch.ticks))
            now += measure.ticks
    return out


def every_way(of: Song, player: Means) -> tuple[Costs, tuple[Domain, ...]]:
    """The cost of every way to fill a song, as an array with one axis for each slot: each slot's cost each time that it is
    heard, and the cost of each join that is heard."""
    found, joiner = domains(of, player)
    shape = tuple(len(d.candidates) for d in found)
    assert 0 < np.prod(shape) < 3_000_000
    total = np.zeros(shape, dtype=np.int64)

    def along(axis: int, table: Costs) -> Costs:
        return table.reshape([-1 if n == axis else 1 for n in range(len(shape))])

    def beside(a: int, b: int, table: Costs) -> Costs:
        return table.reshape([shape[n] if n in (a, b) else 1 for n in range(len(shape))])

    path = heard(of)
    for n, _, _ in path:
        total = total + along(n, found[n].costs)
    for (a, _, end), (b, start, _) in pairwise(path):
        table = joiner.pair(found[a], found[b], start - end)
        if a == b:
            total = total + along(a, np.diagonal(table))
        else:
            spread = table if a < b else table.T
            total = total + beside(a, b, spread)
    # no lick but a roll or vamp comes back after one other slot; halves of a long one are no coming back
    for (a, _, _), (b, _, _) in zip(path, path[2:], strict=False):
        if a != b:
            a, b = min(a, b), max(a, b)
            same = [
                [
                    NEVER if x.lick == y.lick and x.role not in CARRYING and None in (x.key, y.key) else 0
                    for y in found[b].candidates
                ]
                for x in found[a].candidates
            ]
            total = total + beside(a, b, np.array(same, dtype=np.int64))
    # a lick that says something costs more where the line before has said it
    price = NEXT_LINE * player.rulebook.weight["return"]
    slots = cut(of).slots
    for a, b in combinations(range(len(slots)), 2):
        if slots[a].section == slots[b].section and slots[b].line == slots[a].line + 1 and (a, b) not in follows(path):
            names = [
                [c.lick if c.role not in (*CARRYING, "lead-in") else "" for c in found[n].candidates] for n in (a, b)
            ]
            priced = [[price if x == y != "" else 0 for y in names[1]] for x in names[0]]
            total = total + beside(a, b, np.array(priced, dtype=np.int64))
    return np.minimum(total, NEVER), found


def follows(path: list[tuple[int, int, int]]) -> set[tuple[int, int]]:
    """Slots that follow each other directly as played: there the same lick is forbidden anyway."""
    return {(min(a, b), max(a, b)) for (a, _, _), (b, _, _) in pairwise(path)}


def check(of: Song, player: Means) -> None:
    """The part costs the least of all ways, and what it says that it costs."""
    total, found = every_way(of, player)
    got, _ = fill(of, player)
    assert got is not None
    assert got.cost == total.min() < NEVER
    # among equal ways any is right, but it must be one of them; a candidate is known by what it plays
    index = []
    for slot, domain in zip(flat(got), found, strict=True):
        plays = [
            n
            for n, c in enumerate(domain.candidates)
            if (c.lick, c.position) == (slot.lick, slot.position)
            and [(x.at + slot.at, x.string, x.fret) for x in c.notes] == [(x.at, x.string, x.fret) for x in slot.notes]
        ]
        index.append(plays)
    assert total[np.ix_(*index)].min() == got.cost


@pytest.mark.parametrize("name", SONGS)
@pytest.mark.parametrize("tempo", ["quarter = 80", "half = 100"])
def test_no_other_way_is_better(name: str, tempo: str) -> None:
    """Protects the promise that the choice is the best one by the rulebook: every way through a small song is tried, weighed
    by how often each measure and each join is played."""
    check(song(SONGS[name], FEW, tempo=tempo, melody="D4 to B4"), means(FEW))


@settings(max_examples=25)
@given(
    st.lists(st.sampled_from(("G", "C", "D7", "G C", "NC")), min_size=2, max_size=3),
    st.lists(st.sampled_from(("sung", "held", "silent", "")), min_size=3, max_size=3),
    st.sampled_from(("verse", "chorus", "break")),
    st.lists(st.sampled_from("ab"), min_size=1, max_size=4),
)
def test_no_other_way_is_better_in_any_small_form(
    words: list[str], voice: list[str], kind: str, form: list[str]
) -> None:
    """Protects the same promise for forms that nobody thought of, two sections in any order."""
    rows = "|" + "|".join(words[:2]) + "|\nvoice |" + "|".join(voice[:2]) + "|"
    text = f"form {', '.join(f'{kind} {x}' for x in form)}\n"
    text += f"section {kind} a, 2 measures\n{rows}\n" * ("a" in form)
    text += f"section {kind} b, 1 measure\n|{words[-1]}|\n" * ("b" in form)
    of = song(text, FEW)
    size = np.prod([len(d.candidates) for d in domains(of, means(FEW))[0]] or [0])
    event(f"{size} ways")
    if 0 < size < 500_000:
        check(of, means(FEW))


def test_a_measure_that_meets_itself_counts_that_join() -> None:
    """Protects vamps over one measure: a lick that cannot follow itself is never chosen for a measure that is repeated, even
    where it would be the best one for a single time."""
    book = house()
    lib = library(ROLLS, SAYINGS)
    once = song("section break, 1 measure\nlead banjo\n| G |\nask | lick |", lib)
    assert flat(part(once, means(lib, book)))[0].role == "lick"
    again = song("section break, 4 measures\nlead banjo\nrepeat 4 times\n| G |\nend repeat", lib)
    assert flat(part(again, means(lib, book)))[0].role == "roll"


OFTEN = """
rulebook: two wishes
rules:
  - {rule: low, when: {section: verse}, of: {place: [middle, high]}, price: 15}
  - {rule: high, when: {section: chorus}, of: {place: [low, middle]}, price: 15}
"""


def test_how_often_a_measure_is_played_matters() -> None:
    """Protects the weighing by the form: two sections want a place on the neck each, and the way between costs something too.
    Played once each has its own; in turn, the section that is played more often has its way."""
    lib = library(ROLLS)
    book = replace(ruled(OFTEN), weights=weighing(region=2).weights)
    sections = "section verse, 1 measure\n| C |\nsection chorus, 1 measure\n| C |"

    def places(form: str) -> dict[str, str]:
        filled = part(song(sections, lib, form=form, tempo="quarter = 60"), means(lib, book))
        both = zip(filled.song.sections, filled.slots, strict=True)
        return {s.label: place_of(m[0][0].position) for s, m in both}

    assert places("verse, chorus") == {"verse": "low", "chorus": "high"}
    assert places("verse, chorus, verse, chorus, verse") == {"verse": "low", "chorus": "low"}
    assert places("chorus, verse, chorus, verse, chorus") == {"verse": "high", "chorus": "high"}


def test_candidates_fill_their_slots() -> None:
    """Protects playing in time: in every candidate of every slot onsets and rests tile the stretch of the chord."""
    of = song("| G | C D7 | Em / / G |\n| in 2/4: G | in 3/4: C | D7 |", LIBRARY)
    found, _ = domains(of, means(LIBRARY))
    for slot, domain in zip(cut(of).slots, found, strict=True):
        assert len(domain.candidates) > 1
        for c in domain.candidates:
            assert onsets_tile(c.notes, c.rests, slot.ticks), c.lick


SCRIPT = """
import json, sys
from chartc.export.plan import plan
from chartc.slots.candidate import onsets_tile, place_of
from chartc.slots.choose import fill
from tests.slots.small import CHOP, LONG, ROLLS, SAYINGS, library, means, song
lib = library(ROLLS, CHOP, SAYINGS, LONG)
text = "form verse, chorus, verse\\nsection verse, 4 measures\\n| G | G | C | G |\\nsection chorus, 4 measures\\n| C | G | D7 | G |"
print(json.dumps([plan([fill(song(text, lib, key=key), means(lib))[0]]) for key in ("G", "C")]))
"""


def test_the_same_in_every_process() -> None:
    """Protects reproducible sheets: Python's changing order of sets and its changing hashes move nothing."""
    outputs = set()
    for seed in ("1", "2", "77"):
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[2])},
            capture_output=True,
            text=True,
            check=True,
        )
        outputs.add(run.stdout)
    assert len(outputs) == 1 and len(outputs.pop()) > 5000


def test_the_same_twice() -> None:
    """Protects reproducible sheets: what was worked out for one song does not change the next."""
    lib = library(ROLLS, CHOP, SAYINGS, LONG)
    player = means(lib)
    first = song(SONGS["sections return"], lib)
    other = song("| C | G | D7 | G |", lib, key="C")
    a, _, b = part(first, player), part(other, player), part(first, player)
    assert a == b and licks(a) == licks(b)
