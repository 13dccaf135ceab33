"""A page of marks as PDF content. Nothing is decided here: every mark says where it stands and how it looks."""

from __future__ import annotations

import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from chartc.sheet.marks import RAISED, RISE, Block, Entry, Line, Mark, Page, Path, Text
from chartc.type import faces
from chartc.type.faces import FACES, Face


@cache
def _codes(face: Face) -> dict[str, tuple[int, str]]:
    """Each character's subset and its code, written for a PDF string. Fixed for a face, whatever a document uses, so that a
    page's content does not depend on the pages before it."""
    out: dict[str, tuple[int, str]] = {}
    # codes 0 to 31 stay free in each subset, and 32 is the space, so that word space and readable text are as usual
    places = [(n, code) for n in range(64) for code in range(33, 256)]
    characters = [c for c in sorted(faces.widths(face)) if c != 32 and c != 0xA0]
    taken = {c: (0, c) for c in characters if 32 < c < 127}
    free = iter(p for p in places if p[0] > 0 or p[1] > 126)
    for c in characters:
        subset, code = taken.get(c) or next(free)
        char = chr(code)
        written = "\\" + char if char in "()\\" else char if 32 < code < 127 else f"\\{code:03o}"
        out[chr(c)] = (subset, written)
    out[" "] = out["\N{NO-BREAK SPACE}"] = (0, " ")
    return out


@cache
def code(face: Face, char: str) -> tuple[int, int]:
    subset, written = _codes(face)[char]
    return subset, int(written[1:], 8) if len(written) == 4 else ord(written[-1])


def _number(value: float) -> str:
    """A width or a grey, to a hundredth."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _place(value: float) -> str:
    """A coordinate, to a tenth of a point: a thirtieth of a millimetre, and a quarter fewer bytes."""
    text = f"{value:.1f}"
    return text[:-2] if text.endswith(".0") else text


class _Pen:
    """Collects one page's content; the state is said only where it changes."""

    def __init__(self, height: float, used: dict[Face, set[str]]) -> None:
        self.height = height
        self.used = used
        self.out: list[str] = []
        self.fill = self.stroke = 0.0
        self.width = 1.0
        self.dash: tuple[float, ...] = ()
        self.font: tuple[str, float] = ("", 0.0)

    def draw(self, marks: Iterable[Mark]) -> str:
        """The content of all marks in their order."""
        self.out = ["1 j"]
        for mark in marks:
            if isinstance(mark, Text):
                self._text(mark)
            elif isinstance(mark, Line):
                self._pen(mark.width, mark.grey, mark.dash)
                n, h = _place, self.height
                self.out.append(f"{n(mark.x1)} {n(h - mark.y1)} m {n(mark.x2)} {n(h - mark.y2)} l S")
            elif isinstance(mark, Block):
                self._ink(mark.grey)
                n = _place
                low = self.height - mark.y - mark.height
                self.out.append(f"{n(mark.x)} {n(low)} {n(mark.width)} {n(mark.height)} re f")
            else:
                self._path(mark)
        return "\n".join(self.out)

    def _ink(self, grey: float) -> None:
        if grey != self.fill:
            self.fill = grey
            self.out.append(f"{_number(grey)} g")

    def _pen(self, width: float, grey: float, dash: tuple[float, ...]) -> None:
        if grey != self.stroke:
            self.stroke = grey
            self.out.append(f"{_number(grey)} G")
        if width != self.width:
            self.width = width
            self.out.append(f"{_number(width)} w")
        if dash != self.dash:
            self.dash = dash
            self.out.append(f"[{' '.join(map(_number, dash))}] 0 d")

    def _text(self, mark: Text) -> None:
        self._ink(mark.grey)
        out = [f"BT {_place(mark.x)} {_place(self.height - mark.y)} Td"]
        a, z = mark.raised
        if a == z:
            self._run(out, mark.text, mark.face, mark.size)
        else:
            line, raised, small = mark.text[:a], mark.text[a:z], mark.size * RAISED
            self._run(out, line, mark.face, mark.size)
            # moved, not raised by the text's own state: readers take that for a new line
            rise = mark.size * RISE
            out.append(f"{_number(faces.width(line, mark.face, mark.size))} {_number(rise)} Td")
            self._run(out, raised, mark.face, small)
            if z < len(mark.text):
                out.append(f"{_number(faces.width(raised, mark.face, small))} {_number(-rise)} Td")
                self._run(out, mark.text[z:], mark.face, mark.size)
        out.append("ET")
        self.out.append(" ".join(out))

    def _run(self, out: list[str], text: str, face: Face, size: float) -> None:
        for own, piece in faces.runs(text, face):
            codes, used = _codes(own), self.used[own]
            used.update(piece)
            current, string = -1, ""
            for char in piece:
                subset, written = codes[char]
                if char == " " and current >= 0:
                    subset = current  # every subset has the space
                if subset != current:
                    if string:
                        out.append(f"({string}) Tj")
                    self._font(out, own, subset, size)
                    current, string = subset, ""
                string += written
            out.append(f"({string}) Tj")

    def _font(self, out: list[str], face: Face, subset: int, size: float) -> None:
        wanted = (f"/{font_name(face)}+{subset}", size)
        if wanted != self.font:
            self.font = wanted
            out.append(f"{wanted[0]} {_number(size)} Tf")

    def _path(self, mark: Path) -> None:
        n, h = _place, self.height
        if mark.width:
            self._pen(mark.width, mark.grey, ())
        else:
            self._ink(mark.grey)
        out = [f"{n(mark.start[0])} {n(h - mark.start[1])} m"]
        for step in mark.steps:
            if isinstance(step[0], tuple):
                out.append(" ".join(f"{n(x)} {n(h - y)}" for x, y in step) + " c")
            else:
                x, y = step
                out.append(f"{n(x)} {n(h - y)} l")
        out.append("S" if mark.width else "f")
        self.out.append(" ".join(out))


def font_name(face: Face) -> str:
    """The name of a face in every document; `+` and the number of the subset follow it."""
    return f"F{FACES.index(face) + 2}"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A page as it will stand in any document: `content` is its compressed content stream, which leaves the state as it found it;
    `used` the characters of each face; `label` and `entries` are the page's own. Lengths in points."""

    width: float
    height: float
    content: bytes
    used: tuple[tuple[Face, str], ...]
    label: str
    entries: tuple[Entry, ...]


LEVEL = 6
"""Of compression: a lower one saves a tenth of a millisecond a page, and costs a seventh more bytes."""


def draw(page: Page) -> Drawn:
    """Draws a page: the same bytes for the same marks, whatever else a document holds."""
    used: dict[Face, set[str]] = {face: set() for face in FACES}
    content = f"q\n{_Pen(page.paper.height, used).draw(page.marks)}\nQ\n"
    return Drawn(
        page.paper.width,
        page.paper.height,
        zlib.compress(content.encode("latin-1"), LEVEL),
        tuple((face, "".join(sorted(used[face]))) for face in FACES if used[face]),
        page.label,
        page.entries,
    )
