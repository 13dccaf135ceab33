"""The language on one page."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdfium2
import pytest

from chartc.card import card_page, parts
from chartc.card.content import CHORDS, MEASURES, REPEATS, WHOLE
from chartc.card.page import TooLongError
from chartc.chart.lines import STARTS
from chartc.cli import COMMANDS, main
from chartc.press import pdf
from chartc.sheet import PAPERS, Paper
from chartc.sheet.marks import Text
from tests.chart.charts import HEAD, song
from tests.sheet.overlaps import outside, overlaps


def test_the_examples_are_charts() -> None:
    """Protects the reader: what is on the card can be copied; every example compiles without any finding."""
    assert len(song(WHOLE).order) == 5
    assert song(HEAD + REPEATS).order
    for code, _ in MEASURES:
        row = "| G |" if code.startswith("| pickup") else ""
        count = code.count("|") - 1 if not row else 1
        noun = "measure" if count == 1 else "measures"
        assert song(HEAD + f"section verse, {count} {noun}\n{code}{row[1:]}\n").order, code
    for code, _ in CHORDS:
        row = "| " + " | ".join(code.split()) + " |"
        assert song(HEAD + f"section verse, {len(code.split())} measures\n{row}\n").order, code


def test_every_keyword_is_on_it() -> None:
    """Protects the card from growing old: each keyword of the language stands on it, and each command that it names exists."""
    said = " ".join([p.example + " ".join(f"{a} {b}" for a, b in p.pairs) + " ".join(p.text) for p in parts()])
    for word in (*STARTS, "in", "pickup", "as", "times"):
        assert re.search(rf"\b{word}\b", said), word
    names = {module.__name__.rsplit(".", 1)[1] for module in COMMANDS}
    assert {code.split()[1] for p in parts() for code, _ in p.pairs if code.startswith("chartc ")} <= names


@pytest.mark.parametrize("name", PAPERS)
def test_it_fits_on_one_page(name: str) -> None:
    """Protects the page: nothing meets anything else or the paper's edge, on either paper, in a size that can be read."""
    page = card_page(PAPERS[name])
    assert not overlaps(page.marks) and not outside(page.marks, page.paper.width, page.paper.height, 30)
    assert min(m.size for m in page.marks if isinstance(m, Text)) >= 8
    middle = page.paper.width / 2
    assert not [m for m in page.marks if m.kind not in ("title", "rule") and m.box[0] < middle < m.box[2]]


def test_a_paper_that_is_too_small() -> None:
    """Protects against a card that is cut off: a paper without room is refused."""
    with pytest.raises(TooLongError):
        card_page(Paper("small", 300, 300))


def test_the_text_of_the_pdf() -> None:
    """Protects the print: the document has one page, and its text can be found in it (read by another program)."""
    document = pypdfium2.PdfDocument(io.BytesIO(pdf([card_page(PAPERS["a4"])], "The chart on one page")))
    assert len(document) == 1
    text = document[0].get_textpage().get_text_bounded()
    for words in ("The chart on one page", "Rows beneath the chords", "chartc explain measure-beats", "mixolydian"):
        assert words in text


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the command: card.pdf is written where it is wanted, and that is said."""
    assert main(["card", "--out", str(tmp_path), "--paper", "letter"]) == 0
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")
    assert "card.pdf: written" in capsys.readouterr().err
