"""The TextMate grammar, loaded by an engine that editors' grammars are written for (Oniguruma regular expressions)."""

from __future__ import annotations

import json
import re
from functools import cache

import pytest
from textmate_grammar.parsers.base import LanguageParser

from chartc.chart.lines import STARTS
from chartc.chart.song import PLACES, VOICE_STATES
from chartc.text.grammar import grammar
from chartc.theory.key import MODES
from chartc.theory.meter import NOTE_WORDS
from tests.chart.test_reference import EXAMPLES

GRAMMAR = json.loads(grammar("chartc.tmLanguage.json"))


@cache
def _parser() -> LanguageParser:
    return LanguageParser(GRAMMAR)


def scopes(text: str) -> dict[tuple[int, int], str]:
    """The innermost scope at each place (line and column from 0) of a text."""
    element = _parser().parse_string(text)
    assert element is not None
    return {place: names[-1] for place, _, names in _flat(element)}


def _flat(element: object) -> list[tuple[tuple[int, int], str, list[str]]]:
    return [(tuple(place), text, names) for place, text, names in element.flatten()]  # type: ignore[attr-defined]


def words(text: str) -> list[tuple[str, str]]:
    """Each coloured piece of a text with its innermost scope, without the spaces."""
    element = _parser().parse_string(text)
    assert element is not None
    return [(piece.strip(), names[-1]) for _, piece, names in _flat(element) if piece.strip()]


LINES: dict[str, list[tuple[str, str]]] = {
    "title  A;;B ; remark": [
        ("title", "keyword.other.header"), ("A", "string.unquoted.text"), (";;", "constant.character.escape"),
        ("B", "string.unquoted.text"), ("; remark", "comment.line.semicolon"),
    ],
    "key F# minor;x": [
        ("key", "keyword.other.header"), ("F#", "entity.name"), ("minor", "constant.language.mode"), (";x", "comment.line.semicolon"),
    ],
    "meter 6/8": [
        ("meter", "keyword.other.header"), ("6", "constant.numeric"), ("/", "keyword.operator"), ("8", "constant.numeric"),
    ],
    "tempo dotted quarter = 112": [
        ("tempo", "keyword.other.header"), ("dotted quarter", "constant.language.note"), ("=", "keyword.operator"),
        ("112", "constant.numeric"),
    ],
    "form verse, break as verse": [
        ("form", "keyword.other.header"), ("verse", "entity.name"), (",", "punctuation.separator.comma"), ("break", "entity.name"),
        ("as", "keyword.control"), ("verse", "entity.name"),
    ],
    "section verse 2, 16 measures": [
        ("section", "keyword.other.section"), ("verse", "entity.name.section"), ("2", "entity.name.section"),
        (",", "punctuation.separator.comma"), ("16", "constant.numeric"), ("measures", "keyword.other.measures"),
    ],
    "  lead voice, fills banjo": [
        ("lead", "keyword.other.job"), ("voice", "variable.other.player"), (",", "punctuation.separator.comma"),
        ("fills", "keyword.other.job"), ("banjo", "variable.other.player"),
    ],
    "| in 2/4: G / F#m7b5/C % | NC|b7 ?|;x": [
        ("|", "punctuation.separator.bar"), ("in", "keyword.other.length"), ("2", "constant.numeric"), ("/", "keyword.operator"),
        ("4", "constant.numeric"), (":", "punctuation.separator.colon"), ("G", "support.constant.chord.letter"),
        ("/", "keyword.operator"), ("F#m7b5/C", "support.constant.chord.letter"), ("%", "keyword.operator"),
        ("|", "punctuation.separator.bar"), ("NC", "constant.language.silence"), ("|", "punctuation.separator.bar"),
        ("b7", "support.constant.chord.degree"), ("?", "invalid.illegal.chord"), ("|", "punctuation.separator.bar"),
        (";x", "comment.line.semicolon"),
    ],
    "ask | fill fret 5, roll | |": [
        ("ask", "keyword.other.row"), ("|", "punctuation.separator.bar"), ("fill", "entity.name.lick"),
        ("fret 5", "constant.language.place"), (",", "punctuation.separator.comma"), ("roll", "entity.name.lick"),
        ("|", "punctuation.separator.bar"), ("|", "punctuation.separator.bar"),
    ],
    "words | up;; the | hill |": [
        ("words", "keyword.other.row"), ("|", "punctuation.separator.bar"), ("up", "string.unquoted.text"),
        (";;", "constant.character.escape"), ("the", "string.unquoted.text"), ("|", "punctuation.separator.bar"),
        ("hill", "string.unquoted.text"), ("|", "punctuation.separator.bar"),
    ],
    "repeat 3 times": [
        ("repeat", "keyword.control.repeat"), ("3", "constant.numeric"), ("times", "keyword.control.repeat"),
    ],
    "ending 1 and 2": [
        ("ending", "keyword.control.repeat"), ("1", "constant.numeric"), ("and", "keyword.control.repeat"), ("2", "constant.numeric"),
    ],
    "end repeat;x": [("end repeat", "keyword.control.repeat"), (";x", "comment.line.semicolon")],
    "; a remark": [("; a remark", "comment.line.semicolon")],
}  # fmt: skip


@pytest.mark.parametrize("line", LINES)
def test_each_kind_of_line(line: str) -> None:
    """Protects the colours of an editor: each piece of each kind of line has the scope that it should have."""
    got = [(piece, scope.removesuffix(".chartc")) for piece, scope in words(line)]
    assert [g for g in got if g[1] != "source"] == LINES[line]


def test_every_keyword_is_coloured() -> None:
    """Protects the grammar from growing old: every keyword of the language, at the beginning of a line, is a keyword."""
    for word in STARTS:
        rest = " | |" if word in ("voice", "ask", "words") else " repeat" if word == "end" else " 1"
        first = words(word + rest)[0]
        assert first[0].split()[0] == word and first[1].startswith("keyword."), word


def test_every_fixed_word_is_coloured() -> None:
    """Protects the words that only stand in one place: modes, notes, what a voice does, places on the neck."""
    lines = [(f"key G {m}", m) for m in MODES] + [(f"tempo {n} = 60", n) for n in NOTE_WORDS]
    lines += [(f"voice | {v} |", v) for v in VOICE_STATES] + [(f"ask | {p} |", p) for p in PLACES]
    for line, word in lines:
        assert (word, True) in [(piece, scope.startswith("constant.language.")) for piece, scope in words(line)], line


@pytest.mark.parametrize("text", EXAMPLES)
def test_nothing_in_the_reference_is_called_wrong(text: str) -> None:
    """Protects the reader of good charts: no chord of the reference is marked as wrong, and no line is left uncoloured."""
    for line in text.splitlines():
        if line.strip():
            got = words(line)
            assert got and not [g for g in got if g[1].startswith("invalid")], line


def test_one_line_does_not_colour_the_next() -> None:
    """Protects the language's own rule: a line is one thing, and an open line ends with it."""
    text = "title A\n| G |\nwords | a\n| C |\n"
    found = scopes(text)
    assert found[(1, 2)] == found[(3, 2)] == "support.constant.chord.letter.chartc"


def test_it_names_the_files() -> None:
    """Protects the editor's choice of grammar: the files are those of charts, and every scope bears the language's name."""
    assert GRAMMAR["fileTypes"] == ["chartc"]
    names = re.findall(r'"name": "([^"]*)"', grammar("chartc.tmLanguage.json"))[1:]
    assert names and all(name.endswith(".chartc") for name in names)
