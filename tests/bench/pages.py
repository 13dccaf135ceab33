"""A proof over thousands of generated pages: no two marks meet, and everything that is printed is found again in the PDF.

    python -m tests.bench.pages [COUNT] [SEED]

Lays out random parts in all kinds, papers and print sizes until so many pages are there (2,000), and prints what it found; the
exit code is 1 where anything meets, lies outside the paper, or is not found in its place by a second reader (pypdfium2).
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

import pypdfium2

from chartc.press import pdf
from chartc.sheet import PAPERS, SHEETS, Page
from chartc.sheet.marks import Text
from tests.sheet.invent import invented
from tests.sheet.overlaps import outside, overlaps, white_over

READ = ("chord", "fret")


def lost(pages: Sequence[Page], kinds: Sequence[str] = READ) -> Iterator[str]:
    """Chord names and fret numbers that the PDF's text does not give back where they stand: each must be read, in one piece, from
    the characters whose origins lie on its own baseline between its own edges; and in order along each line."""
    document: Any = pypdfium2.PdfDocument(pdf(pages, "x"))
    for number, (page, made) in enumerate(zip(document, pages, strict=True), 1):
        text = page.get_textpage()
        everything = text.get_text_range()
        chars: dict[int, list[tuple[float, float, str]]] = {}
        for i in range(text.count_chars()):
            char = text.get_text_range(i, 1)
            if char.strip():
                left, low, right, high = text.get_charbox(i, loose=True)
                chars.setdefault(round((low + high) / 2 / 8), []).append(((left + right) / 2, (low + high) / 2, char))
        order = "".join(everything.split())
        place = dict.fromkeys(kinds, 0)
        for m in made.marks:
            if not isinstance(m, Text) or m.kind not in kinds:
                continue
            x, top, right, foot = m.box
            middle = made.paper.height - (top + foot) / 2
            rows = [c for k in range(-2, 3) for c in chars.get(round(middle / 8) + k, ())]
            inside = sorted(c for c in rows if x - 0.5 <= c[0] <= right + 0.5 and abs(c[1] - middle) < m.size * 0.55)
            got = "".join(c for _, _, c in inside)
            if got != m.text:
                yield f"page {number}: {m.kind} {m.text!r} at {m.x:.0f}, {m.y:.0f} reads {got!r}"
            found = order.find(m.text, place[m.kind])
            if found < 0:
                yield f"page {number}: {m.kind} {m.text!r} is not read in order"
            else:
                place[m.kind] = found + len(m.text)


def main(count: int, seed: int) -> int:
    """Prints what was found."""
    chance = Random(seed)
    pages = parts = 0
    found: Counter[str] = Counter()
    while pages < count:
        made = invented(chance)
        parts += 1
        kind = chance.choice(("backup", "backup", "backup", *SHEETS))
        paper = chance.choice(("a4", "letter", *PAPERS))
        sheet = SHEETS[kind](made, PAPERS[paper])
        pages += len(sheet)
        problems = [f"meet: {a.kind} and {b.kind}" for p in sheet for a, b in overlaps(p.marks)]
        problems += [f"white over {a.kind}" for p in sheet for a, _ in white_over(p.marks)]
        problems += [f"outside: {m.kind}" for p in sheet for m in outside(p.marks, p.paper.width, p.paper.height, 13)]
        reads = list(lost(sheet))
        for problem in problems:
            found[problem] += 1
        if reads:
            found["not read"] += len(reads)
        if (problems or reads) and sum(found.values()) < 40:
            print(f"part {parts}, {kind} on {paper}: {'; '.join((problems + reads)[:3])}")
    print(f"{pages} pages of {parts} parts (seed {seed}): {sum(found.values())} problems")
    for problem, times in found.most_common():
        print(f"{times:6} {problem}")
    return 1 if found else 0


if __name__ == "__main__":
    arguments = [int(a) for a in sys.argv[1:]]
    sys.exit(main(*(arguments + [2000, 1][len(arguments) :])))
