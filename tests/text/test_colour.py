"""Colour in a terminal."""

from __future__ import annotations

import re

import pytest

from chartc.text.colour import Choice, Paint, wanted
from chartc.text.diagnostic import Diagnostic, show, show_lines
from chartc.text.source import Source

CASES: list[tuple[Choice, dict[str, str], bool, bool]] = [
    ("auto", {}, True, True),
    ("auto", {}, False, False),
    ("auto", {"TERM": "dumb"}, True, False),
    # no-color.org: "when present and not an empty string (regardless of its value), prevents the addition of ANSI color"
    ("auto", {"NO_COLOR": "0"}, True, False),
    ("auto", {"NO_COLOR": ""}, True, True),
    # force-color.org: "when present and not an empty string (regardless of its value), should force the addition of ANSI color"
    ("auto", {"FORCE_COLOR": "0"}, False, True),
    ("auto", {"FORCE_COLOR": ""}, False, False),
    ("auto", {"FORCE_COLOR": "1", "TERM": "dumb"}, False, True),
    ("auto", {"FORCE_COLOR": "1", "NO_COLOR": "1"}, True, False),
    # no-color.org: "User-level configuration files and per-instance command-line arguments should override"
    ("always", {"NO_COLOR": "1"}, False, True),
    ("never", {"FORCE_COLOR": "1"}, True, False),
]


@pytest.mark.parametrize(("choice", "environment", "terminal", "expected"), CASES)
def test_what_decides(choice: Choice, environment: dict[str, str], terminal: bool, expected: bool) -> None:
    """The flag wins, then NO_COLOR, then FORCE_COLOR, then the terminal; empty variables are as good as none."""
    assert wanted(choice, environment, terminal) == expected


def test_colour_changes_no_words() -> None:
    """Without its colours the text is the same, and every colour is ended on its line."""
    source = Source("f", "one\ttwo\n")
    found = [
        Diagnostic("c", "m", source.span(1, 5, 8), "a\nb", related=((source.span(1, 1, 4), "there"),)),
        Diagnostic("w", "m", severity="warning", file="f"),
    ]
    for shown in (show, show_lines):
        coloured = shown(found, 0, Paint(True))
        assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == shown(found, 0)
        assert "\x1b" in coloured
        for line in coloured.splitlines():
            assert not line.count("\x1b") % 2 and ("\x1b" not in line or line.rindex("\x1b[0m") == line.rindex("\x1b"))


def test_a_file_cannot_colour() -> None:
    """An escape sequence in a chart does not reach the terminal where colour is on."""
    source = Source("f", "\x1b[31mred\n")
    assert "\x1b[31m" not in show([Diagnostic("c", "\x1b[31m", source.span(1, 1, 2))], 0, Paint(True))


def test_one_line_for_each() -> None:
    """`file:line:column: severity: message [code]`, one line for each finding; 0 shows all, any other limit says the total."""
    source = Source("f", "a\nb\n")
    found = [Diagnostic("c", "m", source.span(2, 1, 2), "help"), Diagnostic("w", "n", severity="warning", file="f")]
    assert show_lines(found) == "f:2:1: error: m [c]\nf:1:1: warning: n [w]\n"
    assert show_lines(found, 1) == "f:2:1: error: m [c]\n... and 1 more (2 in all)\n"
