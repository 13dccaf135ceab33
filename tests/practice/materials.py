"""Material for the tests of practice: a song filled by the program, and licks made by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from chartc.book.compile import read_song
from chartc.chart.song import in_key
from chartc.licks.library import load_library
from chartc.licks.lick import Lick
from chartc.practice.items import Material, of_licks, of_song
from chartc.practice.through import blank, maker_for
from chartc.slots.choose import choose
from chartc.slots.problem import Means
from chartc.text.diagnostic import show
from chartc.text.reading import read
from chartc.text.source import Source
from chartc.theory.key import Key, parse_key
from chartc.theory.meter import Meter, Tempo
from tests.export.songs import EXAMPLES, player

HAND_MADE = """licks:
  - {name: low-ladder, role: lick, chord: G, strings: 3 2 1 2 3 2 1 5, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M T}
  - {name: thumb-out, role: lick, chord: G, strings: 1 2 3 1 2 3 1 5, frets: 0 0 0 0 0 0 0 0, picks: M I T M I T M T}
  - {name: fast-thumb, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M I}
  - {name: two-banks, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0,
     picks: T I M I T I M I T I M I T I M I}
  - {name: long-ladder, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2 3 2 1 2 3 2 1 5, frets: 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0,
     picks: T I M I T I M I T I M I T I M T}
  - {name: far-reach, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2, frets: 4 0 0 3 4 0 5 3, picks: T I M I T I M I,
     fingers: m . . i m . p i}
  - {name: pull-first, role: lick, chord: G, strings: 3 2 1 2 3 2 1 3, frets: 4 0 0 0 p0 0 0 0, picks: T I M I . I M T}
  - {name: grab-roll, role: roll, strings: 3 2 1 5 3 2 1 5, picks: T I M T I M I T}
  - {name: up-to-c, role: lead-in, chord: any, to: C, strings: 3 2, frets: 2 0, picks: T I, fingers: m .}
  - {name: down-to-g, role: lead-in, chord: any, to: G, strings: 4 4, frets: 2 4, picks: T I, fingers: i r}
"""


@cache
def licks() -> dict[str, Lick]:
    """The licks made by hand."""
    found, errors = load_library([Source("own.yaml", HAND_MADE)])
    errors = tuple(d for d in errors if d.severity == "error")
    assert not errors, show(errors)
    return found.by_name


@cache
def means() -> Means:
    """A player with these licks."""
    from chartc.licks.lick import Library

    return replace(player().means, library=Library(tuple(licks().values())))


def material(*names: str, tempo: int = 160, key: str = "G", meter: Meter | None = None) -> Material:
    """These licks at a tempo in quarter notes."""
    found = parse_key(key)
    assert found is not None
    song = blank("Licks", found, meter or Meter(4, 4), Tempo("quarter", tempo))
    return of_licks([licks()[n] for n in names], song, maker_for(song, means()), found.tonic - 1)


def library_material(count: int) -> Material:
    """So many one-measure licks of the program's library at a middle tempo."""
    song = blank("Licks", Key(1), Meter(4, 4), Tempo("quarter", 160))
    maker = maker_for(song, player().means)
    found = of_licks([x for x in player().means.library.licks if x.role == "lick" and x.steps == 8], song, maker)
    return replace(found, items=found.items[:count])


@cache
def song(stem: str, key: str = "") -> Material:
    """An example's licks and joins."""
    source, _ = read(next(p for p in EXAMPLES if p.stem == stem))
    assert source is not None
    found, errors = read_song(source, player())
    assert found is not None, show(errors)
    wanted = parse_key(key) if key else found.key
    assert wanted is not None
    filled, solution, _ = choose(in_key(found, wanted), player().means)
    assert solution is not None
    return of_song(filled, solution)
