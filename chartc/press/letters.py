"""Text as PDF content: the codes of characters, and lines of text set one after the other. Lengths in points."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache

from chartc.sheet.marks import RAISED, RISE, Text
from chartc.type import faces
from chartc.type.faces import FACES, Face

_POINTS = range(0x2010, 0x2040)
"""General punctuation."""


@cache
def _codes(face: Face) -> dict[str, tuple[int, str]]:
    """Each character's subset and its code, written for a PDF string. Fixed for a face, whatever a document uses, so that a
    page's content does not depend on the pages before it."""
    out: dict[str, tuple[int, str]] = {}
    # codes 0 to 31 stay free in each subset, and 32 is the space, so that word space and readable text are as usual
    places = [(n, code) for n in range(64) for code in range(33, 256)]
    # dashes and curled quotes stand in the first subset, before rarer letters: else each sheet had a second one for a dash alone
    characters = sorted(faces.widths(face).keys() - {0x20, 0xA0}, key=lambda c: (c > 0xFF and c not in _POINTS, c))
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
    """A character's subset and its code there."""
    subset, written = _codes(face)[char]
    return subset, int(written[1:], 8) if len(written) == 4 else ord(written[-1])


def font_name(face: Face) -> str:
    """The name of a face in every document; `+` and the number of the subset follow it."""
    return f"F{FACES.index(face) + 2}"


class Tenths(dict[int, str]):
    """Numbers as they are written, by how many tenths they are; each made where it is first asked for."""

    def __missing__(self, n: int) -> str:
        if len(self) > 100_000:
            self.clear()
        made = self[n] = f"{n / 10:.1f}".removesuffix(".0")
        return made


class Depths(dict[float, str]):
    """Distances beneath an origin as they are written, y upwards; few are met, each is made where it is first asked for."""

    def __missing__(self, y: float) -> str:
        if len(self) > 20_000:
            self.clear()
        made = self[y] = tenths()[round(y * -10)]
        return made


@cache
def depths() -> Depths:
    """The distances written so far."""
    return Depths()


@cache
def tenths() -> Tenths:
    """The numbers written so far. Coordinates are written to a tenth of a point: a thirtieth of a millimetre, and a quarter fewer
    bytes."""
    return Tenths()


@lru_cache(maxsize=16_384)
def shown(text: str, face: Face, size: float) -> tuple[str, str, str, tuple[tuple[Face, str], ...]]:
    """A text as it is shown: the font it begins with, the font it ends with, what shows it, and its characters by face."""
    fonts: list[str] = []
    out: list[str] = []
    seen = faces.runs(text, face)
    high = f"{size:.2f}".rstrip("0").rstrip(".")

    def show(own: Face, subset: int, string: str) -> None:
        font = f"/{font_name(own)}+{subset} {high} Tf"
        if fonts and fonts[-1] != font:
            out.append(font)
        fonts.append(font)
        out.append(f"({string}) Tj")

    for own, run in seen:
        codes = _codes(own)
        current, string = -1, ""
        for char in run:
            subset, written = codes[char]
            if char == " " and current >= 0:
                subset = current  # every subset has the space
            if subset != current:
                if string:
                    show(own, current, string)
                current, string = subset, ""
            string += written
        show(own, current, string)
    return fonts[0] if fonts else "", fonts[-1] if fonts else "", "\n".join(out), seen


Line = tuple[str, str, str, int, int, tuple[tuple[Face, str], ...]]
"""A text as it is shown (`shown`); before its characters, how far to the right and up, in tenths of a point, the place has moved that
the next text is told from."""


@lru_cache(maxsize=4096)
def _line(text: str, face: Face, size: float, raised: tuple[int, int], spaced: bool) -> Line:
    """A line of text, of which some characters may be raised; `spaced` adds a space."""
    end = " " if spaced else ""
    a, z = raised
    if a == z:
        first, last, body, seen = shown(text + end, face, size)
        return first, last, body, 0, 0, seen
    low, high, rest = text[:a], text[a:z], text[z:] + end
    small = size * RAISED
    # moved, not raised by the text's own state: readers take that for a new line
    right, up = round(faces.width(low, face, size) * 10), round(size * RISE * 10)
    pieces = [(low, size, 0, 0), (high, small, right, up)]
    if rest:
        back = round(faces.width(high, face, small) * 10)
        pieces.append((rest, size, back, -up))
        right, up = right + back, 0
    t = tenths()
    out: list[str] = []
    fonts: list[str] = []
    used: list[tuple[Face, str]] = []
    for piece, own, dx, dy in pieces:
        if dx or dy:
            out.append(f"{t[dx]} {t[dy]} Td")
        first, last, body, seen = shown(piece, face, own)
        if body:
            if fonts and fonts[-1] != first:
                out.append(first)
            fonts += (first, last)
            out.append(body)
            used += seen
    return fonts[0] if fonts else "", fonts[-1] if fonts else "", "\n".join(out), right, up, tuple(used)


class Letters:
    """Writes lines of text into a page's content; the font is said only where it changes."""

    def __init__(self, height: float, used: dict[Face, set[str]], out: list[str]) -> None:
        self.height = height
        self.used = used
        self.out = out
        self.font = ""
        self.known: set[tuple[str, Face]] = set()

    def write(self, marks: Iterable[Text], spaced: bool = False) -> None:
        """The marks in their order; `spaced` adds a space to each, so that readers part it from what follows."""
        out: list[str] = ["BT"]
        x0 = y0 = 0
        height, t, known, font = self.height, tenths(), self.known, self.font
        for m in marks:
            x, y = round(m.x * 10), round((height - m.y) * 10)
            text, face = m.text, m.face
            first, last, body, right, up, seen = _line(text, face, m.size, m.raised, spaced)
            out.append(f"{t[x - x0]} {t[y - y0]} Td")
            x0, y0 = x + right, y + up
            if not body:
                continue
            if font != first:
                out.append(first)
            out.append(body)
            font = last
            if (text, face) not in known:
                known.add((text, face))
                for own, run in seen:
                    self.used[own].update(run)
        self.font = font
        if len(out) > 1:
            out.append("ET")
            self.out.append("\n".join(out))
