"""Where nothing fits: silence with a warning, never a failure."""

from __future__ import annotations

import pytest

from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument, String
from chartc.slots.choose import fill
from chartc.text.diagnostic import has_errors
from tests.slots.small import (
    CHOP,
    LONG,
    ROLLS,
    SAYINGS,
    as_played,
    flat,
    library,
    means,
    notes_as_played,
    part,
    ruled,
    song,
)

LIBRARY = library(ROLLS, CHOP, SAYINGS, LONG)
ALL_FORBIDDEN = "rulebook: nothing at all\nrules:\n  - {rule: nothing, never: yes}\n"


def test_an_empty_library_leaves_every_measure_silent_and_says_so() -> None:
    """Protects a player who replaces every lick: silence has a warning for each measure, at the measure."""
    got, found = fill(song("| G | C D7 |", LIBRARY), means(library()))
    assert got is not None
    assert [s.role for s in flat(got)] == ["rest"] * 3
    assert [(d.code, d.severity) for d in found] == [("slot-silent", "warning")] * 3
    assert [(d.span.line, d.span.text.strip()) for d in found if d.span] == [(6, "G"), (6, "C D7"), (6, "C D7")]


def test_a_library_without_rolls() -> None:
    """Protects small libraries: licks alone fill what they can, and only measures without any are silent."""
    lib = library(SAYINGS)
    free = ruled("rulebook: free\n")
    got, found = fill(song("| G | Em | C |", lib), means(lib, free))
    assert got is not None
    assert [s.role == "rest" for s in flat(got)] == [False, True, False]
    assert [d.code for d in found] == ["slot-silent"] and "over Em " in found[0].message


def test_silence_costs_more_than_any_lick() -> None:
    """Protects a played song: a measure in which anything can be played is never silent, however ill it suits (here every
    lick costs as much as the house may make it)."""
    got, found = fill(song("| G | C | D7 | Em |\nvoice | sung | sung | held | silent |", LIBRARY), means(LIBRARY))
    assert got is not None and not found
    assert all(s.role != "rest" and s.notes for s in flat(got))


def test_rules_that_forbid_everything() -> None:
    """Protects against a rulebook gone wrong: silence with warnings, never a failure."""
    got, found = fill(song("| G | C |", LIBRARY), means(LIBRARY, ruled(ALL_FORBIDDEN)))
    assert got is not None
    assert [s.role for s in flat(got)] == ["rest", "rest"]
    assert [(d.code, d.severity) for d in found] == [("slot-silent", "warning")] * 2


def test_a_request_stands_above_rules_that_forbid_everything() -> None:
    """Protects the player's word against the rulebook's."""
    rows = "| G | G |\nask | net-mender | roll |"
    filled = part(song(rows, LIBRARY), means(LIBRARY, ruled(ALL_FORBIDDEN)))
    assert [s.role for s in flat(filled)] == ["lick", "roll"]


THREE = Instrument("three strings", 580.0, 19, (String(62), String(59), String(55)))
SIX = Instrument("six strings", 647.7, 20, tuple(String(n) for n in (64, 59, 55, 50, 45, 40)))
ONE = Instrument("one string", 600.0, 12, (String(62),))
SMALL_ROLL = "\n  - {name: little-wheel, role: roll, strings: 3 2 1 2 3 2 1 2, picks: T I M I T I M I}"


@pytest.mark.parametrize(("instrument", "rolls"), [(THREE, True), (SIX, True), (ONE, False)])
def test_instruments_with_other_strings(instrument: Instrument, rolls: bool) -> None:
    """Protects players of other instruments: rolls need only their strings, licks need their tuning, and nothing breaks where
    neither fits."""
    lib = library(ROLLS, CHOP, SAYINGS, LONG, SMALL_ROLL)
    got, found = fill(song("| G | C D7 | Em |", lib), means(lib, instrument=instrument))
    assert got is not None and not has_errors(found)
    assert all(s.role in ("roll", "vamp", "rest") for s in flat(got))
    assert all((s.role == "rest") != rolls for s in flat(got))
    assert [d.code for d in found] == ([] if rolls else ["slot-silent"] * 4)
    for _, note in notes_as_played(got):
        assert note.string <= len(instrument.strings)
        assert note.pitch == instrument.strings[note.string - 1].open + note.fret


def test_a_hand_that_spans_one_centimetre() -> None:
    """Protects players with a small or an injured hand: nothing that is played spans more, and where nothing is left the measure
    is silent with a warning."""
    lib = library(ROLLS, CHOP, SAYINGS, LONG)
    limits = Limits(comfortable_mm=10, most_mm=10)
    got, found = fill(song("| G | C | Em | B7 |", lib), means(lib, limits=limits))
    assert got is not None and not has_errors(found)
    mm = got.instrument.fret_mm
    for heard in as_played(got):
        times = {n.at for n in heard.slot.notes}
        for at in times:
            frets = [mm[n.fret] for n in heard.slot.notes if n.at == at and n.fret]
            assert not frets or max(frets) - min(frets) <= 10
    silent = [s for s in flat(got) if s.role == "rest"]
    assert len([d for d in found if d.code == "slot-silent"]) == len(silent) < 4


def test_no_fret_at_all() -> None:
    """Protects the limit of the highest fret: with one fret there is the open G chord and little else; other chords are silent."""
    lib = library(ROLLS, SAYINGS)
    got, found = fill(song("| G | F#m7b5 |", lib), means(lib, limits=Limits(highest_fret=1)))
    assert got is not None
    assert [s.role == "rest" for s in flat(got)] == [False, True]
    assert [d.code for d in found] == ["slot-silent"]
    assert all(note.fret <= 1 for _, note in notes_as_played(got))


def test_no_chord_anywhere() -> None:
    """Protects charts that say NC throughout: nothing to choose, nothing to say."""
    got, found = fill(song("| NC | NC |", LIBRARY), means(LIBRARY))
    assert got is not None and not found
    assert flat(got) == [] and got.cost == 0 and got.slots == (((), ()),)


def test_pickups_stay_empty() -> None:
    """Protects the singer's pickup: it has no slot, even where it is played and has a chord."""
    filled = part(song("| pickup 1/4: G | G |", LIBRARY), means(LIBRARY))
    assert [len(m) for m in filled.slots[0]] == [0, 1]


def test_the_fastest_tempo() -> None:
    """Protects against a hand that cannot be: at an eighth note of 38 ms only strokes far enough apart remain."""
    lib = library(ROLLS, CHOP, SAYINGS, LONG)
    got, found = fill(song("| G | C |", lib, tempo="half = 400"), means(lib))
    assert got is not None and not has_errors(found)
    ms = got.song.tempo.milliseconds(1)
    last: dict[str, int] = {}
    for at, note in notes_as_played(got):
        if note.pick and note.pick in last and at != last[note.pick]:
            assert (at - last[note.pick]) * ms >= 150
        if note.pick:
            last[note.pick] = at
