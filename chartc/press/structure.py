"""A document's structure for who cannot see it: title, facts, sections and chords in order, written by hand as PDF 1.7 (ISO
32000-1, 14.7) asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from chartc.press.draw import Tag


class Structure:
    """Collects the tags of the pages, and puts the tree into the document."""

    def __init__(self, canvas: Any) -> None:
        from reportlab.pdfbase import pdfdoc

        self._canvas = canvas
        self._document = canvas._doc
        self._raw = _raw()
        self._root = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructTreeRoot")})
        self._all = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructElem"), "S": pdfdoc.PDFName("Document")})
        self._parent = self._reference(self._all)
        self._kids: list[bytes] = []
        self._parents: list[bytes] = []

    def _reference(self, thing: Any) -> bytes:
        """How others name the thing, which becomes an object of the document."""
        return bytes(self._document.Reference(thing).format(self._document))

    def page(self, index: int, tags: Sequence[Tag]) -> None:
        """The tags of the page that is being made, the page number `index` from 0."""
        self._canvas.number = index
        page = self._document.thisPageRef()
        parents: dict[int, bytes] = {}
        for role, numbers in tags:
            kids = b" ".join([b"%d" % n for n in numbers])
            if len(numbers) > 1:
                kids = b"[%s]" % kids
            # the page is no object yet: its number is known when all is written
            made = self._reference(
                self._raw(b"<</S/%s/K %s/P %s/Pg " % (role.encode(), kids, self._parent), page, b">>")
            )
            self._kids.append(made)
            for number in numbers:
                parents[number] = made
        self._parents.append(b"%d [%s]" % (index, b" ".join([parents[n] for n in range(len(parents))])))

    def end(self) -> None:
        """Puts the tree into the document."""
        from reportlab.pdfbase import pdfdoc

        self._all.dict["P"] = self._document.Reference(self._root)
        self._all.dict["K"] = b"[%s]" % b"\n".join(self._kids)
        self._root.dict["K"] = self._document.Reference(self._all)
        self._root.dict["ParentTree"] = self._document.Reference(
            self._raw(b"<</Nums [%s]>>" % b"\n".join(self._parents))
        )
        self._root.dict["ParentTreeNextKey"] = len(self._parents)
        self._document.Catalog.StructTreeRoot = self._root
        self._document.Catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": "true"})


@cache
def _raw() -> Any:
    """An object of a document whose bytes are written already, but for what may stand between them."""
    from reportlab.pdfbase.pdfdoc import PDFObject

    class Raw(PDFObject):  # type: ignore[misc]
        def __init__(self, start: bytes, middle: Any = None, end: bytes = b"") -> None:
            self.start, self.middle, self.end = start, middle, end

        def format(self, document: Any) -> bytes:
            middle: bytes = self.middle.format(document) if self.middle is not None else b""
            return self.start + middle + self.end

    return Raw
