"""The printed book of licks: nothing meets, every lick is there, and contents, index and links lead to the right page."""

from __future__ import annotations

import re
from functools import cache

import pypdfium2
import pytest

from chartc.book.lickbook import LickBook, write_out
from chartc.book.lickpages import lick_document, lick_pages
from chartc.player import load_player
from chartc.press import Link
from chartc.sheet import PAPERS, Page
from chartc.sheet.marks import Mark, Text
from chartc.theory.key import parse_key
from tests.sheet.overlaps import outside, overlaps

PLAYER, _ = load_player(None, (), ())
assert PLAYER is not None
MEANS = PLAYER.means


@cache
def book(key: str) -> LickBook:
    """The book of a key."""
    parsed = parse_key(key)
    assert parsed is not None
    return write_out(MEANS, parsed)


@cache
def pages(key: str, paper: str) -> tuple[tuple[Page, ...], tuple[tuple[Link, ...], ...]]:
    """Its pages and their links."""
    return lick_pages(book(key), PAPERS[paper])


def texts(page: Page, kind: str) -> list[str]:
    """The texts of a kind on a page."""
    return [m.text for m in page.marks if isinstance(m, Text) and m.kind == kind]


@pytest.mark.parametrize(("key", "paper"), [("G", "a4"), ("G", "letter"), ("Bb minor", "a4"), ("F#", "letter")])
def test_nothing_meets(key: str, paper: str) -> None:
    """No mark on another, none in the page's edge that a printer may not reach. (A chord's name and the letter right beneath it are
    the tablature row's own: the sheet's tests watch them.)"""
    sheet = PAPERS[paper]
    for page in pages(key, paper)[0]:
        assert [(a, b) for a, b in overlaps(page.marks) if not _own_row(a, b)] == []
        assert outside(page.marks, sheet.width, sheet.height, 12.0) == []
        assert (page.paper.width, page.paper.height) == (sheet.width, sheet.height)


def _own_row(a: Mark, b: Mark) -> bool:
    """Whether two marks are a chord's name and a letter that is at most a point too near beneath it."""
    return {a.kind, b.kind} == {"chord", "finger"} and min(a.box[3], b.box[3]) - max(a.box[1], b.box[1]) < 1.0


@pytest.mark.parametrize("key", ["G", "Bb minor"])
def test_every_lick_is_printed_once(key: str) -> None:
    """Each with its name, its difficulty and all its fret numbers; a lick lost between two pages would not be missed by anyone."""
    b = book(key)
    names = [name for page in pages(key, "a4")[0] for name in texts(page, "lick")]
    assert sorted(names) == sorted(s.lick.name for s in b.shown)
    frets = [f for page in pages(key, "a4")[0] for f in texts(page, "fret")]
    notes = [n for measures in b.part.slots for slots in measures for slot in slots for n in slot.notes]
    assert len(frets) == len(notes)
    assert sorted(frets) == sorted(str(n.fret) for n in notes)


def test_each_lick_says_what_it_serves_and_where() -> None:
    """Chords, place on the neck and what it is for stand with the lick."""
    words = " ".join(
        t for page in pages("G", "a4")[0] for kind in ("lick-facts", "lick-about") for t in texts(page, kind)
    )
    assert words.count("difficulty ") == len(book("G").shown)
    for part in (
        "any major or seventh chord", "over G, G7", "any chord \N{MIDDLE DOT} open strings", "at fret 8", "from any chord to any",
        "from G to C", "up from the low fifth",
    ):  # fmt: skip
        assert part in words, part


@pytest.mark.parametrize("key", ["G", "Bb minor"])
def test_contents_and_index_name_the_right_pages(key: str) -> None:
    """The number that is printed is the number of the page where the thing stands, and the link leads there too."""
    made, links = pages(key, "a4")
    where = {name: n for n, page in enumerate(made) for name in texts(page, "lick")}
    seen = set()
    for page_links in links:
        for link in page_links:
            number, _, words = link.words.partition(": ")
            assert number == f"page {link.to + 1}"
            if words in where:
                assert link.to == where[words]
                seen.add(words)
            else:
                word = re.split(r":| \.\.\.", words)[0]
                assert any(t.startswith(word) for t in texts(made[link.to], "section")), words
    assert seen == set(where)
    assert [page.label for page in made] == [str(n + 1) for n in range(len(made))]


def test_links_lie_on_their_words() -> None:
    """A link beside its words would be found by nobody: each box has an index word or a contents line inside."""
    made, links = pages("G", "a4")
    for page, page_links in zip(made, links, strict=True):
        words = [m for m in page.marks if isinstance(m, Text) and m.kind in ("contents", "index")]
        for link in page_links:
            left, top, right, bottom = link.box
            inside = [m for m in words if left - 1 <= m.x and m.x + m.width <= right + 1 and top <= m.y <= bottom]
            assert len(inside) == 2, link


def test_a_heading_is_never_alone() -> None:
    """A group's heading has a lick beneath it on its page, and every page of licks begins with one."""
    for page in pages("G", "letter")[0]:
        names = [m for m in page.marks if isinstance(m, Text) and m.kind == "lick"]
        if names:
            heads = [m for m in page.marks if isinstance(m, Text) and m.kind == "section"]
            assert min(m.y for m in heads) < min(m.y for m in names)
            assert max(m.y for m in heads) < max(m.y for m in names)


def test_the_document() -> None:
    """Read back as a PDF: outline by role, page labels, links, flats as text, and the same bytes again."""
    data = lick_document(book("Bb minor"), PAPERS["a4"], "Odile Marsh")
    assert data == lick_document(book("Bb minor"), PAPERS["a4"], "Odile Marsh")
    document = pypdfium2.PdfDocument(data)
    top = [b.get_title() for b in document.get_toc() if b.level == 0]
    assert top == [
        "Contents", "Rolls", "Vamps", "Licks", "Fills", "Lead-ins", "Kickoffs", "Turnarounds", "Endings", "Positions",
        "Index of names",
    ]  # fmt: skip
    first = document[0].get_textpage().get_text_range()
    assert "B♭ minor" in first
    assert "Odile Marsh" in first
    assert "5th string:" in first
    assert document.get_page_label(2) == "3"


def test_no_pages_without_licks() -> None:
    """Nothing to print is no page, for the command to say so."""
    key = parse_key("G")
    assert key is not None
    assert lick_pages(write_out(MEANS, key, ("no-such-role",)), PAPERS["a4"]) == ((), ())
