"""Sources and spans: lines, columns and the stretch of text that a place means."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.text.source import Source, Span


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", ()),
        ("\n", ("",)),
        ("a", ("a",)),
        ("a\n", ("a",)),
        ("a\n\n", ("a", "")),
        ("a\r\nb\rc\nd", ("a", "b", "c", "d")),
        ("a\n\r\nb", ("a", "", "b")),
        ("a\x0bb\x0cc\u2028d\x85e\n", ("a\x0bb\x0cc\u2028d\x85e",)),
    ],
)
def test_lines_end_at_every_usual_line_end(text: str, lines: tuple[str, ...]) -> None:
    """LF, CR LF and a lone CR end a line and nothing else does, so that line numbers agree with an editor's."""
    assert Source("f", text).lines == lines


@given(
    st.lists(st.text(st.characters(exclude_characters="\r\n"), min_size=1), max_size=8),
    st.sampled_from(["\n", "\r", "\r\n"]),
)
def test_lines_come_back_from_any_text(lines: list[str], end: str) -> None:
    """Whatever stands in the lines, splitting gives exactly the lines that were joined, with or without a last line end."""
    assert Source("f", end.join(lines)).lines == tuple(lines)
    assert Source("f", "".join(line + end for line in lines)).lines == tuple(lines)


def test_a_line_outside_the_text_is_empty() -> None:
    """A place past the end never raises: diagnostics about a missing line must be showable."""
    source = Source("f", "one\ntwo\n")
    assert [source.line(n) for n in (-1, 0, 1, 2, 3)] == ["", "", "one", "two", ""]


def test_a_span_counts_code_points_from_one() -> None:
    """Columns count code points from 1 and `end` is exclusive, also beside characters outside the basic plane."""
    source = Source("f", "𝄞 G ♭x\n")
    span = source.span(1, 3, 4)
    assert span.text == "G"
    assert source.span(1, 5).text == "♭x"
    assert source.span(1, 5).end == 7
    assert source.span(1).text == "𝄞 G ♭x"


def test_a_span_stretches_to_another_on_its_line_only() -> None:
    """Joining two places covers both, never shrinks, and never claims a place on another line."""
    source = Source("f", "abcdef\nghi\n")
    first, last, below = source.span(1, 1, 3), source.span(1, 4, 6), source.span(2, 1, 2)
    assert first.to(last) == Span(source, 1, 1, 6)
    assert first.to(last).text == "abcde"
    assert source.span(1, 1, 6).to(source.span(1, 2, 3)).end == 6
    assert first.to(below) == first


def test_two_readings_are_two_sources() -> None:
    """Sources compare by identity, so that equal texts of two files never share their places."""
    one, two = Source("f", "a\n"), Source("f", "a\n")
    assert one != two
    assert one.span(1) != two.span(1)
    assert one.span(1) == one.span(1)
