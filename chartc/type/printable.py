"""Words that are to be printed and have a place in a file: every character must be in the type."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source, Span
from chartc.text.tree import Leaf
from chartc.type.faces import missing


def lacking(char: str, place: Span | None, file: str = "") -> Diagnostic:
    """The finding that no face has this character; `file` names the file where there is no place."""
    message = f"the sheet's type has no sign {char!r} (U+{ord(char):04X})"
    return Diagnostic("character-missing", message, place, "write it with another character", file=file)


def unprintable(words: Iterable[Leaf | None]) -> Iterator[Diagnostic]:
    """The characters of some words that no face has, each at its first place in each file; what is None is passed over."""
    seen: set[tuple[Source, str]] = set()
    for leaf in sorted((w for w in words if w is not None), key=lambda w: w.span.line):
        # most words are plain, for which no face need be opened
        if leaf.text.isascii() and leaf.text.isprintable():
            continue
        for char in missing(leaf.text):
            if (leaf.span.source, char) not in seen:
                seen.add((leaf.span.source, char))
                yield lacking(char, _place(char, leaf.span))


def _place(char: str, span: Span) -> Span:
    """Where the character stands: words may go on in the next lines, and one that is written as an escape is nowhere."""
    source = span.source
    for number in range(span.line, len(source.lines) + 1):
        column = source.line(number).find(char, span.column - 1 if number == span.line else 0) + 1
        if column:
            return source.span(number, column, column + 1)
    return span
