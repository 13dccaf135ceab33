"""Tidy text: how it looks, and that nothing else changes, whatever is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartc.chart import tidy as module
from chartc.chart.layout import cells_of, laid_out
from chartc.chart.meaning import meaning
from chartc.chart.respell import Spelling
from chartc.chart.song import in_key
from chartc.chart.tidy import Chords, UntidyError, tidy
from chartc.text.diagnostic import show
from chartc.text.source import Source
from chartc.theory.key import Key, all_keys, parse_key
from tests.chart.charts import HEAD, VOCABULARY, read
from tests.chart.test_properties import Written, charts, damaged
from tests.chart.test_reference import EXAMPLES

UNTIDY = """
; a tune for the tests


title   Rain;; and More  Rain ;two remarks
   credit Hob   Farrow         ; one beneath the other
key\u00a0F# minor
meter 4 / 4
tempo quarter=112
melody C#4  to E5
form verse,tag,   Break as verse,


  ; how it goes
section   verse , 7 measure
lead voice , fills   banjo; the singer
|pickup 1/4:|A|in 2/4:  E  |in 2/4:E|
words||Up  the|| lad;;der|
|F#m / /  A|E|
repeat;again
|A|
end   repeat
section tag,01 measures
|1|
"""

TIDY = """\
; a tune for the tests

title    Rain;; and More Rain  ;two remarks
credit   Hob Farrow            ; one beneath the other
key      F# minor
meter    4/4
tempo    quarter = 112
melody   C#4 to E5
form     verse, tag, Break as verse

  ; how it goes
section verse, 7 measures
  lead voice, fills banjo  ; the singer
      | pickup 1/4: | A      | in 2/4: E | in 2/4: E |
words |             | Up the |           | lad;;der  |
      | F#m / / A | E    |
repeat  ;again
      | A         |
end repeat

section tag, 01 measures
| 1    |
"""


def made(text: str, key: Key | None = None, chords: Chords = "as they are") -> str:
    """The tidy text of a chart that has no errors."""
    new, found = tidy(Source("test.chartc", text), VOCABULARY, key, chords)
    assert new is not None, show(found)
    return new


def test_how_it_looks() -> None:
    """Protects the one way of writing: each kind of line, columns, comments, blank lines, signs in texts."""
    assert made(UNTIDY) == TIDY


def test_ends_of_lines_are_kept() -> None:
    """Protects files of other systems: CR LF stays, and the text is tidy all the same."""
    assert made(UNTIDY.replace("\n", "\r\n")) == TIDY.replace("\n", "\r\n")
    assert made(TIDY.replace("\n", "\r\n")) == TIDY.replace("\n", "\r\n")


def test_wide_rows_keep_to_themselves() -> None:
    """Protects the screen: where the words of one row would push all others apart, each row has columns of its own."""
    words = "words | " + "la " * 40 + "| a | b | c |\n"
    text = made(
        HEAD
        + "section verse, 8 measures\n| G | C | D | G |\n"
        + words
        + "| G | C | D | G |\n"
        + words.replace("la la", "lo")
    )
    rows = [line for line in text.split("\n") if "|" in line]
    assert rows[0].index("| C") == rows[1].index("| a") > rows[2].index("| C") == rows[3].index("| a")


def test_columns_are_those_of_a_terminal() -> None:
    """Protects words in any script: wide characters take two columns and accents that stand alone none, so that bar lines still
    stand beneath one another."""
    assert [cells_of(t) for t in ("ab", "é", "e\u0301", "歌詞")] == [2, 1, 1, 4]
    text = made(HEAD + "section verse, 2 measures\n| G | C |\nwords | 歌詞歌詞 | a |\n")
    rows = [line for line in text.split("\n") if "|" in line]
    assert cells_of(rows[0]) == cells_of(rows[1]) and len(rows[0]) == len(rows[1]) + 4


def test_a_chart_with_errors_is_refused() -> None:
    """Protects the writer: what cannot be read is not rewritten; its errors are given."""
    new, found = tidy(Source("f", HEAD + "section verse, 1 measure\n| G | H |\n"), VOCABULARY)
    assert new is None and [d.code for d in found] == ["measure-count", "chord-unknown"]


@pytest.mark.parametrize("text", EXAMPLES)
def test_examples_of_the_reference(text: str) -> None:
    """Protects every construct of the language: each can be tidied, in every key, in degrees and back."""
    once = made(text)
    assert made(once) == once
    song, _ = read(text)
    assert song is not None
    for key in all_keys(song.key.mode):
        moved, _ = read(made(text, key))
        assert moved is not None and meaning(moved) == meaning(replace(in_key(song, key), written_key=key))
    degrees = made(text, None, "degrees")
    assert meaning(read(made(degrees, None, "letters"))[0]) == meaning(song)


@settings(max_examples=200)
@given(charts(), st.sampled_from(range(12)))
def test_any_good_chart(written: Written, number: int) -> None:
    """Protects the promises for any chart: tidying succeeds, and again changes nothing; to another key and back gives the same
    text, as far as keys can be spelled; degrees and letters mean the same."""
    text = "\n".join(written.lines)
    once = made(text)
    assert made(once) == once
    song, _ = read(text)
    assert song is not None
    away = all_keys(song.key.mode)[number]
    there = made(once, away)
    if not any(sign in there + once for sign in ("##", "bb", "♯♯", "♭♭")):
        assert made(there, song.key) == made(once, song.key)
    assert meaning(read(made(made(once, None, "degrees"), None, "letters"))[0]) == meaning(song)


@settings(max_examples=400)
@given(damaged())
def test_any_text(text: str) -> None:
    """Protects against loss: whatever stands in a file, it is either refused with errors or made tidy with proof."""
    got, _ = read(text)
    new, _ = tidy(Source("f", text), VOCABULARY)
    assert (new is None) == (got is None)
    if new is not None:
        assert made(new) == new


BREAKS: dict[str, Callable[[str], str]] = {
    "cannot be read": lambda text: text.replace("key      F# minor\n", ""),
    "other words": lambda text: text.replace("tempo    quarter", "tempo    half"),
    "other comments": lambda text: text.replace("again", "agaim"),
    "not tidy": lambda text: text + "\n",
}


@pytest.mark.parametrize("why", BREAKS)
def test_the_proof_finds_a_defect(why: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the promises: were the layout wrong, its text would be refused instead of written."""
    rows = iter([TIDY, TIDY + "\n"])
    monkeypatch.setattr(
        module, "laid_out", lambda chart: BREAKS[why](laid_out(chart)) if why != "not tidy" else next(rows)
    )
    with pytest.raises(UntidyError, match=why):
        tidy(Source("f", UNTIDY), VOCABULARY)


def test_the_proof_compares_what_is_meant(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the promises: a chord that comes out as another one is found, also where its words were to change."""
    monkeypatch.setattr(Spelling, "degree", lambda self, word: "4" if word == "A" else word)
    with pytest.raises(UntidyError, match="another meaning"):
        tidy(Source("f", UNTIDY), VOCABULARY, None, "degrees")


LETTERS = [
    # the word, the key it is in, the key it goes to, the word there
    ("G", "G", "Bb", "Bb"),
    ("Gmin7", "G", "A", "Amin7"),
    ("C/G", "C", "E", "E/B"),
    ("C6/9", "C", "D", "D6/9"),
    ("C6/9/E", "C", "D", "D6/9/F#"),
    ("G(b5)", "G", "C", "C(b5)"),
    ("Eb", "G", "Db", "Bbb"),
    ("F#m7b5", "G", "F", "Em7b5"),
    ("G♯", "A", "Bb", "A"),
    ("C/C", "C", "D", "D/D"),
    # more than two signs: as simple as it is printed
    ("Gbb", "C", "Eb", "Ab"),
    ("6m", "G", "A", "6m"),
    ("NC", "G", "A", "NC"),
    ("/", "G", "A", "/"),
    ("%", "G", "A", "%"),
    ("V7", "G", "A", "V7"),
]


@pytest.mark.parametrize(("word", "old", "new", "expected"), LETTERS)
def test_words_in_another_key(word: str, old: str, new: str, expected: str) -> None:
    """Protects how a player writes: the kind of chord keeps its spelling, degrees and signs stay, roots and basses move."""
    a, b = parse_key(old), parse_key(new)
    assert a is not None and b is not None
    assert Spelling(a, b).letter(word) == expected


DEGREES = [
    ("G", "G", "1", "G"),
    ("D7", "G", "57", "D7"),
    ("Em", "G", "6m", "Em"),
    ("F", "G", "b7", "F"),
    ("C/G", "G", "4/1", "C/G"),
    ("G5", "G", "15", "G5"),
    ("C6/9", "G", "46/9", "C69"),
    ("Bb", "G minor", "3", "Bb"),
    ("B", "G minor", "#3", "B"),
    ("Eb", "G minor", "6", "Eb"),
    ("F", "A mixolydian", "b6", "F"),
    ("G(b5)", "G", "1(b5)", "G(b5)"),
    ("Abb", "G", "Abb", "Abb"),
    ("vi7", "G", "vi7", "Em7"),
]


@pytest.mark.parametrize(("word", "key", "degree", "letter"), DEGREES)
def test_words_as_degrees_and_by_letter(word: str, key: str, degree: str, letter: str) -> None:
    """Protects degrees: counted from the mode's own scale, as charts are read; what has no degree stays a letter."""
    home = parse_key(key)
    assert home is not None
    spelling = Spelling(home, home)
    assert spelling.degree(word) == degree and spelling.by_letter(degree) == letter


def test_a_melody_keeps_its_letters() -> None:
    """Protects the melody's spelling: its notes move by the key's own interval, and the octave is that of the letter."""
    text = HEAD + "melody B3 to E5\nsection verse, 1 measure\n| G |\n"
    for key, melody in {"F#": "A#3 to D#5", "C#": "E#3 to A#4", "Db": "F3 to Bb4", "E": "G#3 to C#5"}.items():
        home = parse_key(key)
        assert home is not None
        assert f"melody   {melody}\n" in made(text, home)


def test_a_melody_that_no_voice_could_sing() -> None:
    """Protects the chart: in a key whose melody could not be written there is no chart, and the melody is named."""
    key = parse_key("F")
    new, found = tidy(Source("f", HEAD + "melody C2 to C3\nsection verse, 1 measure\n| G |\n"), VOCABULARY, key)
    assert new is None and found[-1].code == "key-melody" and found[-1].place == ("f", 5, 1)
