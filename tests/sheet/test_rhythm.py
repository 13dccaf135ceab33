"""Note values, ties, beams and triplets. Beaming by the beat and the half measure: common practice of notation, no source."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.sheet.rhythm import VALUES, Piece, Value, groups, pieces, triplets
from chartc.theory.meter import Meter

FOUR, TWO, THREE, SIX = Meter(4, 4), Meter(2, 4), Meter(3, 4), Meter(6, 8)


def row(*ticks: int) -> list[Piece]:
    """Pieces of these lengths, one after the other; a negative length is a rest."""
    out: list[Piece] = []
    at = 0
    for t in ticks:
        out.append(Piece(at, abs(t), VALUES[abs(t)], rest=t < 0))
        at += abs(t)
    return out


@pytest.mark.parametrize(
    ("ticks", "value"),
    [(1920, Value(0)), (720, Value(2, 1)), (240, Value(3)), (160, Value(3, 0, True)), (80, Value(4, 0, True))],
)
def test_values(ticks: int, value: Value) -> None:
    """Protects the signs: a dot is half more, a triplet two thirds."""
    assert VALUES[ticks] == value


def test_a_length_without_a_sign_is_tied_at_a_beat() -> None:
    """Protects five eighths from the second eighth on: cut where a beat begins, the rest tied."""
    made = pieces(240, 600, 480)
    assert [(p.at, p.ticks, p.tied) for p in made] == [(240, 240, False), (480, 360, True)]


@given(st.integers(0, 40).map(lambda n: n * 40), st.integers(1, 96).map(lambda n: n * 40), st.booleans())
def test_pieces_tile_the_length(at: int, ticks: int, rest: bool) -> None:
    """Protects every rhythm: the signs of a length follow one another without a gap and end where it ends."""
    made = pieces(at, ticks, 480, rest=rest)
    assert made[0].at == at
    assert made[-1].end == at + ticks
    assert all(a.end == b.at for a, b in pairwise(made))
    assert not any(p.tied and p.rest for p in made)


@pytest.mark.parametrize(
    ("meter", "ticks", "expected"),
    [
        (FOUR, [240] * 8, [4, 4]),
        (FOUR, [240, 240, 120, 120, 120, 120] + [240] * 4, [2, 4, 4]),
        (TWO, [120] * 8, [4, 4]),
        (TWO, [240] * 4, [4]),
        (THREE, [240] * 6, [2, 2, 2]),
        (SIX, [240] * 6, [3, 3]),
        (FOUR, [480, 240, 240, -240, 240, 480], [2]),
    ],
)
def test_beams(meter: Meter, ticks: list[int], expected: list[int]) -> None:
    """Protects the reading of the beat: half measures of eighths, beats of sixteenths, dotted beats in 6/8, no beam over a rest."""
    assert [len(g) for g in groups(row(*ticks), meter)] == expected


def test_no_beam_crosses_the_middle_of_four_four() -> None:
    """Protects the half measure even where the notes on both sides are eighths off the beat."""
    made = row(480, 240, 240, 240, 240, 480)
    for group in groups(made, FOUR):
        assert len({made[i].at // 960 for i in group}) == 1


def test_triplets_end_where_their_lengths_are_whole() -> None:
    """Protects the 3: over three eighths in a quarter, a quarter and an eighth in a quarter, three quarters in a half."""
    assert triplets(row(160, 160, 160, 480, 320, 160)) == ((0, 1, 2), (4, 5))
    assert triplets(row(320, 320, 320)) == ((0, 1, 2),)
    assert triplets(row(80, 80, 80, 80, 80, 80)) == ((0, 1, 2), (3, 4, 5))
