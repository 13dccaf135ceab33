"""Lists of songs in a book: set page, contents, index."""

from __future__ import annotations

import pytest

from chartc.book.front import LARGE, SMALL, Row, Sizes, figures_for, front
from chartc.sheet import a4
from chartc.sheet.marks import Text
from chartc.type.faces import width


@pytest.mark.parametrize(("sizes", "columns"), [(SMALL, 2), (LARGE, 1)])
@pytest.mark.parametrize("right", ["", "G, A, B♭"])
def test_page_numbers_never_touch_titles(sizes: Sizes, columns: int, right: str) -> None:
    """Protects books of any length: whatever the numbers are, no title runs into what stands at its right, and no row moves."""
    rows = [Row("m" * n + " mill" * (n % 5), right, "12", to=n) for n in range(1, 90)]
    for figures in (4, 5):
        laid = front(a4, "Contents", (), rows, sizes, columns, figures)
        places = []
        for number in ("7", "9" * figures):
            pages = [page.numbered(lambda n, number=number: number).page for page in laid]  # type: ignore[misc]
            texts = [[m for m in page.marks if isinstance(m, Text)] for page in pages]
            places.append([(m.x, m.y, m.text) for page in texts for m in page if m.kind == "song"])
            for page in texts:
                asides = {(m.y, m.x): m for m in page if m.kind == "page"}
                for m in page:
                    if m.kind != "song":
                        continue
                    beside = [x for (y, x) in asides if y == m.y and x > m.x]
                    assert all(m.x + width(m.text, "bold", m.size) < x - 5 for x in beside), m.text
        assert places[0] == places[1]


def test_there_is_room_for_the_last_page_number() -> None:
    """Protects songbooks of more than 9,999 pages: the room that is left is that of their longest number."""
    assert [figures_for(n) for n in (1, 9_999, 10_000, 123_456)] == [4, 4, 5, 6]


def test_each_row_leads_to_its_song_once() -> None:
    """Protects links: every song of a list has one box, in order, which lies on the page and covers its title; headings have none."""
    rows = [Row(f"song {n}", to=n) if n % 7 else Row(f"set {n}", heading=True) for n in range(300)]
    found = []
    for laid in front(a4, "Set", ("a date",), rows, SMALL, 2, 4):
        page = laid.numbered(str)
        texts = {m.text: m for m in page.page.marks if isinstance(m, Text)}
        for (left, top, right, bottom), to, words in page.links:
            found.append(to)
            m = texts[words]
            assert left <= m.x < right <= a4.width
            assert 0 < top < m.y < bottom < a4.height
    assert found == [n for n in range(300) if n % 7]
