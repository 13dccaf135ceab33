"""Songs for the tests of play-along and notation: small charts with everything that can go wrong, filled by the program."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from chartc.book.compile import compile_chart
from chartc.chart.song import Measure, Stretch
from chartc.neck.instrument import FifthString
from chartc.neck.instruments import five_string_banjo
from chartc.player import Player, load_player
from chartc.slots.part import FilledSlot, Note, Part
from chartc.text.diagnostic import show
from chartc.text.reading import read
from chartc.text.source import Source
from chartc.theory.chord import read_chord
from chartc.theory.key import Key
from chartc.theory.meter import Meter

FIVE_STRING_BANJO = five_string_banjo()

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.chartc"))

CROOKED = """\
title    The Crooked Culvert
credit   Hob Farrow
key      Bb
meter    4/4
tempo    quarter = 120
form     verse, chorus, verse, tag

section verse, 12 measures
  lead voice, fills banjo, chop mandolin
| pickup 1/4: F7 | Bb |
repeat 3 times
| Bb      | Eb F7   |
ending 1 and 2
| Gm      |
ending 3
| Bb      |
end repeat
| NC      | Bb/D    |

section chorus, 2 measures
| Eb      | Bb / / F7 |

section tag, 2 measures
| F7      | Bb      |
"""


@cache
def player() -> Player:
    """The usual player."""
    found, _ = load_player(None, ("backup", "chords"), ("a4", "letter"))
    assert found is not None
    return found


@cache
def example(stem: str, keys: tuple[str, ...] = ()) -> tuple[Part, ...]:
    """An example's parts."""
    path = next(p for p in EXAMPLES if p.stem == stem)
    source, _ = read(path)
    assert source is not None
    return parts(source, keys)


@cache
def chart(text: str, keys: tuple[str, ...] = ()) -> tuple[Part, ...]:
    """A chart's parts."""
    return parts(Source("chart", text), keys)


def parts(source: Source, keys: tuple[str, ...]) -> tuple[Part, ...]:
    """A source's parts, without any error."""
    *_, out = compile_chart(source, player(), keys)
    assert out.parts, show(out.found)
    return tuple(out.parts)


def one_measure(*notes: Note) -> Part:
    """A song of one measure over G, with these notes in it."""
    song = chart(CROOKED)[0].song
    span = song.sections[0].span
    chord = read_chord("G", Key(1))
    assert chord is not None
    bar = Measure(Meter(4, 4), 1920, 1, (Stretch(0, 1920, chord, span),), (None,), span)
    section = replace(song.sections[1], measures=(bar,), played=(0,), repeats=())
    song = replace(song, sections=(section,), order=(replace(song.order[0], section=0, measures=(0,)),))
    filled = FilledSlot(0, 1920, chord, "own", "lick", (1, 1), 10, notes, ())
    return Part(song, FIVE_STRING_BANJO, FifthString(0, 67, ""), (((filled,),),))
