"""Meter and tempo: lengths in ticks and in milliseconds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.theory.meter import DIVISION, NOTE_WORDS, Meter, Tempo


@pytest.mark.parametrize(
    ("count", "unit", "ticks", "beat", "beats", "compound"),
    [
        (4, 4, 1920, 480, 4, False),
        (2, 4, 960, 480, 2, False),
        (3, 4, 1440, 480, 3, False),
        (2, 2, 1920, 960, 2, False),
        (3, 8, 720, 240, 3, False),
        (6, 8, 1440, 720, 2, True),
        (9, 8, 2160, 720, 3, True),
        (12, 8, 2880, 720, 4, True),
        (5, 4, 2400, 480, 5, False),
        (6, 4, 2880, 480, 6, False),
        (7, 8, 1680, 240, 7, False),
        (6, 16, 720, 360, 2, True),
    ],
)
def test_a_meter_has_its_length_and_its_beats(
    count: int, unit: int, ticks: int, beat: int, beats: int, compound: bool
) -> None:
    """Ticks of a measure and of a felt beat; 6/8, 9/8 and 12/8 are felt in dotted beats (any theory handbook)."""
    meter = Meter(count, unit)
    assert (meter.ticks, meter.beat, meter.beats, meter.compound) == (ticks, beat, beats, compound)
    assert meter.label == f"{count}/{unit}"


@given(st.integers(1, 32), st.sampled_from([1, 2, 4, 8, 16, 32]))
def test_beats_fill_a_measure_without_a_rest(count: int, unit: int) -> None:
    """No tick is lost: whole beats of whole ticks make up the measure in every meter."""
    meter = Meter(count, unit)
    assert meter.beat * meter.beats == meter.ticks
    assert meter.ticks * unit == 4 * DIVISION * count


def test_note_lengths_are_halves_of_each_other() -> None:
    """The notes that a tempo may name, and their dotted forms, in ticks."""
    assert NOTE_WORDS == {
        "whole": 1920, "dotted whole": 2880, "half": 960, "dotted half": 1440, "quarter": 480, "dotted quarter": 720,
        "eighth": 240, "dotted eighth": 360, "sixteenth": 120, "dotted sixteenth": 180,
    }  # fmt: skip


def test_a_tempo_counts_the_note_that_it_names() -> None:
    """An eighth lasts 250 ms at quarter = 120 and half as long at half = 120: the tempo's note decides."""
    assert Tempo("quarter", 120).milliseconds(240) == 250.0
    assert Tempo("half", 120).milliseconds(240) == 125.0
    assert Tempo("dotted quarter", 80).milliseconds(240) == 250.0
    assert [Tempo(n, 120).quarters for n in ("quarter", "half", "dotted quarter", "eighth")] == [
        120.0,
        240.0,
        180.0,
        60.0,
    ]


@given(st.sampled_from(sorted(NOTE_WORDS)), st.integers(1, 400), st.integers(0, 10_000))
def test_time_and_tempo_agree(note: str, count: int, ticks: int) -> None:
    """`count` notes of the tempo last a minute, and time grows with ticks evenly."""
    tempo = Tempo(note, count)
    assert tempo.milliseconds(NOTE_WORDS[note] * count) == pytest.approx(60_000)
    assert tempo.milliseconds(ticks) == pytest.approx(ticks / DIVISION * 60_000 / tempo.quarters)
