"""The card as a page of marks: two columns, everything on one page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from chartc.card.content import Part, parts
from chartc.sheet.marks import Line, Mark, Page, Text
from chartc.sheet.paper import Paper
from chartc.type import faces
from chartc.type.faces import Face

SIZES = tuple(n / 10 for n in range(100, 75, -1))
"""Sizes of the text that are tried, in points: the largest with which everything fits is taken."""
HEADING = 1.35
"""The size of headings over that of the text."""
TITLE = 18.0
LEAD = 1.32
"""From one baseline to the next, over the size."""
GUTTER = 22.0
MARGIN = 34.0
GREY = 0.3


class TooLongError(ValueError):
    """The card does not fit on one page."""


def card_page(paper: Paper) -> Page:
    """The card on a paper. Raises TooLongError where it does not fit on one page in any size that can be read."""
    for size in SIZES:
        marks = _Setter(paper, size).page()
        if marks is not None:
            return Page(paper, tuple(marks), "1")
    raise TooLongError(f"the card does not fit on {paper.name}")


@dataclass(slots=True)
class _Setter:
    """Sets the card in one size; `marks` grow from the top left corner (`x`, `y`) downwards."""

    paper: Paper
    size: float
    marks: list[Mark] = field(default_factory=list)
    x: float = MARGIN
    y: float = MARGIN

    @property
    def width(self) -> float:
        """The width of a column."""
        return (self.paper.width - 2 * MARGIN - GUTTER) / 2

    @property
    def indent(self) -> float:
        """Beside what stands between two bar lines, and before lines that belong to the one above."""
        return self.size * 0.75

    def page(self) -> list[Mark] | None:
        """All marks, None where they do not fit."""
        rule = MARGIN + TITLE * 1.2
        top, floor = rule + 8, self.paper.height - MARGIN
        begun = False
        self.y = top
        for part in parts():
            height = self._height(part)
            if self.y + height > floor:
                if begun:
                    return None
                begun = True
                self.x, self.y = MARGIN + self.width + GUTTER, top
                if self.y + height > floor:
                    return None
            before = len(self.marks)
            self._part(part)
            if any(mark.box[2] > self.x + self.width + 0.5 for mark in self.marks[before:]):
                return None
            self.y += self.size * 0.8
        return [
            Text(MARGIN, MARGIN + TITLE * 0.8, "The chart on one page", "bold", TITLE, "title"),
            Line(MARGIN, rule, self.paper.width - MARGIN, rule, 0.8, "rule"),
            *self.marks,
        ]

    def _height(self, part: Part) -> float:
        trial = _Setter(self.paper, self.size)
        trial.y = 0
        trial._part(part)
        return trial.y

    def _text(self, x: float, text: str, face: Face, kind: str, grey: float = 0.0) -> float:
        """A text on the present line; where it ends."""
        self.marks.append(Text(x, self.y, text, face, self.size, kind, grey))
        return x + faces.width(text, face, self.size)

    def _down(self) -> None:
        self.y += self.size * LEAD

    def _part(self, part: Part) -> None:
        heading = self.size * HEADING
        self.y += heading
        self.marks.append(Text(self.x, self.y, part.heading, "bold", heading, "heading"))
        self.y += self.size * 0.3
        self._example(part.example)
        self._pairs(part.pairs)
        for text in part.text:
            for line in faces.wrap(text, "regular", self.size, self.width):
                self._down()
                self._text(self.x, line, "regular", "text")

    def _example(self, example: str) -> None:
        """The lines of a chart; the bar lines of neighbouring rows stand beneath one another."""
        rows: list[list[str]] = []
        for line in [*example.splitlines(), ""] if example else []:
            cells = [cell.strip() for cell in line.split("|")]
            if len(cells) > 1:
                rows.append(cells)
                continue
            self._rows(rows)
            rows = []
            if not line:
                self.y += self.size * 0.5
                continue
            self._down()
            keyword, space, rest = line.lstrip().partition(" ")
            end = self._text(self.x + (self.indent if line.startswith(" ") else 0), keyword, "bold", "code")
            if space:
                wide = line.startswith(f"{keyword}  ")
                self._text(self.x + self.size * 4.6 if wide else end + self.size * 0.3, rest.strip(), "regular", "code")

    def _rows(self, rows: list[list[str]]) -> None:
        count = max(map(len, rows), default=0)
        shown = [[row[0], *(_spaced(row[0], cell) for cell in row[1:])] for row in rows]
        widths = [max((self._wide(r[n]) for r in shown if n < len(r)), default=0.0) for n in range(count)]
        keyword = max((faces.width(r[0], "bold", self.size) for r in rows), default=0.0)
        for row in shown:
            self._down()
            if row[0]:
                self._text(self.x, row[0], "bold", "code")
            left = self.x + keyword + (self.indent if keyword else 1)
            for n, cell in enumerate(row[1:], 1):
                self.marks.append(Line(left, self.y - self.size * 0.75, left, self.y + self.size * 0.2, 0.6, "bar"))
                if cell:
                    self._text(left + self.indent, cell, "regular", "code")
                left += widths[n] + 2 * self.indent

    def _wide(self, text: str) -> float:
        return faces.width(text, "regular", self.size)

    def _pairs(self, pairs: Sequence[tuple[str, str]]) -> None:
        """What is written, and beside it what it means."""
        if not pairs:
            return
        shown = [(_spaced("", code) if code.startswith("|") else code, meaning) for code, meaning in pairs]
        second = self.x + max(faces.width(code, "bold", self.size) for code, _ in shown) + 2 * self.indent
        for code, meaning in shown:
            for n, line in enumerate(faces.wrap(meaning, "regular", self.size, self.x + self.width - second)):
                self._down()
                if n == 0 and code:
                    self._text(self.x, code, "bold", "code")
                self._text(second, line, "regular", "text", GREY)


def _spaced(keyword: str, cell: str) -> str:
    """Chords with wider spaces between them: in a proportional face two strokes would look like one sign."""
    return cell if keyword == "words" else cell.replace(" ", "  ")
