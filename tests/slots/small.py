"""Help for the tests of the choice: songs in a few words, and a library small enough to count by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from chartc.chart import Vocabulary, read_chart
from chartc.chart.song import Song
from chartc.licks.library import load_library
from chartc.licks.lick import REST, ROLES, Library
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.neck.instruments import five_string_banjo
from chartc.slots.choose import fill
from chartc.slots.part import FilledSlot, Note, Part
from chartc.slots.problem import Means
from chartc.slots.rulebook import WEIGHTS, Rulebook, load_rulebook, own_rules
from chartc.text.diagnostic import Diagnostic, has_errors, show
from chartc.text.source import Source

FIVE_STRING_BANJO = five_string_banjo()

ROLLS = """
  - {name: oar-stroke, role: roll, meter: [4/4, 2/2, 2/4, 3/4], strings: 2 1 5 2 1 5 2 1, picks: I M T I M T I M,
     without-fifth: 2 1 3 2 1 3 2 1}
  - {name: paddle-wheel, role: roll, strings: 3 2 1 4 3 2 1 2, picks: T I M T T I M I}
"""

CHOP = """
  - {name: shed-door, role: vamp, meter: [4/4, 2/2, 2/4, 3/4], strings: 4 _ x2+x1 _ 3 _ x2+x1 _, picks: T _ I+M _ T _ I+M _}
"""

SAYINGS = """
  - {name: net-mender, role: lick, chord: G, strings: 3 2 1 2 3 2 1 5, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M T}
  - {name: tide-table, role: lick, chord: G, strings: 1 2 3 1 2 3 1 2, frets: 0 0 0 0 0 0 0 0, picks: M I T M I T M I}
  - {name: cold-anchor, role: lick, chord: C, strings: 2 1 3 2 1 3 2 1, frets: 1 2 0 1 2 0 1 2, picks: I M T I M T I M}
  - {name: low-lantern, role: fill, chord: G, strings: "3 3,3 2 1 3 2 1 2", frets: "0 2,h4 0 0 0 0 0 0",
     picks: "T I,. M I T I M I"}
  - {name: gull-cry, role: fill, chord: C, strings: "2 2,2 1 3 2 1 3 2", frets: "1 1,h3 2 0 1 2 0 1", picks: "I M,. I T M I T M"}
  - {name: plank-to-g, role: lead-in, chord: any, to: G, strings: 4 4, frets: 2 4, picks: T I, fingers: i r}
  - {name: plank-to-c, role: lead-in, chord: any, to: C, strings: 3 2, frets: 2 0, picks: T I, fingers: m .}
"""

LONG = """
  - {name: long-ferry, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0,
     picks: T I M I T I M I T I M I T I M I}
"""


def library(*parts: str, instrument: Instrument = FIVE_STRING_BANJO, limits: Limits | None = None) -> Library:
    """The library of such lists of licks, which must be without any finding."""
    if not parts:
        return Library(())
    found_library, found = load_library([Source("own.yaml", "licks:" + "".join(parts))], instrument, limits)
    assert not found, show(found)
    return found_library


def house() -> Rulebook:
    """The rulebook that comes with the program."""
    book, found = load_rulebook([own_rules()])
    assert not found, show(found)
    return book


def weighing(**only: int) -> Rulebook:
    """A rulebook without rules, in which only the given weights are not 0; `lead_in` stands for the weight `lead-in`."""
    given = {name.replace("_", "-"): value for name, value in only.items()}
    assert set(given) <= set(WEIGHTS)
    return Rulebook(tuple((name, given.get(name, 0)) for name in WEIGHTS), ())


def ruled(text: str) -> Rulebook:
    """A rulebook of such rules, in which every weight is 0."""
    book, found = load_rulebook([Source("rules.yaml", text)])
    assert not found, show(found)
    return replace(book, weights=tuple((name, 0) for name in WEIGHTS))


def means(lib: Library, book: Rulebook | None = None, **changes: object) -> Means:
    """A player with that library: the usual banjo and hands, unless `changes` say otherwise."""
    usual = Means(FIVE_STRING_BANJO, (7, 9, 10), Limits(), lib, book or house())
    return replace(usual, **changes)  # type: ignore[arg-type]


def song(rows: str, lib: Library | None = None, **headers: str) -> Song:
    """The song of rows of chords (one section, `verse`), or of whole sections where `rows` has any; `headers` replace the usual
    ones. It must be without errors."""
    usual = {"title": "Six Planks", "key": "G", "meter": "4/4", "tempo": "quarter = 112", "form": "", "melody": ""}
    head = "".join(f"{name} {value}\n" for name, value in {**usual, **headers}.items() if value)
    if "section" not in rows:
        rows = f"section verse, {_played(rows)} measures\n{rows}"
    names = frozenset(lib.by_name) if lib else frozenset()
    got, found = read_chart(Source("test.chartc", f"{head}{rows}\n"), Vocabulary(frozenset(ROLES) | {REST}, names))
    assert got is not None, show(found)
    return got


def _played(rows: str) -> int:
    """The measures of plain rows of chords, which have no repeat."""
    chords = [row for row in rows.split("\n") if row.strip().startswith("|")]
    return sum(row.count("|") - 1 - row.count("pickup") for row in chords)


def part(of: Song, player: Means) -> Part:
    """The filled song; warnings may have been given, errors not."""
    got, found = fill(of, player)
    assert got is not None and not has_errors(found), show(found)
    return got


def refused(of: Song, player: Means) -> tuple[Diagnostic, ...]:
    """The errors of a song that cannot be filled."""
    got, found = fill(of, player)
    assert got is None and has_errors(found)
    return tuple(d for d in found if d.severity == "error")


def flat(filled: Part) -> list[FilledSlot]:
    """Every slot in printed order."""
    return [slot for section in filled.slots for measure in section for slot in measure]


def licks(filled: Part) -> list[str]:
    """The name of every slot's lick in printed order."""
    return [slot.lick for slot in flat(filled)]


def chosen(rows: str, lib: Library, book: Rulebook, **headers: str) -> list[str]:
    """The names of the licks that are chosen for a song, in printed order."""
    return licks(part(song(rows, lib, **headers), means(lib, book)))


@dataclass(frozen=True)
class Heard:
    """A filled slot on the played path: where it starts in ticks from the beginning of the song, its measure there, and the slot."""

    at: int
    measure: tuple[int, int]
    slot: FilledSlot


def as_played(filled: Part) -> list[Heard]:
    """Every slot in the order in which it is heard, counted from the song's form alone."""
    out = []
    now = 0
    for passage in filled.song.order:
        for m in passage.measures:
            out += [Heard(now + s.at, (passage.section, m), s) for s in filled.slots[passage.section][m]]
            now += filled.song.sections[passage.section].measures[m].ticks
    return out


def notes_as_played(filled: Part) -> Iterator[tuple[int, Note]]:
    """Every note as heard, with its time in ticks from the beginning of the song."""
    for heard in as_played(filled):
        for note in heard.slot.notes:
            yield heard.at - heard.slot.at + note.at, note
