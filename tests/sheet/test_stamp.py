"""Stamps: what is kept as numbers is the same page as marks one by one."""

from __future__ import annotations

from random import Random

import pytest

from chartc.press import draw
from chartc.press import stamped as press
from chartc.sheet import a4, backup_pages, pattern
from chartc.sheet.marks import Block, Line, Page, Path, Text
from chartc.sheet.scale import magnified
from chartc.sheet.stamp import Ink, Marks
from tests.sheet.invent import invented
from tests.sheet.parts import ordinary

MARKS = (
    Block(1, 2, 3, 4, "knock", 1.0),
    Line(1, 2, 3, 4, 0.9, "stem", 0.4, (1.0, 2.0)),
    Block(5, 6, 7, 8, "beam"),
    Path((0, 1), (((1, 2), (3, 4), (5, 6)), (7, 8)), 1.1, "flag"),
    Text(9, 10, "12", "bold", 10.0, "fret"),
)


def test_a_stamp_gives_back_its_marks() -> None:
    """Protects everything that looks at marks: a stamp's marks are those that went in, moved and magnified with it, whatever they are."""
    ink = Ink()
    ink.add(MARKS)
    stamp = ink.stamp()
    assert tuple(stamp.marks(0.0, 0.0, 1.0)) == MARKS
    placed = Marks([(stamp, 100.0, 50.0, 1.0)], [])
    assert len(placed) == len(MARKS)
    assert placed[4] == Text(109, 60, "12", "bold", 10.0, "fret")
    (page,) = magnified([Page(a4, placed, "1")], a4, 2.0)
    assert page.marks[1] == Line(202, 104, 206, 108, 1.8, "stem", 0.4, (2.0, 4.0))
    (same,) = magnified([Page(a4, tuple(placed), "1")], a4, 2.0)
    assert page.marks == same.marks


def test_a_stamp_has_no_place_for_raised_text() -> None:
    """Protects chord names: what a stamp cannot keep is refused, not lost."""
    with pytest.raises(ValueError, match="no place"):
        Ink().add([Text(0, 0, "G7", "bold", 14.0, "chord", raised=(1, 2))])


def test_what_was_laid_out_before_does_not_matter() -> None:
    """Protects the same bytes every time and on any number of processes: pages laid out and drawn with everything still kept from
    other parts are those of a fresh start."""

    def drawn() -> list[bytes]:
        return [draw(page).content for page in backup_pages(ordinary(), a4)]

    def forget() -> None:
        pattern.pattern.cache_clear()
        press._kept.cache_clear()

    forget()
    fresh = drawn()
    for seed in range(3):
        backup_pages(invented(Random(seed)), a4)
    assert drawn() == fresh
    forget()
    backup_pages(invented(Random(7)), a4)
    assert drawn() == fresh
