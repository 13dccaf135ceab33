"""Generated parts: what holds for every sheet. `tests/bench/pages.py` proves the same over thousands of pages."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from chartc.press import pdf
from chartc.sheet import PAPERS, SHEETS
from chartc.sheet.marks import Text
from tests.bench.pages import lost
from tests.sheet.invent import invented
from tests.sheet.overlaps import outside, overlaps, white_over
from tests.sheet.parts import ordinary


@pytest.mark.parametrize("seed", range(8))
def test_nothing_meets_and_nothing_is_lost(seed: int) -> None:
    """Protects every sheet of every song: nothing meets, nothing is outside, and each chord name and fret number is read back from
    the PDF by another program, in one piece, in its place and in order."""
    made = invented(Random(1000 + seed))
    for kind in SHEETS:
        pages = SHEETS[kind](made, PAPERS[("a4", "letter", "a4-large", "letter-landscape")[seed % 4]])
        for page in pages:
            assert overlaps(page.marks) == []
            assert white_over(page.marks) == []
            assert outside(page.marks, page.paper.width, page.paper.height, 13) == []
        assert list(lost(pages)) == []


def test_parts_show_what_there_is() -> None:
    """Protects the proof itself: the generated parts have ties, triplets, every technique, repeats, endings and positions."""
    kinds = set()
    letters = set()
    for seed in range(12):
        for page in SHEETS["backup"](invented(Random(seed)), PAPERS["a4"]):
            kinds |= {m.kind for m in page.marks}
            letters |= {m.text for m in page.marks if isinstance(m, Text) and m.kind == "technique"}
    assert kinds >= {
        "tie",
        "triplet",
        "slur",
        "slide",
        "choke",
        "damp",
        "ending",
        "repeat",
        "neck",
        "rest",
        "words",
        "voice",
    }
    assert letters >= {"h", "p", "s"}


def test_the_reading_back_can_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the check: a number that is printed elsewhere than it should be is noticed."""
    pages = SHEETS["backup"](ordinary(), PAPERS["a4"])
    assert list(lost(pages)) == []
    first = next(m for m in pages[0].marks if isinstance(m, Text) and m.kind == "fret")
    moved = tuple(replace(m, x=m.x + 30) if m is first else m for m in pages[0].marks)
    drawn = (replace(pages[0], marks=moved), *pages[1:])
    monkeypatch.setattr("tests.bench.pages.pdf", lambda _, title: pdf(drawn, title))
    assert list(lost(pages))
