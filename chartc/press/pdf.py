"""Pages of marks to a PDF document. Nothing is decided here: every mark says where it stands and how it looks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from io import BytesIO
from typing import Any

from chartc.sheet.marks import Block, Line, Mark, Page, Path, Text
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
def _code(face: Face, char: str) -> tuple[int, int]:
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

    def __init__(self, height: float, names: dict[tuple[Face, int], str], used: dict[Face, set[str]]) -> None:
        self.height = height
        self.names = names
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
        for face, piece in faces.runs(mark.text, mark.face):
            codes, used = _codes(face), self.used[face]
            used.update(piece)
            current, string = -1, ""
            for char in piece:
                subset, written = codes[char]
                if char == " " and current >= 0:
                    subset = current  # every subset has the space
                if subset != current:
                    if string:
                        out.append(f"({string}) Tj")
                    self._font(out, face, subset, mark.size)
                    current, string = subset, ""
                string += written
            out.append(f"({string}) Tj")
        out.append("ET")
        self.out.append(" ".join(out))

    def _font(self, out: list[str], face: Face, subset: int, size: float) -> None:
        wanted = (self.names[face, subset], size)
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


class _Names(dict[tuple[Face, int], str]):
    """The fonts' names in one document, given when first asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.subsets: dict[Face, set[int]] = {face: set() for face in FACES}

    def __missing__(self, key: tuple[Face, int]) -> str:
        face, subset = key
        self.subsets[face].add(subset)
        self[key] = name = f"/F{FACES.index(face) + 2}+{subset}"
        return name


def pdf(pages: Sequence[Page], title: str, author: str = "", language: str = "en") -> bytes:
    """The pages as one PDF 1.7 document: the same bytes for the same pages. Fonts are embedded as far as they are used; the
    document's outline and page labels come from the pages. Raises ValueError where there are no pages."""
    if not pages:
        raise ValueError("a document needs a page")
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    faces.font("regular")
    out = BytesIO()
    old = rl_config.useA85
    rl_config.useA85 = 0  # bytes as they are: a fifth smaller than spelled out in base 85
    try:
        canvas: Any = Canvas(
            out,
            pagesize=(pages[0].paper.width, pages[0].paper.height),
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
        names = _Names()
        used: dict[Face, set[str]] = {face: set() for face in FACES}
        depth = -1
        for index, page in enumerate(pages):
            canvas.setPageSize((page.paper.width, page.paper.height))
            canvas.addPageLabel(index, None, None, page.label)
            for number, entry in enumerate(page.entries):
                key = f"p{index}e{number}"
                canvas.bookmarkHorizontalAbsolute(key, page.paper.height - entry.y, 0)
                # an outline may go one step deeper at a time
                depth = min(entry.depth, depth + 1)
                canvas.addOutlineEntry(faces.shown(entry.words), key, depth, closed=depth > 0)
            canvas.addLiteral(_Pen(page.paper.height, names, used).draw(page.marks))
            canvas.showPage()
        _embed(canvas, used)
        canvas.save()
    finally:
        rl_config.useA85 = old
    return out.getvalue()


def _embed(canvas: Any, used: dict[Face, set[str]]) -> None:
    """Hands each used face to the document with our own codes, holding the used characters only."""
    from reportlab.pdfbase.ttfonts import TTFont

    document = canvas._doc
    for face in FACES:
        if not used[face]:
            continue
        font = faces.font(face)
        placed = {_code(face, c): ord(c) for c in used[face] if c != " "}
        count = max((subset for subset, _ in placed), default=0) + 1
        subsets: list[list[int]] = []
        for n in range(count):
            codes = {code: char for (subset, code), char in placed.items() if subset == n}
            last = max([32, *codes])
            subsets.append([32 if code == 32 else codes.get(code, 0) for code in range(last + 1)])
        state = TTFont.State(False, font)
        state.assignments = {char: subset << 8 | code for (subset, code), char in placed.items()}
        state.subsets = subsets
        state.internalName = f"F{FACES.index(face) + 2}"
        document.fontMapping[font.fontName] = "/" + state.internalName
        font.state[document] = state
        document.delayedFonts.append(font)
