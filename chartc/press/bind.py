"""Drawn pages to a PDF document: fonts, outline, page labels and links."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from typing import Any

from chartc.press.draw import Drawn
from chartc.press.letters import code, font_name
from chartc.press.structure import Structure
from chartc.sheet.marks import Box
from chartc.type import faces
from chartc.type.faces import FACES, Face


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
    from reportlab import rl_config

    out = BytesIO()
    old = rl_config.useA85
    rl_config.useA85 = 0  # bytes as they are: a fifth smaller than spelled out in base 85
    try:
        faces.font("regular")
        first = leaves[0].drawn
        canvas: Any = _canvas()(
            out,
            pagesize=(first.width, first.height),
            pageCompression=1,
            invariant=1,
            initialFontName="chartc-regular",
            pdfVersion=(1, 7),
            lang=language,
        )
        canvas.setTitle(title)
        canvas.setAuthor(author)
        canvas.setSubject("")
        canvas.setCreator("chartc")
        canvas.setProducer("chartc")
        canvas.setViewerPreference("DisplayDocTitle", "true")
        structure = Structure(canvas)
        used: dict[Face, set[str]] = {face: set() for face in FACES}
        targets = {link.to for leaf in leaves for link in leaf.links}
        depth = -1
        for index, leaf in enumerate(leaves):
            drawn = leaf.drawn
            canvas.setPageSize((drawn.width, drawn.height))
            canvas.addPageLabel(index, None, None, leaf.label or drawn.label)
            if index in targets:
                canvas.bookmarkHorizontalAbsolute(f"p{index}", drawn.height, 0)
            for number, words in enumerate(leaf.before):
                key = f"p{index}b{number}"
                canvas.bookmarkHorizontalAbsolute(key, drawn.height, 0)
                canvas.addOutlineEntry(faces.shown(words), key, 0, closed=True)
                depth = 0
            for number, entry in enumerate(drawn.entries):
                key = f"p{index}e{number}"
                canvas.bookmarkHorizontalAbsolute(key, drawn.height - entry.y, 0)
                # an outline may go one step deeper at a time
                depth = min(entry.depth + leaf.deeper, depth + 1)
                canvas.addOutlineEntry(faces.shown(entry.words), key, depth, closed=depth > 0)
            for link in leaf.links:
                left, top, right, bottom = link.box
                rect = (left, drawn.height - bottom, right, drawn.height - top)
                canvas.linkAbsolute(link.words, f"p{link.to}", rect, Border="[0 0 0]")
            canvas.ready = [drawn.content] if leaf.over is None else [drawn.content, leaf.over.content]
            for one in (drawn, leaf.over):
                for face, characters in one.used if one is not None else ():
                    used[face].update(characters)
            structure.page(index, drawn.tags)
            canvas.showPage()
        structure.end()
        _embed(canvas, used)
        canvas.save()
    finally:
        rl_config.useA85 = old
    return out.getvalue()


@cache
def _canvas() -> Any:
    """The library's canvas, taking pages that are drawn and compressed already."""
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream
    from reportlab.pdfgen.canvas import Canvas

    class Ready(Canvas):  # type: ignore[misc]
        ready: list[bytes]
        number: int

        def _setAnnotations(self, page: Any) -> None:  # noqa: N802 (the library's name: called for each page before it is added)
            super()._setAnnotations(page)
            streams = [
                PDFStream(PDFDictionary({"Filter": PDFArray([PDFName("FlateDecode")])}), c + b"\n") for c in self.ready
            ]
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents = self.number
            page.Tabs = PDFName("S")
            page.Contents = streams[0] if len(streams) == 1 else PDFArray([self._doc.Reference(s) for s in streams])

    return Ready


def _embed(canvas: Any, used: dict[Face, set[str]]) -> None:
    """Hands each used face to the document with our own codes, holding the used characters only."""
    from reportlab.pdfbase.ttfonts import TTFont

    document = canvas._doc
    for face in FACES:
        if not used[face]:
            continue
        font = faces.font(face)
        placed = {code(face, c): ord(c) for c in used[face] if c != " "}
        count = max((subset for subset, _ in placed), default=0) + 1
        subsets: list[list[int]] = []
        for n in range(count):
            codes = {code: char for (subset, code), char in placed.items() if subset == n}
            last = max([32, *codes])
            subsets.append([32 if code == 32 else codes.get(code, 0) for code in range(last + 1)])
        state = TTFont.State(False, font)
        state.assignments = {char: subset << 8 | code for (subset, code), char in placed.items()}
        state.subsets = subsets
        state.internalName = font_name(face)
        document.fontMapping[font.fontName] = "/" + state.internalName
        font.state[document] = state
        document.delayedFonts.append(font)
