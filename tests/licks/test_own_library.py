"""The library that comes with the program: sound in every note, playable, and wide enough to choose from."""

from __future__ import annotations

from collections import Counter
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import FAMILIES, Library, Lick, family_quality
from chartc.licks.notation import STEP, RawNote
from chartc.licks.proof import Played
from chartc.neck.follow import grip
from chartc.neck.hand import Limits
from chartc.neck.instruments import five_string_banjo

BANJO = five_string_banjo()

LIBRARY, FOUND = load_library(own_sources())
LICKS = LIBRARY.licks
PLAYED = tuple(lick for lick in LICKS if not lick.pattern)
MOVABLE = tuple(lick for lick in PLAYED if lick.movable and lick.role != "lead-in")
ROLLS = tuple(lick for lick in LICKS if lick.role == "roll")


def meter_of(lick: Lick) -> str:
    """six, three or four: beats of three eighths, waltz time, or all the rest."""
    return "six" if lick.compound else "three" if lick.meters == ("3/4",) else "four"


def as_played(notes: tuple[RawNote, ...], frets_up: int = 0) -> list[Played]:
    """The notes for the hand, moved up the neck by so many frets."""
    return [
        Played(n.at, n.string, n.fret + frets_up if n.fret else 0, n.finger, n.pick, n.how)
        for n in notes
        if n.fret is not None
    ]


def degrees(lick: Lick) -> list[tuple[int, int, bool]]:
    """Time, semitones above the root and whether it is the open drone, for each note of a lick over a known chord."""
    return [
        (n.at, (BANJO.pitch(n.string, n.fret or 0) - lick.root) % 12, n.string == BANJO.drone and not n.fret)
        for n in lick.notes
    ]


def sounding(lick: Lick) -> tuple[tuple[object, ...], ...]:
    """What is heard and seen of a lick, without its places in the file."""
    return tuple((n.at, n.ticks, n.string, n.fret, n.how, n.amount) for n in lick.notes)


def test_it_loads_without_a_finding() -> None:
    """Every lick that we give away is proven by the same proof as a player's own."""
    assert FOUND == ()


def test_there_is_enough_of_each_role() -> None:
    """A chart can ask for any role and the choice has several answers; these are the numbers the library was planned with."""
    counts = Counter(lick.role for lick in LICKS)
    wanted = {"roll": 16, "vamp": 5, "lick": 60, "fill": 50, "lead-in": 24, "kickoff": 4, "turnaround": 4, "ending": 8}
    assert {role: counts[role] for role, least in wanted.items() if counts[role] < least} == {}


@pytest.mark.parametrize("family", ["major", "minor", "seventh"])
@pytest.mark.parametrize("steps", [4, 6, 8])
@pytest.mark.parametrize("role", ["lick", "fill"])
def test_any_key_has_a_choice(role: str, steps: int, family: str) -> None:
    """At least three movable licks and three movable fills of half a measure, a waltz measure and a measure for each of the three
    common kinds of chord, so that a key without a capo never runs dry."""
    meter = "three" if steps == 6 else "four"
    fit = [x for x in MOVABLE if (x.role, x.steps) == (role, steps) and family in x.serves and meter_of(x) == meter]
    assert len(fit) >= 3, [x.name for x in fit]


@pytest.mark.parametrize(("family", "least"), [("major", 3), ("minor", 2), ("seventh", 2)])
@pytest.mark.parametrize("steps", [3, 6])
def test_six_eight_has_a_choice(steps: int, family: str, least: int) -> None:
    """Beats of three eighths have movable licks and fills of their own, for one beat and for two."""
    fit = [x for x in MOVABLE if x.compound and x.steps == steps and family in x.serves and x.role in ("lick", "fill")]
    assert len(fit) >= least


@pytest.mark.parametrize("family", ["major", "minor", "seventh"])
@pytest.mark.parametrize("root", range(12))
@pytest.mark.parametrize("region", [(1, 6), (5, 17)])
def test_every_root_has_a_place(region: tuple[int, int], root: int, family: str) -> None:
    """Low on the neck and up the neck, every root has a movable measure somewhere: no key is left to rolls alone."""
    places = []
    for lick in MOVABLE:
        if family not in lick.serves or lick.steps != 8 or lick.compound:
            continue
        frets = [n.fret for n in lick.notes if n.fret]
        for up in range(-24, 25):
            if (lick.root + up - root) % 12 == 0:
                index = min(frets) + up
                if max(lick.lowest, region[0]) <= index <= min(lick.highest, region[1]):
                    places.append((lick.name, index))
    assert len(places) >= 2


def test_each_lick_says_what_it_is_for() -> None:
    """The list of licks is read by people: each has a line of its own, none too long for a terminal, none twice."""
    abouts = [lick.about for lick in LICKS]
    assert all(10 <= len(about) <= 120 for about in abouts)
    assert len(set(abouts)) == len(abouts)


def test_no_two_licks_are_the_same_notes() -> None:
    """A lick that is another one under a second name would be no choice at all."""
    seen: dict[object, str] = {}
    for lick in LICKS:
        key = (lick.role, lick.root, lick.target, lick.compound, lick.meters, lick.serves, sounding(lick))
        assert key not in seen, (lick.name, seen[key])
        seen[key] = lick.name


@pytest.mark.parametrize("lick", LICKS, ids=lambda x: x.name)
def test_a_lick_fills_its_length(lick: Lick) -> None:
    """Onsets and rests follow one another without a gap or an overlap, from the first step to the last."""
    spans = sorted({(n.at, n.ticks) for n in lick.notes} | set(lick.rests))
    at = 0
    for start, ticks in spans:
        assert start == at
        assert ticks > 0
        at += ticks
    assert at == lick.ticks == lick.steps * STEP


@pytest.mark.parametrize("lick", PLAYED, ids=lambda x: x.name)
def test_a_lick_can_be_played_fast(lick: Lick) -> None:
    """All but the hardest can be played with eighth notes of 134 ms (half = 112), by the usual limits of both hands."""
    problem = grip(as_played(lick.notes), BANJO, Limits()).problem_at(134 / STEP)
    assert lick.difficulty == 5 or not problem, problem


@pytest.mark.parametrize("lick", LICKS, ids=lambda x: x.name)
def test_no_pick_finger_strikes_neighbouring_eighths(lick: Lick) -> None:
    """Thumb, index and middle take turns: no finger of ours ever strikes two eighths in a row (common practice, no source)."""
    strokes = [(n.at, n.pick) for n in lick.notes if n.pick]
    for (a, pick), (b, other) in product(strokes, strokes):
        assert not (pick == other and 0 < b - a < 2 * STEP), f"{pick} at {a} and {b}"


@pytest.mark.parametrize("lick", PLAYED, ids=lambda x: x.name)
def test_the_fretting_hand_lies_well(lick: Lick) -> None:
    """No finger hops to another fret from one eighth to the next except by sliding, and within a beat a higher finger is never on a
    lower fret (common practice, no source)."""
    notes = [n for n in lick.notes if n.fret and n.finger != "t"]
    for a, b in product(notes, notes):
        between = b.at - a.at
        assert a.finger and b.finger and a.fret and b.fret
        if 0 <= between <= 2 * STEP:
            order = ("imrp".index(a.finger) - "imrp".index(b.finger)) * (a.fret - b.fret)
            assert order >= 0, f"{a.finger} on {a.fret}, {b.finger} on {b.fret}"
        if 0 <= between <= STEP and a.finger == b.finger and b.how != "slide":
            assert a.fret == b.fret, f"{a.finger} hops from {a.fret} to {b.fret}"


@given(st.sampled_from([x for x in PLAYED if x.movable]), st.integers(-12, 12))
def test_a_movable_lick_moves_by_semitones(lick: Lick, up: int) -> None:
    """Every fretted note is on a long string, so moving by n frets moves each pitch by n semitones; the drone alone stays."""
    for note in lick.notes:
        assert note.fret is not None
        if not note.fret:
            assert note.string == BANJO.drone
            continue
        assert note.string in BANJO.long_strings
        if 0 < note.fret + up <= BANJO.frets:
            assert BANJO.pitch(note.string, note.fret + up) == BANJO.pitch(note.string, note.fret) + up


@pytest.mark.parametrize("lick", [x for x in PLAYED if x.movable], ids=lambda x: x.name)
def test_a_movable_lick_can_be_played_wherever_it_may_go(lick: Lick) -> None:
    """From its lowest to its highest place the hand reaches it, at the usual limits and a middling tempo."""
    index = min(n.fret for n in lick.notes if n.fret)
    top = max(n.fret for n in lick.notes if n.fret)
    for place in range(lick.lowest, lick.highest + 1):
        if top + place - index <= BANJO.frets:
            assert not grip(as_played(lick.notes, place - index), BANJO, Limits()).problem_at(200 / STEP), place


@pytest.mark.parametrize("lick", [x for x in PLAYED if x.role != "lead-in"], ids=lambda x: x.name)
def test_every_note_makes_sense_over_its_chord(lick: Lick) -> None:
    """Nothing stands a semitone above a chord tone on a beat, and off the beat for an eighth at most; no lick begins or ends on
    the drone, which may be left out (from memory, any text on melody)."""
    beat = (3 if lick.compound else 2) * STEP
    ticks = {n.at: n.ticks for n in lick.notes}
    for family in lick.serves:
        tones = set(family_quality(family).classes)
        for at, above, drone in degrees(lick):
            if drone or above in tones | lick.tensions or (above - 1) % 12 not in tones:
                continue
            assert at % beat, f"{above} semitones above the root on a beat, over {family}"
            assert ticks[at] <= STEP
    assert any(n.at == 0 and n.string != BANJO.drone for n in lick.notes)


@pytest.mark.parametrize("lick", PLAYED, ids=lambda x: x.name)
def test_the_drone_keeps_off_the_strong_beats(lick: Lick) -> None:
    """Where the drone fights the chord it is left out, and a strong beat must not fall silent with it."""
    half = (3 if lick.compound else 6 if meter_of(lick) == "three" else 4) * STEP
    for note in lick.notes:
        if note.string == BANJO.drone and not note.fret:
            others = [n for n in lick.notes if n.at == note.at and n is not note]
            assert note.at % half or others


@pytest.mark.parametrize("lick", [x for x in LICKS if x.role == "fill"], ids=lambda x: x.name)
def test_a_fill_says_something(lick: Lick) -> None:
    """A fill has an ornament, and a full measure of it at least six struck notes (common practice, no source)."""
    assert lick.ornaments >= 1
    if lick.steps == 8:
        assert sum(n.pick is not None for n in lick.notes) >= 6


@pytest.mark.parametrize("lick", [x for x in LICKS if x.role == "ending"], ids=lambda x: x.name)
def test_an_ending_lands_on_the_root(lick: Lick) -> None:
    """The last onset of an ending has the root, and it is held (common practice, no source)."""
    last = max(n.at for n in lick.notes)
    assert any(at == last and above == 0 and not drone for at, above, drone in degrees(lick))
    assert lick.ticks - last >= 2 * STEP


def test_up_the_neck_has_variants() -> None:
    """The position with the root under the index finger on string 2 is asked for most: 14 variants or more, none of them low, some
    with the flat third choked and some with the sixth."""
    high = [x for x in MOVABLE if x.lowest >= 5 and x.root == 7 and "major" in x.serves]
    assert len(high) >= 14
    assert all(any((n.string, n.fret, n.finger) == (2, 8, "i") for n in x.notes) for x in high)
    assert sum(any(n.how == "choke" for n in x.notes) for x in high) >= 3
    assert sum(any((n.string, n.fret) == (3, 9) for n in x.notes) for x in high) >= 3


def test_the_changes_have_lead_ins() -> None:
    """The commonest changes of chord each have a lead-in of their own, and any chord at all has one by half steps."""
    changes = {((x.target or 0) - x.root) % 12 for x in LICKS if x.role == "lead-in" and x.root >= 0}
    # 1-4 and 5-1, 4-1 and 1-5, 1-6m, 1-2 and 4-5, 1-b7 and 5-4, 6m-1
    assert {5, 7, 9, 2, 10, 3} <= changes
    anywhere = [x for x in LICKS if x.role == "lead-in" and x.root < 0 and x.movable]
    assert {x.compound for x in anywhere} == {True, False}
    assert all(x.serves == frozenset(FAMILIES) for x in anywhere)


def test_one_to_four_goes_by_the_third() -> None:
    """From 1 to 4 the last note is the third of the first chord, the leading tone of the next; from 1 to 5 the raised fourth
    (common practice, no source)."""
    for name, above in (("one-four-ferry", 4), ("one-four-high", 4), ("one-five-lift", 6), ("one-five-high", 6)):
        lick = LIBRARY.by_name[name]
        assert degrees(lick)[-1][1] == above, name


# --- rolls ------------------------------------------------------------------------------------------------------------

TRADE = {
    "forward": ("2 1 5 2 1 5 2 1", "I M T I M T I M"),
    "backward": ("1 2 5 1 2 5 1 2", "M I T M I T M I"),
    "alternating-thumb": ("3 2 5 1 4 2 5 1", "T I T M T I T M"),
    "forward-reverse": ("3 2 1 5 1 2 3 1", "T I M T M I T M"),
    "mixed": ("2 1 2 1 5 2 1 5", "I M T M T I M T"),
}


@pytest.mark.parametrize("name", TRADE)
def test_the_trades_rolls_are_as_players_know_them(name: str) -> None:
    """Strings and pick fingers of the five rolls that every banjo player learns first (from memory, any text of the trade)."""
    lick = LIBRARY.by_name[name]
    strings, picks = TRADE[name]
    assert " ".join(str(n.string) for n in lick.notes) == strings
    assert " ".join(n.pick or "." for n in lick.notes) == picks


def test_seven_joins_of_the_trades_rolls_repeat_a_finger() -> None:
    """Of the 25 ways to follow one of the five rolls by one of them, 7 end and begin on one pick finger (computed by hand: three end
    on M and one begins on it, one ends on I and two begin on it, one ends on T and two begin on it)."""
    rolls = [LIBRARY.by_name[name] for name in TRADE]
    repeated = [(a.name, b.name) for a, b in product(rolls, rolls) if a.notes[-1].pick == b.notes[0].pick]
    assert len(repeated) == 3 * 1 + 1 * 2 + 1 * 2 == 7


@pytest.mark.parametrize("roll", ROLLS, ids=lambda x: x.name)
def test_a_roll_goes_round(roll: Lick) -> None:
    """Repeated, a roll's last strokes and its first are by different fingers when they are neighbouring eighths."""
    strokes = [(n.at, n.pick) for n in roll.notes]
    for (a, pick), (b, other) in product(strokes, strokes):
        assert not (pick == other and roll.ticks + b - a < 2 * STEP)


@pytest.mark.parametrize("roll", [x for x in LICKS if x.pattern], ids=lambda x: x.name)
def test_a_pattern_can_do_without_the_fifth_string(roll: Lick) -> None:
    """A roll that uses the short string says what stands in for it, note by note, on strings the fingers can take: the thumb is never
    on string 1, the index finger never on string 4, the middle finger on 1 and 2 only."""
    strings = roll.without_fifth or tuple(n.string for n in roll.notes)
    assert BANJO.drone not in strings
    assert len(strings) == len(roll.notes)
    allowed = {"T": {2, 3, 4}, "I": {1, 2, 3}, "M": {1, 2}}
    for string, note in zip(strings, roll.notes, strict=True):
        assert note.pick
        assert string in allowed[note.pick]
    for at in {n.at for n in roll.notes}:
        struck = [s for s, n in zip(strings, roll.notes, strict=True) if n.at == at]
        assert len(set(struck)) == len(struck)


def test_slow_songs_have_sparse_rolls() -> None:
    """Behind a slow voice 2 to 5 attacks a measure are enough: three rolls or more have no more than that."""
    sparse = [x for x in ROLLS if x.steps == 8 and 2 <= len({n.at for n in x.notes}) <= 5]
    assert len(sparse) >= 3


def test_there_are_rolls_with_three_three_two() -> None:
    """Three, three and two: the lowest string of each group falls on the eighths 1, 4 and 7 (common practice, no source)."""
    for name in ("stepping-stones", "mill-wheel"):
        strings = [n.string for n in LIBRARY.by_name[name].notes]
        groups = (strings[:3], strings[3:6], [s for s in strings[6:] if s != BANJO.drone])
        assert [len(g) for g in groups[:2]] == [3, 3]
        assert all(g[0] == max(g) for g in groups[:2]), name
        assert LIBRARY.by_name[name].notes[6].pick == "T"


def test_a_fast_vamp() -> None:
    """At least one vamp rests each finger for more than two eighths, so that no tempo is too fast for it."""

    def rests_long(vamp: Lick) -> bool:
        strokes = [(n.at, n.pick) for n in vamp.notes]
        gaps = [(b - a) % vamp.ticks or vamp.ticks for (a, p), (b, q) in product(strokes, strokes) if p == q]
        return min(gaps) > 2 * STEP

    fast = [x.name for x in LICKS if x.role == "vamp" and x.steps == 8 and rests_long(x)]
    assert "light-chop" in fast


@pytest.mark.parametrize("vamp", [x for x in LICKS if x.role == "vamp" and x.steps == 8], ids=lambda x: x.name)
def test_a_vamp_chops_on_two(vamp: Lick) -> None:
    """Damped chords fall on two and four or on the pushed off-beat, never on one (common practice, no source)."""
    damped = {n.at for n in vamp.notes if n.how == "damped"}
    assert damped
    assert 0 not in damped


def test_the_library_is_one_list() -> None:
    """Names are found in it, in the order of the files."""
    assert isinstance(LIBRARY, Library)
    assert [x.order for x in LICKS] == list(range(len(LICKS)))
    assert all(LIBRARY.by_name[x.name] is x for x in LICKS)
