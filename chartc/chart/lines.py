"""The line splitter: what kind of line it is, where its comment begins, and characters that no chart may hold."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

STARTS: dict[str, str] = {
    "title": "title_line",
    "credit": "credit_line",
    "language": "language_line",
    "key": "key_line",
    "meter": "meter_line",
    "tempo": "tempo_line",
    "melody": "melody_line",
    "form": "form_line",
    "section": "section_line",
    "lead": "job_line",
    "fills": "job_line",
    "chop": "job_line",
    "voice": "voice_row",
    "ask": "ask_row",
    "words": "words_row",
    "repeat": "repeat_line",
    "ending": "ending_line",
    "end": "end_line",
}
"""The start rule of the grammar for each first word; a line that begins with a bar line is a `chord_row`."""

HEADERS = ("title", "credit", "language", "key", "meter", "tempo", "melody", "form")
SIDE_ROWS = ("voice", "ask", "words")

_TEXTS = ("title", "credit", "words")
# every space of Unicode is one space, and so is a byte-order mark; the columns stay as they are
_SPACES = dict.fromkeys(
    [0x09, 0xA0, 0x1680, *range(0x2000, 0x200B), 0x202F, 0x205F, 0x3000],
    " ",
)
_FIRST = re.compile(r" *([^ |;]+|\|)?")
_TEXT_PART = re.compile(r"(?:[^;]|;;)*")
_BAD = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})


@dataclass(frozen=True, slots=True)
class Split:
    """A line taken apart: `first` is its first word (`|` for a row, empty where there is nothing), `text` the line without
    its comment and with plain spaces, `comment` the column of the comment mark or 0; `bad` the columns of forbidden characters."""

    first: str
    text: str
    comment: int
    bad: tuple[int, ...] = ()

    @property
    def start(self) -> str:
        """The start rule, empty where the first word is no keyword."""
        return "chord_row" if self.first == "|" else STARTS.get(self.first, "")


def split(raw: str, number: int) -> Split:
    """Line `number` taken apart."""
    text = raw.translate(_SPACES)
    if number == 1 and text.startswith("\ufeff"):
        text = " " + text[1:]
    bad: tuple[int, ...] = ()
    if not text.isprintable():
        bad = tuple(n for n, c in enumerate(text, 1) if unicodedata.category(c) in _BAD)
    match = _FIRST.match(text)
    first = (match and match[1]) or ""
    comment = 0
    if ";" in text:
        if first in _TEXTS:
            part = _TEXT_PART.match(text)
            cut = part.end() if part else 0
        else:
            cut = text.index(";")
        if cut < len(text):
            comment, text = cut + 1, text[:cut]
    return Split(first, text.rstrip(" "), comment, bad)


def character(char: str) -> str:
    """How a character that does not show is named in a message."""
    return f"U+{ord(char):04X} {unicodedata.name(char, 'a control character')}".lower().replace("u+", "U+")
