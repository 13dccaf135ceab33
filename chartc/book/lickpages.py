"""The printed book of licks: a contents page, the licks by role in columns, and an index of names. Lengths in points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from chartc.book.lickbook import LickBook, Shown
from chartc.book.lickfront import Place, contents, contents_room, index, index_cuts, positions
from chartc.book.licklist import ABOUT_ROLES, plural
from chartc.press import Leaf, Link, bind, draw
from chartc.sheet import head, inked, style, system
from chartc.sheet.hand import Said, said
from chartc.sheet.marks import Entry, Line, Mark, Page, Text, ending_at
from chartc.sheet.measure import measured
from chartc.sheet.paper import Paper
from chartc.sheet.row import Row
from chartc.sheet.scale import magnified, paper_for
from chartc.sheet.stamp import Marks, Standing
from chartc.type.faces import width, wrap

SCALE = 0.88
"""A book to look things up in may be a little smaller than a sheet on a music stand."""
COLUMNS = 6
GUTTER = 16.0
"""Between two columns."""
SPANS = (2, 3, 4, COLUMNS)
"""How many columns a lick may take."""
NAME, ABOUT, FACTS = 11.5, 9.5, 8.5
ROW_GAP = 9.0
GROUP = 12.0
GROUP_ROOM = 21.0
"""Height of a group's heading with the room around it."""

LEGEND = (
    "T I M: picking hand   \N{MIDDLE DOT}   i m r p t: fretting hand   \N{MIDDLE DOT}   "
    "at 8: the index finger's fret   \N{MIDDLE DOT}   \N{MULTIPLICATION SIGN} damped"
)


@dataclass(frozen=True, slots=True)
class _Cell:
    """One lick as it stands in a column, or across `span` of them; `width` is theirs."""

    shown: Shown
    row: Row
    about: tuple[str, ...]
    facts: tuple[str, ...]
    span: int
    width: float

    @property
    def words(self) -> float:
        """Height of the lines above the tablature."""
        return NAME + 1 + len(self.about) * (ABOUT + 1.5) + len(self.facts) * (FACTS + 1.5) + 2

    def height(self, words: float, top: float) -> float:
        """Height where the words take `words` and the staff begins `top` beneath them."""
        return words + top - self.row.bands.top + self.row.bands.height


@dataclass(frozen=True, slots=True)
class _Strip:
    """Cells side by side, with the headings of a role and of a group above them where one begins (`first`, `opens`)."""

    role: str
    first: bool
    group: str
    opens: bool
    cells: tuple[_Cell, ...]

    @property
    def words(self) -> float:
        """Height of the words, equal in all cells, so that the staves stand level."""
        return max(c.words for c in self.cells)

    @property
    def top(self) -> float:
        """From the words to the staff, the same in all cells."""
        return max(c.row.bands.top for c in self.cells)

    @property
    def height(self) -> float:
        """Height without the heading."""
        return max(c.height(self.words, self.top) for c in self.cells)


def lick_document(book: LickBook, paper: Paper, player: str = "") -> bytes:
    """The book as one PDF with outline, page labels and links. Raises ValueError where there is no lick."""
    pages, links = lick_pages(book, paper, player)
    leaves = [Leaf(draw(page), links=link) for page, link in zip(pages, links, strict=True)]
    return bind(leaves, f"Licks ({book.key.label})", player)


def lick_pages(book: LickBook, paper: Paper, player: str = "") -> tuple[tuple[Page, ...], tuple[tuple[Link, ...], ...]]:
    """The pages of the book, and the links of each page: contents first, then the licks by role, then the index of names. No pages
    where there is no lick."""
    pages, links = _laid_out(book, paper_for(paper, SCALE), player)
    small = [tuple(_smaller(link) for link in one) for one in links]
    return magnified(pages, paper, SCALE), tuple(small)


def _smaller(link: Link) -> Link:
    left, top, right, bottom = (side * SCALE for side in link.box)
    return replace(link, box=(left, top, right, bottom))


def _laid_out(book: LickBook, paper: Paper, player: str) -> tuple[tuple[Page, ...], tuple[tuple[Link, ...], ...]]:
    if not book.shown:
        return (), ()
    body = list(_cut(_strips(book, paper), paper, book))
    places: list[Place] = []
    names: dict[str, int] = {}
    for n, page in enumerate(body):
        for strip in page:
            if strip.first:
                places.append(Place(f"{plural(strip.role)}: {ABOUT_ROLES[strip.role]}", 0, n))
            if strip.opens:
                there = [s for s in book.shown if (s.lick.role, s.group) == (strip.role, strip.group)]
                places.append(Place(f"{strip.group}: {', '.join(dict.fromkeys(s.over for s in there))}", 1, n))
            names.update((c.shown.lick.name, n) for c in strip.cells)
    front = contents_room(book, paper, player, len(places) + 1)
    first = len(front)
    lines = sorted(names)
    sheets = index_cuts(len(lines), paper, book)
    # once to see whether there is one, and once more when the pages are counted
    pictures = int(positions(book, paper, 1, 1) is not None)
    count = first + len(body) + pictures + len(sheets)
    if pictures:
        places.append(Place("Positions", 0, len(body)))
    places.append(Place("Index of names", 0, len(body) + pictures))
    pages: list[Page] = []
    links: list[tuple[Link, ...]] = []
    for page_made, page_links in contents(book, paper, player, places, front, count):
        pages.append(page_made)
        links.append(page_links)
    for n, page in enumerate(body):
        pages.append(_page(book, paper, page, first + n + 1, count))
        links.append(())
    pictured = positions(book, paper, first + len(body) + 1, count)
    if pictured is not None:
        pages.append(pictured)
        links.append(())
    before = first + len(body) + pictures
    for n, (a, z) in enumerate(sheets):
        page_made, page_links = index(book, paper, lines[a:z], names, first, before + n + 1, count, n == 0)
        pages.append(page_made)
        links.append(page_links)
    return tuple(pages), tuple(links)


# --- licks -----------------------------------------------------------------------------------------------------------------


def _strips(book: LickBook, paper: Paper) -> list[_Strip]:
    """All licks side by side in strips, role by role, group by group."""
    out: list[_Strip] = []
    words = said(book.part)
    cells = [_cell(book, n, words[n], paper) for n in range(len(book.shown))]
    for role in dict.fromkeys(s.lick.role for s in book.shown):
        here = [c for c in cells if c.shown.lick.role == role]
        strips: list[_Strip] = []
        for group in dict.fromkeys(c.shown.group for c in here):
            waiting: list[_Cell] = []
            opens = True
            for c in (c for c in here if c.shown.group == group):
                if waiting and sum(w.span for w in waiting) + c.span > COLUMNS:
                    strips.append(_Strip(role, not strips, group, opens, tuple(waiting)))
                    waiting, opens = [], False
                waiting.append(c)
            strips.append(_Strip(role, not strips, group, opens, tuple(waiting)))
        out += strips
    return out


def _column(paper: Paper, span: int) -> float:
    """Width of so many columns."""
    each = (paper.room - (COLUMNS - 1) * GUTTER) / COLUMNS
    return span * each + (span - 1) * GUTTER


def _cell(book: LickBook, n: int, words: Sequence[Said], paper: Paper) -> _Cell:
    shown, section = book.shown[n], book.part.song.sections[n]
    ready = tuple(
        # the name stands above the lick already
        measured(m, slots, w._replace(names=()), k == 0 and m.ticks == m.meter.ticks, False, False)
        for k, (m, slots, w) in enumerate(zip(section.measures, book.part.slots[n], words, strict=True))
    )
    least = sum(m.fit.least for m in ready)
    span = next((s for s in SPANS if least <= _column(paper, s)), COLUMNS)
    room = _column(paper, span)
    about = wrap(shown.lick.about, "italic", ABOUT, room)
    if len(about) > 4:
        about = (*about[:3], about[3] + " ...")
    place = "open strings" if shown.position is None else f"at fret {shown.position}"
    facts = wrap(f"{shown.serves} \N{MIDDLE DOT} {place}", "regular", FACTS, room)
    return _Cell(
        shown,
        system.row(section, 0, ready, system.stack(section, 0, ready), room, False, False, False),
        about,
        facts,
        span,
        room,
    )


_ROLE_ROOM = 42.0
"""Height of a role's name and what it is for."""


def _headings(strip: _Strip, top: bool) -> float:
    """Height of the headings above a strip; at the `top` of a page a group's heading is said again."""
    return (_ROLE_ROOM if strip.first else 0.0) + (GROUP_ROOM if strip.opens or top else 0.0)


def _cut(strips: Sequence[_Strip], paper: Paper, book: LickBook) -> Iterator[list[_Strip]]:
    """The strips on pages: as many as find room, a heading never without a strip beneath it."""
    _, start = head.running(book.part.song, paper, 2, 2)
    page: list[_Strip] = []
    y = start
    for strip in strips:
        need = strip.height + _headings(strip, not page)
        if page and y + need > paper.floor:
            yield page
            page, y = [], start
            need = strip.height + _headings(strip, True)
        page.append(strip)
        y += need + ROW_GAP
    yield page


def _page(book: LickBook, paper: Paper, strips: Sequence[_Strip], number: int, count: int) -> Page:
    title = f"Licks: {plural(strips[0].role).lower()}"
    running, y = head.running(replace(book.part.song, title=title), paper, number, count)
    marks: list[Mark] = [*running]
    placed: list[Standing] = []
    entries: list[Entry] = []
    for n, strip in enumerate(strips):
        if strip.first:
            entries.append(Entry(plural(strip.role), 0, y))
            marks.append(Text(paper.left, y + 20, plural(strip.role), "bold", 18.0, "section"))
            marks.append(Text(paper.left, y + 34, ABOUT_ROLES[strip.role], "italic", 10.0, "leads"))
            y += _ROLE_ROOM
        if strip.opens or n == 0:
            words = strip.group if strip.opens else f"{strip.group} (continued)"
            marks.append(Text(paper.left, y + 13, words, "bold", GROUP, "section"))
            marks.append(Line(paper.left, y + 17, paper.edge, y + 17, style.THIN, "rule", style.HELPER))
            if strip.opens:
                entries.append(Entry(strip.group, 1, y))
            y += GROUP_ROOM
        x = paper.left
        for cell in strip.cells:
            marks += _draw(cell, x, y, strip)
            stamps, loose = inked.draw(cell.row, x, y + strip.words + strip.top - cell.row.bands.top)
            placed += stamps
            marks += loose
            x += cell.width + GUTTER
        y += strip.height + ROW_GAP
    marks += head.foot(paper, number, count, LEGEND)
    return Page(paper, Marks(placed, marks), str(number), tuple(entries))


def _draw(cell: _Cell, x: float, y: float, strip: _Strip) -> list[Mark]:
    lick = cell.shown.lick
    hard = f"difficulty {lick.difficulty}"
    size, name = NAME, lick.name
    most = cell.width - width(hard, "regular", FACTS) - 8
    while width(name, "bold", size) > most and size > 7:
        size -= 0.5
    base = y + NAME
    out: list[Mark] = [
        Text(x, base, wrap(name, "bold", size, most)[0], "bold", size, "lick"),
        ending_at(x + cell.width, base, hard, "regular", FACTS, "lick-facts"),
    ]
    for line in cell.about:
        base += ABOUT + 1.5
        out.append(Text(x, base, line, "italic", ABOUT, "lick-about"))
    for line in cell.facts:
        base += FACTS + 1.5
        out.append(Text(x, base, line, "regular", FACTS, "lick-facts", style.HELPER))
    return out
