"""The proof of a lick: each thing that must hold, and the place where it does not."""

from __future__ import annotations

import pytest

from chartc.licks.library import load_library
from chartc.licks.proof import assign_fingers
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument, String
from chartc.neck.instruments import five_string_banjo
from chartc.text.diagnostic import show
from chartc.text.source import Source
from tests.licks.lick_texts import GOOD, LEAD, ROLL, lick_file, lick_text, load, load_one, told

HIGH = {**GOOD, "frets": "9 8 9 8", "movable": "yes", "tensions": "[6]"}


def test_the_good_licks_hold() -> None:
    """The licks that the other tests spoil have nothing wrong with them as they are."""
    for base in (GOOD, ROLL, LEAD, HIGH):
        library, found = load_one(base)
        assert found == ()
        assert len(library.licks) == 1


BAD: list[tuple[dict[str, str], dict[str, str | None], str, str]] = [
    # length
    (GOOD, {"strings": "3 2 1", "frets": "0 0 0", "picks": "T I M"}, "lick-length", "3 2 1"),
    (GOOD, {"meter": "6/8"}, "lick-length", "3 2 1 2"),
    (LEAD, {"strings": "4", "frets": "4", "picks": "T", "fingers": "i"}, "lick-length", "4"),
    # strings
    (GOOD, {"strings": "3 2 6 2"}, "lick-string", "6"),
    (GOOD, {"strings": "3 2 1+1 2", "frets": "0 0 0+0 0", "picks": "T I M+I I"}, "lick-string", "1+1"),
    (ROLL, {"strings": "2 1 6 1"}, "lick-string", "6"),
    # frets
    (GOOD, {"frets": "0 0 23 0"}, "lick-fret", "23"),
    (GOOD, {"strings": "3 2 1 5", "frets": "0 0 0 4", "picks": "T I M T"}, "lick-fret", "4"),
    # picks
    (GOOD, {"picks": "T I . I"}, "lick-pick", "."),
    (GOOD, {"strings": "3+1 2 1 2", "frets": "0+0 0 0 0", "picks": "T+T I M I"}, "lick-pick", "T+T"),
    (GOOD, {"frets": "0 0 0 h1"}, "lick-pick", "I"),
    # fingers
    (GOOD, {"fingers": "i . . ."}, "lick-finger", "i"),
    (GOOD, {"frets": "0 1 0 0", "fingers": ". . . ."}, "lick-finger", "."),
    (GOOD, {"frets": "0 1 0 0", "fingers": ". t . ."}, "lick-finger", "t"),
    (
        GOOD,
        {"strings": "3 2+1 1 2", "frets": "0 1+2 0 0", "picks": "T I+M T I", "fingers": ". i+i . ."},
        "lick-finger",
        "i+i",
    ),
    # how a fret is reached
    (GOOD, {"strings": "3 2 3 1", "frets": "0 0 0 h2", "picks": "T I T ."}, "lick-how", "h2"),
    (GOOD, {"frets": "0 3 0 h3", "picks": "T I M ."}, "lick-how", "h3"),
    (GOOD, {"frets": "0 3 0 p3", "picks": "T I M ."}, "lick-how", "p3"),
    (GOOD, {"frets": "0 0 0 s3", "picks": "T I M ."}, "lick-how", "s3"),
    (GOOD, {"frets": "0 0 0 c0"}, "lick-how", "c0"),
    (GOOD, {"frets": "0 0 0 c3:9.9"}, "lick-how", "c3:9.9"),
    # movable
    (HIGH, {"frets": "9 8 0 8"}, "lick-movable", "1"),
    (HIGH, {"lowest": "9", "highest": "4"}, "lick-movable", "9"),
    (GOOD, {"lowest": "5"}, "lick-movable", "5"),
    # tones
    (GOOD, {"frets": "2 0 0 0"}, "lick-tone", "3"),
    (GOOD, {"serves": "[minor]", "frets": "0 0 0 0", "strings": "2 1 3 1", "picks": "I M T M"}, "lick-tone", "2"),
    # landing
    (LEAD, {"frets": "2 5", "fingers": "i p"}, "lick-landing", "4"),
    # the hand
    (GOOD, {"frets": "12 1 12 1", "fingers": "i i i i", "tensions": "[4]"}, "lick-hand", "3 2 1 2"),
    (
        GOOD,
        {"strings": "3,3,3,3 2 1 2", "frets": "0,0,0,0 0 0 0", "picks": "T,I,T,I M I M"},
        "lick-hand",
        "3,3,3,3 2 1 2",
    ),
    # entries
    (GOOD, {"name": "fill"}, "lick-name", "fill"),
    (GOOD, {"name": "Gate latch"}, "lick-name", "Gate latch"),
    (GOOD, {"name": "7up"}, "lick-name", "7up"),
    (GOOD, {"name": None}, "yaml-missing", "role: lick"),
    (GOOD, {"role": None}, "yaml-missing", "name: gate-latch"),
    (GOOD, {"role": "melody"}, "yaml-word", "melody"),
    (GOOD, {"chord": "H"}, "chord-unknown", "H"),
    (GOOD, {"chord": "1"}, "chord-unknown", "1"),
    (GOOD, {"chord": None}, "yaml-missing", "name: gate-latch"),
    (GOOD, {"frets": None}, "yaml-missing", "name: gate-latch"),
    (GOOD, {"picks": "[T, I, M, I]"}, "yaml-kind", "[T, I, M, I]"),
    (GOOD, {"serves": "[minro]"}, "yaml-word", "minro"),
    (GOOD, {"tensions": "[b2]"}, "yaml-word", "b2"),
    (GOOD, {"meter": "[4/4, 6/8]"}, "lick-meter", "[4/4, 6/8]"),
    (GOOD, {"meter": "5/4"}, "yaml-word", "5/4"),
    (GOOD, {"difficulty": "6"}, "yaml-number", "6"),
    (GOOD, {"movable": "true"}, "yaml-word", "true"),
    (GOOD, {"speed": "fast"}, "yaml-unknown", "speed"),
    (GOOD, {"to": "C"}, "lick-role", "C"),
    (LEAD, {"to": None}, "yaml-missing", "name: gang-plank"),
    (LEAD, {"to": "any"}, "chord-unknown", "any"),
    (ROLL, {"frets": "0 0 0 0"}, "lick-role", "0 0 0 0"),
    (ROLL, {"fingers": ". . . ."}, "lick-role", ". . . ."),
    (ROLL, {"chord": "G"}, "lick-role", "G"),
    (ROLL, {"movable": "yes"}, "lick-role", "yes"),
    (ROLL, {"without_fifth": "2 1 5 1"}, "lick-columns", "2 1 5 1"),
    (ROLL, {"without_fifth": "2 1 3"}, "lick-columns", "2 1 3"),
    (ROLL, {"without_fifth": "2 1 _ 1"}, "lick-columns", "2 1 _ 1"),
    (ROLL, {"without_fifth": "2 1 q 1"}, "lick-row", "q"),
]


@pytest.mark.parametrize(("base", "changes", "code", "marked"), BAD, ids=[f"{b[2]}-{n}" for n, b in enumerate(BAD)])
def test_a_bad_lick_is_refused(base: dict[str, str], changes: dict[str, str | None], code: str, marked: str) -> None:
    """Each thing that is wrong has its code and marks its own place, once, and the lick is not used."""
    library, found = load_one(base, **changes)
    assert told(found) == [(code, marked)]
    assert library.licks == ()


@pytest.mark.parametrize("code", sorted({b[2] for b in BAD if b[2].startswith("lick-")}))
def test_what_to_write_instead(code: str) -> None:
    """Every finding about a lick says what to write instead."""
    found = [d for base, changes, c, _ in BAD if c == code for d in load_one(base, **changes)[1]]
    assert found
    assert all(d.help for d in found)


def test_a_lick_without_a_note() -> None:
    """A lick of rests is no lick; `rest` is what a chart asks for instead."""
    _, found = load_one(GOOD, strings=". . . .", frets=". . . .", picks=". . . .")
    assert told(found) == [("lick-empty", ". . . .")]


def test_every_mistake_in_one_run() -> None:
    """Two licks with three mistakes give three findings in order of place, and the good lick between them is kept."""
    text = lick_file(
        lick_text(GOOD, name="first", frets="0 99 0 c0"),
        lick_text(GOOD, name="second"),
        lick_text(GOOD, name="third", picks="T I . I"),
    )
    library, found = load(text)
    assert told(found) == [("lick-fret", "99"), ("lick-how", "c0"), ("lick-pick", ".")]
    assert [lick.name for lick in library.licks] == ["second"]
    assert "own.yaml:7:14: error: first: string 2 has no fret 99 [lick-fret]" in show(found)


def test_every_strong_beat_is_reported() -> None:
    """A measure with a wrong note on both of its strong beats has two findings, each naming every kind of chord it hurts."""
    _, found = load_one(
        GOOD, serves="[major, seventh]", strings="3 2 1 2 3 2 1 2", frets="2 0 0 0 2 0 0 0", picks="T I M I T I M I"
    )
    assert [d.code for d in found] == ["lick-tone", "lick-tone"]
    assert "column 1 is 2, which is no tone of a major or a seventh chord" in found[0].message
    assert "column 5 is 2" in found[1].message


def test_a_named_tension_is_no_mistake() -> None:
    """The flat third choked toward the third is the sound of the high position: named, it may stand on a strong beat."""
    changes = {"strings": "2 1 2 1", "frets": "c11 9 8 9", "picks": "I M I M"}
    assert told(load_one(GOOD, **changes)[1]) == [("lick-tone", "2")]
    assert load_one(GOOD, **changes, tensions="[b3]")[1] == ()


def test_waltz_and_six_eight_have_their_own_strong_beats() -> None:
    """In 3/4 only the first beat is strong; in 6/8 every dotted quarter is (common practice, no source)."""
    rows = {"strings": "3 2 1 3 2 1", "frets": "0 0 0 2 0 0", "picks": "T I M T I M"}
    assert load_one(GOOD, **rows, meter="3/4")[1] == ()
    assert told(load_one(GOOD, **rows, meter="6/8")[1]) == [("lick-tone", "3")]


def test_the_open_drone_is_judged_by_nobody() -> None:
    """The open short string may stand anywhere over any chord: it is left out where it fights, so the proof passes it."""
    assert load_one(GOOD, chord="D", strings="5 4 3 2", frets="0 0 2 3", picks="T I T I")[1] == ()


@pytest.mark.parametrize(
    ("frets", "strings", "to"),
    [("2 4", "4 4", "G"), ("0 2", "4 3", "G"), ("0 1", "4 4", "C"), ("3 1", "2 2", "G"), ("1 2", "2 2", "D")],
)
def test_lead_ins_that_land(frets: str, strings: str, to: str) -> None:
    """The last note may lie one or two semitones from the root, a third or the fifth of the chord that follows."""
    assert load_one(LEAD, frets=frets, strings=strings, to=to, fingers=None)[1] == ()


def test_fingers_that_are_not_written_are_given() -> None:
    """One finger a fret from the lowest one used: index on 2, middle on 3, little finger on 5, none on an open string."""
    library, found = load_one(GOOD, strings="3 2 1 3", frets="2 3 5 0", picks="T I M T", tensions="[2]")
    assert found == ()
    assert [n.finger for n in library.licks[0].notes] == ["i", "m", "p", None]


def test_written_fingers_stay() -> None:
    """Only a note without a finger is given one; what the author wrote is kept."""
    library, _ = load_one(GOOD, strings="3 2 1 3", frets="2 3 5 0", picks="T I M T", tensions="[2]", fingers="m r p .")
    notes = library.licks[0].notes
    assert [n.finger for n in notes] == ["m", "r", "p", None]
    assert assign_fingers(notes, five_string_banjo(), Limits()) == notes


def test_a_slow_lick_may_use_a_finger_twice() -> None:
    """One finger twice in neighbouring eighths is possible at a slow tempo: it is the tempo that refuses it, not the proof."""
    assert load_one(GOOD, picks="T T M I")[1] == ()


def test_a_lick_is_proven_on_its_instrument() -> None:
    """Strings, frets and the player's own limits count: three strings have no fourth, and a small hand no wide stretch."""
    three = Instrument("a three-string", 600.0, 12, (String(62), String(59), String(55)))
    source = Source("own.yaml", lick_file(lick_text(GOOD, strings="3 2 4 2")))
    assert [d.code for d in load_library([source], three)[1]] == ["lick-string"]
    wide = Source(
        "own.yaml",
        lick_file(lick_text(GOOD, strings="3 2+1 3 2", frets="0 1+5 0 0", picks="T I+M T I", fingers=". i+p . .")),
    )
    assert load_library([wide])[1] == ()
    library, found = load_library([wide], limits=Limits(most_mm=60.0))
    assert [(d.code, d.severity) for d in found] == [("lick-limits", "warning")]
    assert not library.licks and len(library.beyond) == 1
