"""The library covers what charts ask for: every common chord, meter and length, in every key without a capo."""

from __future__ import annotations

from collections import defaultdict
from functools import cache

import pytest

from chartc.chart import Vocabulary, read_chart
from chartc.licks.library import load_library, own_sources
from chartc.neck.hand import Limits
from chartc.neck.instrument import FifthString
from chartc.neck.instruments import five_string_banjo
from chartc.player import SPIKES
from chartc.slots.candidate import Bench, Candidate, Maker, Need
from chartc.slots.fifth import fifth_string
from chartc.text.source import Source
from chartc.theory import pitch
from chartc.theory.chord import Chord, all_suffixes, quality, read_chord
from chartc.theory.key import Key, all_keys
from chartc.theory.meter import WHOLE, Meter

BANJO = five_string_banjo()

LIBRARY, _ = load_library(own_sources())

METERS = {"4/4": 240, "2/2": 240, "2/4": 120, "3/4": 240, "6/8": 240}
"""The meters with the ticks of a roll's step in them."""

STEP_MS = {"4/4": 250, "2/2": 167, "2/4": 200, "3/4": 250, "6/8": 200}
"""Milliseconds a step at a middling tempo (120 quarters, 90 halves, 75 quarters, 120 quarters, 100 dotted quarters)."""

LENGTHS = {"half": 0.5, "one": 1.0, "two": 1.0}

CHORDS = {"major": ("1", "4", "5"), "minor": ("2m", "6m"), "seventh": ("17", "27", "57")}
MINOR_KEYS = {"major": ("b6", "b7"), "minor": ("1m", "4m"), "seventh": ("57",)}

CHANGES = ("1 4", "4 1", "1 5", "5 1", "1 6m", "1 2", "2 5", "1 b7", "4 5", "5 4")

KEYS = (*all_keys("major"), *all_keys("minor"))


@cache
def maker(key: Key) -> Maker:
    """The banjo as it stands for a plain song in a key: the short string at a spike, tuned up or as it is."""
    bars = "1 | 4 | 1 | 57" if key.mode == "major" else "1m | 4m | 1m | 57"
    text = f"title Test\nkey {key.plain}\nmeter 4/4\ntempo quarter = 120\nsection verse, 4 measures\n| {bars} |\n"
    song, found = read_chart(Source("test", text), Vocabulary(frozenset(), frozenset()))
    assert song is not None, found
    return Maker(Bench(BANJO, fifth_string(song, BANJO, SPIKES), Limits(), LIBRARY))


def chord_of(word: str, key: Key) -> Chord:
    """A chord by its degree."""
    found = read_chord(word, key)
    assert found is not None
    return found


def need(chord: Chord, meter: str, length: str) -> Need:
    """A slot of a chord in a meter: half a measure, one, or one of two."""
    m = Meter(*map(int, meter.split("/")))
    return Need(chord, int(m.ticks * LENGTHS[length]), METERS[meter], m.compound)


def fitting(candidates: tuple[Candidate, ...], meter: str, length: str) -> dict[str, set[str]]:
    """By role, the names of the licks that are at home in the meter, fill the length and can be played at a middling tempo."""
    out: dict[str, set[str]] = defaultdict(set)
    for c in candidates:
        fast = STEP_MS[meter] / METERS[meter]
        whole = c.part == ((1, 2) if length == "two" else (1, 1))
        if meter in c.meters and whole and c.grip.fastest <= fast:
            out[c.role].add(c.lick)
    return out


def cells() -> list[tuple[str, str]]:
    """Meters and lengths that there are: a waltz measure has no half."""
    return [(m, n) for m in METERS for n in LENGTHS if (m, n) != ("3/4", "half")]


def wanted(meter: str, length: str) -> tuple[str, ...]:
    """The roles of which there must be three. Rolls and vamps go on for any time, so they are counted in one measure and less; a
    kickoff is a measure; a turnaround is two; an ending a measure or half of one."""
    if length == "two":
        return ("lick", "fill", "turnaround")
    if length == "half":
        return ("roll", "vamp", "lick", "fill", "ending")
    return ("roll", "vamp", "lick", "fill", "ending", "kickoff")


@pytest.mark.parametrize("family", CHORDS)
@pytest.mark.parametrize("key", KEYS, ids=lambda k: k.file_word)
def test_three_licks_for_every_cell(key: Key, family: str) -> None:
    """Whatever the key, without a capo: three different licks of each role, over the major, minor and seventh chords of the key, in
    every meter, for half a measure, a measure and two."""
    short = {}
    for word in (CHORDS if key.mode == "major" else MINOR_KEYS)[family]:
        chord = chord_of(word, key)
        assert chord.quality.family == family
        for meter, length in cells():
            halves = frozenset({1}) if length == "two" else frozenset()
            found = fitting(maker(key).candidates(need(chord, meter, length), (), halves), meter, length)
            for role in wanted(meter, length):
                if len(found[role]) < 3:
                    short[chord.label, meter, length, role] = sorted(found[role])
    assert short == {}


@pytest.mark.parametrize("key", KEYS, ids=lambda k: k.file_word)
def test_a_song_in_twelve_eight_has_an_end(key: Key) -> None:
    """Protects slow gospel songs: whatever the key, an ending for a whole measure of 12/8 over the chord of the tonic."""
    m = Meter(12, 8)
    chord = chord_of("1" if key.mode == "major" else "1m", key)
    found = maker(key).candidates(Need(chord, m.ticks, 240, m.compound), (), frozenset())
    # a step in 150 milliseconds: 133 dotted quarters a minute, faster than such songs go
    assert [c.lick for c in found if c.role == "ending" and c.part == (1, 1) and c.grip.fastest <= 150 / 240]


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("key", all_keys("major"), ids=lambda k: k.file_word)
def test_three_lead_ins_for_every_change(key: Key, change: str) -> None:
    """The ten commonest changes each have three different tails in every key, in every meter, and in half measures where a tail
    and a roll before it find room (not in half a measure of 6/8: three eighths)."""
    here, there = (chord_of(word, key) for word in change.split())
    short = {}
    for meter, length in cells():
        if length == "two" or (meter, length) == ("6/8", "half"):
            continue
        found = fitting(maker(key).candidates(need(here, meter, length), (there.root_class,)), meter, length)
        if len(found["lead-in"]) < 3:
            short[meter, length] = sorted(found["lead-in"])
    assert short == {}


def test_two_halves_of_a_lick_are_there_together() -> None:
    """A lick of two measures that can begin can also go on, in the same place on the neck; else a phrase would break off."""
    for key in all_keys("major"):
        for family, word in (("major", "1"), ("minor", "6m"), ("seventh", "57")):
            for meter in METERS:
                found = maker(key).candidates(need(chord_of(word, key), meter, "two"), (), frozenset({1, 2}))
                first, second = ({c.key for c in found if c.part == (n, 2)} for n in (1, 2))
                assert first == second, (key.label, family, meter)


@pytest.mark.parametrize("suffix", all_suffixes())
def test_every_quality_has_a_roll_and_a_vamp(suffix: str) -> None:
    """No chord that can be written is left silent: a roll and a vamp over a shape that was found, on every root, with the short
    string as tuned."""
    kind = quality(suffix)
    assert kind is not None
    tuned = Maker(Bench(BANJO, FifthString(0, BANJO.strings[4].open, ""), Limits(), LIBRARY))
    silent = []
    for tonic in all_keys("major"):
        chord = Chord(tonic.tonic, kind)
        found = fitting(tuned.candidates(Need(chord, WHOLE, 240, False)), "4/4", "one")
        silent += [(chord.label, role) for role in ("roll", "vamp") if not found[role]]
    assert silent == []


def test_the_numbers_of_the_library() -> None:
    """What a teacher counts: at least 16 rolls, and at least 120 licks and lead-ins beside them."""
    rolls = [x for x in LIBRARY.licks if x.role == "roll"]
    said = [x for x in LIBRARY.licks if x.role in ("lick", "fill", "lead-in")]
    assert len(rolls) >= 16
    assert len(said) >= 120


def test_the_roots_of_all_keys_are_all_roots() -> None:
    """The tests above go through the twelve keys: none may be missing from the list they use."""
    for mode in ("major", "minor"):
        assert {pitch.pitch_class(k.tonic) for k in KEYS if k.mode == mode} == set(range(12))
