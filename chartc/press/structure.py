"""A document's structure for who cannot see it: title, facts, sections and chords in order, written by hand as PDF 1.7 (ISO
32000-1, 14.7) asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from chartc.press.draw import Tag


class Structure:
    """Collects the tags of the pages, and puts the tree into the document."""

    def __init__(self, canvas: Any) -> None:
        from reportlab.pdfbase import pdfdoc

        self._pdf = pdfdoc
        self._canvas = canvas
        self._document = canvas._doc
        self._root = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructTreeRoot")})
        self._all = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("StructElem"), "S": pdfdoc.PDFName("Document")})
        self._kids: list[Any] = []
        self._parents: list[Any] = []

    def page(self, index: int, tags: Sequence[Tag]) -> None:
        """The tags of the page that is being made, the page number `index` from 0."""
        pdf, reference = self._pdf, self._document.Reference
        self._canvas.number = index
        page = self._document.thisPageRef()
        parents: dict[int, Any] = {}
        for role, numbers in tags:
            kids = numbers[0] if len(numbers) == 1 else pdf.PDFArray(list(numbers))
            one = pdf.PDFDictionary({"S": pdf.PDFName(role), "P": reference(self._all), "Pg": page, "K": kids})
            made = reference(one)
            self._kids.append(made)
            for number in numbers:
                parents[number] = made
        self._parents += [index, pdf.PDFArray([parents[n] for n in range(len(parents))])]

    def end(self) -> None:
        """Puts the tree into the document."""
        pdf, reference = self._pdf, self._document.Reference
        self._all.dict["P"] = reference(self._root)
        self._all.dict["K"] = pdf.PDFArray(self._kids)
        self._root.dict["K"] = reference(self._all)
        tree = pdf.PDFDictionary({"Nums": pdf.PDFArray(self._parents)})
        self._root.dict["ParentTree"] = reference(tree)
        self._root.dict["ParentTreeNextKey"] = len(self._parents) // 2
        self._document.Catalog.StructTreeRoot = self._root
        self._document.Catalog.MarkInfo = pdf.PDFDictionary({"Marked": "true"})
