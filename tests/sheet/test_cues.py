"""The sheet of cues: all that the stage needs, to be read from two metres."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from chartc.chart.song import Measure, Stretch
from chartc.sheet import PAPERS, SHEETS, a4
from chartc.sheet.cues import cue_pages, job, region, told
from chartc.sheet.marks import Line, Page, Text
from chartc.sheet.paper import LARGE, PENCIL
from chartc.slots.part import FilledSlot, Part
from tests.export.songs import EXAMPLES, example
from tests.sheet.overlaps import outside, overlaps
from tests.sheet.parts import FIXTURES, fancy, ordinary, part, roll, section, song, techniques, vamp

UPRIGHT = [name for name in PAPERS if "landscape" not in name]
LONG_NAMES = ("jig-half-steps-high", "under-the-bridge", "down-from-ninth")


def words(page: Page, kind: str) -> list[str]:
    """The texts of one kind."""
    return [m.text for m in texts((page,), kind)]


def texts(pages: tuple[Page, ...], *kinds: str) -> list[Text]:
    """The texts of these kinds."""
    return [m for p in pages for m in p.marks if isinstance(m, Text) and m.kind in kinds]


def least(pages: tuple[Page, ...], *kinds: str) -> float:
    """The smallest size of these kinds."""
    return min(m.size for m in texts(pages, *kinds))


def rows(page: Page) -> list[list[Text]]:
    """The chords by base line."""
    lines: dict[float, list[Text]] = {}
    for m in texts((page,), "chord"):
        lines.setdefault(m.y, []).append(m)
    return [sorted(row, key=lambda m: m.x) for _, row in sorted(lines.items())]


def moving(m: Measure, s: Stretch, n: int) -> FilledSlot:
    """A lick with a long name, somewhere else on the neck each time."""
    return replace(vamp(m, s, n), lick=LONG_NAMES[n % 3], role="fill", position=(4, 11, 7, 9)[n % 4])


def splits(per_row: int = 4) -> Part:
    """Eight measures, every second one with two chords, each of them with a place and a long name."""
    bars = ["G", "Am D7", "Bm7b5", "C G"] * 2
    return part(song("Much to Say", [section("verse", bars, per_line=per_row)]), moving)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", FIXTURES)
def test_no_two_marks_meet(name: str, paper: str) -> None:
    """Protects legibility: no two marks meet, and all lie within the printer's reach."""
    for page in cue_pages(FIXTURES[name](), PAPERS[paper]):
        assert overlaps(page.marks) == []
        assert outside(page.marks, page.paper.width, page.paper.height, 14) == []


@pytest.mark.parametrize("paper", [p for p in PAPERS if not PAPERS[p].large])
@pytest.mark.parametrize("name", [n for n in FIXTURES if n != "crowded"])
def test_print_can_be_read_from_two_metres(name: str, paper: str) -> None:
    """Protects the player's eyes: whatever the song, chords are of 20 points at least, cues and jobs of 12, and nothing but the page
    number is under 11; where the whole song is on one page, they are of 13.5 and 8 at least."""
    pages = cue_pages(FIXTURES[name](), PAPERS[paper])
    chord, cue, any_text = (20, 11.85, 11) if len(pages) > 1 else (13.5, 8, 7.6)
    assert least(pages, "chord") >= chord
    assert min([m.size for m in texts(pages, "cue", "leads")], default=12.0) >= cue
    assert all(
        m.size >= any_text for p in pages for m in p.marks if isinstance(m, Text) and m.kind not in ("page", "meter")
    )


@pytest.mark.parametrize("paper", ["a4", "letter", "a4-landscape", "letter-landscape"])
@pytest.mark.parametrize("name", [n for n in FIXTURES if n != "crowded"])
def test_an_ordinary_song_is_one_page(name: str, paper: str) -> None:
    """Protects the stage from a page turn; large print may take more."""
    assert len(cue_pages(FIXTURES[name](), PAPERS[paper])) == 1


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_the_examples_are_one_page_each(path: Path) -> None:
    """Protects the same for real songs, of 64 measures the longest, in three keys."""
    assert [len(cue_pages(made, a4)) for made in example(path.stem, ("G", "Db", "F#"))] == [1, 1, 1]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_longer_rows_keep_a_long_song_on_one_page(paper: str) -> None:
    """Protects the stage from a page turn: 80 measures are on one page, eight to a row where four would take two pages or smaller print;
    a short song keeps its rows of four."""
    verses = [section(f"verse {n}", ["G", "C", "D7", "G"] * 4) for n in range(5)]
    (page,) = cue_pages(part(song("Long Way", verses), roll, roll, roll, fancy), PAPERS[paper])
    assert {len(row) for row in rows(page)} == {8}
    assert least((page,), "chord") >= 13.5
    (page,) = cue_pages(part(song("Short Way", verses[:2]), roll, roll, roll, fancy), PAPERS[paper])
    assert {len(row) for row in rows(page)} == {4}


@pytest.mark.parametrize(
    ("paper", "verses", "count", "chord", "cue"),
    [("a4", 7, 2, 13.5, 8), ("letter", 7, 2, 13.5, 8), ("a4-landscape", 7, 6, 20, 12), ("a4", 20, 14, 20, 12)],
)
def test_a_long_song_takes_pages_and_no_smaller_print(
    paper: str, verses: int, count: int, chord: float, cue: float
) -> None:
    """Protects the same for 140 measures, each of them with a lick and a place: every chord and every section is there, on two pages that
    lie open at once, and where not even these hold it, in large print on as many as that takes; a short song is larger."""
    made = part(song("Long Way", [section(f"verse {n}", ["G", "C", "D7", "G"] * 5) for n in range(verses)]), fancy)
    pages = cue_pages(made, PAPERS[paper])
    assert len(pages) <= count
    assert len(texts(pages, "chord")) == 20 * verses
    assert len(texts(pages, "section")) == verses
    assert least(pages, "chord") >= chord
    assert least(pages, "cue") >= cue
    (short,) = cue_pages(part(song("Short Way", [section("verse", ["G", "C", "D7", "G"] * 2)]), fancy), PAPERS[paper])
    assert least((short,), "chord") >= 25


def test_facing_pages_are_better_than_a_turn() -> None:
    """Protects the stage: a song of many short sections that rows of four put on three pages is on two that lie open at once."""
    short = [section(f"part {n}", ["G", "C", "D7", "G", "Em", "C"]) for n in range(12)]
    pages = cue_pages(part(song("Patches", short), roll, fancy), a4)
    assert len(pages) == 2
    assert max(len(row) for page in pages for row in rows(page)) == 6
    assert least(pages, "chord") >= 20


def test_beats_are_marked_where_chords_share_a_measure_unevenly() -> None:
    """Protects the split measure: two chords without slashes are half and half, as in the chart; where they are not, slashes say so."""
    (page,) = cue_pages(part(song("Shared", [section("verse", ["G C", "G G G C", "G C D G", "G"])]), vamp), a4)
    edges = sorted(m.x1 for m in page.marks if isinstance(m, Line) and m.kind == "bar" and m.x1 == m.x2)
    slashes = [m for m in page.marks if m.kind == "slash"]
    assert len(slashes) == 2
    assert all(edges[1] < m.box[0] < edges[2] for m in slashes)


def test_plain_songs_need_few_pages() -> None:
    """Protects the stand, which holds two pages side by side: 64 measures of rolls and vamps are two at most."""
    bars = ["G", "C", "D7", "G"] * 4
    assert len(cue_pages(part(song("Plain", [section(f"verse {n}", bars) for n in range(4)]), roll, vamp), a4)) <= 2


@pytest.mark.parametrize("paper", ["a4", "letter", "a4-landscape", "letter-landscape"])
@pytest.mark.parametrize("name", [n for n in FIXTURES if n != "crowded"])
def test_large_print_is_larger(name: str, paper: str) -> None:
    """Protects who sees badly: everything is larger by what large print promises, in more pages if need be."""
    made = FIXTURES[name]()
    usual, large = SHEETS["cues"](made, PAPERS[paper]), SHEETS["cues"](made, PAPERS[f"{paper}-large"])
    for kind in ("chord", "cue", "leads"):
        if texts(usual, kind):
            assert least(large, kind) >= least(usual, kind) * LARGE - 0.01
    assert Counter(m.text for m in texts(usual, "chord")) == Counter(m.text for m in texts(large, "chord"))


@pytest.mark.parametrize("paper", UPRIGHT)
def test_larger_print_tears_no_row(paper: str) -> None:
    """Protects the player's phrases: where print grows to fill the page, a row of four stays a row of four that is one in the least
    print."""
    made = part(song("Phrases", [section("verse", ["G", "C", "D7", "G"] * 3)]), moving)
    usual = paper.removesuffix("-large")
    (page,) = SHEETS["cues"](made, PAPERS[usual])
    assert [len(row) for row in rows(page)] == [4, 4, 4]


@pytest.mark.parametrize("paper", PAPERS)
def test_words_stand_under_their_chord(paper: str) -> None:
    """Protects the meaning of a place in a measure with two chords: it begins where its own chord begins and ends before the next."""
    for page in SHEETS["cues"](splits(), PAPERS[paper]):
        places = [m for m in texts((page,), "cue") if m.text.startswith("at ")]
        for row in rows(page):
            for chord in row:
                below = [m for m in places if m.x == pytest.approx(chord.x) and 0 < m.y - chord.y < chord.size * 2]
                assert len(below) == 1
            for chord, after in pairwise(row):
                for m in texts((page,), "cue"):
                    if chord.x - 1 <= m.x < after.x - 1 and 0 < m.y - chord.y < chord.size * 3:
                        assert m.x + m.width < after.x
        assert overlaps(page.marks) == []


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("per_row", [2, 4, 8])
def test_no_word_is_cut(per_row: int, paper: str) -> None:
    """Protects names and places from being cut inside, in rows of any length and in every print."""
    pages = SHEETS["cues"](splits(per_row), PAPERS[paper])
    said = Counter(m.text for m in texts(pages, "cue"))
    assert set(said) == {*LONG_NAMES, "at 4", "at 11", "at 7", "at 9"}
    assert sum(said.values()) == 2 * len(texts(pages, "chord"))


def test_a_name_without_end_breaks_at_its_hyphens() -> None:
    """Protects the page from a name that is wider than it; its place stays whole."""
    endless = "-".join(["over-the-weir-and-round-the-mill"] * 5)

    def named(m: Measure, s: Stretch, n: int) -> FilledSlot:
        return replace(moving(m, s, n), lick=f"{endless}-{n}")

    pages = cue_pages(part(song("Endless", [section("verse", ["G Am", "C"])]), named), a4)
    lines = [t for p in pages for t in words(p, "cue")]
    assert [t for t in lines if t.startswith("at ")] == ["at 4", "at 11", "at 7"]
    names = [t for t in lines if not t.startswith("at ")]
    assert "".join(names) == "".join(f"{endless}-{n}" for n in range(3))
    assert all(t.endswith(("-", "-0", "-1", "-2")) for t in names)
    assert all(overlaps(p.marks) == [] and outside(p.marks, p.paper.width, p.paper.height, 14) == [] for p in pages)
    assert least(pages, "chord") >= 20


def test_room_for_the_pencil() -> None:
    """Protects the foot of each page: nothing between the music and the page number, 14 millimetres high at least."""
    for page in cue_pages(ordinary(), a4):
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
    told_there = [m.text for m in texts(cue_pages(ordinary(), a4), "leads")]
    assert "banjo: behind the voice \N{MIDDLE DOT} voice leads, fiddle answers" in " ".join(told_there)


def test_region_of_the_neck() -> None:
    """Protects the place: from the lowest to the highest position of the section, none where all is open."""
    made = techniques()
    places = [s.position for m in made.slots[0] for s in m if s.position is not None]
    assert region(made.slots[0]) == (f"frets {min(places)} to {max(places)}",)
    open_only = part(song("Open", [section("verse", ["G", "G"])]))
    assert region(open_only.slots[0]) == ()
    assert "fret" not in told(open_only.song.sections[0], open_only.slots[0])


def test_only_what_is_new_is_said() -> None:
    """Protects the eye from what it need not read: rolls and vamps have no name, a place is said where the hand moves, a lick where one
    is played, and what stays as it was in the measure before is not said again."""
    made = part(song("Again", [section("verse", ["G"] * 8)]), vamp)
    places = (7, 7, 7, 9, 9, 9, 9, 7)
    licks = ("", "", "tin-cup", "tin-cup", "", "", "peg", "")
    slots = tuple(
        (replace(m[0], position=at, lick=lick or m[0].lick, role="fill" if lick else "vamp"),)
        for m, at, lick in zip(made.slots[0], places, licks, strict=True)
    )
    (page,) = cue_pages(replace(made, slots=(slots,)), a4)
    assert words(page, "cue") == ["at 7", "tin-cup", "at 9", "peg", "at 7"]


def test_home_is_not_said() -> None:
    """Protects the same: low on the neck the hand is at home, and moves there are its own affair."""
    (page,) = cue_pages(part(song("Home", [section("verse", ["G", "C", "D7", "G"])]), roll), a4)
    assert words(page, "cue") == []


def test_jobs_break_between_pieces() -> None:
    """Protects the words beside a section's name: where one line is too short, it ends at a dot, not inside of "frets 4 to 11"."""
    bars = ["G", "C", "D7", "G"]
    chop = "mandolin and second fiddle"
    made = section("verse that takes its time", bars, lead="voice", fills="banjo", chop=chop)
    (page,) = SHEETS["cues"](part(song("Jobs", [made]), moving), PAPERS["a4-large"])
    lines = words(page, "leads")
    assert len(lines) > 1
    assert lines[-1].split(" \N{MIDDLE DOT} ")[-1] == "frets 4 to 11"


def test_a_pickup_that_is_never_played_is_left_out() -> None:
    """Protects the middle of the song from a rest that nobody plays; the words stay with their measures."""
    verse, chorus = section("verse", ["G", "C"], pickup=480), section("chorus", ["C", "D7"], pickup=480)
    made = part(song("Pickups", [verse, chorus]), moving)
    (page,) = cue_pages(made, a4)
    assert words(page, "pickup") == ["pickup"]
    assert [m.text for m in texts((page,), "cue") if m.text.startswith("at ")] == ["at 4", "at 11", "at 7", "at 9"]
