"""The sheet of cues: one page, and all that the stage needs on it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from chartc.sheet import PAPERS, a4
from chartc.sheet.cues import cue_pages, job, region, told
from chartc.sheet.marks import Page, Text
from chartc.sheet.paper import PENCIL
from tests.sheet.overlaps import outside, overlaps
from tests.sheet.parts import FIXTURES, fancy, ordinary, part, section, song, techniques, vamp


def words(page: Page, kind: str) -> list[str]:
    """The texts of one kind."""
    return [m.text for m in page.marks if m.kind == kind and isinstance(m, Text)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", FIXTURES)
def test_one_page_without_overlaps(name: str, paper: str) -> None:
    """Protects the stage from a page turn, and the page from marks that meet."""
    pages = cue_pages(FIXTURES[name](), PAPERS[paper])
    assert len(pages) == 1
    assert overlaps(pages[0].marks) == []
    assert outside(pages[0].marks, pages[0].paper.width, pages[0].paper.height, 14) == []


def test_a_very_long_song_is_one_page_too() -> None:
    """Protects the same for 120 measures, every one with a lick of its own; short songs are printed larger."""
    bars = ["G", "C", "D7", "G"] * 5
    made = part(song("Long Way", [section(f"verse {n}", bars) for n in range(6)]), fancy)
    (page,) = cue_pages(made, a4)
    assert len(words(page, "chord")) == 120
    (short,) = cue_pages(part(song("Short Way", [section("verse", bars)]), fancy), a4)
    assert min(m.size for m in short.marks if isinstance(m, Text) and m.kind == "chord") > 18


def test_room_for_the_pencil() -> None:
    """Protects the foot of the page: nothing between the music and the page number, 14 millimetres high at least."""
    (page,) = cue_pages(ordinary(), a4)
    low = max(m.box[3] for m in page.marks if m.kind != "page")
    assert a4.height - 27 - low > PENCIL


def test_who_does_what() -> None:
    """Protects the banjo's job, and the others', in words for every section."""

    def of(lead: str = "", fills: str = "", chop: str = "") -> str:
        return job(section("verse", ["G"], lead=lead, fills=fills, chop=chop))

    assert of(lead="voice", fills="banjo") == "answers in the gaps"
    assert of(lead="banjo") == "leads"
    assert of(lead="fiddle", chop="banjo") == "chops"
    assert of(lead="fiddle") == "behind the fiddle"
    assert of() == "behind the voice"
    (page,) = cue_pages(ordinary(), a4)
    assert "banjo: behind the voice \N{MIDDLE DOT} voice leads, fiddle answers" in " ".join(words(page, "leads"))


def test_region_of_the_neck() -> None:
    """Protects the place: from the lowest to the highest position of the section, none where all is open."""
    made = techniques()
    places = [s.position for m in made.slots[0] for s in m if s.position is not None]
    assert region(made.slots[0]) == (f"frets {min(places)} to {max(places)}",)
    open_only = part(song("Open", [section("verse", ["G", "G"])]))
    assert region(open_only.slots[0]) == ()
    assert "fret" not in told(open_only.song.sections[0], open_only.slots[0])


def test_places_and_licks_where_they_are_new() -> None:
    """Protects the eye from repeated words: a lick that goes on is named once, and so is a place."""
    made = part(song("Again", [section("verse", ["G", "G", "G", "G"])]), vamp)
    slots = tuple((replace(m[0], position=7),) for m in made.slots[0])
    (page,) = cue_pages(replace(made, slots=(slots,)), a4)
    assert words(page, "words") == ["at 7 closed vamp"]
