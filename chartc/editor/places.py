"""Places as editors count them (Language Server Protocol 3.17, Position): lines from 0, and within a line code units of UTF-16,
or of UTF-8 or UTF-32 where editor and server have agreed on that."""

from __future__ import annotations

from typing import Literal

Units = Literal["utf-8", "utf-16", "utf-32"]
_SIZE = {"utf-8": 1, "utf-16": 2, "utf-32": 4}
_CODEC = {"utf-8": "utf-8", "utf-16": "utf-16-le", "utf-32": "utf-32-le"}


def units(text: str, kind: Units) -> int:
    """How many code units a text has."""
    return len(text) if text.isascii() else len(text.encode(_CODEC[kind], "surrogatepass")) // _SIZE[kind]


def character(line: str, column: int, kind: Units) -> int:
    """The editor's character of a column (from 1, in code points) of a line; the line's length for a column beyond its end."""
    return units(line[: column - 1], kind)


def column(line: str, character: int, kind: Units) -> int:
    """The column of an editor's character; one within a sign is that sign's, one beyond the end is the end's."""
    if line.isascii():
        return min(character, len(line)) + 1
    left = character
    for n, sign in enumerate(line):
        left -= units(sign, kind)
        if left < 0:
            return n + 1
    return len(line) + 1
