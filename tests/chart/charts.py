"""Help for the tests of charts: reading a text, and comparing what is found with the marks beside its lines."""

from __future__ import annotations

import re

from chartc.chart import Vocabulary, read_chart
from chartc.chart.song import Song
from chartc.text.diagnostic import Diagnostic, show
from chartc.text.source import Source

VOCABULARY = Vocabulary(
    frozenset({"roll", "fill", "vamp", "lead-in"}), frozenset({"ferry roll", "old gate", "gate-post"})
)

HEAD = "title Ladder to the Ferry\nkey G\nmeter 4/4\ntempo quarter = 112\n"

_MARK = re.compile(r";!\s*([a-z -]+)$")


def read(text: str) -> tuple[Song | None, tuple[Diagnostic, ...]]:
    """What a text means and what is found in it."""
    return read_chart(Source("test.chartc", text), VOCABULARY)


ADVICE = {"chord-unusual", "phrase-length", "tempo-unlikely"}
"""Codes of warnings about what is written well and probably not meant."""


def song(text: str, advice: bool = False) -> Song:
    """The song of a text that must be without any finding; `advice` is overlooked where the music is drawn by lot."""
    got, found = read(text)
    found = tuple(d for d in found if not (advice and d.code in ADVICE))
    assert got is not None and not found, show(found)
    return got


def marked(text: str) -> list[tuple[int, str]]:
    """The line and code of each expected finding: a line says them in a comment, `;! code code`."""
    out = []
    for number, line in enumerate(text.split("\n"), 1):
        match = _MARK.search(line)
        if match:
            out += [(number, code) for code in match[1].split()]
    return sorted(out)


def codes(found: tuple[Diagnostic, ...]) -> list[tuple[int, str]]:
    """The line and code of each finding."""
    return sorted((d.place[1], d.code) for d in found)
