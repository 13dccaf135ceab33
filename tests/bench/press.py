"""How long laying out and drawing take, against ordinary canvas calls for the same pages. Run it by hand:

    python -m tests.bench.press [COUNT]

Distinct pages in one run, the PDF library's accelerator at work in both ways, memory looked through as seldom as when the program runs;
prints milliseconds a page and the ratios.
"""

from __future__ import annotations

import gc
import random
import sys
import time
from collections.abc import Sequence
from io import BytesIO
from typing import Any

from chartc.press import Leaf, bind, draw, pdf
from chartc.sheet import Page, a4, backup_pages
from chartc.sheet.marks import Block, Line, Mark, Text
from chartc.slots.part import Part
from chartc.store.collecting import few_collections
from chartc.type import faces
from tests.sheet.invent import invented

GOAL_DRAWING, GOAL_BOTH = 0.25, 0.5

FEW = 20
"""So many songs are laid out, drawn, and drawn by hand, before the next ones, so that a machine that is slow for a while is slow for all."""


class Ordinary:
    """Pages drawn as one would draw them by hand: for each mark, set what it needs and call the canvas."""

    def __init__(self) -> None:
        from reportlab.pdfgen.canvas import Canvas

        for face in faces.FACES:
            faces.font(face)
        self.canvas: Any = Canvas(BytesIO(), pageCompression=1, invariant=1, initialFontName="chartc-regular")

    def draw(self, pages: Sequence[Page]) -> None:
        """Draws further pages."""
        for page in pages:
            self.canvas.setPageSize((page.paper.width, page.paper.height))
            for mark in page.marks:
                _call(self.canvas, mark, page.paper.height)
            self.canvas.showPage()

    def save(self) -> None:
        """Ends the document."""
        self.canvas.save()


def ordinary_calls(pages: Sequence[Page]) -> None:
    """A document of these pages, drawn so."""
    by_hand = Ordinary()
    by_hand.draw(pages)
    by_hand.save()


def _call(canvas: Any, mark: Mark, height: float) -> None:
    if isinstance(mark, Text):
        canvas.setFillGray(mark.grey)
        x = mark.x
        for face, piece in faces.runs(mark.text, mark.face):
            canvas.setFont(f"chartc-{face}", mark.size)
            canvas.drawString(x, height - mark.y, piece)
            x += faces.width(piece, face, mark.size)
    elif isinstance(mark, Line):
        canvas.setStrokeGray(mark.grey)
        canvas.setLineWidth(mark.width)
        canvas.setDash(*([list(mark.dash)] if mark.dash else []))
        canvas.line(mark.x1, height - mark.y1, mark.x2, height - mark.y2)
    elif isinstance(mark, Block):
        canvas.setFillGray(mark.grey)
        canvas.rect(mark.x, height - mark.y - mark.height, mark.width, mark.height, stroke=0, fill=1)
    else:
        canvas.setFillGray(mark.grey)
        canvas.setLineWidth(mark.width)
        path = canvas.beginPath()
        path.moveTo(mark.start[0], height - mark.start[1])
        for step in mark.steps:
            if isinstance(step[0], tuple):
                path.curveTo(*(v for x, y in step for v in (x, height - y)))
            else:
                path.lineTo(step[0], height - step[1])
        canvas.drawPath(path, stroke=int(mark.width > 0), fill=int(mark.width == 0))


class Clock:
    """Seconds of the processor that pieces of work take: others may use the machine too."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def __enter__(self) -> None:
        self.start = time.process_time()

    def __exit__(self, *_: object) -> None:
        self.seconds += time.process_time() - self.start


def filled(count: int) -> list[Part]:
    """Distinct songs in all keys and at three tempos, filled by the choice: what players print."""
    from chartc.player import load_player
    from chartc.slots.choose import fill
    from tests.bench.criteria import generated

    player, _ = load_player(None, (), ())
    assert player is not None
    parts = [fill(song, player.means)[0] for song in generated(player, count)]
    return [part for part in parts if part is not None]


def measure(what: str, parts: Sequence[Part]) -> None:
    """Prints the ratios for the sheets of some parts."""
    warm = [p for part in parts[:3] for p in backup_pages(part, a4)]
    pdf(warm, "warm")
    ordinary_calls(warm)
    gc.collect()
    layout, drawing, plain = Clock(), Clock(), Clock()
    by_hand = Ordinary()
    leaves: list[Leaf] = []
    count = marks = 0
    for few in [parts[n : n + FEW] for n in range(0, len(parts), FEW)]:
        with layout:
            pages = [page for part in few for page in backup_pages(part, a4)]
        with drawing:
            leaves += [Leaf(draw(page)) for page in pages]
        # the marks are made one by one when somebody asks for them: not what the canvas calls cost
        marks += sum(len(p.marks) for p in pages)
        count += len(pages)
        with plain:
            by_hand.draw(pages)
        pages.clear()  # else Python would look through their marks while the next ones are laid out
    with drawing:
        bind(leaves, "x")
    with plain:
        by_hand.save()
    each = 1000 / count
    print(f"{what}: {count} pages, {marks // count} marks a page")
    print(f"  ordinary canvas calls  {plain.seconds * each:6.2f} ms a page")
    for name, seconds, goal in (
        ("drawing", drawing.seconds, GOAL_DRAWING),
        ("layout and drawing", layout.seconds + drawing.seconds, GOAL_BOTH),
    ):
        ratio = seconds / plain.seconds
        print(f"  {name:<22} {seconds * each:6.2f} ms a page, ratio {ratio:.3f} (goal {goal})")


def main(count: int) -> None:
    """Prints the ratios: for songs as they are printed, and for notes by lot, of which no two measures are alike."""
    chance = random.Random(1)
    with few_collections():
        measure("songs filled by the choice", filled(count))
        measure("notes by lot", [invented(chance) for _ in range(count)])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
