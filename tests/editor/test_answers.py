"""Answers about a chart at a place."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartc.chart.lines import STARTS
from chartc.editor.answers import Answers
from chartc.licks.library import load_library, own_sources
from chartc.text.source import Source
from tests.chart.test_properties import damaged

LIBRARY = load_library(own_sources())[0]

CHART = """\
title Ladder to the Ferry ; a remark
key A minor
meter 4/4
tempo quarter = 112
form verse, break, tag, break 2 as verse

section verse, 4 measures
  lead voice, fills fiddle
| Am | F | E7/B | 5 |
ask | roll forward | | | |

section break as verse
section tag, 1 measure
| % | x |
"""


def answers(text: str = CHART) -> Answers:
    """The answers about a text."""
    return Answers(Source("file:///test.chartc", text), LIBRARY)


def at(words: str, after: str = "", text: str = CHART) -> tuple[int, int]:
    """The place where some words begin, behind `after`."""
    start = text.index(words, text.index(after) if after else 0)
    before = text[:start]
    return before.count("\n") + 1, start - before.rfind("\n")


HOVERS = [
    ("Am |", "", "**Am**: 1m in A minor\n\nA C E"),
    ("F |", "Am |", "**F**: ♭6 in A minor\n\nF A C"),
    ("E7/B", "", "**E7/B**: 57 in A minor\n\nE G♯ B D"),
    ("5 |", "", "**E**: 5 in A minor\n\nE G♯ B"),
    ("tempo", "", "```\ntempo  quarter = 112\n```"),
    ("roll", "ask", "**roll**: a role; "),
    ("forward", "", "**forward** (roll): the plain forward roll"),
]


@pytest.mark.parametrize(("word", "after", "expected"), HOVERS)
def test_what_a_word_means(word: str, after: str, expected: str) -> None:
    """Protects the hover: degree and tones of a chord in the chart's key, how a line is written, what a lick is."""
    got = answers().hover(*at(word, after))
    assert got is not None and got[0].startswith(expected)
    assert got[1].line == at(word, after)[0] and got[1].text == word.split()[0]


def test_nothing_to_say() -> None:
    """Protects against nonsense: remarks, bar lines, texts and words that are no chords have no meaning to show."""
    for word in ("a remark", "Ladder", "| Am", "x |", "% |"):
        assert answers().hover(*at(word)) is None, word
    assert answers().hover(99, 1) is None and answers("").hover(1, 1) is None


def test_where_a_section_begins() -> None:
    """Protects going to a section: from the form and from behind `as`, also to one that is named short or only borrowed."""
    verse, tag = at("verse, 4"), at("tag, 1")
    chart = answers()
    for word, after, place in (
        ("verse", "form", verse), ("tag", "form", tag), ("break", "form", at("break as verse", "section break")),
        ("verse", "section break", verse), ("verse\n", "break 2", verse),
    ):  # fmt: skip
        got = chart.definition(*at(word, after))
        assert got is not None and (got.line, got.column) == place, word
    assert chart.definition(*at("break 2")) is None and chart.definition(*at("Am |")) is None


def test_the_outline() -> None:
    """Protects the outline: each section from its line to the line before the next."""
    assert [(h.name, h.place.line, h.last) for h in answers().headings()] == [
        ("verse", 7, 11), ("break as verse", 12, 12), ("tag", 13, 14),
    ]  # fmt: skip


def offered(line: str, inside: bool = True) -> list[str]:
    """What is offered at the end of a line beneath the sections, or above them."""
    text = CHART + line if inside else line + "\n" + CHART
    return [o.text for o in answers(text).offers(text.count("\n") + 1 if inside else 1, len(line) + 1)]


def test_what_could_be_written() -> None:
    """Protects completion: at each place what the language allows there, first what the chart itself uses."""
    assert set(offered("", False)) == {"title", "credit", "language", "key", "meter", "tempo", "melody", "form"}
    assert set(offered("se")) | set(offered("", False)) == set(STARTS)
    assert offered("key A ", False) == ["major", "minor", "mixolydian", "dorian"]
    assert "dotted quarter" in offered("tempo ", False)
    assert offered("form ", False) == ["verse", "break as verse", "tag"] == offered("section chorus as ")
    assert "chorus" in offered("section ")
    assert offered("voice | ") == ["sung", "held", "silent"]
    assert {"roll", "high", "fret", "forward"} <= set(offered("ask | "))
    assert offered("| ")[:4] == ["Am", "F", "E7/B", "5"] and "G" in offered("| ")
    assert offered("lead ") == ["voice", "banjo", "fiddle"]
    assert offered("lead banjo, ") == ["lead", "fills", "chop"]
    assert offered("end ") == ["repeat"]
    for line in ("; ", "title x", "| G | ; ", "wibble "):
        assert not offered(line), line


@settings(max_examples=200)
@given(damaged(), st.integers(1, 40), st.integers(1, 60))
def test_any_text_at_any_place(text: str, line: int, column: int) -> None:
    """Protects the editor while a chart is half written: no text and no place makes an answer fail, and places lie in the text."""
    got = answers(text)
    hover, place = got.hover(line, column), got.definition(line, column)
    got.offers(line, column)
    for span in (hover[1] if hover else None, place, *(h.place for h in got.headings())):
        assert span is None or 1 <= span.line <= len(span.source.lines)
