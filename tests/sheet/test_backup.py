"""The backup sheet as marks: nothing meets, nothing is lost, everything stands where it sounds."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from chartc.chart.song import Measure, Stretch
from chartc.sheet import PAPERS, backup_pages, style
from chartc.sheet.backup import MAX_SPREAD
from chartc.sheet.hand import said
from chartc.sheet.marks import Line, Mark, Page, Text
from chartc.sheet.measure import level
from chartc.sheet.paper import PENCIL, a4, letter
from chartc.sheet.rough import SIZES, SMALLER, SMALLEST
from chartc.sheet.system import LEAST_ROW_GAP, ROW_GAP
from chartc.slots.part import FilledSlot, Part
from tests.sheet.overlaps import outside, overlaps, white_over
from tests.sheet.parts import (
    FIXTURES,
    endings,
    fancy,
    long_section,
    note,
    ordinary,
    part,
    roll,
    section,
    song,
    techniques,
    vamp,
)

MILLIMETRE = 72 / 25.4


def kinds(pages: tuple[Page, ...], kind: str) -> list[Text]:
    """The text marks of one kind, in drawing order."""
    return [m for p in pages for m in p.marks if m.kind == kind and isinstance(m, Text)]


def test_papers_have_their_standard_sizes() -> None:
    """Protects the paper sizes. Sources: ISO 216 (A4 is 210 mm x 297 mm); ANSI/ASME Y14.1 (size A is 8.5 in x 11 in)."""
    assert a4.width == pytest.approx(210 * MILLIMETRE, abs=1e-3)
    assert a4.height == pytest.approx(297 * MILLIMETRE, abs=1e-3)
    assert (letter.width, letter.height) == (8.5 * 72, 11 * 72)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", FIXTURES)
def test_no_two_marks_meet(name: str, paper: str) -> None:
    """Protects legibility: over all marks, lines and curves included, no two boxes meet that should stand apart, nothing lies
    in the printer's margin, and no white patch covers anything but the staff."""
    for page in backup_pages(FIXTURES[name](), PAPERS[paper]):
        assert overlaps(page.marks) == []
        assert outside(page.marks, page.paper.width, page.paper.height, 14) == []
        assert white_over(page.marks) == []


def test_the_overlap_check_can_fail() -> None:
    """Protects the check itself: two numbers on one place, a slur through a number, a chord name on a finger are all found."""
    number = Text(100, 100, "12", "bold", style.FRET, "fret")
    assert overlaps([number, replace(number, x=104)])
    assert overlaps([number, Line(90, 97, 130, 96, 0.8, "slide")])
    assert overlaps([Text(100, 100, "G", "bold", 14, "chord"), Text(104, 96, "m", "italic", 9, "finger")])
    assert not overlaps([number, replace(number, x=120)])


@pytest.mark.parametrize("name", ["bare", "jig", "techniques", "two_four", "waltz"])
def test_sizes_for_a_music_stand(name: str) -> None:
    """Protects reading at 60 cm, where one page holds all: fret numbers at least 9.5 points, chord names at least 13, both bold."""
    pages = backup_pages(FIXTURES[name](), a4)
    assert len(pages) == 1
    assert all(m.size >= 9.5 and m.face == "bold" for m in kinds(pages, "fret"))
    assert all(m.size >= 13 and m.face == "bold" for m in kinds(pages, "chord"))


def test_print_is_smaller_where_that_saves_turns(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the player of a long song: in ordinary print the last page begins with the break, between two choruses, and would be
    turned to three times; in 93 % of it, with the tag, once."""
    pages = backup_pages(ordinary(), a4)
    assert [e.words for e in pages[2].entries] == ["tag"]
    assert min(m.size for m in kinds(pages, "fret")) == pytest.approx(9.3)
    monkeypatch.setitem(SIZES, SMALLER, float("inf"))
    monkeypatch.setitem(SIZES, SMALLEST, float("inf"))
    assert [e.words for e in backup_pages(ordinary(), a4)[2].entries] == ["break as verse", "tag"]


@pytest.mark.parametrize("name", FIXTURES)
def test_every_note_and_chord_is_printed(name: str) -> None:
    """Protects the content: all fret numbers, pick fingers and chord names of the part, in order, and no others."""
    made: Part = FIXTURES[name]()
    pages = backup_pages(made, a4)
    notes = []
    chords = []
    for measures in made.slots:
        for slots in measures:
            inside = sorted((n for s in slots for n in s.notes), key=lambda n: (n.at, n.string))
            notes += inside
    for sec in made.song.sections:
        for m in sec.measures:
            chords += [s.chord.label if s.chord else "N.C." for s in m.stretches if s.chord is not None or not m.pickup]
    assert [m.text for m in kinds(pages, "fret")] == [str(n.fret) for n in notes]
    assert [m.text for m in kinds(pages, "pick")] == [n.pick for n in notes if n.pick]
    assert [m.text for m in kinds(pages, "chord")] == chords


def staves(page: Page) -> list[float]:
    """The y of each staff's first line."""
    ys = sorted({m.y1 for m in page.marks if m.kind == "staff" and isinstance(m, Line)})
    return ys[::5]


def test_numbers_stand_on_their_strings() -> None:
    """Protects the strings: string 1 is the top line, string 5 the lowest (common practice of tablature, no source)."""
    made = part(song("Strings", [section("verse", ["G"])]))
    page = backup_pages(made, a4)[0]
    (top,) = staves(page)
    strings = [n.string for n in sorted(made.slots[0][0][0].notes, key=lambda n: n.at)]
    for mark, string in zip(kinds((page,), "fret"), strings, strict=True):
        middle = mark.y - style.FRET_HALF_HEIGHT
        assert middle == pytest.approx(top + (string - 1) * style.LINE_GAP)


def test_chords_stand_where_they_begin() -> None:
    """Protects the change of chord: its name's left edge is that of the number that sounds with it."""
    made = part(song("Changes", [section("verse", ["G C", "D7 G"])]))
    pages = backup_pages(made, a4)
    frets = kinds(pages, "fret")
    chords = kinds(pages, "chord")
    for n, chord in enumerate(chords):
        first = frets[n * 4]
        assert abs(first.x - chord.x) < 4


def test_equal_notes_stand_evenly() -> None:
    """Protects the eye: eighths of one row are equally far apart within a measure."""
    made = part(song("Even", [section("verse", ["G", "D", "G", "C"])]))
    frets = kinds(backup_pages(made, a4), "fret")
    middles = [m.x + m.width / 2 for m in frets]
    steps = [b - a for n, (a, b) in enumerate(pairwise(middles)) if n % 8 != 7]
    assert max(steps) - min(steps) < 0.01


def test_level_fills_the_room() -> None:
    """Protects the sharing out: gaps of at least their least width fill the room exactly, the narrow ones first."""
    gaps, weights = [10.0, 30.0, 10.0], [1.0, 1.0, 1.0]
    step = level(gaps, weights, 60.0)
    assert step == pytest.approx(15.0)
    assert sum(max(g, step * w) for g, w in zip(gaps, weights, strict=True)) == pytest.approx(60.0)
    assert level(gaps, weights, 120.0) == pytest.approx(40.0)
    assert level(gaps, weights, 40.0) == 0.0


def test_repeats_endings_and_times_are_printed() -> None:
    """Protects the road through a section: bracket numbers, times played, dots at both ends of each repeat."""
    pages = backup_pages(endings(), a4)
    assert [m.text for m in kinds(pages, "ending-word")] == ["1, 2.", "3."]
    assert [m.text for m in kinds(pages, "times")] == ["3 times"]
    dots = [m for p in pages for m in p.marks if m.kind == "repeat"]
    assert len(dots) == 8  # two repeats, a start and an end each, two dots a sign


def test_a_crooked_measure_shows_its_meter_and_the_way_back() -> None:
    """Protects the count: the meter stands at the start, at the odd measure, and again after it."""
    pages = backup_pages(endings(), a4)
    texts = [m.text for m in kinds(pages, "meter")]
    assert list(zip(texts[::2], texts[1::2], strict=True)) == [("4", "4"), ("2", "4"), ("4", "4"), ("5", "4")]


def test_techniques_have_their_letters() -> None:
    """Protects the fretting hand: h, p, s and the choke's rise, a semitone as a half step."""
    texts = {m.text for m in kinds(backup_pages(techniques(), a4), "technique")}
    assert texts == {"h", "p", "s", "½", "1"}


def test_damped_notes_are_crossed() -> None:
    """Protects the chop: one cross of two strokes for each damped pinch."""
    made = techniques()
    pinches = {
        (s, m, n.at)
        for s, rows in enumerate(made.slots)
        for m, slots in enumerate(rows)
        for slot in slots
        for n in slot.notes
        if n.how == "damped"
    }
    strokes = [m for p in backup_pages(made, a4) for m in p.marks if m.kind == "damp"]
    assert pinches
    assert len(strokes) == 2 * len(pinches)


def test_fingers_are_said_once_while_the_hand_stays() -> None:
    """Protects against a thicket of letters: the same lick again says no finger again, a move says the position."""
    made = techniques()
    words = said(made)
    first, again = words[0][0], words[0][4]
    assert first.fingers
    assert [text for _, text in words[0][1].moves] == ["at 8"]
    assert again.moves == () or again.fingers
    rolls = said(part(song("Stay", [section("verse", ["C", "C", "C"])])))
    assert rolls[0][0].fingers
    assert not rolls[0][1].fingers or set(rolls[0][1].fingers.values()) <= {"i", "m"}
    assert not rolls[0][2].fingers


def joined_rows() -> Part:
    """Six measures in rows of three; the second row begins with a hammer-on, and a slide, from the first one's last notes."""
    made = part(song("Across", [section("verse", ["G"] * 6, per_line=3)]))
    slots = list(made.slots[0])
    last, first = slots[2][0], slots[3][0]
    slots[2] = (replace(last, notes=(note(0, 1440, 4, 2, "T"), note(1440, 480, 3, 2, "T"))),)
    slots[3] = (replace(first, notes=(note(0, 960, 3, 4, None, "hammer-on"), note(960, 960, 4, 5, None, "slide"))),)
    return replace(made, slots=(tuple(slots),))


def test_a_slur_crosses_the_end_of_a_row() -> None:
    """Protects a hammer-on and a slide whose first note ends a row: half the sign stands at the row's end, half on the next."""
    (page,) = backup_pages(joined_rows(), a4)
    upper, lower = staves(page)
    slurs = [m for m in page.marks if m.kind == "slur"]
    slides = [m for m in page.marks if m.kind == "slide"]
    assert len(slurs) == 2
    assert [upper < m.box[1] < lower for m in slurs] == [True, False]
    assert slurs[0].box[2] > a4.edge - 6
    assert slurs[1].box[0] < a4.left + 12
    assert [upper < m.box[1] < lower for m in slides] == [True, False]
    assert overlaps(page.marks) == []


def test_a_move_stands_beside_its_chord_where_there_is_room() -> None:
    """Protects short rows: where the hand goes and what the lick is called stand on the chord's own line; where chords are too
    close they get a line of their own, and none is lost."""
    roomy = part(song("Roomy", [section("verse", ["G", "C", "D", "G"])]), vamp)
    (page,) = backup_pages(roomy, a4)
    assert kinds((page,), "move")
    assert {m.y for m in kinds((page,), "move")} == {m.y for m in kinds((page,), "chord")}
    close = part(song("Close", [section("verse", ["Gmaj13 Em7b5/D Am7b5/D D13sus4/C"] * 4)]), vamp)
    (page,) = backup_pages(close, a4)
    lines = {m.y for m in kinds((page,), "chord")}
    assert kinds((page,), "move")
    assert not {m.y for m in kinds((page,), "move")} & lines


def test_remarks_and_the_way_are_said() -> None:
    """Protects what is to be known of a part: its way, and each remark, at the head of the first page."""
    made = replace(ordinary(), way=3, remarks=("verse is printed twice, once before each neighbour",))
    pages = backup_pages(made, a4)
    assert "way 3" in kinds(pages, "facts")[0].text
    assert [m.text for m in kinds(pages, "remark")] == ["verse is printed twice, once before each neighbour"]
    assert "way" not in kinds(backup_pages(ordinary(), a4), "facts")[0].text


def test_a_usual_song_lies_on_two_pages() -> None:
    """Protects the music stand: kickoff, verse of sixteen, chorus of sixteen and tag, with voice, words and fills, need no turn;
    on the shorter Letter page that holds for a chorus of eight."""
    voice = ["sung", "sung", "sung held", "held silent"]
    bars = ["G", "G", "C", "G", "G", "G", "D", "D7", "G", "G", "C", "G", "G", "D", "G", "G"]
    cues = ["Down where the ferry waits", "", "I laid my ladder", ""] * 4
    sections = [
        section("kickoff", ["G", "C", "D", "G"], lead="banjo"),
        section("verse", bars, voice=voice, cues=cues, lead="voice", fills="banjo"),
        section("chorus", bars, voice=voice, lead="voice", fills="banjo"),
        section("tag", ["G", "C", "D", "G"], lead="voice"),
    ]

    def fill(m: Measure, s: Stretch, n: int) -> FilledSlot:
        return replace(fancy(m, s, n), lick="tin-cup")

    short = [*sections[:2], section("chorus", bars[:8], voice=voice, lead="voice"), sections[3]]
    for paper, its in ((a4, sections), (letter, short)):
        pages = backup_pages(part(song("Two Pages", its), roll, roll, roll, fill), paper)
        assert len(pages) == 2
        assert min(m.size for m in kinds(pages, "fret")) >= 9.3


def test_a_long_section_leaves_no_page_empty() -> None:
    """Protects the first page: a verse of forty measures after a kickoff begins on it."""
    sections = [section("kickoff", ["G", "C", "D", "G"]), section("verse", ["G", "C", "D", "G"] * 10)]
    first = backup_pages(part(song("Long", sections)), a4)[0]
    assert max(m.box[3] for m in first.marks if m.kind == "staff") > a4.height * 2 / 3


def test_pages_say_where_they_are() -> None:
    """Protects a dropped stack of paper: each page has its number, later ones the title and key."""
    pages = backup_pages(long_section(), a4)
    assert [m.text for m in kinds(pages, "page")] == ["page 1 of 2", "page 2 of 2"]
    assert len(kinds(pages[1:], "running")) == 2
    assert [p.label for p in pages] == ["1", "2"]


def test_no_heading_stands_alone() -> None:
    """Protects the page's foot: beneath every section's name there is a staff on the same page."""
    for make in FIXTURES.values():
        for page in backup_pages(make(), letter):
            tops = staves(page)
            for mark in kinds((page,), "section"):
                assert any(top > mark.y for top in tops)


def ink(page: Page) -> list[Mark]:
    """Marks of the music, without head and foot."""
    return [m for m in page.marks if m.kind in ("staff", "fret", "stem", "pick", "words")]


def test_music_stays_above_the_foot() -> None:
    """Protects the legend and the page number from music."""
    for make in FIXTURES.values():
        for page in backup_pages(make(), a4):
            assert all(m.box[3] <= a4.floor + 0.5 for m in ink(page))


def test_room_for_the_pencil() -> None:
    """Protects notes by hand: once rows stand at their usual distance, what a page has left stays at its foot, two lines high, before
    rows move farther apart; less than that is shared out between them."""
    made = part(song("Left", [section("verse", ["G"] * 20)]))
    feet, gaps = [], []
    for bottom in range(100, 400, 3):
        pages = backup_pages(made, replace(a4, bottom=float(bottom)))
        if len(pages) == 1 and kinds(pages, "fret")[0].size == style.FRET:
            feet.append(pages[0].paper.floor - max(m.box[3] for m in ink(pages[0])))
            gaps.append(round(staves(pages[0])[1] - staves(pages[0])[0], 3))
    usual = max(gaps) - MAX_SPREAD
    for foot, gap in zip(feet, gaps, strict=True):
        assert foot >= PENCIL or gap - usual < PENCIL / 4
    assert [gap for foot, gap in zip(feet, gaps, strict=True) if foot >= PENCIL and usual < gap < max(gaps)]
    assert ROW_GAP - LEAST_ROW_GAP >= usual - min(gaps) > 0
    assert min(feet) < 6


def test_a_title_without_end_leaves_room_for_music() -> None:
    """Protects the sheet from a title of thousands of letters: it is cut, visibly, and the music still stands."""
    made = ordinary()
    made = replace(made, song=replace(made.song, title="on and on " * 800))
    pages = backup_pages(made, a4)
    assert kinds(pages, "title")[-1].text == "..."
    assert all(not outside(p.marks, a4.width, a4.height, 14) for p in pages)
    assert kinds(pages[:1], "fret")


def test_the_same_part_gives_the_same_pages() -> None:
    """Protects reproducible builds."""
    assert backup_pages(ordinary(), a4) == backup_pages(ordinary(), a4)
