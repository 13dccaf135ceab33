"""Edits of a text, and mending by them."""

from __future__ import annotations

from collections.abc import Sequence

from chartc.text.diagnostic import Diagnostic
from chartc.text.edit import apply, mend, mended_line
from chartc.text.source import Source


def test_edits_leave_the_rest_as_it_is() -> None:
    """Protects the user's file: ends of lines of every kind stay, several edits of a line do not disturb one another, and an
    empty place is where something is put in."""
    source = Source("f", "one two\r\nthree\rfour\n")
    edits = [
        (source.span(1, 1, 4), "a"),
        (source.span(1, 5, 8), "bcdef"),
        (source.span(2, 6, 6), "!"),
        (source.span(3), ""),
    ]
    assert apply(source, edits) == "a bcdef\r\nthree!\r\n"
    assert apply(source, []) == source.text


def _check(source: Source) -> Sequence[Diagnostic]:
    """Complains of each `x`, and offers `y`; complains of `yy`, and offers `x` again; of each `z` it offers what adds an error."""
    found = []
    for number, line in enumerate(source.lines, 1):
        for column, char in enumerate(line, 1):
            span = source.span(number, column, column + 1)
            if char in "xz":
                found.append(
                    Diagnostic("c", f"an {char} at {column}", span, fix=((span, "y" if char == "x" else "ee"),))
                )
            elif char == "e":
                found.append(Diagnostic("e", f"an e at {column}", span))
    return found


def test_mending_says_what_it_did() -> None:
    """Protects the report: what was mended, with the line as it was and as it is, and what is left."""
    done = mend(Source("f", "axb\nc\n"), _check)
    assert done.source.text == "ayb\nc\n" and not done.left
    assert [d.message for d in done.mended] == ["an x at 2"]
    assert mended_line(done.mended[0]) == "ayb"


def test_a_fix_that_makes_things_worse_is_not_made() -> None:
    """Protects the file: a fix that adds errors is refused, and the others are made all the same."""
    done = mend(Source("f", "axb\nz\nx\n"), _check)
    assert done.source.text == "ayb\nz\ny\n"
    assert [d.message for d in done.left] == ["an z at 1"]


def test_mending_ends() -> None:
    """Protects against fixes that undo each other: mending ends after some rounds."""

    def check(source: Source) -> Sequence[Diagnostic]:
        span = source.span(1, 1, 2)
        return [Diagnostic("c", source.text, span, fix=((span, "b" if source.text == "a" else "a"),))]

    assert mend(Source("f", "a"), check).source.text in "ab"
