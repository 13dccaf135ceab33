"""Chord names as printed: by letter and by degree, with raised figures."""

from __future__ import annotations

import pytest

from chartc.chart.song import in_key
from chartc.sheet import a4
from chartc.sheet.chords import number_pages
from chartc.sheet.label import by_degree, by_letter
from chartc.sheet.marks import Page, Text
from chartc.theory.chord import Chord, all_suffixes, quality, read_chord
from chartc.theory.key import all_keys, parse_key
from tests.sheet.parts import FIXTURES, G, ordinary


@pytest.mark.parametrize(
    ("word", "line", "raised"),
    [
        ("G", "G", ""), ("Gm", "Gm", ""), ("Bb7", "B♭", "7"), ("Bbm7b5", "B♭m", "7♭5"), ("Cmaj7", "C", "maj7"),
        ("Cmmaj7", "Cm", "maj7"), ("F#dim7", "F♯dim", "7"), ("Daug", "Daug", ""), ("A7sus4", "A", "7sus4"),
        ("G7/B", "G/B", "7"),
    ],
)  # fmt: skip
def test_figures_are_raised(word: str, line: str, raised: str) -> None:
    """Protects the look of a name: letter, sign and minor on the line, figures above it (common practice, no source)."""
    chord = read_chord(word, G)
    assert chord is not None
    label = by_letter(chord)
    a, z = label.raised
    assert label.words[:a] + label.words[z:] == line
    assert label.words[a:z] == raised


def test_words_are_the_chords_own_label() -> None:
    """Protects searching: whatever is raised, the words are the chord's label, for every quality."""
    for suffix in all_suffixes():
        kind = quality(suffix)
        assert kind is not None
        chord = Chord(-2, kind, bass=1)
        assert by_letter(chord).words == chord.label
    assert by_letter(None).words == "N.C."


@pytest.mark.parametrize(
    ("key", "chords", "degrees"),
    [
        ("G", "G Em C/G D7 F Am7 Bb C#dim", "1 6m 4/1 57 ♭7 2m7 ♭3 ♯4dim"),
        ("Db", "Db Bbm Gb/Db Ab7 Cb", "1 6m 4/1 57 ♭7"),
        ("A minor", "Am C G E7 Dm F", "1m ♭3 ♭7 57 4m ♭6"),
    ],
)
def test_degrees(key: str, chords: str, degrees: str) -> None:
    """Protects the numbers: degrees of the major scale on the tonic, in any mode (common practice, no source)."""
    tonic = parse_key(key)
    assert tonic is not None
    named = by_degree(tonic)
    assert " ".join(named(read_chord(word, tonic)).words for word in chords.split()) == degrees


def texts(pages: tuple[Page, ...]) -> list[str]:
    """All text of the pages, in drawing order."""
    return [m.text for p in pages for m in p.marks if isinstance(m, Text)]


@pytest.mark.parametrize("name", FIXTURES)
def test_one_sheet_of_numbers_serves_all_keys(name: str) -> None:
    """Protects the promise of the numbers: from whatever key the sheet is made, every mark is the same."""
    song = FIXTURES[name]().song
    first = number_pages(song, a4)
    for key in all_keys(song.key.mode):
        assert number_pages(in_key(song, key), a4) == first


def test_no_key_stands_on_the_numbers() -> None:
    """Protects the reader from a key that is not meant: neither in the corner nor among the facts."""
    words = texts(number_pages(ordinary().song, a4))
    assert "G" not in words
    assert not any("key G" in w for w in words)
    assert any("any key" in w for w in words)
