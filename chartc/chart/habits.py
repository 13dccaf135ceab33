"""How a line is often written by those who know how to say it but not how it is written here: a comma left out, a colon, `bars`
for measures. Each has one meaning only, so that it can be put right without asking."""

from __future__ import annotations

import re
from collections.abc import Callable

_Rewrite = str | Callable[[re.Match[str]], str]
_NOTE = r"([A-G][b#♭♯]?\d)"


_COUNTED = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
NUMBERS = {word: number for number, word in enumerate(_COUNTED, 1)} | {"sixteen": 16}
"""Numbers that are written in words."""


def _measures(match: re.Match[str]) -> str:
    number = str(NUMBERS.get(match[2]) or match[2].lstrip("0") or "0")
    return f"section {match[1]}, {number} {'measure' if number == '1' else 'measures'}"


def _endings(match: re.Match[str]) -> str:
    first, last = int(match[1]), int(match[2])
    return "ending " + ", ".join(str(n) for n in range(first, last + 1)) if first < last else match[0]


_COLONS = (
    r".*\b(?:in|pickup)\s+\d+\s*/\s*\d+(?!\s*:|\d).*",
    lambda m: re.sub(r"\b(in|pickup)\s+(\d+)\s*/\s*(\d+)(?!\s*:|\d)", r"\1 \2/\3:", m[0]),
)
_COMMAS = (
    r".*,\s*,.*|\w+\s*,.*|.*[/+>].*",
    lambda m: re.sub(r"(form)[\s,]*", r"\1 ", re.sub(r"\s*(?:[,/+>]\s*)+", ", ", m[0]), count=1),
)

HABITS: dict[str, tuple[tuple[str, _Rewrite], ...]] = {
    "section": (
        (r"section\s+(.+?)\s*[,:]\s*(\d{1,5})(?:\s*(?:measures?|bars?))?", _measures),
        (r"section\s+(.+?)\s*[,:]?\s+(\d{1,5})\s*(?:measures?|bars?|m[ea]+s\w{0,8})", _measures),
        (r"section\s+(.+?)\s*,\s*(?:measures?|bars?)\s+(\d{1,5})", _measures),
        (rf"section\s+(.+?)\s*,\s*({'|'.join(NUMBERS)})\s+(?:measures?|bars?)", _measures),
        (r"section\s+[\"“”„\[(]([^\"“”„\[\]()]+)[\"“”\])]\s*[,:]?\s*(\d{1,5})\s*(?:measures?|bars?)", _measures),
        (r"section\s+(.+?)\s+like\s+(.+)", r"section \1 as \2"),
    ),
    "meter": (
        (r"meter\s+(\d+)\s*[-:,. ]\s*(\d+)", r"meter \1/\2"),
        (r"meter\s+(\d+\s*/\s*\d+)\s+time", r"meter \1"),
    ),
    "tempo": (
        (r"tempo\s+([a-z][a-z ]*?)\s*[:,]?\s+(\d+)", r"tempo \1 = \2"),
        (r"tempo\s+(\d+)\s*=\s*([a-z ]+)", r"tempo \2 = \1"),
        (r"tempo\s+([a-z ]+?)\s*=\s*(\d+)\s*(?:bpm|BPM|(?:a|per)\s+minute)", r"tempo \1 = \2"),
    ),
    "melody": ((rf"melody\s+{_NOTE}\s*(?:[-–—,]|\.\.+|\s)\s*{_NOTE}", r"melody \1 to \2"),),
    "form": (_COMMAS,),
    "repeat": (
        (r"repeat\s+x?\s*(\d+)\s*(?:x|time)?", r"repeat \1 times"),
        (r"repeat\s+twice", "repeat"),
        (rf"repeat\s+({'|'.join(NUMBERS)})(?:\s+times)?", lambda m: f"repeat {NUMBERS[m[1]]} times"),
        (r"repeat\s+end", "end repeat"),
    ),
    "ending": (
        (r"ending\s+(\d)(?:st|nd|rd|th)?\s*[.:]?", r"ending \1"),
        (r"ending\s+(\d)\s*(?:-|–|to)\s*(\d)", _endings),
    ),
    "end": ((r"end(?:\s+of)?(?:\s+the)?(?:\s+repeat)?", "end repeat"),),
    "chords": (_COLONS,),
    "voice": ((r"voice\s+([^|].*)", r"voice | \1"),),
    "ask": ((r"ask\s+([^|].*)", r"ask | \1"),),
    "words": ((r"words\s+([^|].*)", r"words | \1"),),
}  # fmt: skip
"""For each kind of line the ways in which it is often written, and how it is written here."""

_COMPILED = {kind: [(re.compile(pattern), rewrite) for pattern, rewrite in habits] for kind, habits in HABITS.items()}


LONGEST = 500
"""Characters of the longest line that is looked at: no pattern may take long on a heap of nonsense."""


def usual_slip(kind: str, text: str) -> tuple[tuple[int, int, str], ...]:
    """The edits that make a line of a kind out of one of the usual ways to write it; none where it is none of them. Nothing is
    said about whether the line can then be read."""
    bare = text.strip(" ")
    if len(bare) > LONGEST:
        return ()
    for pattern, rewrite in _COMPILED.get(kind, ()):
        match = pattern.fullmatch(bare)
        new = "" if match is None else rewrite(match) if callable(rewrite) else match.expand(rewrite)
        if new and new != bare:
            return (trimmed(bare, new, len(text) - len(text.lstrip(" ")) + 1),)
    return ()


def trimmed(old: str, new: str, column: int) -> tuple[int, int, str]:
    """The smallest edit that makes `new` of `old`, which begins at `column`."""
    start = 0
    while start < min(len(old), len(new)) and old[start] == new[start]:
        start += 1
    end = 0
    while end < min(len(old), len(new)) - start and old[len(old) - 1 - end] == new[len(new) - 1 - end]:
        end += 1
    return column + start, column + len(old) - end, new[start : len(new) - end]
