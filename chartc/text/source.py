"""A text with a name, and places in it."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """A file's text as read.

    `name` is how the file is shown to the user; `lines` are the text's lines without their ends (a lone CR, CR LF and LF
    all end a line). Compared by identity: two readings are two sources.
    """

    name: str
    text: str
    lines: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        text = self.text.replace("\r\n", "\n").replace("\r", "\n")
        lines = text.split("\n")
        if lines and lines[-1] == "":
            lines.pop()
        object.__setattr__(self, "lines", tuple(lines))

    def line(self, number: int) -> str:
        """Line `number` (from 1); empty where there is none."""
        return self.lines[number - 1] if 1 <= number <= len(self.lines) else ""

    def span(self, line: int, column: int = 1, end: int | None = None) -> Span:
        """The place on `line` from `column` (from 1) up to, not including, `end` (default: the end of the line)."""
        return Span(self, line, column, len(self.line(line)) + 1 if end is None else end)


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of one line: columns count code points from 1, `end` is the first column after it."""

    source: Source = field(repr=False)
    line: int
    column: int
    end: int

    @property
    def text(self) -> str:
        """The characters in the stretch."""
        return self.source.line(self.line)[self.column - 1 : self.end - 1]

    def to(self, other: Span) -> Span:
        """From the start of this place to the end of `other`, as far as it lies on the same line."""
        if other.line != self.line:
            return self
        return Span(self.source, self.line, self.column, max(self.end, other.end))
