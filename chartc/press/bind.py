"""Drawn pages to a PDF document: fonts, outline, page labels and links."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chartc.press.draw import Drawn
from chartc.press.fonts import embed
from chartc.press.objects import Objects, number, references, squeezed, text
from chartc.press.outline import Item, write_outline
from chartc.press.structure import Structure
from chartc.sheet.marks import Box
from chartc.type.faces import FACES, Face, shown

SHORT = 8
"""A document of no more pages is compressed as far as may be, for a millisecond a page; a book's pages stay as they were drawn."""


@dataclass(frozen=True, slots=True)
class Link:
    """A place on a page that leads to another one: `box` in points from the top left corner, `to` the page's index from 0, `words`
    what is said of it to who cannot see it."""

    box: Box
    to: int
    words: str


@dataclass(frozen=True, slots=True)
class Leaf:
    """A page of a document: what is drawn on it, what is drawn over that (header and page number of a book), its links, and the
    label that stands for its own. `before` are outline entries on top of all, that lead to the page; `deeper` moves the page's own
    entries so many steps down."""

    drawn: Drawn
    over: Drawn | None = None
    links: tuple[Link, ...] = ()
    label: str = ""
    deeper: int = 0
    before: tuple[str, ...] = ()


def bind(leaves: Sequence[Leaf], title: str, author: str = "", language: str = "en") -> bytes:
    """The pages as one PDF 1.7 document: the same bytes for the same pages. Fonts are embedded as far as they are used. Raises
    ValueError where there are no pages."""
    if not leaves:
        raise ValueError("a document needs a page")
    objects = Objects()
    root, info, tree = objects.numbers(), objects.numbers(), objects.numbers()
    # links lead to pages that come later
    pages = range(first := objects.numbers(len(leaves)), first + len(leaves))
    structure = Structure(objects)
    for index, leaf in enumerate(leaves):
        _page(objects, tree, pages, index, leaves)
        structure.page(index, pages[index], leaf.drawn.tags)
    structure.end()
    fonts = embed(objects, _used(leaves))
    kids = (references(list(pages)), len(pages), fonts)
    objects.put(tree, b"<< /Type /Pages /Kids %s /Count %d /Resources << /Font %d 0 R >> >>" % kids)
    outline = write_outline(objects, _items(leaves, pages))
    labels = b" ".join([b"%d << /P %s >>" % (n, text(leaf.label or leaf.drawn.label)) for n, leaf in enumerate(leaves)])
    objects.put(
        root,
        b"<< /Type /Catalog /Pages %d 0 R%s /PageLabels << /Nums [%s] >> /Lang %s /MarkInfo << /Marked true >>"
        b" /StructTreeRoot %d 0 R /ViewerPreferences << /DisplayDocTitle true >> >>"
        % (tree, b" /Outlines %d 0 R" % outline if outline else b"", labels, text(language), structure.root),
    )
    about = (text(title), text(author))
    objects.put(info, b"<< /Title %s /Author %s /Creator (chartc) /Producer (chartc) >>" % about)
    return objects.end(root, info)


def _page(objects: Objects, tree: int, pages: Sequence[int], index: int, leaves: Sequence[Leaf]) -> None:
    """Writes a page with its contents and its links."""
    leaf = leaves[index]
    drawn = leaf.drawn
    layers = [one.content for one in (drawn, leaf.over) if one is not None]
    if len(leaves) <= SHORT:
        layers = [squeezed(content) for content in layers]
    contents = [objects.stream(content) for content in layers]
    links: list[int] = []
    for link in leaf.links:
        left, top, right, bottom = link.box
        rect = b" ".join(map(number, (left, drawn.height - bottom, right, drawn.height - top)))
        to = _place(pages[link.to], leaves[link.to].drawn.height)
        said = (rect, to, text(link.words))
        links.append(
            objects.add(b"<< /Type /Annot /Subtype /Link /Rect [%s] /Border [0 0 0] /Dest %s /Contents %s >>" % said)
        )
    objects.put(
        pages[index],
        b"<< /Type /Page /Parent %d 0 R /MediaBox [0 0 %s %s] /Contents %s /StructParents %d /Tabs /S%s >>"
        % (
            tree, number(drawn.width), number(drawn.height),
            b"%d 0 R" % contents[0] if len(contents) == 1 else references(contents),
            index, b" /Annots %s" % references(links) if links else b"",
        ),
    )  # fmt: skip


def _place(page: int, y: float) -> bytes:
    """A place to leap to: a page's left edge at the height `y` in points, as large as it is shown now."""
    return b"[%d 0 R /XYZ 0 %s 0]" % (page, number(y))


def _items(leaves: Sequence[Leaf], pages: Sequence[int]) -> list[Item]:
    """The lines of the outline."""
    out: list[Item] = []
    depth = -1
    for leaf, page in zip(leaves, pages, strict=True):
        drawn = leaf.drawn
        for words in leaf.before:
            out.append(Item(shown(words), 0, _place(page, drawn.height), False))
            depth = 0
        for entry in drawn.entries:
            # an outline may go one step deeper at a time
            depth = min(entry.depth + leaf.deeper, depth + 1)
            out.append(Item(shown(entry.words), depth, _place(page, drawn.height - entry.y), depth == 0))
    return out


def _used(leaves: Sequence[Leaf]) -> dict[Face, set[str]]:
    """The characters of each face on all pages."""
    used: dict[Face, set[str]] = {face: set() for face in FACES}
    # pages of one kind have the same few characters
    for pairs in {one.used for leaf in leaves for one in (leaf.drawn, leaf.over) if one is not None}:
        for face, characters in pairs:
            used[face].update(characters)
    return used
