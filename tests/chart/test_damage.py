"""Texts that once made the reading fail or point outside the file, and a short run of the maker of such texts."""

from __future__ import annotations

import random
import re

import pytest

from chartc.chart import read_chart
from chartc.text.diagnostic import Diagnostic, show
from chartc.text.grammar import grammar
from chartc.text.source import Source
from tests.bench import fuzz, invented
from tests.chart.charts import HEAD, VOCABULARY, read, song

VERSE = HEAD + "section verse, 1 measure\n| G |\n"


@pytest.mark.parametrize("line", ["words;;pail | x |", "words;;pail", "words;; pail |", "words;;"])
def test_a_keyword_with_a_doubled_semicolon(line: str) -> None:
    """Protects against a crash: a keyword that a doubled semicolon follows at once is still that keyword, and what is wrong is said."""
    _, found = read(VERSE + line + "\n")
    assert [(d.code, d.place[1]) for d in found] == [("line-form", 7)]
    assert "words | the first words" in found[0].help


@pytest.mark.parametrize(
    "row", ["| pickup 1| :4/", "| in 2/48", "| pickup 1/ | G |x y", "voice sung | held", "ask roll, | low"]
)
def test_a_row_without_its_last_bar_line(row: str) -> None:
    """Protects the place: of a row whose last bar line is missing, nothing behind its end is marked or quoted."""
    source = Source("test.chartc", VERSE + row + "\n")
    _, found = read_chart(source, VOCABULARY)
    assert any(d.place[1] == 7 for d in found), show(found)
    for d in found:
        assert not fuzz.misplaced(d, source), d
        quoted = re.match(r'"(.*)" cannot stand here', d.message)
        assert quoted is None or quoted[1].removesuffix("...") in row


def test_charts_drawn_by_lot_are_right() -> None:
    """Protects the measurements: what is damaged, or read for its speed, is right before, in every meter, with every kind of row."""
    chance = random.Random(5)
    texts = [invented.chart(chance, 3) for _ in range(60)]
    for text in texts:
        assert len({p.section for p in song(text, advice=True).order}) == 3
    whole = "\n".join(texts)
    for piece in ("\nvoice |", "\nask |", "\nwords |", "repeat 3 times", "ending 2", "pickup", "%", *invented.METERS):
        assert piece in whole


def test_a_thousand_damaged_charts() -> None:
    """Protects the program from any text: nothing raised, no place outside the file, there and back the same song. Many more are
    read by hand: python -m tests.bench.fuzz."""
    chance = random.Random(11)
    examples = re.findall(r"```chart\n(.*?)```", grammar("reference.md"), re.DOTALL)
    songs = 0
    for _ in range(1000):
        text = fuzz.damaged(chance, fuzz.valid(chance, examples), fuzz.valid(chance, examples))
        wrong, sang = fuzz.verdict(text, VOCABULARY, chance)
        assert not wrong, (wrong, text)
        songs += sang
    assert 50 < songs < 500


def test_the_checks_of_places_can_fail() -> None:
    """Protects the test above: places before, behind and below the text are noticed, and one that fits is not."""
    source = Source("x", "abc\n")
    span = source.span

    def wrong(*places: int) -> bool:
        return fuzz.misplaced(Diagnostic("c", "m", span(*places)), source)

    assert [wrong(1, 1, 4), wrong(1, 4, 5), wrong(1, 3, 5)] == [False] * 3
    assert [wrong(0, 1, 2), wrong(2, 1, 2), wrong(1, 0, 2), wrong(1, 5, 6), wrong(1, 2, 2), wrong(1, 1, 6)] == [
        True
    ] * 6
    far = Diagnostic("c", "m", span(1, 1, 2), fix=((span(1, 4, 5), "x"),))
    near = Diagnostic("c", "m", span(1, 1, 2), fix=((span(1, 4, 4), "x"),))
    assert fuzz.misplaced(far, source) and not fuzz.misplaced(near, source)
