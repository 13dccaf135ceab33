"""Candidates: what is put together from parts that are worked out once is the same as followed from the beginning."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import Library, Lick
from chartc.licks.notation import RawNote
from chartc.neck.follow import grip, hand_of
from chartc.neck.hand import Limits
from chartc.neck.instrument import FifthString
from chartc.neck.instruments import five_string_banjo
from chartc.slots.candidate import Bench, Candidate, Maker, Need, onsets_tile
from chartc.slots.fifth import drone_suits
from chartc.slots.leadins import Joining
from chartc.slots.moves import Moved, written
from chartc.slots.rolls import Held, Rolling, rolling
from chartc.slots.stock import chosen_shapes
from chartc.theory.chord import Chord, read_chord
from chartc.theory.key import Key

BANJO = five_string_banjo()
SMALL = Limits(comfortable_mm=85.0, most_mm=105.0, highest_fret=12, little_finger=False, run_ms=110.0)
FIFTHS = (FifthString(0, 67, ""), FifthString(7, 69, ""), FifthString(0, 68, ""))
METERS = {"4/4": (1920, 240, False), "3/4": (1440, 240, False), "6/8": (1440, 240, True), "2/4": (960, 120, False)}
FAST = 125 / 240
"""Milliseconds a tick with eighths at half = 120."""


@cache
def library(limits: Limits) -> Library:
    """The licks that such a hand can play."""
    return load_library(own_sources(), BANJO, limits)[0]


def chord(word: str) -> Chord:
    """A chord by letter."""
    found = read_chord(word, Key(0))
    assert found is not None
    return found


def made(word: str, meter: str, limits: Limits, fifth: FifthString) -> tuple[Candidate, ...]:
    """All candidates over a chord, with lead-ins to the fourth, fifth and sixth above."""
    maker = Maker(Bench(BANJO, fifth, limits, library(limits)))
    root = chord(word).root_class
    need = Need(chord(word), *METERS[meter])
    return maker.candidates(need, ((root + 5) % 12, (root + 7) % 12, (root + 9) % 12), frozenset({1, 2}))


@pytest.mark.parametrize("limits", [Limits(), SMALL], ids=["usual", "small"])
@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("word", ["G", "Bbm", "D7", "F#"])
def test_parts_make_the_whole(word: str, meter: str, limits: Limits) -> None:
    """The grip of every candidate, put together from what is known of the roll, the shape, the lick and the tail, is that of its notes
    followed one by one; and its notes and rests fill the slot, sound at the pitch of their strings and stand in order of time."""
    ticks = METERS[meter][0]
    for fifth in FIFTHS:
        found = made(word, meter, limits, fifth)
        if limits == Limits():
            assert {c.role for c in found} >= {"roll", "vamp", "lead-in"}
        for c in found:
            if c.notes:
                assert c.grip == grip(c.notes, BANJO, limits), c
                assert not c.grip.problem
            assert onsets_tile(c.notes, c.rests, ticks), c
            assert c.onsets == len({n.at for n in c.notes})
            assert list(c.notes) == sorted(c.notes, key=lambda n: (n.at, -n.string))
            for n in c.notes:
                assert n.pitch == (fifth.pitch if n.string == 5 and not n.fret else BANJO.pitch(n.string, n.fret))


@pytest.mark.parametrize("limits", [Limits(), SMALL], ids=["usual", "small"])
@pytest.mark.parametrize(("word", "ticks"), [("G", 1440), ("Am", 1200), ("E7", 1440), ("Db", 960)])
def test_the_fastest_carriers(word: str, ticks: int, limits: Limits) -> None:
    """Behind which two rolls a tail is put is found without trying all of them, and is what trying all of them finds: the first two
    that let it be played fast, or else the two fastest, the earlier one where two are equal."""
    hand = hand_of(BANJO, limits)
    suits = drone_suits(chord(word), BANJO.strings[4].open)
    shapes = [Held(s, hand) for s in chosen_shapes(chord(word), hand)]
    laid = [rolling(r, ticks, 240, 5, suits, limits) for r in library(limits).licks if r.role == "roll"]
    rolls = [r for r in laid if r is not None]
    joining = Joining(hand)
    tails = [lick for lick in library(limits).licks if lick.role == "lead-in"]
    assert tails
    for lick in tails:
        for shift in (0, 5) if lick.movable else (0,):
            tail = Moved(written(lick, 240, 5, True, 0, hand), shift, hand)
            found = [(x.roll, x.held) for x, _ in joining.carriers(tail, rolls, shapes, ticks)]
            assert found == naive(tail, rolls, shapes, ticks, limits), lick.name


@st.composite
def tails(draw: st.DrawFn) -> Lick:
    """A tail of two to four notes on any strings and frets near one another, by any fingers, with or without hammer-ons and slides."""
    base = next(lick for lick in library(Limits()).licks if lick.role == "lead-in")
    low = draw(st.integers(1, 12))
    notes = []
    for n in range(draw(st.integers(2, 4))):
        fret = draw(st.sampled_from([0, low, low + 1, low + 2, low + 3]))
        finger = draw(st.sampled_from("imrp")) if fret else None
        how = draw(st.sampled_from([None, None, None, "hammer-on", "slide"])) if fret and n else None
        pick = None if how else "TIM"[n % 3]
        notes.append(RawNote(240 * n, 240, draw(st.integers(1, 4)), fret, pick, finger, how, 0.0, (0, 0, 0, 0)))
    return replace(base, notes=tuple(notes), rests=(), ticks=240 * len(notes))


@settings(max_examples=150, deadline=None)
@given(tails(), st.sampled_from(["G", "C", "F", "D7", "Bm"]), st.sampled_from([720, 1440]))
def test_any_tail(lick: Lick, word: str, ticks: int) -> None:
    """The same for any tail whatever: its carriers are those that following the hands through all rolls finds, and the grips are those of the
    notes, also where the hand may move early, among the roll's last notes."""
    hand = hand_of(BANJO, Limits())
    shapes = [Held(s, hand) for s in chosen_shapes(chord(word), hand)][:4]
    laid = [rolling(r, ticks, 240, 5, True, Limits()) for r in library(Limits()).licks if r.role == "roll"][::4]
    rolls = [r for r in laid if r is not None]
    tail = Moved(written(lick, 240, 5, True, 0, hand), 0, hand)
    found = list(Joining(hand).carriers(tail, rolls, shapes, ticks))
    assert [(x.roll, x.held) for x, _ in found] == naive(tail, rolls, shapes, ticks, Limits())
    for x, held in found:
        notes = [Held.drone(67, e) if e[2] == 5 else x.held.note(e) for e in x.roll.events]
        assert held == grip([*notes, *(n for n in tail.later(ticks) if n)], BANJO, Limits())


def naive(
    tail: Moved, rolls: list[Rolling], shapes: list[Held], ticks: int, limits: Limits
) -> list[tuple[Rolling, Held]]:
    """The two rolls behind which a tail is put, by following the hands through all of them."""
    drone = BANJO.strings[4].open
    later = [
        n or Held.drone(drone, (raw.at + ticks, raw.ticks, raw.string, raw.pick, raw.how))
        for n, raw in zip(tail.later(ticks), tail.written.notes, strict=True)
    ]
    found = []
    for roll in rolls:
        for held in shapes:
            if roll.closing & tail.written.opening or roll.damped & ~held.fretted:
                continue
            notes = [Held.drone(drone, e) if e[2] == 5 else held.note(e) for e in roll.events]
            whole = grip([*notes, *later], BANJO, limits)
            if not whole.problem:
                found.append((max(FAST, whole.fastest), roll, held))
    return [(roll, held) for _, roll, held in sorted(found, key=lambda f: f[0])[:2]]
