"""Stamps: marks that stand together and are only moved, such as those of one measure. They are kept as plain numbers by state, not as
objects, so that they can be laid out and drawn once wherever they stand; whoever asks a page for its marks gets every one of them.

Coordinates are points from the stamp's own origin, y downwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, overload

from chartc.sheet.marks import GROUND, Block, Curve, Line, Mark, Path, Point, Text
from chartc.type.faces import Face


class TextStyle(NamedTuple):
    """What texts of one state share; the size is in points."""

    face: Face
    size: float
    kind: str
    grey: float = 0.0


class LineStyle(NamedTuple):
    """What strokes of one state share; the width is in points."""

    kind: str
    width: float
    grey: float = 0.0
    dash: tuple[float, ...] = ()


@dataclass(slots=True, eq=False)
class Shape:
    """A path that may stand at many places, told from others by what it is, not by its numbers. As a `Path`."""

    start: Point
    steps: tuple[Point | Curve, ...]
    width: float
    kind: str


def shape_of(path: Path) -> Shape:
    """A black path as a shape."""
    return Shape(path.start, path.steps, path.width, path.kind)


@dataclass(slots=True, eq=False)
class Stamp:
    """Marks that stand together, never changed. White patches lie beneath everything else but the ground; on them lie strokes, black
    areas, shapes and texts, in this order.

    Where they stand is told by plain numbers: four to a patch, stroke (its two ends) or area (corner, width, height), two to a shape or
    text (the left end of its baseline). A row of numbers is made, kept and drawn faster than an object for each mark."""

    patches: Sequence[float]
    lines: Mapping[LineStyle, Sequence[float]]
    areas: Mapping[str, Sequence[float]]
    """By kind."""
    shapes: Sequence[Shape]
    shape_places: Sequence[float]
    texts: Mapping[TextStyle, tuple[Sequence[float], Sequence[str]]]
    ground: bool
    """Whether all of it lies beneath other marks."""
    often: bool
    """Whether it stands at many places, so that it is worth keeping what was drawn of it."""

    def marks(self, x: float, y: float, factor: float) -> Iterator[Mark]:
        """The marks, the stamp's origin at (`x`, `y`), everything `factor` times as large."""
        f = factor
        for left, top, wide, tall in fours(self.patches):
            yield Block(x + left * f, y + top * f, wide * f, tall * f, "knock", 1.0)
        for line, ends in self.lines.items():
            dash = tuple([d * f for d in line.dash])
            for x1, y1, x2, y2 in fours(ends):
                yield Line(x + x1 * f, y + y1 * f, x + x2 * f, y + y2 * f, line.width * f, line.kind, line.grey, dash)
        for kind, corners in self.areas.items():
            for left, top, wide, tall in fours(corners):
                yield Block(x + left * f, y + top * f, wide * f, tall * f, kind)
        for shape, (right, down) in zip(self.shapes, pairs(self.shape_places), strict=True):
            yield moved(shape, x + right * f, y + down * f, f)
        for text, (places, words) in self.texts.items():
            for said, (left, base) in zip(words, pairs(places), strict=True):
                yield Text(x + left * f, y + base * f, said, text.face, text.size * f, text.kind, text.grey)


def pairs(numbers: Iterable[float]) -> Iterator[tuple[float, float]]:
    """Numbers by two."""
    one = iter(numbers)
    return zip(one, one, strict=True)


def threes(values: Iterable[Any]) -> Iterator[tuple[Any, Any, Any]]:
    """Values by three."""
    one = iter(values)
    return zip(one, one, one, strict=True)


def fours(numbers: Iterable[float]) -> Iterator[tuple[float, float, float, float]]:
    """Numbers by four."""
    one = iter(numbers)
    return zip(one, one, one, one, strict=True)


def moved(path: Path | Shape, x: float, y: float, factor: float) -> Path:
    """The path `factor` times as large, its origin at (`x`, `y`)."""

    def point(p: Point) -> Point:
        return (x + p[0] * factor, y + p[1] * factor)

    steps = tuple(
        (point(s[0]), point(s[1]), point(s[2])) if isinstance(s[0], tuple) else point((s[0], s[1])) for s in path.steps
    )
    grey = path.grey if isinstance(path, Path) else 0.0
    return Path(point(path.start), steps, path.width * factor, path.kind, grey)


class Ink:
    """Collects a stamp."""

    __slots__ = ("blocks", "lines", "patches", "shape_places", "shapes", "texts")

    def __init__(self) -> None:
        self.patches: list[float] = []
        self.lines: dict[LineStyle, list[float]] = {}
        self.blocks: dict[str, list[float]] = {}
        self.shapes: list[Shape] = []
        self.shape_places: list[float] = []
        self.texts: dict[TextStyle, tuple[list[float], list[str]]] = {}

    def strokes(self, style: LineStyle) -> list[float]:
        """Where the ends of strokes of that state go."""
        return self.lines.setdefault(style, [])

    def areas(self, kind: str) -> list[float]:
        """Where black rectangles of that kind go."""
        return self.blocks.setdefault(kind, [])

    def text(self, style: TextStyle, x: float, y: float, text: str) -> None:
        """Takes a text whose baseline begins at (`x`, `y`)."""
        self.add_texts(style, (x, y), (text,))

    def add_texts(self, style: TextStyle, places: Sequence[float], words: Sequence[str]) -> None:
        """Takes texts of one state; `places` has two numbers for each, where its baseline begins."""
        if not words:
            return
        if style in self.texts:
            known_places, known = self.texts[style]
            known_places += places
            known += words
        else:
            self.texts[style] = list(places), list(words)

    def shape(self, shape: Shape, x: float, y: float) -> None:
        """Takes a path, moved by (`x`, `y`)."""
        self.shapes.append(shape)
        self.shape_places += (x, y)

    def add(self, marks: Iterable[Mark], x: float = 0.0, y: float = 0.0) -> None:
        """Takes marks over, moved by (`x`, `y`). Raises ValueError for what a stamp has no place for: grey areas, raised text."""
        for m in marks:
            if isinstance(m, Block) and m.grey == 1.0:
                self.patches += (m.x + x, m.y + y, m.width, m.height)
                continue
            if (m.grey and isinstance(m, (Block, Path))) or (isinstance(m, Text) and m.raised[0] < m.raised[1]):
                raise ValueError(f"a stamp has no place for {m}")
            if isinstance(m, Line):
                self.lines.setdefault(LineStyle(m.kind, m.width, m.grey, m.dash), []).extend(
                    (m.x1 + x, m.y1 + y, m.x2 + x, m.y2 + y)
                )
            elif isinstance(m, Block):
                self.blocks.setdefault(m.kind, []).extend((m.x + x, m.y + y, m.width, m.height))
            elif isinstance(m, Path):
                self.shape(shape_of(m), x, y)
            else:
                self.text(TextStyle(m.face, m.size, m.kind, m.grey), m.x + x, m.y + y, m.text)

    def stamp(self, ground: bool = False, often: bool = False) -> Stamp:
        """What was collected; nothing may be added any more. `ground` tells that all of it lies beneath other marks (see `GROUND`),
        `often` that it stands at many places."""
        assert not ground or all(style.kind in GROUND for style in self.lines)
        return Stamp(self.patches, self.lines, self.blocks, self.shapes, self.shape_places, self.texts, ground, often)


Standing = tuple[Stamp, float, float, float]
"""A stamp on a page: its origin, in points from the page's top left corner, and how many times as large it is printed. A plain tuple is
made three times as fast as a named one."""


class Marks(Sequence[Mark]):
    """The marks of a page: those of its stamps and the loose ones. Equal to any sequence of the same marks."""

    __slots__ = ("_all", "_places", "loose", "stamps")

    def __init__(self, placed: Sequence[Standing], loose: Sequence[Mark]) -> None:
        self.stamps = tuple([stamp for stamp, _, _, _ in placed])
        self._places = tuple([v for _, x, y, factor in placed for v in (x, y, factor)])
        self.loose = tuple(loose)
        self._all: tuple[Mark, ...] | None = None

    @property
    def standing(self) -> Iterator[Standing]:
        """The stamps where they stand."""
        one = iter(self._places)
        return zip(self.stamps, one, one, one, strict=False)

    def _every(self) -> tuple[Mark, ...]:
        if self._all is None:
            inside = (m for stamp, x, y, factor in self.standing for m in stamp.marks(x, y, factor))
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
