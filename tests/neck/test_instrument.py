"""The instrument as data: strings, frets and pitches."""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import pytest

from chartc.neck.instrument import FifthString, Instrument, String
from chartc.neck.instruments import five_string_banjo
from chartc.theory import pitch

FIVE_STRING_BANJO = five_string_banjo()

MANDOLIN = Instrument("mandolin", 352.4, 20, (String(76), String(69), String(62), String(55)))


def test_the_banjo_is_tuned_to_open_g() -> None:
    """gDGBD: string 1 first as data, string 5 first as players say it (common practice, no source)."""
    assert [s.open for s in FIVE_STRING_BANJO.strings] == [pitch.midi(n) for n in ("D4", "B3", "G3", "D3", "G4")]
    assert FIVE_STRING_BANJO.tuning == "G4 D3 G3 B3 D4"
    # open, it is a chord of G and nothing else
    assert {s.open % 12 for s in FIVE_STRING_BANJO.strings} == {7, 11, 2}


def test_the_fifth_string_is_the_short_one() -> None:
    """The drone starts at fret 5 and is string 5; the four others reach the nut."""
    assert FIVE_STRING_BANJO.drone == 5
    assert FIVE_STRING_BANJO.long_strings == (1, 2, 3, 4)


def test_an_instrument_without_a_short_string() -> None:
    """Another instrument may have any number of strings and no drone."""
    assert MANDOLIN.drone is None
    assert MANDOLIN.long_strings == (1, 2, 3, 4)
    assert MANDOLIN.tuning == "G3 D4 A4 E5"


@pytest.mark.parametrize(
    ("string", "fret", "note"),
    [
        (1, 0, "D4"), (1, 2, "E4"), (1, 5, "G4"), (1, 22, "C6"), (2, 1, "C4"), (2, 12, "B4"), (3, 0, "G3"), (3, 4, "B3"), (4, 0, "D3"),
        (4, 5, "G3"), (5, 0, "G4"), (5, 6, "Ab4"), (5, 7, "A4"), (5, 10, "C5"), (5, 17, "G5"),
    ],
)  # fmt: skip
def test_a_fret_has_its_pitch(string: int, fret: int, note: str) -> None:
    """Open + fret on the long strings; on the fifth, frets count from the nut of the neck: open + fret − 5, and open at 0."""
    assert FIVE_STRING_BANJO.pitch(string, fret) == pitch.midi(note)


def test_the_strings_agree_where_players_tune_by_them() -> None:
    """Tuning by frets: 4th at 5 is the 3rd, 3rd at 4 the 2nd, 2nd at 3 the 1st, 1st at 5 the 5th (common practice, no source)."""
    for string, fret, other in ((4, 5, 3), (3, 4, 2), (2, 3, 1), (1, 5, 5)):
        assert FIVE_STRING_BANJO.pitch(string, fret) == FIVE_STRING_BANJO.pitch(other, 0)


@pytest.mark.parametrize("instrument", [FIVE_STRING_BANJO, MANDOLIN], ids=lambda i: i.name)
def test_frets_get_closer_and_end_before_the_bridge(instrument: Instrument) -> None:
    """One distance for every fret and the nut, each space narrower than the one before."""
    assert len(instrument.fret_mm) == instrument.frets + 1
    spaces = [b - a for a, b in pairwise(instrument.fret_mm)]
    assert all(wide > narrow > 0 for wide, narrow in pairwise(spaces))
    assert instrument.fret_mm[-1] < instrument.scale_mm


def test_another_tuning_is_another_instrument() -> None:
    """Values are frozen, and what is reckoned once is reckoned anew for a changed copy."""
    assert FIVE_STRING_BANJO.fret_mm[12] == pytest.approx(333.375)
    longer = dataclasses.replace(FIVE_STRING_BANJO, scale_mm=700.0)
    assert longer.fret_mm[12] == pytest.approx(350.0)
    assert longer != FIVE_STRING_BANJO
    with pytest.raises(dataclasses.FrozenInstanceError):
        FIVE_STRING_BANJO.frets = 24  # type: ignore[misc]


def test_a_fifth_string_at_a_spike_is_data() -> None:
    """Where the fifth string stands for a song: equal values are equal, so that two keys can be compared."""
    assert FifthString(7, 69, "spike at 7") == FifthString(7, 69, "spike at 7")
    assert FifthString(7, 69, "spike at 7") != FifthString(0, 69, "tuned up")
