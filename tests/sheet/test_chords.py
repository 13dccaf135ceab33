"""The chord sheet as marks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from chartc.sheet import PAPERS, Page, a4, chord_pages
from chartc.sheet.chords import measure_pages
from chartc.sheet.label import by_letter
from chartc.sheet.look import Look
from chartc.sheet.marks import Line, Text
from chartc.sheet.paper import PENCIL
from chartc.sheet.printed import printed
from chartc.sheet.signs import AGAIN
from chartc.theory.meter import Meter
from tests.sheet.overlaps import outside, overlaps
from tests.sheet.parts import FIXTURES, SPAN, ordinary, part, section, song


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", FIXTURES)
def test_no_two_marks_meet(name: str, paper: str) -> None:
    """Protects legibility: no two boxes meet that should stand apart, and all lie within the printer's reach."""
    for page in chord_pages(FIXTURES[name]().song, PAPERS[paper]):
        assert overlaps(page.marks) == []
        assert outside(page.marks, page.paper.width, page.paper.height, 14) == []


@pytest.mark.parametrize("name", [n for n in FIXTURES if n != "crowded"])
def test_names_are_large(name: str) -> None:
    """Protects reading from two metres: chord names of 18 points at least, all of one size."""
    sizes = {
        m.size
        for p in chord_pages(FIXTURES[name]().song, a4)
        for m in p.marks
        if isinstance(m, Text) and m.kind == "chord"
    }
    assert len(sizes) == 1
    assert min(sizes) >= 18


def test_a_usual_song_is_one_page() -> None:
    """Protects the band's stand: 46 measures in five sections need no page turn."""
    assert len(chord_pages(ordinary().song, a4)) == 1


def test_measure_once_more_is_a_sign_except_at_the_start_of_a_row() -> None:
    """Protects the eye: a row begins with a chord's name; later the sign stands for the measure before."""
    made = part(song("Again", [section("verse", ["G", "G", "C", "C", "C", "C", "D", "G"])]))
    page = chord_pages(made.song, a4)[0]
    chords = [m.text for m in page.marks if isinstance(m, Text) and m.kind == "chord"]
    again = [m.text for m in page.marks if isinstance(m, Text) and m.kind == "again"]
    assert chords == ["G", "C", "C", "D", "G"]
    assert again == [AGAIN] * 3


def test_held_beats_are_slashed_where_chords_share_a_measure() -> None:
    """Protects the count in a split measure: G / D / has two slashes; a chord that fills its measure has none."""
    made = part(song("Split", [section("verse", ["G D", "G"])]))
    page = chord_pages(made.song, a4)[0]
    chords = [m.x for m in page.marks if isinstance(m, Text) and m.kind == "chord"]
    slashes = [m.x1 for m in page.marks if isinstance(m, Line) and m.kind == "slash"]
    assert len(slashes) == 2
    assert chords[0] < slashes[0] < chords[1] < slashes[1] < chords[2]


def test_a_measure_too_wide_for_the_page_is_set_smaller() -> None:
    """Protects eight long names in one measure: they stay on the paper and in order."""
    eight = ["Gmaj13 Em7b5/D Am7b5/D D13sus4/C Bm7b5/A E7b9/D Am7b5/C D13sus4/C", "G"]
    page = chord_pages(song("Eight", [section("eight", eight, Meter(8, 4))]), a4)[0]
    chords = [m for m in page.marks if isinstance(m, Text) and m.kind == "chord"]
    least = min(m.size for m in chords)
    assert least < max(m.size for m in chords)
    xs = [m.x for m in chords if m.size == least]
    assert len(xs) == 8
    assert xs == sorted(xs)


def test_words_are_the_singers() -> None:
    """Protects a break from the verse's words: an instrument that plays the verse's measures has no cue words and no voice,
    the verse keeps its own, and a section's own words stay whoever leads."""
    verse = section("verse", ["G", "C"], cues=["up the lane", ""], voice=["sung"], lead="voice")
    verse = replace(verse, measures=tuple(replace(m, span=replace(SPAN, line=7)) for m in verse.measures))
    taken = replace(verse, id="break", label="break as verse", lead="banjo", borrowed=True)
    own = section("turnaround", ["D"], cues=["all stop"], lead="banjo")
    made = printed(song("Whose Words", [verse, taken, own]))
    assert [s.measures[0].words for s in made.sections] == ["up the lane", "", "all stop"]
    assert [bool(s.measures[0].voice) for s in made.sections] == [True, False, False]


def foot_and_margin(page: Page) -> tuple[float, float]:
    """What a page leaves free at its foot, and at its right beyond the usual margin."""
    ink = [m.box for m in page.marks if m.kind not in ("page", "title", "key", "rule", "running")]
    return page.paper.floor - max(b[3] for b in ink), page.paper.edge - max(b[2] for b in ink)


@pytest.mark.parametrize("paper", ["a4", "letter", "a4-landscape"])
@pytest.mark.parametrize("name", [n for n in FIXTURES if n != "crowded"])
def test_room_for_the_pencil(name: str, paper: str) -> None:
    """Protects notes by hand: each page has a strip free at its foot, or a wider margin at its right; and nothing that is read from
    two metres is smaller for it, nor is there a page or a row more."""
    song = FIXTURES[name]().song
    look = Look(by_letter, song.key.label)
    pages = measure_pages(printed(song), PAPERS[paper], look, ())
    bare = measure_pages(printed(song), PAPERS[paper], replace(look, pencil=False), ())

    def read(pages: tuple[Page, ...]) -> list[list[tuple[str, float]]]:
        return [[(m.text, m.size) for m in p.marks if isinstance(m, Text)] for p in pages]

    assert read(pages) == read(bare)
    for page in pages:
        foot, margin = foot_and_margin(page)
        assert foot >= PENCIL - 2 or margin >= 19


def test_a_crowded_page_keeps_its_names() -> None:
    """Protects reading: where a wider margin would make a name smaller, there is none."""
    crowded = FIXTURES["crowded"]().song
    look = Look(by_letter, crowded.key.label)
    pages = measure_pages(printed(crowded), a4, look, ())
    bare = measure_pages(printed(crowded), a4, replace(look, pencil=False), ())
    sizes = [
        [[m.size for m in p.marks if isinstance(m, Text) and m.kind == "chord"] for p in these]
        for these in (pages, bare)
    ]
    assert sizes[0] == sizes[1]
