"""Fretting fingers by the model: fingerings that players know, stated fingers kept, and the cheapest way found."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import Lick
from chartc.licks.proof import FINGERED_MS, Played
from chartc.neck.fingers import MOST_STATES, START, Model, Moment, State, assigned, moments
from chartc.neck.follow import grip, hand_of
from chartc.neck.hand import FINGERS, Limits
from chartc.neck.instruments import five_string_banjo

BANJO = five_string_banjo()
STEP = 240
USUAL = Limits()


def passage(rows: str) -> list[Played]:
    """Notes an eighth apart: string and fret with a colon between, h p s before the fret for how it is made, notes of one moment joined
    by +, a finger behind a comma where it is stated."""
    how = {"h": "hammer-on", "p": "pull-off", "s": "slide", "c": "choke"}
    out = []
    for n, word in enumerate(rows.split()):
        for one in word.split("+"):
            place, _, finger = one.partition(",")
            string, fret = place.split(":")
            out.append(Played(n * STEP, int(string), int(fret.lstrip("hpsc")), finger or None, None, how.get(fret[0])))
    return out


def fingers(rows: str, limits: Limits = USUAL) -> str:
    """The fingers of a passage, a dot for an open string."""
    return "".join(f or "." for f in assigned(passage(rows), BANJO, limits, FINGERED_MS))


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        ("4:2 3:0 2:1 1:2 4:2 3:0 2:1 1:2", "m.irm.ir"),
        ("2:1 1:2 4:2 2:1", "irmi"),
        ("4:2+2:1+1:2", "mir"),
        ("4:3 3:2 2:1 1:3 3:2 2:1 1:3 2:1", "rmipmipi"),
        ("4:3+3:2+2:1+1:3", "rmip"),
        ("4:4 3:2 2:3 1:4 3:2 2:3 1:4 2:3", "rimpimpm"),
        ("4:0 3:2 2:1 1:0 3:2 2:1", ".mi.mi"),
        ("4:5 3:4 2:3 1:5 3:4 2:3 1:5 2:3", "rmipmipi"),
    ],
    ids=["C", "C from above", "C at once", "F", "F at once", "D", "D7", "closed G"],
)
def test_chord_shapes(rows: str, wanted: str) -> None:
    """The open C, F, D and D7 and the closed shape, rolled or at once, with the fingers that every teacher gives (common practice, no
    source): for C the index finger on string 2, the middle one on 4, the ring finger on 1."""
    assert fingers(rows) == wanted


@pytest.mark.parametrize("fret", [5, 7, 9, 12])
def test_one_finger_a_fret(fret: int) -> None:
    """Four frets in a row, up and down or crossing strings, have the four fingers in a row (any method for fretted strings)."""
    up = [f"2:{fret + n}" for n in range(4)]
    assert fingers(" ".join([*up, *up[::-1]])) == "imrpprmi"
    assert fingers(f"3:{fret} 2:{fret + 1} 3:{fret + 2} 1:{fret + 3} 2:{fret + 1} 3:{fret}") == "imrpmi"


def test_one_finger_across() -> None:
    """Three strings or more at one fret, with nothing lower, lie under the index finger, at once or one after the other; above it the other
    fingers keep their frets."""
    assert fingers("1:5 2:5 3:5 1:5 2:5 3:5") == "iiiiii"
    assert fingers("3:5+2:5+1:5") == "iii"
    assert fingers("3:5 2:5 1:5 2:7 3:5 1:5")[:3] == "iii"


def test_what_the_fretting_hand_makes() -> None:
    """A hammer-on ends on a higher finger, a pull-off on a lower one, a slide on the same, also where open strings sound between."""
    up, down, slide = fingers("3:2 3:h3"), fingers("3:3 3:p2"), fingers("3:2 3:s4 2:0")
    assert FINGERS.index(up[0]) < FINGERS.index(up[1])
    assert FINGERS.index(down[0]) > FINGERS.index(down[1])
    assert slide[0] == slide[1]
    after = fingers("2:3 1:0 5:0 2:p1")
    assert FINGERS.index(after[0]) > FINGERS.index(after[3])


def test_no_finger_on_two_frets() -> None:
    """Notes of one moment at two frets never share a finger, and a finger is not sent to another fret in direct succession where
    another one lies ready."""
    for low in range(1, 12):
        for high in range(low + 1, low + 4):
            assert len(set(fingers(f"3:{low}+1:{high}"))) == 2
            assert len(set(fingers(f"3:{low} 2:{high} 3:{low}")[:2])) == 2


def test_a_finger_is_not_sent_along() -> None:
    """A stated little finger is not sent on to the next fret at once: another finger comes."""
    assert fingers("2:8,p 1:9")[1] != "p"


def test_an_open_string_is_not_stopped() -> None:
    """A finger does not lie across a string that sounds open."""
    assert fingers("3:5 2:5 1:5 3:5 2:5 1:5") == "iiiiii"
    assert len(set(fingers("4:5 3:0 2:5 1:5 4:5 3:0 2:5 1:5"))) == 4
    given = fingers("4:2 3:2 3:p0 2:0 1:2 4:2 3:2 3:p0 4:2")
    assert given[0] == given[1] != given[4]


def test_what_is_kept_down() -> None:
    """A finger is kept down as long as its note comes back, or the fretting hand makes the next note of its string; and no
    longer."""
    found = moments(passage("3:1 3:2 2:1 3:h4 2:1 1:3 3:0 2:3"))
    later = {(3, 0), (1, 3), (2, 3), (3, 4)}
    # fret 1 of string 3 not at all, fret 2 until the hammer-on, fret 1 of string 2 until it has come back
    assert [sorted(m.kept - later) for m in found] == [
        [(2, 1), (3, 2)], [(2, 1), (3, 2)], [(2, 1), (3, 2)], [(2, 1)], [], [], [],
    ]  # fmt: skip
    assert [m.origins for m in found] == [(0,), (1,), (0,), (2,), (1,), (0,), (1,)]
    assert [m.since for m in found] == [0, STEP, STEP, STEP, STEP, STEP, 2 * STEP]


def test_a_finger_that_is_lifted_is_free() -> None:
    """A finger that has pulled off, or whose string sounds open after it, is off the string and serves for the next note."""
    assert fingers("1:5 2:5 2:p3 3:4 4:5") == "primr"
    assert [m.freed for m in moments(passage("2:5 2:p3 2:0 3:4 3:0"))] == [((2, 5),), ((2, 0),), ((3, 0),)]


def test_the_short_string_has_the_thumb() -> None:
    """A fretted short string is the thumb's, and the fingers about it stay as they are."""
    assert fingers("2:8 5:9 1:9 2:8 5:9 1:9")[1] == "t"
    assert fingers("2:8 5:0 1:9 2:8 5:0 1:9").count(".") == 2


def test_the_players_limits() -> None:
    """Without the little finger it is never given, and a small hand is given no stretch that it cannot hold."""
    rows = "4:3 3:2 2:1 1:3 3:2 2:1 1:3 2:1"
    assert "p" in fingers(rows)
    assert "p" not in fingers(rows, Limits(little_finger=False))
    small = Limits(comfortable_mm=60.0, most_mm=75.0)
    notes = passage("3:2 2:5 3:2 2:5")
    given = [replace(n, finger=f) for n, f in zip(notes, assigned(notes, BANJO, small, FINGERED_MS), strict=True)]
    assert grip(given, BANJO, small).stretch_mm <= 75


def test_what_no_hand_holds_is_still_answered() -> None:
    """Two notes too far apart for any hand are given some fingers, so that the proof can tell what is wrong."""
    notes = passage("3:1+1:14")
    given = [replace(n, finger=f) for n, f in zip(notes, assigned(notes, BANJO, Limits(), FINGERED_MS), strict=True)]
    assert grip(given, BANJO, Limits()).problem


@cache
def library() -> tuple[Lick, ...]:
    """The licks of the program that are no rolls."""
    return tuple(lick for lick in load_library(own_sources())[0].licks if not lick.pattern)


def test_most_licks_as_they_are_written() -> None:
    """Left to the model, the licks of the library, whose fingers were written by hand, get a fingering that a hand can play, each of them;
    and more than 85 of 100 notes get the very finger that is written."""
    same = notes = 0
    for lick in library():
        bare = [Played(n.at, n.string, n.fret or 0, None, n.pick, n.how) for n in lick.notes]
        given = assigned(bare, BANJO, Limits(), FINGERED_MS)
        held = [replace(n, finger=f) for n, f in zip(bare, given, strict=True)]
        assert not grip(held, BANJO, Limits()).problem_at(FINGERED_MS), lick.name
        same += sum(f == n.finger for f, n in zip(given, lick.notes, strict=True) if n.finger)
        notes += sum(n.finger is not None for n in lick.notes)
    assert same / notes > 0.85


def test_stated_fingers_stay() -> None:
    """The fingers that are stated are never changed: all of a lick's, and every second one."""
    for lick in library():
        played = [Played(n.at, n.string, n.fret or 0, n.finger, n.pick, n.how) for n in lick.notes]
        assert assigned(played, BANJO, Limits(), FINGERED_MS) == [n.finger for n in played]
        half = [replace(n, finger=n.finger if k % 2 else None) for k, n in enumerate(played)]
        given = assigned(half, BANJO, Limits(), FINGERED_MS)
        assert all(f == n.finger for f, n in zip(given, half, strict=True) if n.finger)
        assert all(bool(f) == bool(n.fret) for f, n in zip(given, half, strict=True))


@st.composite
def short_passages(draw: st.DrawFn) -> list[Played]:
    """Up to five moments of one or two notes near one another; in the longer ones every second finger is stated."""
    count = draw(st.integers(1, 5))
    low = draw(st.integers(1, 12))
    out: list[Played] = []
    for n in range(count):
        strings = draw(st.lists(st.integers(1, 4), min_size=1, max_size=2 if count < 4 else 1, unique=True))
        for string in sorted(strings, reverse=True):
            fret = draw(st.sampled_from([0, low, low, low + 1, low + 2, low + 3, low + 5]))
            how = draw(st.sampled_from([None, None, None, "hammer-on", "pull-off", "slide", "choke"])) if fret else None
            stated = draw(st.sampled_from(FINGERS)) if fret and count > 3 and n % 2 else None
            out.append(Played(n * STEP, string, fret, stated, None, how))
    return out


def all_ways(model: Model, layers: list[Moment], state: State = START) -> int:
    """The least cost of all ways, by trying every one of them to the end."""
    if not layers:
        return 0
    costs = []
    for fingering, place in model.options(layers[0]):
        price, after = model.step(state, layers[0], fingering, place)
        costs.append(price + model.shift(state, layers[0], fingering, place) + all_ways(model, layers[1:], after))
    return min(costs)


@settings(max_examples=60, deadline=None)
@given(short_passages(), st.sampled_from([0.4, 0.83, 1.5]))
def test_the_cheapest_of_all_ways(notes: list[Played], ms_per_tick: float) -> None:
    """What is assigned costs as much as the cheapest of all fingerings and places of the hand, each followed to its end."""
    hand = hand_of(BANJO, Limits())
    model = Model(hand, ms_per_tick)
    layers = moments(notes)
    given = assigned(notes, BANJO, Limits(), ms_per_tick)
    stated = [replace(n, finger=f) for n, f in zip(notes, given, strict=True)]
    best = model.cheapest(moments(stated), MOST_STATES, 1 << 40)
    assert best is not None
    assert best[0] == all_ways(model, layers)
