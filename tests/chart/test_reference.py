"""The reference that explains the language to a player: its charts are charts."""

from __future__ import annotations

import re

import pytest

from chartc.chart.lines import STARTS
from chartc.chart.song import SECTION_KINDS
from chartc.text.grammar import grammar
from chartc.theory.meter import NOTE_WORDS
from tests.chart.charts import song

REFERENCE = grammar("reference.md")
EXAMPLES = re.findall(r"```chart\n(.*?)```", REFERENCE, re.DOTALL)


@pytest.mark.parametrize("text", EXAMPLES, ids=[e.split("\n")[0].split(" ", 1)[1].strip() for e in EXAMPLES])
def test_examples_compile(text: str) -> None:
    """Protects the reader: every example can be copied and compiles without any finding."""
    assert song(text).order


def test_all_examples_are_tested() -> None:
    """Protects the test above: each fenced block is one of the examples."""
    assert REFERENCE.count("```") == 2 * len(EXAMPLES) and len(EXAMPLES) > 8


def test_every_word_of_the_language_is_explained() -> None:
    """Protects the reference from growing old: each keyword, kind of section and note length is in it."""
    for word in (
        *STARTS,
        *SECTION_KINDS,
        "pickup",
        "in",
        "times",
        "as",
        "sung",
        "held",
        "silent",
        "low",
        "middle",
        "high",
    ):
        assert re.search(rf"`[^`]*\b{word}\b[^`]*`|\*\*{word}\*\*", REFERENCE), word
    for word in {w.split()[-1] for w in NOTE_WORDS}:
        assert f"`{word}`" in REFERENCE


def test_grammar_that_is_not_there() -> None:
    """Protects against a damaged installation: a missing grammar says its name."""
    with pytest.raises(FileNotFoundError, match=r"nothing\.lark"):
        grammar("nothing.lark")
