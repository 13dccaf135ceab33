"""The hand model: its numbers by hand, what players do every day, and that slower is never harder."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.licks.proof import Played
from chartc.neck import joint
from chartc.neck.follow import grip
from chartc.neck.hand import FINGERS, OFFSETS, Grip, Limits, move_ms
from chartc.neck.instruments import five_string_banjo

BANJO = five_string_banjo()

USUAL = Limits()
STEP = 240
FAST = 60_000 / 112 / 4 / STEP
"""Milliseconds a tick at half = 112: an eighth lasts 134 ms."""


def note(
    at: int, string: int, fret: int, finger: str | None = None, pick: str | None = None, how: str | None = None
) -> Played:
    """A note at an eighth; the pick finger is left to the caller, None being nobody's."""
    return Played(at * STEP, string, fret, finger, pick, how)


def shape(position: int, start: int = 0) -> list[Played]:
    """A measure of eighths over the closed shape with its root on strings 4 and 1, the index finger at `position`."""
    frets = {4: (position + 2, "r"), 3: (position + 1, "m"), 2: (position, "i"), 1: (position + 2, "p")}
    strings = (4, 3, 2, 1, 3, 2, 1, 2)
    picks = ("T", "I", "T", "M", "T", "I", "M", "I")
    return [note(start + n, s, *frets[s], p) for n, (s, p) in enumerate(zip(strings, picks, strict=True))]


def join(a: Grip, b: Grip, ms_per_tick: float, length: int = 8 * STEP, gap: int = 0) -> tuple[str, float]:
    """What cannot be played where one passage follows another, and the strain of it."""
    words = joint.problem(a, b, length, gap, BANJO, USUAL, ms_per_tick)
    met = joint.meeting(joint.ends([a]), joint.ends([b]), length + gap, BANJO, USUAL)
    strain = float(max(joint.strain(met, USUAL, ms_per_tick)[1], default=0.0))
    assert bool(words) == (strain == joint.IMPOSSIBLE)
    return words, strain


@pytest.mark.parametrize(
    ("start", "end", "guided", "by_hand"),
    [
        # distance between the frets over the width of the fret aimed at; millimetres from the fret rule by hand
        (2, 5, False, 85 * math.log2((167.25 - 72.74) / (167.25 - 137.55) + 1)),
        (5, 2, False, 85 * math.log2((167.25 - 72.74) / (72.74 - 37.42) + 1)),
        (8, 10, True, 30 * math.log2((292.55 - 246.72) / (292.55 - 270.30) + 1)),
        (1, 12, False, 85 * math.log2((333.38 - 37.42) / (333.38 - 313.55) + 1)),
        (7, 7, False, 0.0),
    ],
)
def test_the_time_to_move_by_hand(start: int, end: int, guided: bool, by_hand: float) -> None:
    """slope · log2(D / W + 1), the form of Fitts's law (Fitts 1954, J. Exp. Psychol. 47:381-391); the slopes are ours."""
    assert move_ms(BANJO, USUAL, start, end, guided) == pytest.approx(by_hand, abs=0.1)


def test_farther_takes_longer() -> None:
    """From fret 1, every fret farther away takes more time, and a finger that keeps its string makes any move shorter."""
    times = [move_ms(BANJO, USUAL, 1, end, False) for end in range(1, 18)]
    assert times == sorted(times)
    assert len(set(times)) == len(times)
    for end in range(2, 18):
        assert move_ms(BANJO, USUAL, 1, end, True) < move_ms(BANJO, USUAL, 1, end, False)


@pytest.mark.parametrize(("start", "end"), [(2, 5), (5, 2), (8, 10), (10, 8)])
def test_what_players_do_every_day(start: int, end: int) -> None:
    """From one measure to the next at half = 112, moving a held shape from 2 to 5 or from 8 to 10 and back is possible
    (common practice, no source)."""
    first = grip(shape(start), BANJO, USUAL)
    second = grip(shape(end), BANJO, USUAL)
    assert (first.problem, second.problem) == ("", "")
    assert join(first, second, FAST)[0] == ""


def test_what_no_player_does() -> None:
    """The same shape from fret 2 to fret 14 within an eighth at that tempo is out of the question, and the words say why."""
    far = join(grip(shape(2), BANJO, USUAL), grip(shape(14), BANJO, USUAL), FAST)
    assert far == ("there is no time to shift from fret 2 to fret 14", joint.IMPOSSIBLE)


def test_nothing_guides_a_leap() -> None:
    """Protects the hand from going from fret 9 to fret 1 in 156 ms, though the same fingers keep their strings; in twice that time it can
    be done."""
    high, low = grip(shape(9), BANJO, USUAL), grip(shape(1), BANJO, USUAL)
    assert join(high, low, 156 / STEP) == ("there is no time to shift from fret 9 to fret 1", joint.IMPOSSIBLE)
    assert join(high, low, 312 / STEP)[0] == ""


def test_open_strings_are_time_to_move() -> None:
    """What cannot be reached within an eighth can be reached while open strings sound."""
    at_once = [note(0, 3, 2, "i", "T"), note(1, 1, 12, "i", "M")]
    with_open = [note(0, 3, 2, "i", "T"), note(1, 2, 0, None, "I"), note(2, 5, 0, None, "T"), note(3, 1, 12, "i", "M")]
    assert grip(at_once, BANJO, USUAL).problem_at(FAST) == "no time to shift from fret 2 to fret 12"
    assert grip(with_open, BANJO, USUAL).problem_at(FAST) == ""


def test_the_index_finger_goes_where_it_is_written() -> None:
    """Protects fast songs: the next frets may lie within reach of the hand where it is, but where they are written for the index finger
    the hand has to go there. From fret 8 to a barre at fret 12 there is no time in an eighth of 94 ms; for the ring
    finger at fret 11 nothing has to move."""
    shape_at_8 = grip(shape(8), BANJO, USUAL)
    barre = grip([note(0, 2, 12, "i"), note(1, 1, 12, "i")], BANJO, USUAL)
    under = grip([note(0, 1, 11, "r"), note(1, 1, 10, "m")], BANJO, USUAL)
    very_fast = 60_000 / 160 / 4 / STEP
    assert join(shape_at_8, barre, very_fast) == ("there is no time to shift from fret 8 to fret 12", joint.IMPOSSIBLE)
    assert join(shape_at_8, under, very_fast) == ("", 0.0)
    assert join(shape_at_8, barre, 60_000 / 80 / 4 / STEP)[0] == ""


def test_a_slide_is_its_own_move() -> None:
    """The hand travels along with a slide, so no time is asked for it."""
    slid = [note(0, 3, 2, "i", "T"), note(1, 3, 9, "i", None, "slide")]
    struck = [note(0, 3, 2, "i", "T"), note(1, 3, 9, "i", "I")]
    assert grip(slid, BANJO, USUAL).problem_at(FAST) == ""
    assert grip(struck, BANJO, USUAL).problem_at(FAST)


def test_a_shift_is_made_where_there_is_time() -> None:
    """A note that lies under the hand both before and after a change of position leaves the hand its choice: the change falls in the
    longer gap, here across the open string, and not in the last eighth."""
    notes = [
        note(0, 3, 2, "i", "T"),
        note(1, 2, 3, "m", "I"),
        note(2, 4, 0, None, "T"),
        note(3, 3, 2, "m", "I"),
        note(4, 2, 1, "i", "M"),
    ]
    held = grip(notes, BANJO, USUAL)
    assert held.problem == ""
    assert held.positions == ((0, 2), (3 * STEP, 1))


def test_no_shift_within_reach() -> None:
    """Four fingers cover the frets beside one another without a shift, and the little finger reaches one farther."""
    held = grip([note(n, 1, 8 + n, f, "MI"[n % 2]) for n, f in enumerate(FINGERS)], BANJO, USUAL)
    assert held.positions == ((0, 8),)
    assert held.problem == ""
    assert grip([note(0, 2, 8, "i", "I"), note(1, 1, 12, "p", "M")], BANJO, USUAL).positions == ((0, 8),)


@pytest.mark.parametrize(("low", "mm"), [(1, 100.0), (5, 79.5), (12, 53.0)])
def test_one_finger_a_fret_spans(low: int, mm: float) -> None:
    """Index on one fret and little finger three above: 100 mm from fret 1, 79.5 from fret 5, 53 from fret 12 (fret rule, computed)."""
    pinch = [note(0, 3, low, "i", "T"), note(0, 1, low + 3, "p", "M")]
    assert grip(pinch, BANJO, USUAL).stretch_mm == pytest.approx(mm, abs=0.6)


def test_a_stretch_has_its_limits() -> None:
    """What the most that the player allows does not span is not held at once."""
    wide = [note(0, 3, 1, "i", "T"), note(0, 1, 5, "p", "M")]
    assert grip(wide, BANJO, USUAL).problem_at(FAST) == ""
    assert grip(wide, BANJO, Limits(most_mm=120.0)).problem_at(FAST) == "it stretches 130 mm"
    crossed = [note(0, 3, 5, "i", "T"), note(0, 1, 9, "m", "M")]
    assert grip(crossed, BANJO, USUAL).problem_at(FAST) == "i on fret 5 and m on fret 9 cannot be held at once"


@pytest.mark.parametrize("finger", ["i", "m", "r", "p"])
def test_each_finger_has_its_frets(finger: str) -> None:
    """With the index finger fixed at fret 8 each finger reaches from its lowest to its highest fret there, and none beyond."""
    low, high = OFFSETS[finger]
    for offset in range(-2, 8):
        notes = [note(0, 3, 8, "i", "T"), note(0, 2, 8 + offset, finger, "I")]
        assert (not grip(notes, BANJO, USUAL).problem_at(FAST)) == (low <= offset <= high), offset


@pytest.mark.parametrize("pick", ["T", "I", "M"])
def test_a_pick_finger_needs_its_time(pick: str) -> None:
    """One finger does not strike twice within 150 ms (single-finger tapping: Fujii et al. 2009, Neurosci. Lett. 459:69-73)."""
    notes = [note(0, 2, 0, None, pick), note(1, 2, 0, None, pick)]
    assert grip(notes, BANJO, USUAL).problem_at(149 / STEP) == f"{pick} would strike twice within 150 ms"
    assert grip(notes, BANJO, USUAL).problem_at(151 / STEP) == ""
    assert grip(notes, BANJO, Limits(pick_ms=200)).problem_at(151 / STEP)


def test_a_join_minds_the_pick_fingers() -> None:
    """The last stroke of a measure and the first of the next by one finger: refused when fast, strained when middling, free when
    slow; and a rest between them counts."""
    a = grip([note(7, 1, 0, None, "M")], BANJO, USUAL)
    b = grip([note(0, 1, 0, None, "M")], BANJO, USUAL)
    assert join(a, b, FAST)[0] == "M would strike twice within 150 ms"
    assert join(a, b, 180 / STEP) == ("", 0.5)
    assert join(a, b, 220 / STEP) == ("", 0.0)
    assert join(a, b, FAST, gap=STEP) == ("", 0.0)


def test_the_players_own_limits() -> None:
    """A highest fret and a spared little finger are limits of the player, and the words say which one is met."""
    high = [note(0, 1, 14, "p", "M")]
    assert grip(high, BANJO, USUAL).problem_at(FAST) == ""
    assert grip(high, BANJO, Limits(highest_fret=12)).problem_at(FAST) == "it goes beyond fret 12"
    assert grip(high, BANJO, Limits(little_finger=False)).problem_at(FAST) == "it needs the little finger"
    assert grip([note(0, 1, 23, "i", "M")], BANJO, USUAL).problem_at(FAST) == "it goes beyond fret 22"


def test_a_little_finger_low_down() -> None:
    """The little finger on the first fret leaves no fret below it for the index finger: the hand is then at fret 1."""
    held = grip([note(0, 1, 1, "p", "M")], BANJO, USUAL)
    assert held.problem == ""
    assert held.positions == ((0, 1),)


def test_open_strings_only() -> None:
    """A passage on open strings has no position: the hand hovers, and anything may follow."""
    hover = grip([note(n, 3 - n % 3, 0, None, "TIM"[n % 3]) for n in range(8)], BANJO, USUAL)
    assert (hover.entry, hover.exit, hover.stretch_mm, hover.positions) == (None, None, 0.0, ())
    assert join(hover, grip(shape(15), BANJO, USUAL), FAST) == ("", 0.0)


def test_the_thumb_frets_the_short_string() -> None:
    """The thumb on the fifth string stands beside the hand: a fret or two below the index finger up to four above."""
    beside = [note(0, 2, 8, "i", "I"), note(0, 5, 9, "t", "T")]
    far = [note(0, 2, 8, "i", "I"), note(0, 5, 14, "t", "T")]
    assert grip(beside, BANJO, USUAL).problem_at(FAST) == ""
    assert grip(far, BANJO, USUAL).problem_at(FAST)


def test_entry_and_exit() -> None:
    """What a join needs: where the hand comes in, where it leaves, and when its first and last fretted notes sound."""
    held = grip([note(0, 3, 0, None, "T"), *shape(5, 1)[:3], note(5, 1, 0, None, "M")], BANJO, USUAL)
    assert held.entry and held.exit
    assert (held.entry.position, held.entry.low, held.entry.high, held.entry.at) == (5, 5, 7, STEP)
    assert held.exit.at == 3 * STEP
    assert held.entry.form == frozenset({(4, "r"), (3, "m"), (2, "i")})
    assert held.first == (0, 2 * STEP, 5 * STEP)
    assert held.last == (3 * STEP, 2 * STEP, 5 * STEP)


@st.composite
def passages(draw: st.DrawFn) -> list[Played]:
    """Up to ten notes in eighths, each on a string with a fret, a finger and a pick finger of its own."""
    out = []
    for at in range(draw(st.integers(1, 10))):
        fret = draw(st.integers(0, 17))
        finger = draw(st.sampled_from(FINGERS)) if fret else None
        how = draw(st.sampled_from([None, None, "slide"])) if fret else None
        out.append(note(at, draw(st.integers(1, 4)), fret, finger, draw(st.sampled_from("TIM")), how))
    return out


@given(passages(), st.floats(60, 600), st.floats(1, 4))
def test_slower_is_never_harder(notes: list[Played], eighth_ms: float, times: float) -> None:
    """What can be played fast can be played slower; beyond its fastest speed it cannot."""
    held = grip(notes, BANJO, USUAL)
    if not held.problem_at(eighth_ms / STEP):
        assert not held.problem_at(eighth_ms * times / STEP)
    if held.fastest:
        assert held.problem_at(held.fastest * 0.99)
        assert held.problem_at(held.fastest) == held.problem


@given(passages(), passages(), st.floats(60, 600), st.floats(1, 4))
def test_slower_joins_are_never_harder(a: list[Played], b: list[Played], eighth_ms: float, times: float) -> None:
    """What can follow at a fast tempo can follow at a slower one, and with no more strain."""
    length = (a[-1].at // STEP + 1) * STEP
    fast_ms, slow_ms = eighth_ms / STEP, eighth_ms * times / STEP
    first, second = grip(a, BANJO, USUAL), grip(b, BANJO, USUAL)
    fast = join(first, second, fast_ms, length)
    slow = join(first, second, slow_ms, length)
    assert slow[1] <= fast[1]
    if not fast[0]:
        assert not slow[0]


@given(passages(), st.floats(60, 600))
def test_stricter_limits_allow_no_more(notes: list[Played], eighth_ms: float) -> None:
    """A slower hand, a slower finger or a smaller hand never makes something possible that was not."""
    ms = eighth_ms / STEP
    if grip(notes, BANJO, USUAL).problem_at(ms):
        assert grip(notes, BANJO, replace(USUAL, shift_ms=120.0, guided_ms=60.0)).problem_at(ms)
        assert grip(notes, BANJO, replace(USUAL, pick_ms=200.0)).problem_at(ms)
        assert grip(notes, BANJO, replace(USUAL, release_ms=90.0)).problem_at(ms)


@given(passages())
def test_every_note_is_held_somewhere(notes: list[Played]) -> None:
    """The positions begin with the first fretted note and follow in time; each lies on the neck."""
    held = grip(notes, BANJO, USUAL)
    fretted = [n for n in notes if n.fret]
    assert bool(held.positions) == bool(fretted)
    if fretted:
        times = [at for at, _ in held.positions]
        assert times[0] == fretted[0].at
        assert times == sorted(set(times))
        assert all(1 <= position <= BANJO.frets for _, position in held.positions)
