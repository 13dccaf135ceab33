"""Stamps: marks that stand together and are only moved, such as those of one measure. They are kept as plain numbers by state, not as
objects, so that they can be laid out and drawn once wherever they stand; whoever asks a page for its marks gets every one of them.

Coordinates are points from the stamp's own origin, y downwards. All is black but for white patches.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, overload

from chartc.sheet.marks import GROUND, Block, Line, Mark, Path, Point, Text
from chartc.type.faces import Face


class TextStyle(NamedTuple):
    """What texts of one state share; the size is in points."""

    face: Face
    size: float
    kind: str


class LineStyle(NamedTuple):
    """What strokes of one state share; the width is in points."""

    kind: str
    width: float


class Shape:
    """A path that may stand at many places, told from others by what it is, not by its numbers."""

    __slots__ = ("path",)

    def __init__(self, path: Path) -> None:
        self.path = path


Numbers = tuple[float, ...]
"""Four to a stroke (its two ends), four to a rectangle (corner, width, height), two to a text (the left end of its baseline): a flat row
of numbers is made, kept and drawn faster than an object for each mark."""

Shaped = tuple[Shape, float, float]
"""A path and how far it is moved."""


@dataclass(frozen=True, slots=True, eq=False)
class Stamp:
    """Marks that stand together. White `patches` lie beneath everything else but the ground."""

    patches: Numbers = ()
    lines: tuple[tuple[LineStyle, Numbers], ...] = ()
    blocks: tuple[tuple[str, Numbers], ...] = ()
    shapes: tuple[Shaped, ...] = ()
    texts: tuple[tuple[TextStyle, Numbers, tuple[str, ...]], ...] = ()

    @property
    def ground(self) -> bool:
        """Whether other marks lie upon all of it."""
        return bool(self.lines) and all(style.kind in GROUND for style, _ in self.lines)

    def marks(self, x: float, y: float, factor: float) -> Iterator[Mark]:
        """The marks, the stamp's origin at (`x`, `y`), everything `factor` times as large."""
        f = factor
        for left, top, wide, tall in fours(self.patches):
            yield Block(x + left * f, y + top * f, wide * f, tall * f, "knock", 1.0)
        for line, strokes in self.lines:
            for x1, y1, x2, y2 in fours(strokes):
                yield Line(x + x1 * f, y + y1 * f, x + x2 * f, y + y2 * f, line.width * f, line.kind)
        for kind, areas in self.blocks:
            for left, top, wide, tall in fours(areas):
                yield Block(x + left * f, y + top * f, wide * f, tall * f, kind)
        for shape, right, down in self.shapes:
            yield moved(shape.path, x + right * f, y + down * f, f)
        for text, places, words in self.texts:
            for left, base, said in zip(places[::2], places[1::2], words, strict=True):
                yield Text(x + left * f, y + base * f, said, text.face, text.size * f, text.kind)


def fours(numbers: Sequence[float]) -> Iterator[tuple[float, float, float, float]]:
    """Numbers by four."""
    one = iter(numbers)
    return zip(one, one, one, one, strict=True)


def moved(path: Path, x: float, y: float, factor: float) -> Path:
    """The path `factor` times as large, its origin at (`x`, `y`)."""

    def point(p: Point) -> Point:
        return (x + p[0] * factor, y + p[1] * factor)

    steps = tuple(
        (point(s[0]), point(s[1]), point(s[2])) if isinstance(s[0], tuple) else point((s[0], s[1])) for s in path.steps
    )
    return Path(point(path.start), steps, path.width * factor, path.kind, path.grey)


class Ink:
    """Collects a stamp."""

    __slots__ = ("blocks", "lines", "patches", "shapes", "texts")

    def __init__(self) -> None:
        self.patches: list[float] = []
        self.lines: dict[LineStyle, list[float]] = {}
        self.blocks: dict[str, list[float]] = {}
        self.shapes: list[Shaped] = []
        self.texts: dict[TextStyle, tuple[list[float], list[str]]] = {}

    def strokes(self, style: LineStyle) -> list[float]:
        """Where the ends of strokes of that state go."""
        return self.lines.setdefault(style, [])

    def areas(self, kind: str) -> list[float]:
        """Where black rectangles of that kind go."""
        return self.blocks.setdefault(kind, [])

    def words(self, style: TextStyle) -> tuple[list[float], list[str]]:
        """Where texts of that state go: their places, and themselves."""
        return self.texts.setdefault(style, ([], []))

    def add(self, marks: Iterable[Mark], x: float = 0.0, y: float = 0.0) -> None:
        """Takes marks over, moved by (`x`, `y`). Raises ValueError for what a stamp has no place for: grey, dashes, raised text."""
        for m in marks:
            if isinstance(m, Block) and m.grey == 1.0:
                self.patches += (m.x + x, m.y + y, m.width, m.height)
                continue
            if m.grey or (isinstance(m, Line) and m.dash) or (isinstance(m, Text) and m.raised[0] < m.raised[1]):
                raise ValueError(f"a stamp is plain and black: {m}")
            if isinstance(m, Line):
                self.lines.setdefault(LineStyle(m.kind, m.width), []).extend((m.x1 + x, m.y1 + y, m.x2 + x, m.y2 + y))
            elif isinstance(m, Block):
                self.blocks.setdefault(m.kind, []).extend((m.x + x, m.y + y, m.width, m.height))
            elif isinstance(m, Path):
                self.shapes.append((Shape(m), x, y))
            else:
                places, words = self.words(TextStyle(m.face, m.size, m.kind))
                places += (m.x + x, m.y + y)
                words.append(m.text)

    def stamp(self) -> Stamp:
        """What was collected."""
        return Stamp(
            tuple(self.patches),
            tuple([(style, tuple(strokes)) for style, strokes in self.lines.items() if strokes]),
            tuple([(kind, tuple(areas)) for kind, areas in self.blocks.items() if areas]),
            tuple(self.shapes),
            tuple([(style, tuple(places), tuple(words)) for style, (places, words) in self.texts.items() if words]),
        )


class Placed(NamedTuple):
    """A stamp on a page: its origin, in points from the page's top left corner, and how many times as large it is printed."""

    stamp: Stamp
    x: float
    y: float
    factor: float = 1.0


class Marks(Sequence[Mark]):
    """The marks of a page: those of its stamps and the loose ones. Equal to any sequence of the same marks."""

    __slots__ = ("_all", "loose", "placed")

    def __init__(self, placed: Sequence[Placed], loose: Sequence[Mark]) -> None:
        self.placed = tuple(placed)
        self.loose = tuple(loose)
        self._all: tuple[Mark, ...] | None = None

    def _every(self) -> tuple[Mark, ...]:
        if self._all is None:
            inside = (m for p in self.placed for m in p.stamp.marks(p.x, p.y, p.factor))
            self._all = (*inside, *self.loose)
        return self._all

    def __len__(self) -> int:
        return len(self._every())

    @overload
    def __getitem__(self, index: int) -> Mark: ...

    @overload
    def __getitem__(self, index: slice) -> tuple[Mark, ...]: ...

    def __getitem__(self, index: int | slice) -> Mark | tuple[Mark, ...]:
        return self._every()[index]

    def __iter__(self) -> Iterator[Mark]:
        return iter(self._every())

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Marks):
            return self._every() == other._every()
        return self._every() == other

    def __hash__(self) -> int:
        return hash(self._every())
