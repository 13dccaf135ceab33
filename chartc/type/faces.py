"""Faces, the widths of their characters, and which characters they have.

Text is set in a packaged face; the few music signs that it lacks come from a face of our own, so that they stay text. A
run of text is split between the two. Sizes and widths are in points.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Literal

Face = Literal["regular", "bold", "italic", "signs"]
FACES: tuple[Face, ...] = ("regular", "bold", "italic", "signs")

CAP_HEIGHT = 0.698
"""Height of capitals and figures over the size."""
ASCENT = 0.78
"""Height of the tallest small letters and of the music signs over the size."""
X_HEIGHT = 0.53
"""Height of letters such as x over the size."""
DESCENT = 0.22
"""Depth of letters such as p over the size."""

LACKING = "\N{REPLACEMENT CHARACTER}"
"""Stands, visibly, for a character that no face has."""

_FILES: dict[Face, str] = {"regular": "Regular", "bold": "Bold", "italic": "Italic"}


@cache
def file(face: Face) -> Path:
    """The TrueType file of a face."""
    if face == "signs":
        return Path(__file__).with_name("signs.ttf")
    import fontpkg_ibm_plex_sans_condensed as package

    return Path(package.__file__).parent / "files" / f"IBMPlexSansCondensed-{_FILES[face]}.ttf"


@cache
def font(face: Face) -> Any:
    """The face as the PDF library's font object, registered under the name `chartc-` and the face's name."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    made = TTFont(f"chartc-{face}", str(file(face)), shapable=False)
    pdfmetrics.registerFont(made)
    return made


@cache
def widths(face: Face) -> dict[int, float]:
    """Advance of each character that a face has, in thousandths of the size, by code point."""
    face_object = font(face).face
    # the last entry of a face's table is no character
    return {code: float(face_object.getCharWidth(code)) for code in face_object.charToGlyph if 32 <= code != 0xFFFF}


def missing(text: str) -> str:
    """The characters of a text that no face has, each once, in order; empty where all can be printed."""
    return _lacking(_plain(text))


def _lacking(plain: str) -> str:
    have = _characters("regular") | _characters("signs")
    return "" if have.issuperset(plain) else "".join(dict.fromkeys(c for c in plain if c not in have))


@cache
def _characters(face: Face) -> frozenset[str]:
    return frozenset(map(chr, widths(face)))


@cache
def _has_ascii(face: Face) -> bool:
    return all(code in widths(face) for code in range(32, 127))


@lru_cache(maxsize=8192)
def shown(text: str) -> str:
    """The text as it will be printed: composed, with the mark `LACKING` for every character that no face has."""
    if text.isascii() and text.isprintable() and _has_ascii("regular"):
        return text  # most texts: nothing to compose, nothing can be missing
    text = _plain(text)
    lost = _lacking(text)
    return "".join(LACKING if c in lost else c for c in text) if lost else text


def _plain(text: str) -> str:
    # all white space is a plain space in print; combining accents are joined to their letters where one character has both
    return _SPACE.sub(" ", unicodedata.normalize("NFC", text))


_SPACE = re.compile(r"\s")


@lru_cache(maxsize=8192)
def runs(text: str, face: Face) -> tuple[tuple[Face, str], ...]:
    """The printed text in pieces, each with the face that has its characters."""
    text = shown(text)
    if text and ((text.isascii() and _has_ascii(face)) or _characters(face).issuperset(text)):
        return ((face, text),)
    have = widths(face)
    out: list[tuple[Face, str]] = []
    for c in text:
        own: Face = face if ord(c) in have else "signs"
        if out and out[-1][0] == own:
            out[-1] = (own, out[-1][1] + c)
        else:
            out.append((own, c))
    return tuple(out)


@lru_cache(maxsize=8192)
def _thousandths(text: str, face: Face) -> float:
    known = _advances(face)
    try:
        return sum([known[c] for c in text])
    except KeyError:
        return _slowly(text, face)


@cache
def _advances(face: Face) -> dict[str, float]:
    """Advances of the characters that need no thought, from whichever face has them: plain letters and those with accents, dashes and
    the like, and the music signs. None of them is joined to the one before, and none is white but the space."""
    own, signs = widths(face), widths("signs")
    plain = (*range(32, 127), *range(0xA1, 0x180), *range(0x2010, 0x2028), 0x266D, 0x266E, 0x266F, 0x1D10D)
    return {chr(c): own[c] if c in own else signs[c] for c in plain if c in own or c in signs}


def _slowly(text: str, face: Face) -> float:
    return sum(widths(own)[ord(c)] for own, piece in runs(text, face) for c in piece)


def width(text: str, face: Face, size: float) -> float:
    """How wide the text is in points."""
    return _thousandths(text, face) * size / 1000


@lru_cache(maxsize=4096)
def wrap(text: str, face: Face, size: float, room: float) -> tuple[str, ...]:
    """The text in lines no wider than `room` points, broken at spaces; a word that is wider alone is broken inside."""
    words = shown(text).split()
    line = " ".join(words)
    if width(line, face, size) <= room:
        return (line,) if line else ()
    lines: list[str] = []
    line = ""
    for word in words:
        if line and width(f"{line} {word}", face, size) > room:
            lines.append(line)
            line = ""
        while width(word, face, size) > room and len(word) > 1:
            cut = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or width(word[:n], face, size) <= room)
            lines.append(word[:cut])
            word = word[cut:]
        line = f"{line} {word}" if line else word
    return (*lines, line) if line else tuple(lines)
