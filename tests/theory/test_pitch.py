"""Tones on the line of fifths, note names and MIDI numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.theory import pitch

TONES = st.integers(-30, 30)


@pytest.mark.parametrize(
    ("name", "tone"),
    [
        ("F", -1),
        ("C", 0),
        ("G", 1),
        ("B", 5),
        ("F#", 6),
        ("B#", 12),
        ("E##", 18),
        ("Bb", -2),
        ("Fb", -8),
        ("B♭♭", -9),
        ("F𝄪", 13),
        ("B𝄫", -9),
    ],
)
def test_a_name_has_its_place_on_the_line_of_fifths(name: str, tone: int) -> None:
    """Each fifth up is one more, with both ways of writing a sharp and a flat (line of fifths: any theory handbook)."""
    assert pitch.tone(name) == tone


@pytest.mark.parametrize("name", ["", "H", "g", "Cx", "C ", " C", "b", "#", "C4", "C-"])
def test_what_is_no_name_raises(name: str) -> None:
    """Nothing else is taken for a note."""
    with pytest.raises(ValueError, match="^" + name.replace(" ", r"\s")):
        pitch.tone(name)


@given(TONES)
def test_name_and_tone_are_there_and_back(tone: int) -> None:
    """A name read again is the same tone, in signs or in plain letters: no spelling is lost on the way to data."""
    assert pitch.tone(pitch.name(tone)) == tone
    assert pitch.tone(pitch.plain(pitch.name(tone))) == tone
    assert pitch.plain(pitch.name(tone)).isascii()


@given(TONES)
def test_simple_spelling_is_idempotent_and_sounds_the_same(tone: int) -> None:
    """Respelling for print keeps the sound, is done after one time, and never prints a double sign or F♭, C♭, E♯, B♯."""
    once = pitch.simple(tone)
    assert pitch.simple(once) == once
    assert pitch.pitch_class(once) == pitch.pitch_class(tone)
    assert len(pitch.name(once)) <= 2
    assert pitch.name(once) not in ("F♭", "C♭", "E♯", "B♯")


@given(TONES)
def test_simple_spelling_leaves_a_simple_name_alone(tone: int) -> None:
    """A♭ stays A♭ and G♯ stays G♯: only what cannot stand in print is changed."""
    name = pitch.name(tone)
    if len(name) <= 2 and name not in ("F♭", "C♭", "E♯", "B♯"):
        assert pitch.simple(tone) == tone


@given(TONES)
def test_a_fifth_is_seven_semitones_and_twelve_come_round(tone: int) -> None:
    """Going up the line of fifths adds seven semitones; twelve steps are the same key of a piano."""
    assert (pitch.pitch_class(tone + 1) - pitch.pitch_class(tone)) % 12 == 7
    assert pitch.pitch_class(tone + 12) == pitch.pitch_class(tone)


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("C4", 60),
        ("A4", 69),
        ("C-1", 0),
        ("G9", 127),
        ("B3", 59),
        ("Cb4", 59),
        ("B#3", 60),
        ("F##4", 67),
        ("D♭4", 61),
        ("E♯4", 65),
        ("B♭♭3", 57),
    ],
)
def test_a_note_has_its_midi_number(name: str, number: int) -> None:
    """The octave belongs to the letter: C♭4 lies below C4, B♯3 is C4."""
    assert pitch.midi(name) == number


@pytest.mark.parametrize("name", ["", "C", "4", "H4", "c4", "C 4", "C44", "C#", "Cbbb4", "C4 "])
def test_what_is_no_note_raises(name: str) -> None:
    """A name without its octave, or with more behind it, is no note."""
    with pytest.raises(ValueError, match=f"^{name}"):
        pitch.midi(name)


@given(st.integers(0, 119), st.integers(-7, 7))
def test_note_names_are_there_and_back(number: int, signature: int) -> None:
    """Each MIDI number is printed as a name that means it again."""
    assert pitch.midi(pitch.note_name(number, signature)) == number


def test_note_names_follow_the_key() -> None:
    """With flats no sharp is printed, with many sharps no flat: the string is tuned to G♯ in F♯ and to A♭ in D♭. Without a key the names are the
    usual ones."""
    assert [pitch.note_name(n, -5) for n in (61, 66, 70)] == ["D♭4", "G♭4", "B♭4"]
    assert [pitch.note_name(68, n) for n in (-5, 0, 3, 6)] == ["A♭4", "A♭4", "G♯4", "G♯4"]
    assert [pitch.note_name(n) for n in (61, 66, 70)] == ["C♯4", "F♯4", "B♭4"]
