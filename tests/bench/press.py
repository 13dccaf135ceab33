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
from collections.abc import Callable, Sequence
from io import BytesIO
from typing import Any

from chartc.press import pdf
from chartc.sheet import Page, a4, backup_pages
from chartc.sheet.marks import Block, Line, Mark, Text
from chartc.slots.part import Part
from chartc.store.collecting import few_collections
from chartc.type import faces
from tests.sheet.invent import invented

GOAL_DRAWING, GOAL_BOTH = 0.25, 0.5


def ordinary_calls(pages: Sequence[Page]) -> bytes:
    """The pages drawn as one would draw them by hand: for each mark, set what it needs and call the canvas."""
    from reportlab.pdfgen.canvas import Canvas

    for face in faces.FACES:
        faces.font(face)
    out = BytesIO()
    canvas: Any = Canvas(out, pageCompression=1, invariant=1, initialFontName="chartc-regular")
    for page in pages:
        canvas.setPageSize((page.paper.width, page.paper.height))
        for mark in page.marks:
            _call(canvas, mark, page.paper.height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


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


def timed(work: Callable[[], Any]) -> float:
    """Seconds of the processor that the work takes, garbage of earlier work cleared first: others may use the machine too."""
    gc.collect()
    start = time.process_time()
    work()
    return time.process_time() - start


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
    pages: list[Page] = []
    layout = timed(lambda: pages.extend(p for part in parts for p in backup_pages(part, a4)))
    drawing = timed(lambda: pdf(pages, "x"))
    # the marks are made one by one when somebody asks for them: not what the canvas calls cost
    marks = sum(len(p.marks) for p in pages)
    plain = timed(lambda: ordinary_calls(pages))
    each = 1000 / len(pages)
    print(f"{what}: {len(pages)} pages, {marks // len(pages)} marks a page")
    print(f"  ordinary canvas calls  {plain * each:6.2f} ms a page")
    print(
        f"  drawing                {drawing * each:6.2f} ms a page, ratio {drawing / plain:.3f} (goal {GOAL_DRAWING})"
    )
    both = layout + drawing
    print(f"  layout and drawing     {both * each:6.2f} ms a page, ratio {both / plain:.3f} (goal {GOAL_BOTH})")


def main(count: int) -> None:
    """Prints the ratios: for songs as they are printed, and for notes by lot, of which no two measures are alike."""
    chance = random.Random(1)
    with few_collections():
        measure("songs filled by the choice", filled(count))
        measure("notes by lot", [invented(chance) for _ in range(count)])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
