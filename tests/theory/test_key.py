"""Keys: reading, signatures, scales and spelling."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.theory import pitch
from chartc.theory.key import MODES, Key, Mode, all_keys, names_mode, parse_key, usual

MODE = st.sampled_from(sorted(MODES.values()))


@pytest.mark.parametrize(
    ("text", "label", "plain", "file_word"),
    [
        ("G", "G", "G", "G"),
        ("Bb", "B♭", "Bb", "B-flat"),
        ("B♭", "B♭", "Bb", "B-flat"),
        ("F#", "F♯", "F#", "F-sharp"),
        (" G major ", "G", "G", "G"),
        ("Gmaj", "G", "G", "G"),
        ("Am", "A minor", "A minor", "A-minor"),
        ("A minor", "A minor", "A minor", "A-minor"),
        ("C#m", "C♯ minor", "C# minor", "C-sharp-minor"),
        ("Ebmin", "E♭ minor", "Eb minor", "E-flat-minor"),
        ("D mixolydian", "D mixolydian", "D mixolydian", "D-mixolydian"),
        ("B  dorian", "B dorian", "B dorian", "B-dorian"),
    ],
)
def test_a_key_is_read_and_printed(text: str, label: str, plain: str, file_word: str) -> None:
    """Each way of writing a key gives its one label, its one word as data and its one word in a file's name."""
    key = parse_key(text)
    assert key is not None
    assert (key.label, key.plain, key.file_word) == (label, plain, file_word)


@pytest.mark.parametrize(
    "text", ["", "H", "g", "G##", "G lydian", "minor", "G minor major", "G,", "Gm7", "G\x00", "G/D", "A#b"]
)
def test_what_is_no_key_is_none(text: str) -> None:
    """Anything else is left to the caller to report."""
    assert parse_key(text) is None
    assert not names_mode(text)


@given(st.text(max_size=12))
def test_no_text_makes_the_key_reader_raise(text: str) -> None:
    """Whatever the user writes: a key that prints as a key, or None."""
    key = parse_key(text)
    assert key is None or parse_key(key.label) == key


@given(st.integers(-8, 12), MODE)
def test_label_and_key_are_there_and_back(tonic: int, mode: Mode) -> None:
    """A printed key read again is the same key, with signs and as data."""
    key = Key(tonic, mode)
    assert parse_key(key.label) == key
    assert parse_key(key.plain) == key
    assert key.plain.isascii()
    assert key.file_word.isascii()


def test_whether_a_key_says_its_mode() -> None:
    """`G` leaves the mode to the chart, `G major` and `Gm` do not."""
    assert [names_mode(t) for t in ("G", "Bb", "G major", "Gm", "G minor", "G dorian")] == [
        False,
        False,
        True,
        True,
        True,
        True,
    ]


@given(st.integers(-8, 12), MODE)
def test_a_scale_has_seven_letters_and_the_signature(tonic: int, mode: Mode) -> None:
    """Every letter once, from the tonic upwards, and just the signs of the signature: seven neighbours on the line of fifths."""
    key = Key(tonic, mode)
    letters = [pitch.name(t)[0] for t in key.scale]
    first = "CDEFGAB".index(letters[0])
    assert letters == [*("CDEFGAB" * 2)[first : first + 7]]
    assert sorted(key.scale) == list(range(key.signature - 1, key.signature + 6))
    assert key.scale[0] == key.tonic


@pytest.mark.parametrize(
    ("mode", "steps", "minor"),
    [
        ("major", [2, 2, 1, 2, 2, 2, 1], False),
        ("minor", [2, 1, 2, 2, 1, 2, 2], True),
        ("mixolydian", [2, 2, 1, 2, 2, 1, 2], False),
        ("dorian", [2, 1, 2, 2, 2, 1, 2], True),
    ],
)
def test_a_mode_has_its_steps(mode: Mode, steps: list[int], minor: bool) -> None:
    """Whole and half steps of the four modes, as any theory handbook has them."""
    key = Key(0, mode)
    classes = [pitch.pitch_class(t) for t in (*key.scale, key.tonic)]
    assert [(b - a) % 12 for a, b in pairwise(classes)] == steps
    assert key.minor_third is minor


@pytest.mark.parametrize(
    ("mode", "names"),
    [
        ("major", "C D♭ D E♭ E F F♯ G A♭ A B♭ B"),
        ("mixolydian", "C D♭ D E♭ E F F♯ G A♭ A B♭ B"),
        ("minor", "C C♯ D E♭ E F F♯ G G♯ A B♭ B"),
        ("dorian", "C C♯ D E♭ E F F♯ G G♯ A B♭ B"),
    ],
)
def test_the_twelve_keys_are_spelled_as_charts_write_them(mode: Mode, names: str) -> None:
    """The twelve tonics from C upwards in the spelling of real charts.

    Where two spellings are in use the commoner one stands: D♭, A♭, B and F♯ outnumber C♯, G♯, C♭ and G♭ in the McGill
    Billboard annotations (Burgoyne, Wild and Fujinaga, ISMIR 2011). Minor: common practice, no source."""
    keys = all_keys(mode)
    assert [pitch.name(k.tonic) for k in keys] == names.split()
    assert [pitch.pitch_class(k.tonic) for k in keys] == list(range(12))
    assert {k.mode for k in keys} == {mode}
    assert usual(14, mode) == keys[2]


@given(st.integers(-20, 20), MODE)
def test_the_usual_key_sounds_where_it_was_asked(tonic: int, mode: Mode) -> None:
    """Asking for D♭ minor gives C♯ minor: the same sound, the same mode, respelling once and for all."""
    key = usual(pitch.pitch_class(tonic), mode)
    assert pitch.pitch_class(key.tonic) == pitch.pitch_class(tonic)
    assert key.mode == mode
    assert usual(pitch.pitch_class(key.tonic), mode) == key
