"""The pages of a book that are no songs: set page, contents, index. Lengths in points."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from chartc.sheet.marks import Box, Entry, Line, Mark, Page, Text, ending_at
from chartc.sheet.paper import Paper
from chartc.type.faces import width, wrap

TOP, FOOT = 48.0, 40.0
"""Above and beneath what is printed, between header and page number."""
GUTTER = 22.0


@dataclass(frozen=True, slots=True)
class Row:
    """A song in a list: `number` and `right` stand at the sides, `details` small beneath; `to` is the song's number, counted from 0."""

    title: str
    right: str = ""
    number: str = ""
    details: str = ""
    to: int | None = None
    heading: bool = False


@dataclass(frozen=True, slots=True)
class Front:
    """A page with what on it leads to which song, and its own outline entry."""

    page: Page
    links: tuple[tuple[Box, int, str], ...]


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes of type of a list."""

    title: float
    details: float
    heading: float


LARGE = Sizes(13.5, 10.0, 16.0)
"""To be read on a stage."""
SMALL = Sizes(10.0, 8.5, 12.0)

PageOf = Callable[[int], str]
"""The printed page of a song."""


def figures_for(pages: int) -> int:
    """How many figures a page number of a book with at most so many pages may have; room is left for four in any case."""
    return max(4, len(str(pages)))


@dataclass(frozen=True, slots=True)
class Laid:
    """A page of a list as it is laid out before page numbers are known: what stands above, and the rows with their places."""

    paper: Paper
    above: tuple[Mark, ...]
    rows: tuple[tuple[_Measured, float, float], ...]
    entries: tuple[Entry, ...]

    def numbered(self, page_of: PageOf) -> Front:
        """The page with its numbers."""
        marks = list(self.above)
        links: list[tuple[Box, int, str]] = []
        for m, x, y in self.rows:
            more, box = m.draw(x, y, page_of)
            marks += more
            if m.row.to is not None:
                links.append((box, m.row.to, m.row.title))
        return Front(Page(self.paper, tuple(marks), "", self.entries), tuple(links))


def front(
    paper: Paper, title: str, under: Sequence[str], rows: Sequence[Row], sizes: Sizes, columns: int, figures: int
) -> tuple[Laid, ...]:
    """A list under a title, on as many pages as it needs, with room for page numbers of so many figures. A heading never stands last
    in its column."""
    above: list[Mark] = []
    y = TOP + 20
    for line in wrap(title, "bold", 22.0, paper.room) or ("untitled",):
        above.append(Text(paper.left, y, line, "bold", 22.0, "title"))
        y += 25
    for words in under:
        for line in wrap(words, "regular", 11.0, paper.room):
            above.append(Text(paper.left, y - 6, line, "regular", 11.0, "facts"))
            y += 14
    y += 4
    room = (paper.room - GUTTER * (columns - 1)) / columns
    measured = [_Measured(r, room, sizes, figures) for r in rows]
    floor = paper.height - FOOT
    pages: list[Laid] = []
    placed: list[tuple[_Measured, float, float]] = []
    column, start = 0, y

    def end() -> None:
        entries = (Entry(title, 0, 0.0),) if not pages else ()
        pages.append(Laid(paper, () if pages else tuple(above), tuple(placed), entries))
        placed.clear()

    for n, m in enumerate(measured):
        after = measured[n + 1].height if m.row.heading and n + 1 < len(measured) else 0.0
        if y + m.height + after > floor and y > start:
            column += 1
            if column == columns:
                end()
                column, start = 0, TOP
            y = start
        placed.append((m, paper.left + column * (room + GUTTER), y))
        y += m.height
    end()
    return tuple(pages)


class _Measured:
    """A row broken into lines: the same ones whatever its page number is."""

    def __init__(self, row: Row, room: float, sizes: Sizes, figures: int) -> None:
        self.row = row
        self.room = room
        self.sizes = sizes
        self.size = sizes.heading if row.heading else sizes.title
        self.indent = 0.0 if row.heading or not row.number else sizes.title * 1.9
        aside = self.aside("0" * figures)
        beside = width(aside, "bold", self.size) + 10 if aside else 0.0
        self.titles = wrap(row.title, "bold", self.size, room - self.indent - beside) or ("untitled",)
        self.details = wrap(row.details, "regular", sizes.details, room - self.indent) if row.details else ()
        above = self.size * 0.7 if row.heading else 0.0
        below = self.size * (0.35 if self.details or row.heading else 0.12)
        self.height = above + self.size * 1.2 * len(self.titles) + sizes.details * 1.3 * len(self.details) + below
        """With the room beneath."""

    def aside(self, page: str) -> str:
        """What stands at the right."""
        right = self.row.right
        if self.row.to is None:
            return right
        return f"{right}   {page}" if right else page

    def draw(self, x: float, y: float, page_of: PageOf) -> tuple[list[Mark], Box]:
        """The marks, and the box that they fill."""
        right = self.row.right if self.row.to is None else self.aside(page_of(self.row.to))
        kind = "set" if self.row.heading else "song"
        top = y
        y += self.size * (1.7 if self.row.heading else 1.0)
        out: list[Mark] = []
        if self.row.number:
            out.append(Text(x, y, self.row.number, "regular", self.size, "number"))
        if right:
            out.append(ending_at(x + self.room, y, right, "bold", self.size, "page"))
        for line in self.titles:
            out.append(Text(x + self.indent, y, line, "bold", self.size, kind))
            y += self.size * 1.2
        if self.row.heading:
            out.append(Line(x, y - self.size * 0.8, x + self.room, y - self.size * 0.8, 0.6, "rule"))
        y -= self.size * 1.2
        for line in self.details:
            y += self.sizes.details * 1.3
            out.append(Text(x + self.indent, y, line, "regular", self.sizes.details, "details"))
        return out, (x, top, x + self.room, y + 3)


def minutes(seconds: float) -> str:
    """A length of time as players say it: `3:05`, with hours where there are any."""
    whole = round(seconds)
    hours, rest = divmod(whole, 3600)
    if hours:
        return f"{hours}:{rest // 60:02}:{rest % 60:02}"
    return f"{rest // 60}:{rest % 60:02}"
