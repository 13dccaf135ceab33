"""Larger and smaller print: a sheet is laid out on paper of another size and brought back to its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartc.sheet.marks import Block, Entry, Line, Mark, Page, Text
from chartc.sheet.paper import Paper
from chartc.sheet.stamp import Marks, moved

LEGEND = 20.0
"""What the page number and the words above it take, in points of the sheet's own print."""


def paper_for(paper: Paper, factor: float) -> Paper:
    """The paper on which to lay out what will be printed `factor` times as large."""
    if factor == 1.0:
        return paper
    return replace(
        paper,
        width=paper.width / factor,
        height=paper.height / factor,
        left=paper.left / factor,
        right=paper.right / factor,
        top=paper.top / factor,
        bottom=max(paper.bottom / factor, paper.foot / factor + LEGEND),
        foot=paper.foot / factor,
        print_size=paper.print_size / factor,
    )


def magnified(pages: Sequence[Page], paper: Paper, factor: float) -> tuple[Page, ...]:
    """Pages that were laid out on `paper_for(paper, factor)`, on the paper itself."""
    if factor == 1.0:
        return tuple(page if page.paper == paper else replace(page, paper=paper) for page in pages)
    return tuple(
        replace(
            page,
            paper=paper,
            marks=_marks(page.marks, factor),
            entries=tuple(Entry(e.words, e.depth, e.y * factor) for e in page.entries),
        )
        for page in pages
    )


def _marks(marks: Sequence[Mark], f: float) -> Sequence[Mark]:
    if not isinstance(marks, Marks):
        return tuple([_mark(m, f) for m in marks])
    placed = [(stamp, x * f, y * f, factor * f) for stamp, x, y, factor in marks.standing]
    return Marks(placed, [_mark(m, f) for m in marks.loose])


def _mark(m: Mark, f: float) -> Mark:
    if isinstance(m, Text):
        return Text(m.x * f, m.y * f, m.text, m.face, m.size * f, m.kind, m.grey, m.raised)
    if isinstance(m, Line):
        dash = tuple(d * f for d in m.dash)
        return Line(m.x1 * f, m.y1 * f, m.x2 * f, m.y2 * f, m.width * f, m.kind, m.grey, dash)
    if isinstance(m, Block):
        return Block(m.x * f, m.y * f, m.width * f, m.height * f, m.kind, m.grey)
    return moved(m, 0.0, 0.0, f)
