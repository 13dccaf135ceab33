"""Diagnostics: their order, the text shown in a terminal and the data for programs."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.text.diagnostic import (
    LIMIT,
    WIDTH,
    Diagnostic,
    as_json,
    has_errors,
    in_order,
    nearest,
    printable,
    show,
)
from chartc.text.source import Source


def _rows(text: str, column: int, end: int, line: int = 1) -> list[str]:
    return show([Diagnostic("code", "words", Source("f", text).span(line, column, end))]).splitlines()


def test_a_finding_is_shown_whole() -> None:
    """File, line, column, severity, code, the line, the caret, the second place and the help, exactly as a user reads them."""
    source = Source("songs/ladder.chartc", "meter 3/4\n\n| G / / D | C |\n")
    found = Diagnostic(
        "measure-beats",
        "4 beats in a measure of 3",
        source.span(3, 3, 10),
        "write: | G / D |\nor change the meter",
        related=((source.span(1, 7, 10), "the meter was set here"),),
    )
    assert show([found]) == (
        "songs/ladder.chartc:3:3: error: 4 beats in a measure of 3 [measure-beats]\n"
        "    3 | | G / / D | C |\n"
        "      |   ^^^^^^^\n"
        "    1 | meter 3/4\n"
        "      |       ^^^ the meter was set here\n"
        "      = write: | G / D |\n"
        "      = or change the meter\n"
    )


def test_a_finding_about_a_whole_file_needs_no_line() -> None:
    """Without a span the file is named, at 1:1, and no excerpt is made up."""
    found = Diagnostic("file-empty", "the file is empty", severity="warning", file="a.chartc")
    assert show([found]) == "a.chartc:1:1: warning: the file is empty [file-empty]\n"
    assert found.place == ("a.chartc", 1, 1)


def test_tabs_move_the_caret_as_far_as_the_text() -> None:
    """A tab before the place is repeated before the caret: any tab width then lines up."""
    assert _rows("\ta\tG7 x", 4, 6)[1:] == ["    1 | \ta\tG7 x", "      | \t \t^^"]


def test_wide_and_combining_characters_keep_the_caret_in_place() -> None:
    """Wide characters take two cells and combining ones none, before the place and within it."""
    assert _rows("歌詞 G", 4, 5)[2] == "      |      ^"
    assert _rows("歌詞 G", 1, 3)[2] == "      | ^^^^"
    assert _rows("e\u0301 G", 4, 5)[2] == "      |   ^"
    assert _rows("Ｇ G", 3, 4)[2] == "      |    ^"
    assert _rows("G\u20dd G", 4, 5)[2] == "      |   ^"
    # an emoji's variation sign has no width either, though its combining class is 0
    assert _rows("\u2764\ufe0f G", 4, 5)[2] == "      |   ^"


@pytest.mark.parametrize(
    "bad", ["\x1b", "\x07", "\x00", "\x08", "\x7f", "\x9b", "\u202e", "\u2066", "\u200b", "\r", "\u2028"]
)
def test_nothing_that_steers_a_terminal_gets_out(bad: str) -> None:
    """Escape sequences, bells and direction marks in a file, a message, a name or a help come out as a replacement sign."""
    source = Source(f"n{bad}", f"x{bad}[31mG" if bad != "\r" else "xG")
    found = Diagnostic("code", f"m{bad}", source.span(1, 2, 3), f"h{bad}", related=((source.span(1, 1, 2), f"r{bad}"),))
    text = show([found])
    assert bad not in text
    for letter in "nmhr":
        assert f"{letter}\N{REPLACEMENT CHARACTER}" in text


@given(st.text())
def test_shown_text_is_printable_whatever_is_in_the_file(text: str) -> None:
    """For any text whatever: only printable characters and tabs are left, one for one, so that columns still agree."""
    clean = printable(text)
    assert len(clean) == len(text)
    assert all(c.isprintable() or c == "\t" for c in clean)


@given(st.text(), st.integers(1, 400), st.integers(0, 400), st.integers(1, 5))
def test_any_place_can_be_shown(text: str, column: int, length: int, line: int) -> None:
    """A place past the end, an empty one or one in an endless line is shown with at least one caret, and never raises."""
    rows = _rows(text, column, column + length, line)
    assert len(rows) == 3
    assert "^" in rows[2]


def test_a_place_past_the_end_of_the_line_is_shown_behind_it() -> None:
    """What is missing at the end of a line is marked just behind the line."""
    assert _rows("| G", 4, 5)[2] == "      |    ^"
    assert _rows("| G", 40, 41)[2] == "      |    ^"


def test_of_a_long_line_the_part_around_the_place_is_shown() -> None:
    """A line of thousands of characters does not flood the terminal, and the caret still stands under its word."""
    text = "a" * 3000 + "WRONG" + "b" * 3000
    rows = _rows(text, 3001, 3006)
    shown, caret = rows[1][8:], rows[2][8:]
    assert len(shown) == WIDTH
    start = caret.index("^")
    assert shown[start : start + len(caret) - start] == "WRONG"
    assert rows[0].startswith("f:1:3001:")


def test_a_place_longer_than_the_excerpt_ends_with_it() -> None:
    """Carets never run on past the piece of text that is shown."""
    rows = _rows("a" * 5000, 100, 4000)
    assert len(rows[2]) <= len(rows[1])


def test_many_findings_are_cut_and_counted() -> None:
    """Exactly the limit is shown and the total is said; at the limit nothing is said."""
    many = [Diagnostic("code", f"number {n}", file="f") for n in range(LIMIT + 7)]
    rows = show(many).splitlines()
    assert len(rows) == LIMIT + 1
    assert rows[-1] == f"... and 7 more ({LIMIT + 7} in all)"
    assert "more" not in show(many[:LIMIT])
    assert show([]) == ""


def test_findings_are_sorted_by_place_and_said_once() -> None:
    """By file, line and column as numbers (10 after 9), repeated findings once."""
    source = Source("b", "\n" * 20)
    nine, ten, other = (
        Diagnostic("z", "m", source.span(9)),
        Diagnostic("a", "m", source.span(10)),
        Diagnostic("a", "m", file="a"),
    )
    assert in_order([ten, nine, other, ten, nine]) == (other, nine, ten)


def test_only_errors_are_errors() -> None:
    """A warning alone does not fail a run."""
    warning = Diagnostic("w", "m", severity="warning")
    assert not has_errors([])
    assert not has_errors([warning, warning])
    assert has_errors([warning, Diagnostic("e", "m")])


def test_the_data_of_a_finding_has_all_that_is_shown() -> None:
    """Programs get file, place, severity, code, words, the line, the help and the further places."""
    source = Source("f", "one two\nthree\n")
    found = Diagnostic(
        "c",
        "m",
        source.span(1, 5, 8),
        "h",
        related=((source.span(2, 1, 3), "there"),),
        fix=((source.span(1, 5, 8), "three"),),
    )
    assert as_json(found) == {
        "file": "f",
        "line": 1,
        "column": 5,
        "end": 8,
        "severity": "error",
        "code": "c",
        "message": "m",
        "text": "one two",
        "help": "h",
        "related": [{"file": "f", "line": 2, "column": 1, "message": "there"}],
        "fix": [{"line": 1, "column": 5, "end": 8, "text": "three"}],
    }
    assert as_json(Diagnostic("c", "m", file="f"))["end"] == 1


def test_a_similar_name_is_offered_and_a_far_one_is_not() -> None:
    """A slip of the pen is answered with the word that was meant, whatever its case; anything else with nothing."""
    assert nearest("Choru", ["verse", "chorus"]) == '; there is "chorus", with a similar name'
    assert nearest("roll", ["verse", "chorus"]) == ""
    assert nearest("", []) == ""
