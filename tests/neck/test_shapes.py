"""Chord shapes: those that players know come first, none is forgotten, and each can be held by one hand."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.neck.hand import FINGERS, OFFSETS, Limits
from chartc.neck.instrument import Instrument, String
from chartc.neck.instruments import five_string_banjo
from chartc.neck.shapes import Shape, shapes
from chartc.theory.chord import Chord, read_chord
from chartc.theory.key import Key

BANJO = five_string_banjo()

USUAL = Limits()
C_MAJOR = Key(0)


def chord(word: str) -> Chord:
    found = read_chord(word, C_MAJOR)
    assert found is not None
    return found


def found(word: str, instrument: Instrument = BANJO, limits: Limits = USUAL) -> tuple[Shape, ...]:
    return shapes(instrument, chord(word), limits)


def as_said(shape: Shape) -> str:
    """The frets as players say them, the lowest long string first."""
    return " ".join(str(f) for f in reversed(shape.frets))


def fingers(shape: Shape) -> str:
    """The fingers in the same order, . for an open string."""
    return " ".join(f or "." for f in reversed(shape.fingers))


def pitches(shape: Shape, instrument: Instrument = BANJO) -> list[int]:
    return [instrument.pitch(s, f) for s, f in zip(shape.strings, shape.frets, strict=True)]


@pytest.mark.parametrize(
    ("word", "frets", "held"),
    [
        ("G", "0 0 0 0", ". . . ."),
        ("C", "2 0 1 2", "m . i r"),
        ("D7", "0 2 1 0", ". m i ."),
        ("D", "4 2 3 4", "r i m p"),
        ("F", "3 2 1 3", "r m i p"),
        ("Em", "2 0 0 2", "i . . m"),
        ("Am", "2 2 1 2", "m r i p"),
        ("A", "2 2 2 2", "i i i i"),
    ],
)
def test_the_trades_shapes_come_first(word: str, frets: str, held: str) -> None:
    """Low on the neck, the shape that every banjo player is shown first is among the first three found, with the usual fingers
    (strings 4 to 1; from memory, any text of the trade)."""
    low = [s for s in found(word) if s.position <= 4]
    first = {as_said(s): s for s in low[:3]}
    assert frets in first
    assert fingers(first[frets]) == held


@pytest.mark.parametrize(
    ("word", "frets", "held"),
    [
        ("D7", "7 7 7 10", "i i i p"),
        ("D7", "10 7 7 7", "p i i i"),
        ("Em", "5 0 5 5", "i . m r"),
        ("G7", "5 4 3 3", "p r i m"),
    ],
)
def test_a_finger_lies_across(word: str, frets: str, held: str) -> None:
    """Three strings on the lowest fret are one finger across, two are two fingers, and three with an open string between them are
    three fingers (common practice, no source)."""
    assert held in [fingers(s) for s in found(word) if as_said(s) == frets]


@pytest.mark.parametrize("word", ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"])
def test_the_three_movable_major_shapes(word: str) -> None:
    """Every major chord has its three closed shapes among the first found: root on strings 4 and 1, on string 3, on string 2 (from
    memory, any text of the trade)."""
    root = chord(word).root_class
    roots = set()
    for shape in [s for s in found(word) if s.closed and s.position <= 12][:3]:
        roots.add(tuple(s for s in shape.strings if BANJO.pitch(s, shape.on(s)[0]) % 12 == root))
    assert roots == {(1, 4), (3,), (2,)}


@pytest.mark.parametrize(("low", "high"), [("F", "G"), ("C", "D"), ("Am", "Bm"), ("G7", "A7")])
def test_a_closed_shape_moves(low: str, high: str) -> None:
    """Two frets up is a whole step: every closed shape of a chord is found again for the next one, with the same fingers."""
    moved = {
        tuple(f + 2 for f in s.frets): s.fingers for s in found(low) if s.closed and max(s.frets) + 2 <= BANJO.frets
    }
    above = {s.frets: s.fingers for s in found(high)}
    assert moved
    for frets, held in moved.items():
        assert above[frets] == held


# --- nothing is forgotten ----------------------------------------------------------------------------------------------

SMALL = Instrument("a short neck", BANJO.scale_mm, 7, BANJO.strings)
THREE = Instrument("three strings", 600.0, 7, (String(62), String(59), String(55)))


def can_hold(strings: tuple[int, ...], frets: tuple[int, ...]) -> bool:
    """Whether any hand can hold the frets: every way to give the fingers is tried. A finger is on one fret; a higher finger is never
    on a lower fret; only the index finger lies across strings, and not over an open one."""
    fretted = [(f, s) for s, f in zip(strings, frets, strict=True) if f]
    low = min((f for f, _ in fretted), default=0)
    for given_fingers in product(range(4), repeat=len(fretted)):
        pairs = list(zip(fretted, given_fingers, strict=True))
        if any(not OFFSETS[FINGERS[x]][0] <= f - low <= OFFSETS[FINGERS[x]][1] for (f, _), x in pairs):
            continue
        if any(
            (x == y and (f != g or x)) or (x < y and f > g)
            for n, ((f, _), x) in enumerate(pairs)
            for m, ((g, _), y) in enumerate(pairs)
            if n != m
        ):
            continue
        across = [s for (_, s), x in pairs if x == 0]
        if len(across) > 1 and any(
            not f and min(across) < s < max(across) for s, f in zip(strings, frets, strict=True)
        ):
            continue
        return True
    return False


@pytest.mark.parametrize("instrument", [SMALL, THREE], ids=lambda i: i.name)
@pytest.mark.parametrize(
    "word", ["G", "C", "D7", "Em", "F", "Bb", "Am7", "Cmaj7", "Gsus4", "Bdim", "Caug", "E9", "F#m7b5"]
)
def test_every_shape_is_found(word: str, instrument: Instrument) -> None:
    """On a neck of seven frets, up to four frets above the lowest, the search finds exactly what trying every fret on every string with every finger finds."""
    wanted = chord(word).classes
    strings = instrument.long_strings
    mm = instrument.fret_mm
    by_force = set()
    for frets in product(range(instrument.frets + 1), repeat=len(strings)):
        if any((instrument.strings[s - 1].open + f) % 12 not in wanted for s, f in zip(strings, frets, strict=True)):
            continue
        used = [f for f in frets if f]
        if used and (max(used) - min(used) > 4 or mm[max(used)] - mm[min(used)] > USUAL.most_mm):
            continue
        if can_hold(strings, frets):
            by_force.add(frets)
    assert {s.frets for s in found(word, instrument)} == by_force


# --- what holds for every shape ------------------------------------------------------------------------------------------

GUITAR = Instrument("six strings", 647.7, 20, tuple(String(n) for n in (64, 59, 55, 50, 45, 40)))
FIFTHS = Instrument("four strings in fifths", 352.4, 20, (String(76), String(69), String(62), String(55)))
DOUBLE_C = Instrument("double C", BANJO.scale_mm, 22, (String(62), String(60), String(55), String(48), String(67, 5)))
OPEN_D = Instrument("open D", BANJO.scale_mm, 22, (String(62), String(57), String(54), String(50), String(66, 5)))
INSTRUMENTS = (BANJO, THREE, GUITAR, FIFTHS, DOUBLE_C, OPEN_D)
WORDS = [
    root + suffix
    for root in ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    for suffix in ("", "m", "7", "maj7", "m7", "6", "sus4", "dim", "aug", "9", "m7b5")
]


@given(st.sampled_from(INSTRUMENTS), st.sampled_from(WORDS))
def test_a_shape_can_be_held(instrument: Instrument, word: str) -> None:
    """Chord tones only; a finger for every fretted string and none for an open one; a finger on one fret; only the index finger lies
    across strings, at one fret and over no open string; within the hand's limits."""
    wanted = chord(word).classes
    for shape in found(word, instrument):
        assert {p % 12 for p in pitches(shape, instrument)} <= wanted
        assert len(shape.frets) == len(shape.fingers) == len(shape.strings) == len(instrument.long_strings)
        held: dict[str, set[int]] = {}
        for fret, finger in zip(shape.frets, shape.fingers, strict=True):
            assert bool(fret) == (finger is not None)
            if finger:
                held.setdefault(finger, set()).add(fret)
        assert all(len(frets) == 1 for frets in held.values())
        count = [shape.fingers.count(f) for f in FINGERS]
        assert all(n <= 1 for n in count[1:])
        assert can_hold(shape.strings, shape.frets)
        assert shape.span_mm <= USUAL.most_mm
        assert shape.closed == (0 not in shape.frets)
        if held:
            assert shape.position == min(f for f in shape.frets if f)
            ordered = [min(held[f]) for f in FINGERS if f in held]
            assert ordered == sorted(ordered)
        else:
            assert shape.position == 0


@given(st.sampled_from(INSTRUMENTS), st.sampled_from(WORDS))
def test_shapes_come_in_order_and_once(instrument: Instrument, word: str) -> None:
    """The least rank first, no shape twice: the choice takes them from the front."""
    all_of_it = found(word, instrument)
    ranks = [s.rank for s in all_of_it]
    assert ranks == sorted(ranks)
    assert len({s.frets for s in all_of_it}) == len(all_of_it)


@pytest.mark.parametrize("word", WORDS)
def test_every_common_chord_has_a_closed_shape_on_the_banjo(word: str) -> None:
    """A chord that cannot be held closed could be neither chopped nor moved: each has such a shape in the first twelve frets, and
    its root and its third, or its fourth where it is suspended, are in the best one."""
    closed = [s for s in found(word) if s.closed and s.position <= 12]
    assert closed
    best = {(p - chord(word).root_class) % 12 for p in pitches(closed[0])}
    assert best & {3, 4, 5}
    if "9" not in word:
        assert 0 in best


@pytest.mark.parametrize(
    ("word", "bass"), [("C/G", "G"), ("C/E", "E"), ("G/B", "B"), ("D/F#", "F#"), ("D/C", "C"), ("Am/G", "G")]
)
def test_the_bass_that_a_chart_asks_for_is_lowest(word: str, bass: str) -> None:
    """A chord over a bass note: the best shape has that note lowest, although the short string is no bass."""
    best = found(word)[0]
    assert min(pitches(best)) % 12 == chord(bass).root_class


def test_the_players_limits_count() -> None:
    """Without the little finger, and with a highest fret, only what is left is found."""
    three_fingers = found("F", limits=Limits(little_finger=False))
    assert three_fingers
    assert all("p" not in s.fingers for s in three_fingers)
    assert all(max(s.frets) <= 7 for s in found("F", limits=Limits(highest_fret=7)))
    assert {s.frets for s in three_fingers} < {s.frets for s in found("F")}
    small = found("D", limits=Limits(most_mm=60.0))
    assert {s.frets for s in small} < {s.frets for s in found("D")}
    assert all(s.span_mm <= 60.0 for s in small)


def test_another_tuning_has_its_own_shapes() -> None:
    """In open D all strings open are the chord of D, in double C one finger makes C: the tuning is the instrument's."""
    assert as_said(found("D", OPEN_D)[0]) == "0 0 0 0"
    assert as_said(found("C", DOUBLE_C)[0]) == "0 0 0 2"
    assert "0 0 0 0" not in [as_said(s) for s in found("C", BANJO)]


@pytest.mark.parametrize(
    ("word", "frets"),
    [("E", "0 2 2 1 0 0"), ("Am", "0 0 2 2 1 0"), ("G", "3 2 0 0 0 3"), ("C", "0 3 2 0 1 0"), ("F", "1 3 3 2 1 1")],
)
def test_six_strings(word: str, frets: str) -> None:
    """The guitar's open chords, and F with a finger across all strings, are among the first found (from memory, any handbook)."""
    assert frets in [as_said(s) for s in found(word, GUITAR)[:4]]


def test_a_shape_says_what_is_on_a_string() -> None:
    """Rolls ask string by string; the short string is in no shape."""
    shape = next(s for s in found("F") if as_said(s) == "3 2 1 3")
    assert [shape.on(s) for s in (4, 3, 2, 1)] == [(3, "r"), (2, "m"), (1, "i"), (3, "p")]
    assert shape.strings == (1, 2, 3, 4)
    with pytest.raises(ValueError, match="not in tuple"):
        shape.on(5)


def test_a_chord_with_too_many_tones_for_the_strings() -> None:
    """Three strings cannot hold a ninth chord's five tones: what is left out is left out, and something is found."""
    best = found("G9", THREE)[0]
    assert len({p % 12 for p in pitches(best, THREE)}) == 3
