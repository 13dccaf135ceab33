"""Marks: all that layout yields and all that drawing draws.

Coordinates are points from the top left corner of the page, y downwards. `kind` says what a mark is for, `grey` is 0 for
black up to 1 for white. Every mark knows the box that its ink fills. Marks are never changed; that they could be makes them
three times as fast to make.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chartc.sheet.paper import Paper
from chartc.type import faces
from chartc.type.faces import Face

GROUND = frozenset({"staff", "neck"})
"""Kinds of lines that lie beneath other marks; white patches (blocks of grey 1) cover them and nothing else. All other marks
stand apart, so that they may be drawn in any order."""

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

_DEEP = frozenset("gjpqyQJ,;()[]/|")
_LOW = frozenset("acemnopqrsuvwxyz")
_SIGNS = frozenset("♭♯♮")
SIGN_DEPTH = 0.1
"""Depth of the music signs over the size."""


RAISED = 0.68
"""Size of raised characters over the size of the others."""
RISE = 0.21
"""How high they stand above the baseline, over the size: figures end as high as capitals do. Higher, and readers of the page's
text take the characters after a narrow one, such as a flat, for a new line."""


@dataclass(slots=True, unsafe_hash=True)
class Text:
    """A line of text from `x` on the baseline `y`, `size` points high; the characters of the range `raised` are superscripts."""

    x: float
    y: float
    text: str
    face: Face
    size: float
    kind: str
    grey: float = 0.0
    raised: tuple[int, int] = (0, 0)

    @property
    def width(self) -> float:
        """Width in points."""
        a, z = self.raised
        if a == z:
            return faces.width(self.text, self.face, self.size)
        line = faces.width(self.text[:a], self.face, self.size) + faces.width(self.text[z:], self.face, self.size)
        return line + faces.width(self.text[a:z], self.face, self.size * RAISED)

    @property
    def box(self) -> Box:
        """From the top of the tallest characters in it to the foot of the deepest."""
        if _LOW.issuperset(self.text):
            tall = faces.X_HEIGHT
        elif self.text.isascii() and (self.text.isupper() or self.text.isdigit()):
            tall = faces.CAP_HEIGHT
        else:
            tall = faces.ASCENT
        if self.raised[0] < self.raised[1]:
            tall = max(tall, RISE + RAISED * faces.ASCENT)
        deep = 0.0
        if not self.text.isascii():
            deep = SIGN_DEPTH if _SIGNS.issuperset(c for c in self.text if c > "~") else faces.DESCENT
        if _DEEP.intersection(self.text[: self.raised[0]] + self.text[self.raised[1] :]):
            deep = faces.DESCENT
        return (self.x, self.y - tall * self.size, self.x + self.width, self.y + deep * self.size)


@dataclass(slots=True, unsafe_hash=True)
class Line:
    """A straight stroke; `dash` is the lengths of dash and gap, empty for a full line."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float
    kind: str
    grey: float = 0.0
    dash: tuple[float, ...] = ()

    @property
    def box(self) -> Box:
        """The stroke's box, its width included."""
        half = self.width / 2
        # a level or upright stroke has no thickness along its own direction
        dx = half if self.y1 != self.y2 else 0.0
        dy = half if self.x1 != self.x2 else 0.0
        left, right = sorted((self.x1, self.x2))
        top, bottom = sorted((self.y1, self.y2))
        return (left - dx, top - dy, right + dx, bottom + dy)


@dataclass(slots=True, unsafe_hash=True)
class Block:
    """A filled rectangle."""

    x: float
    y: float
    width: float
    height: float
    kind: str
    grey: float = 0.0

    @property
    def box(self) -> Box:
        """The rectangle."""
        return (self.x, self.y, self.x + self.width, self.y + self.height)


Point = tuple[float, float]
Curve = tuple[Point, Point, Point]
"""Two control points and an end."""


@dataclass(slots=True, unsafe_hash=True)
class Path:
    """Lines and cubic curves from `start`; filled where `width` is 0, else stroked that wide."""

    start: Point
    steps: tuple[Point | Curve, ...]
    width: float
    kind: str
    grey: float = 0.0

    @property
    def box(self) -> Box:
        """The box of the path itself: curves are followed, not their control points."""
        points = [self.start]
        for step in self.steps:
            end = points[-1]
            if isinstance(step[0], tuple):
                a, b, c = step
                for n in range(1, 13):
                    t = n / 12
                    u = 1 - t
                    p, q, r, s = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
                    points.append(
                        (p * end[0] + q * a[0] + r * b[0] + s * c[0], p * end[1] + q * a[1] + r * b[1] + s * c[1])
                    )
            else:
                points.append(step)
        xs = [p[0] for p in points]
        ys = [p[1] for p in points]
        half = self.width / 2
        return (min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half)


Mark = Text | Line | Block | Path


@dataclass(frozen=True, slots=True)
class Entry:
    """A place in the document's outline: its words, its depth from 0, and the y it points to."""

    words: str
    depth: int
    y: float


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its paper, its marks (a tuple, or `Marks` where many are stamps), the page number as a reader would say it, its
    outline entries, and the tag of the language of its song's own words, empty where nobody knows."""

    paper: Paper
    marks: Sequence[Mark]
    label: str
    entries: tuple[Entry, ...] = ()
    language: str = ""


def dot(x: float, y: float, radius: float, kind: str, grey: float = 0.0) -> Path:
    """A filled circle."""
    k = radius * 0.5523  # four cubic curves make a circle to a thousandth
    return Path(
        (x + radius, y),
        (
            ((x + radius, y + k), (x + k, y + radius), (x, y + radius)),
            ((x - k, y + radius), (x - radius, y + k), (x - radius, y)),
            ((x - radius, y - k), (x - k, y - radius), (x, y - radius)),
            ((x + k, y - radius), (x + radius, y - k), (x + radius, y)),
        ),
        0.0,
        kind,
        grey,
    )


def centred(x: float, y: float, text: str, face: Face, size: float, kind: str, grey: float = 0.0) -> Text:
    """Text with its middle at `x`."""
    return Text(x - faces.width(text, face, size) / 2, y, text, face, size, kind, grey)


def ending_at(x: float, y: float, text: str, face: Face, size: float, kind: str, grey: float = 0.0) -> Text:
    """Text that ends at `x`."""
    return Text(x - faces.width(text, face, size), y, text, face, size, kind, grey)
