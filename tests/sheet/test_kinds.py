"""Every kind of sheet on every paper, upright and lying, in ordinary and large print."""

from __future__ import annotations

import pytest

from chartc.commands.shared import SHEET_NAMES
from chartc.sheet import ONE_FOR_ALL, PAPERS, SHEETS, a4, wanted
from chartc.sheet.marks import Block, Text
from chartc.sheet.paper import LARGE
from tests.sheet.overlaps import outside, overlaps, white_over
from tests.sheet.parts import FIXTURES, ordinary, part, section, song


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("kind", SHEETS)
def test_nothing_meets_in_any_print(kind: str, paper: str) -> None:
    """Protects every sheet in every size: no two marks meet, none is outside the paper, and the paper is the one asked for."""
    for make in FIXTURES.values():
        for page in SHEETS[kind](make(), PAPERS[paper]):
            assert page.paper == PAPERS[paper]
            assert overlaps(page.marks) == []
            assert white_over(page.marks) == []
            assert outside(page.marks, page.paper.width, page.paper.height, 13) == []


def test_the_names_of_kinds() -> None:
    """Protects the names that a player gives: those of the command line are those there are."""
    assert set(SHEET_NAMES) == set(SHEETS)
    assert set(SHEETS) >= ONE_FOR_ALL


def least(kind: str, paper: str) -> float:
    """The smallest chord name of a sheet."""
    pages = SHEETS[kind](ordinary(), PAPERS[paper])
    return min(m.size for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "chord")


@pytest.mark.parametrize("paper", ["a4", "letter", "a4-landscape"])
def test_large_print_is_larger(paper: str) -> None:
    """Protects who sees badly: tablature in large print is larger by what is promised, less what may save a page; chord names are
    larger than on the ordinary sheet, which is as large as a page allows."""
    assert least("backup", f"{paper}-large") >= least("backup", paper) * LARGE * 0.93
    for kind in ("chords", "numbers"):
        assert least(kind, f"{paper}-large") >= max(31.0, least(kind, paper))


def test_landscape_is_the_paper_on_its_side() -> None:
    """Protects the printer: the same sheet of paper, turned."""
    lying = PAPERS[wanted("a4", landscape=True)]
    assert (lying.width, lying.height) == (a4.height, a4.width)


@pytest.mark.parametrize("kind", sorted(SHEETS))
def test_the_last_bar_line_stands_where_the_song_ends(kind: str) -> None:
    """Protects the end: where the form ends with a section that is not the last one printed, the thick bar line stands after that one, and
    the last one printed ends like any other."""
    made = part(song("Home Again", [section("verse", ["G"] * 4), section("break", ["C"] * 4)], order=[0, 1, 0]))
    (page,) = SHEETS[kind](made, a4)
    thick = [m for m in page.marks if isinstance(m, Block) and m.kind == "bar"]
    heads = sorted(m.y for m in page.marks if isinstance(m, Text) and m.kind == "section")
    assert len(heads) == 2
    assert len(thick) == 1
    assert heads[0] < thick[0].y < heads[1]
