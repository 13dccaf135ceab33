"""What a chart says, without its places: to tell whether two texts are the same chart."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace

from chartc.chart.song import Measure, Song, Stretch
from chartc.chart.syntax import Chart
from chartc.text.source import Source, Span
from chartc.theory import pitch
from chartc.theory.chord import Chord

_PLACES = ("column", "end")


def meaning(thing: object) -> object:
    """A song, or a part of one, as nested tuples without its places."""
    if isinstance(thing, (Span, Source)):
        return None
    if is_dataclass(thing) and not isinstance(thing, type):
        return (type(thing).__name__, *(meaning(getattr(thing, f.name)) for f in fields(thing)))
    if isinstance(thing, tuple):
        return tuple(map(meaning, thing))
    return thing


def simplified(song: Song) -> Song:
    """The song with every chord spelled as simply as it is printed: what is left where a chart cannot write a spelling."""

    def chord(c: Chord | None) -> Chord | None:
        return c and Chord(pitch.simple(c.root), c.quality, None if c.bass is None else pitch.simple(c.bass))

    def stretch(s: Stretch) -> Stretch:
        return replace(s, chord=chord(s.chord))

    def measure(m: Measure) -> Measure:
        return replace(m, stretches=tuple(map(stretch, m.stretches)))

    return replace(song, sections=tuple(replace(s, measures=tuple(map(measure, s.measures))) for s in song.sections))


def as_written(chart: Chart) -> tuple[object, ...]:
    """The lines of a chart that say something, without their places."""
    return tuple(_bare(line.node) for line in chart.lines if line.node is not None)


def _bare(thing: object) -> object:
    if is_dataclass(thing) and not isinstance(thing, type):
        return (type(thing).__name__, *(_bare(getattr(thing, f.name)) for f in fields(thing) if f.name not in _PLACES))
    if isinstance(thing, tuple):
        return tuple(map(_bare, thing))
    return thing


def comments(chart: Chart) -> tuple[str, ...]:
    """Every comment, in order, without spaces at its end."""
    return tuple(line.comment.text.rstrip() for line in chart.lines if line.comment is not None)
