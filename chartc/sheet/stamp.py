"""Stamps: marks that stand together and are only moved, such as those of one measure. They are kept as plain numbers by state, not as
objects, so that they can be laid out and drawn once wherever they stand; whoever asks a page for its marks gets every one of them.

Coordinates are points from the stamp's own origin, y downwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple, TypeVar, overload

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


Numbers = tuple[float, ...]
"""Four to a stroke (its two ends), four to a rectangle (corner, width, height), two to a text (the left end of its baseline): a flat row
of numbers is made, kept and drawn faster than an object for each mark."""


@dataclass(slots=True, eq=False)
class Stamp:
    """Marks that stand together, never changed. White `patches` lie beneath everything else but the ground. Of strokes, black `areas`, shapes and
    texts, what they are and where they stand are two rows side by side: one row of numbers for each style of stroke or text and for
    each kind of area, two numbers for each shape."""

    patches: Numbers = ()
    line_styles: tuple[LineStyle, ...] = ()
    strokes: tuple[Numbers, ...] = ()
    area_kinds: tuple[str, ...] = ()
    areas: tuple[Numbers, ...] = ()
    shapes: tuple[Shape, ...] = ()
    shape_places: Numbers = ()
    text_styles: tuple[TextStyle, ...] = ()
    texts: tuple[tuple[str, ...], ...] = ()
    text_places: tuple[Numbers, ...] = ()
    ground: bool = False
    """Whether all of it lies beneath other marks."""

    def marks(self, x: float, y: float, factor: float) -> Iterator[Mark]:
        """The marks, the stamp's origin at (`x`, `y`), everything `factor` times as large."""
        f = factor
        for left, top, wide, tall in fours(self.patches):
            yield Block(x + left * f, y + top * f, wide * f, tall * f, "knock", 1.0)
        for line, strokes in zip(self.line_styles, self.strokes, strict=True):
            dash = tuple([d * f for d in line.dash])
            for x1, y1, x2, y2 in fours(strokes):
                yield Line(x + x1 * f, y + y1 * f, x + x2 * f, y + y2 * f, line.width * f, line.kind, line.grey, dash)
        for kind, areas in zip(self.area_kinds, self.areas, strict=True):
            for left, top, wide, tall in fours(areas):
                yield Block(x + left * f, y + top * f, wide * f, tall * f, kind)
        for shape, (right, down) in zip(self.shapes, pairs(self.shape_places), strict=True):
            yield moved(shape, x + right * f, y + down * f, f)
        for text, words, places in zip(self.text_styles, self.texts, self.text_places, strict=True):
            for said, (left, base) in zip(words, pairs(places), strict=True):
                yield Text(x + left * f, y + base * f, said, text.face, text.size * f, text.kind, text.grey)


def pairs(numbers: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Numbers by two."""
    one = iter(numbers)
    return zip(one, one, strict=True)


def threes(values: Sequence[Any]) -> Iterator[tuple[Any, Any, Any]]:
    """Values by three."""
    one = iter(values)
    return zip(one, one, one, strict=True)


def fours(numbers: Sequence[float]) -> Iterator[tuple[float, float, float, float]]:
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

    def words(self, style: TextStyle) -> tuple[list[float], list[str]]:
        """Where texts of that state go: their places, and themselves."""
        return self.texts.setdefault(style, ([], []))

    def text(self, style: TextStyle, x: float, y: float, text: str) -> None:
        """Takes a text whose baseline begins at (`x`, `y`)."""
        places, words = self.texts.setdefault(style, ([], []))
        places += (x, y)
        words.append(text)

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

    def __bool__(self) -> bool:
        return bool(self.lines or self.texts or self.blocks or self.shapes or self.patches)

    def stamp(self, ground: bool = False) -> Stamp:
        """What was collected; `ground` tells that all of it lies beneath other marks (see `GROUND`)."""
        assert not ground or all(style.kind in GROUND for style in self.lines)
        lines, blocks, texts = self.lines, self.blocks, self.texts
        return Stamp(
            tuple(self.patches),
            _shared(tuple(lines)),
            tuple([tuple(one) for one in lines.values()]),
            tuple(blocks),
            tuple([tuple(one) for one in blocks.values()]),
            tuple(self.shapes),
            tuple(self.shape_places),
            _shared(tuple(texts)),
            tuple([tuple(words) for _, words in texts.values()]),
            tuple([tuple(places) for places, _ in texts.values()]),
            ground,
        )


Styles = TypeVar("Styles", bound=tuple[Any, ...])


@lru_cache(maxsize=1024)
def _shared(styles: Styles) -> Styles:
    """One of all equal tuples: stamps have few sets of styles, and fewer objects are less to look after."""
    return styles


class Placed(NamedTuple):
    """A stamp on a page: its origin, in points from the page's top left corner, and how many times as large it is printed."""

    stamp: Stamp
    x: float
    y: float
    factor: float = 1.0


class Marks(Sequence[Mark]):
    """The marks of a page: those of its stamps and the loose ones. Equal to any sequence of the same marks."""

    __slots__ = ("_all", "_places", "loose", "stamps")

    def __init__(self, placed: Sequence[Placed], loose: Sequence[Mark]) -> None:
        self.stamps = tuple([p.stamp for p in placed])
        self._places = tuple([v for _, x, y, factor in placed for v in (x, y, factor)])
        self.loose = tuple(loose)
        self._all: tuple[Mark, ...] | None = None

    @property
    def placed(self) -> Iterator[Placed]:
        """The stamps where they stand."""
        one = iter(self._places)
        return map(Placed, self.stamps, one, one, one)

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
