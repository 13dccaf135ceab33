"""The high position of the trade, checked in the program's own library: over G the index finger stands on string 2 at fret 8, the ring
finger on string 1 at fret 9, the middle finger on string 3 at fret 9, and the little finger reaches fret 11 of string 2; the hand
follows the chord, so that over C it stands at fret 13 (a fact of the trade, no source)."""

from __future__ import annotations

from functools import cache

import pytest

from chartc.chart.song import Song
from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import Library
from chartc.slots.candidate import Candidate
from chartc.slots.problem import build_problem
from chartc.theory import pitch
from tests.slots.small import means, song

HAND = {(2, 8, "i"), (1, 9, "r"), (3, 9, "m"), (2, 11, "p")}
"""String, fret and finger over G."""

# the twelve roots as charts write them, and the frets at which they lie on string 2, B3 when open: equal steps of a half tone
ROOTS = {
    "C": (1, 13), "Db": (2, 14), "D": (3, 15), "Eb": (4, 16), "E": (5, 17), "F": (6, 18), "F#": (7, 19), "G": (8, 20), "Ab": (9, 21),
    "A": (10, 22), "Bb": (11,), "B": (12,),
}  # fmt: skip


@cache
def own() -> Library:
    """The library that comes with the program."""
    return load_library(own_sources())[0]


def over(chord: str) -> tuple[Candidate, ...]:
    """Everything that can be played over a measure of a chord, in a moderate tempo."""
    of: Song = song(f"| {chord} |", tempo="quarter = 100")
    return build_problem(of, means(own())).pools[0].candidates


def held(candidate: Candidate, moved: int = 0) -> set[tuple[int, int, str | None]]:
    """String, fret and finger of every note on the long strings, as many frets lower."""
    return {(n.string, n.fret - moved, n.finger) for n in candidate.notes if n.string != 5}


@cache
def in_position() -> tuple[str, ...]:
    """The licks whose hand over G is the one of the high position, all four fingers."""
    return tuple(sorted({c.lick for c in over("G") if held(c) >= HAND}))


def test_there_is_such_a_lick() -> None:
    """Protects the sound that players mean by up the neck: in one measure over G a movable lick uses all four fingers where the
    trade puts them."""
    assert in_position()
    for name in in_position():
        lick = own().by_name[name]
        assert lick.movable and lick.ticks == 1920
        here = next(c for c in over("G") if c.lick == name and held(c) >= HAND)
        assert here.position == 8


def test_over_c_it_stands_at_fret_13() -> None:
    """Protects the hand's way along the neck: from G to C is five frets up."""
    for name in in_position():
        places = {c.position for c in over("C") if c.lick == name}
        assert places == {13}
        assert all(held(c, 5) >= HAND for c in over("C") if c.lick == name)


@pytest.mark.parametrize("root", ROOTS)
def test_the_index_finger_names_the_chord(root: str) -> None:
    """Protects the rule of thumb that a learner is told: whatever the chord, the note under the index finger on string 2 is its
    root."""
    seen = 0
    for c in over(root):
        if c.lick not in in_position():
            continue
        index = {(n.fret, n.pitch) for n in c.notes if n.string == 2 and n.finger == "i"}
        assert {fret for fret, _ in index} <= set(ROOTS[root]), c.lick
        assert {midi % 12 for _, midi in index} == {pitch.pitch_class(pitch.tone(root))}
        assert c.position == next(iter(index))[0]
        seen += 1
    assert seen


def test_the_hand_keeps_its_shape() -> None:
    """Protects movable licks: over every root the same frets and fingers, moved as a whole, but for the short string."""
    shapes: dict[str, set[frozenset[tuple[int, int, str | None]]]] = {}
    for root in ROOTS:
        for c in over(root):
            if c.lick in in_position() and c.position is not None:
                shapes.setdefault(c.lick, set()).add(frozenset(held(c, c.position - 8)))
    assert set(shapes) == set(in_position())
    assert all(len(found) == 1 for found in shapes.values())
