"""The chart as written: one node for each line, with places. Nothing is understood yet, and nothing is lost.

A node knows its columns, the line knows its number: equal lines share one node. Columns count code points from 1.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Protocol

from chartc.text.source import Source, Span


class Placed(Protocol):
    """Anything that lies in a line, from `column` up to, not including, `end`."""

    @property
    def column(self) -> int:
        """The first column."""

    @property
    def end(self) -> int:
        """The first column after it."""


@dataclass(frozen=True, slots=True)
class Word:
    """A word, a name or a text with its place; in names and texts runs of spaces are folded and accents composed."""

    text: str
    column: int
    end: int


@dataclass(frozen=True, slots=True)
class Header:
    """A header other than the form. `words` are its values: title and credit have one text, language one word, key its words, meter count and
    unit, tempo the note and the number, melody the lowest and the highest note."""

    keyword: str
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Use:
    """A section's name: `verse`, or `break as verse` with `source` verse."""

    name: Word
    source: Word | None = None

    @property
    def column(self) -> int:
        """Where the name begins."""
        return self.name.column

    @property
    def end(self) -> int:
        """Where the last name ends."""
        return (self.source or self.name).end

    @property
    def text(self) -> str:
        """The whole name with single spaces."""
        return self.name.text if self.source is None else f"{self.name.text} as {self.source.text}"


@dataclass(frozen=True, slots=True)
class Form:
    """A form line: the sections in the order in which they are played."""

    uses: tuple[Use, ...]


@dataclass(frozen=True, slots=True)
class SectionLine:
    """The line that begins a section; `count` is the declared number of measures, None where measures are borrowed."""

    use: Use
    count: Word | None


@dataclass(frozen=True, slots=True)
class Job:
    """`job` is lead, fills or chop; `player` is who does it."""

    job: Word
    player: Word


@dataclass(frozen=True, slots=True)
class Jobs:
    """A line that says who leads, who fills and who chops."""

    jobs: tuple[Job, ...]


@dataclass(frozen=True, slots=True)
class Length:
    """A measure's own length: `in 2/4:` or `pickup 1/4:`."""

    pickup: bool
    count: Word
    unit: Word
    column: int
    end: int


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands between two bar lines of a chord row."""

    length: Length | None
    words: tuple[Word, ...]
    column: int
    end: int


@dataclass(frozen=True, slots=True)
class ChordRow:
    """A row of chords."""

    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class SideCell:
    """What stands between two bar lines of a row beneath: the words of each part (parts are separated by commas in the
    row that asks; the other rows have one part)."""

    parts: tuple[tuple[Word, ...], ...]
    column: int
    end: int


@dataclass(frozen=True, slots=True)
class SideRow:
    """A row beneath the chords; `kind` is voice, ask or words."""

    kind: str
    cells: tuple[SideCell, ...]


@dataclass(frozen=True, slots=True)
class RepeatLine:
    """`repeat` or `repeat 3 times`."""

    times: Word | None


@dataclass(frozen=True, slots=True)
class EndingLine:
    """`ending 1` or `ending 1, 2`."""

    numbers: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class EndRepeat:
    """`end repeat`."""


@dataclass(frozen=True, slots=True)
class Broken:
    """A line that could not be read; an error has been reported. `kind` is what it seems to be, empty where nobody can tell."""

    kind: str


Node = Header | Form | SectionLine | Jobs | ChordRow | SideRow | RepeatLine | EndingLine | EndRepeat | Broken


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the file. `node` is None where the line has only a comment or nothing; `column` and `end` enclose the
    line's text without its comment."""

    source: Source = field(repr=False)
    number: int
    node: Node | None
    comment: Word | None
    column: int
    end: int

    def span(self, part: Placed | None = None) -> Span:
        """The place of a part of the line, or of the line's whole text."""
        where: Placed = self if part is None else part
        return Span(self.source, self.number, where.column, where.end)


@dataclass(frozen=True, slots=True)
class Chart:
    """All lines of a chart, in order."""

    source: Source = field(repr=False)
    lines: tuple[Line, ...]
