"""Pages of marks to a PDF document."""

from __future__ import annotations

from collections.abc import Sequence

from chartc.press.bind import Leaf, bind
from chartc.press.draw import draw
from chartc.sheet.marks import Page


def pdf(pages: Sequence[Page], title: str, author: str = "", language: str = "en") -> bytes:
    """The pages as one PDF 1.7 document: the same bytes for the same pages. Fonts are embedded as far as they are used; the
    document's outline and page labels come from the pages. Raises ValueError where there are no pages."""
    return bind([Leaf(draw(page)) for page in pages], title, author, language)
