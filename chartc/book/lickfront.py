"""What stands before and after the licks of a printed book: contents and the index of names. Lengths in points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from chartc.book.lickbook import LickBook
from chartc.press import Link
from chartc.sheet import head, necks, style
from chartc.sheet.marks import Entry, Line, Mark, Page, Text, ending_at
from chartc.sheet.paper import Paper
from chartc.sheet.stamp import Marks
from chartc.type.faces import Face, width, wrap

LINE = 15.0
"""From one line of the contents to the next."""
INDEX = 9.0
INDEX_LINE = 11.5
INDEX_COLUMNS = 5
INDEX_ROOM = 42.0
"""Height of the index's name."""


@dataclass(frozen=True, slots=True)
class Place:
    """A line of the contents: its words, its depth, and the page (counted from the first page of licks)."""

    words: str
    depth: int
    page: int


def _title(book: LickBook, paper: Paper, player: str) -> tuple[list[Mark], float]:
    instrument = book.part.instrument
    facts = [
        f"{instrument.name}, {instrument.tuning}",
        f"5th string: {book.part.fifth.words}" if instrument.drone else "",
        f"{len(book.shown)} licks",
        player,
    ]
    return head.title(replace(book.part.song, order=()), paper, facts)


def contents_room(book: LickBook, paper: Paper, player: str, lines: int) -> list[int]:
    """How many lines of the contents each of its pages has; `lines` does not count the index's own line."""
    _, start = _title(book, paper, player)
    _, later = head.running(book.part.song, paper, 2, 2)
    room = [max(1, int((paper.floor - start - 6) / LINE))]
    rest = lines + 1 - room[0]
    while rest > 0:
        room.append(int((paper.floor - later - 6) / LINE))
        rest -= room[-1]
    return room


def contents(
    book: LickBook, paper: Paper, player: str, places: Sequence[Place], room: Sequence[int], count: int
) -> Iterator[tuple[Page, tuple[Link, ...]]]:
    at = 0
    for n, lines in enumerate(room):
        if n == 0:
            marks, y = _title(book, paper, player)
        else:
            marks, y = head.running(replace(book.part.song, title="Licks: contents"), paper, n + 1, count)
        links = []
        for place in places[at : at + lines]:
            y += LINE
            to = len(room) + place.page
            left = paper.left + 16 * place.depth
            number = str(to + 1)
            face: Face = "regular" if place.depth else "bold"
            size = 10.0 if place.depth else 11.0
            lines_of = wrap(place.words, face, size, paper.edge - left - 40)
            words = lines_of[0] + (" ..." if len(lines_of) > 1 else "")
            marks.append(Text(left, y, words, face, size, "contents"))
            end = left + width(words, face, size) + 5
            start = paper.edge - width(number, "regular", 10.0) - 5
            if start > end:
                marks.append(Line(end, y - 0.5, start, y - 0.5, 0.7, "leader", style.HELPER, (0.7, 3.0)))
            marks.append(ending_at(paper.edge, y, number, "regular", 10.0, "contents"))
            links.append(Link((left, y - 10, paper.edge, y + 3), to, f"page {number}: {words}"))
        at += lines
        marks += head.foot(paper, n + 1, count)
        entries = (Entry("Contents", 0, 0.0),) if n == 0 else ()
        yield Page(paper, tuple(marks), str(n + 1), entries), tuple(links)


def positions(book: LickBook, paper: Paper, number: int, count: int) -> Page | None:
    """A page with pictures of the positions that the licks use, as many as it holds, those used most; None where there are none."""
    running, y = head.running(replace(book.part.song, title="Licks: positions"), paper, number, count)
    grips = necks.grips(book.part)
    strip = necks.most_used(grips, necks.Place(paper.room, paper.floor - y - INDEX_ROOM))
    if strip is None:
        return None
    marks: list[Mark] = [*running, Text(paper.left, y + 20, "Positions", "bold", 18.0, "section")]
    placed, loose = necks.draw(strip, paper.left, y + INDEX_ROOM - 8)
    marks += [*loose, *head.foot(paper, number, count)]
    return Page(paper, Marks(placed, marks), str(number), (Entry("Positions", 0, y),))


def index_cuts(names: int, paper: Paper, book: LickBook) -> list[tuple[int, int]]:
    """Which names stand on which page of the index."""
    _, start = head.running(book.part.song, paper, 2, 2)
    each = int((paper.floor - start - INDEX_ROOM) / INDEX_LINE) * INDEX_COLUMNS
    return [(a, min(names, a + each)) for a in range(0, names, each)]


def index(
    book: LickBook,
    paper: Paper,
    names: Sequence[str],
    page_of: dict[str, int],
    first: int,
    number: int,
    count: int,
    opens: bool,
) -> tuple[Page, tuple[Link, ...]]:
    running, y = head.running(replace(book.part.song, title="Licks: index of names"), paper, number, count)
    marks: list[Mark] = [*running, Text(paper.left, y + 20, "Index of names", "bold", 18.0, "section")]
    links = []
    deep = -(-len(names) // INDEX_COLUMNS)
    column = (paper.room - (INDEX_COLUMNS - 1) * 14) / INDEX_COLUMNS
    for n, name in enumerate(names):
        x = paper.left + (n // deep) * (column + 14)
        base = y + INDEX_ROOM + (n % deep + 0.5) * INDEX_LINE
        to = first + page_of[name]
        shown = wrap(name, "regular", INDEX, column - 24)[0]
        marks.append(Text(x, base, shown, "regular", INDEX, "index"))
        marks.append(ending_at(x + column, base, str(to + 1), "regular", INDEX, "index"))
        links.append(Link((x, base - 8, x + column, base + 2), to, f"page {to + 1}: {name}"))
    marks += head.foot(paper, number, count)
    entries = (Entry("Index of names", 0, y),) if opens else ()
    return Page(paper, tuple(marks), str(number), entries), tuple(links)
