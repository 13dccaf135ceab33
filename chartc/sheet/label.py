"""A chord's name as printed: the letter and the minor sign on the line, figures and what goes with them raised and smaller; all of
it is one word of text, to be searched and copied."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

from chartc.sheet.marks import RAISED, Text
from chartc.theory import pitch
from chartc.theory.chord import Chord, degree_label, pretty
from chartc.theory.key import Key
from chartc.type import faces

# what stays on the line: a minor sign, or the words for a triad of its own
_ON_LINE = re.compile(r"m(?!aj)|dim|aug|")


class Label(NamedTuple):
    """The words, and the range of characters in them that is raised."""

    words: str
    raised: tuple[int, int] = (0, 0)

    def width(self, size: float) -> float:
        """Width in points."""
        return _thousandths(self) * size / 1000

    def text(self, x: float, y: float, size: float) -> Text:
        """The mark, on the baseline `y`."""
        return Text(x, y, self.words, "bold", size, "chord", raised=self.raised)


@lru_cache(maxsize=4096)
def _thousandths(label: Label) -> float:
    a, z = label.raised
    words = label.words
    line = faces.width(words[:a], "bold", 1000) + faces.width(words[z:], "bold", 1000)
    return line + faces.width(words[a:z], "bold", 1000 * RAISED)


Naming = Callable[[Chord | None], Label]
"""How chords are called on a sheet."""

NO_CHORD = Label("N.C.")


@lru_cache(maxsize=4096)
def by_letter(chord: Chord | None) -> Label:
    """`B♭maj7`, `C/G`, and `N.C.` where there is no chord."""
    if chord is None:
        return NO_CHORD
    return _joined(pitch.name(pitch.simple(chord.root)), chord, lambda tone: pitch.name(pitch.simple(tone)))


def by_degree(key: Key) -> Naming:
    """The names of chords in a key as degrees, counted from the major scale on the tonic: `1`, `6m`, `♭7`, `5` with a raised 7."""

    @lru_cache(maxsize=1024)
    def named(chord: Chord | None) -> Label:
        if chord is None:
            return NO_CHORD
        return _joined(degree_label(chord.root, key), chord, lambda tone: degree_label(tone, key))

    return named


def _joined(root: str, chord: Chord, name: Callable[[int], str]) -> Label:
    suffix = chord.quality.suffix
    match = _ON_LINE.match(suffix)
    cut = match.end() if match else 0
    line, raised = pretty(suffix[:cut]), pretty(suffix[cut:])
    bass = "" if chord.bass is None else "/" + name(chord.bass)
    start = len(root) + len(line)
    return Label(root + line + raised + bass, (start, start + len(raised)))
