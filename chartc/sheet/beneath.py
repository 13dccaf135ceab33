"""Words beneath chords: what is said of a chord stands under it and under no other. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from chartc.type.faces import Face, width, wrap

GAP = 5.0
"""From the words of one chord to the next chord, at the least."""

SLACK = 0.01
"""What counts for nothing: room that was reckoned with other sums."""

PLACE: Face = "bold"
NAME: Face = "regular"


class Cue(NamedTuple):
    """What is said of the chord at a tick: where the hand goes and which lick is played; either may be empty."""

    at: int
    place: str
    name: str


class Word(NamedTuple):
    """A piece of text beneath a measure: its left edge, its line counted from 0, and its face."""

    x: float
    line: int
    text: str
    face: Face


def least(cue: Cue, size: float) -> float:
    """The width in which no word of a cue is broken."""
    words = [width(word, NAME, size) for word in cue.name.split()]
    return max([width(cue.place, PLACE, size), *words])


def placed(cues: Sequence[Cue], spans: Sequence[tuple[float, float]], size: float) -> tuple[Word, ...]:
    """The words of a measure's chords, each within the span from its chord to the next one. Where one finds no room there, all stand one
    beneath the other like stairs, each from its own chord to the measure's end."""
    spans = [(a, b + SLACK) for a, b in spans]
    if all(least(cue, size) <= b - a for cue, (a, b) in zip(cues, spans, strict=True)):
        return tuple([w for cue, span in zip(cues, spans, strict=True) for w in _lines(cue, *span, size)])
    out: list[Word] = []
    start, end = spans[0][0], spans[-1][1]
    for cue, (a, _) in zip(cues, spans, strict=True):
        # further left only where not even the parts of its words would find room: what stands elsewhere is read as another chord's
        x = max(start, min(a, end - least(cue._replace(name=_at_hyphens(cue.name)), size)))
        first = out[-1].line + 1 if out else 0
        out += [w._replace(line=w.line + first) for w in _lines(cue, x, end, size)]
    return tuple(out)


def _space(size: float) -> float:
    return size * 0.28


def _long(cue: Cue, size: float) -> float:
    """The width of a cue on one line."""
    between = _space(size) if cue.place and cue.name else 0.0
    return width(cue.place, PLACE, size) + between + width(cue.name, NAME, size)


def _lines(cue: Cue, a: float, b: float, size: float) -> list[Word]:
    """A cue on one line, else the name beneath the place."""
    out = [Word(a, 0, cue.place, PLACE)] if cue.place else []
    if out and _long(cue, size) <= b - a:
        return [*out, Word(a + width(cue.place, PLACE, size) + _space(size), 0, cue.name, NAME)] if cue.name else out
    return out + [Word(a, len(out) + n, line, NAME) for n, line in enumerate(_broken(cue.name, size, b - a))]


def _at_hyphens(name: str) -> str:
    return name.replace("-", "- ")


def _broken(name: str, size: float, room: float) -> tuple[str, ...]:
    """A name in lines: broken at its spaces, at its hyphens only where a word is wider than the room, inside only where a part of one is."""
    if all(width(word, NAME, size) <= room for word in name.split()):
        return wrap(name, NAME, size, room)
    return tuple([line.replace("- ", "-") for line in wrap(_at_hyphens(name), NAME, size, room)])
