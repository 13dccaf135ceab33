"""Play-along: what a player hears is the plan, and every track is what it says."""

from __future__ import annotations

from itertools import pairwise

import pytest

from chartc.chart.song import Measure, Stretch
from chartc.export.band import chop_notes, strokes
from chartc.export.midi import BEND_RANGE, midi, signature_name
from chartc.export.plan import plan
from chartc.slots.part import Note
from chartc.theory import pitch
from chartc.theory.chord import read_chord
from chartc.theory.key import Key, parse_key
from chartc.theory.meter import Meter
from tests.export.read_back import played_by_plan, struck, tracks
from tests.export.songs import CROOKED, chart, example, one_measure

FOUR = Meter(4, 4)


def _bars(words: str, meter: Meter = FOUR) -> Measure:
    """One measure of evenly spread chords."""
    span = chart(CROOKED)[0].song.sections[0].span
    names = words.split()
    each = meter.ticks // len(names)
    found = tuple(Stretch(n * each, each, read_chord(name, Key(1)), span) for n, name in enumerate(names))
    return Measure(meter, meter.ticks, 1, found, (None,) * len(names), span)


def test_the_banjo_plays_the_plan_after_the_count_in() -> None:
    """Protects practice with the file: every note of the plan sounds at its tick, and nothing else does."""
    part = example("lantern-on-the-lock")[0]
    expected = [(at + part.song.meter.ticks, n) for at, n in played_by_plan(plan([part]))]
    assert struck(tracks(midi(part))["banjo"]) == expected
    assert len(expected) > 500


def test_repeats_endings_and_a_pickup_are_played_out() -> None:
    """Protects the form: three times through with its endings; the count-in leaves room for the pickup."""
    part = chart(CROOKED)[0]
    data = tracks(midi(part))
    lead = 2 * 1920 - 480
    assert struck(data["banjo"]) == [(at + lead, n) for at, n in played_by_plan(plan([part]))]
    # a verse of 12 measures twice, a chorus and a tag of two measures, and one pickup
    assert data["banjo"][-1][0] == lead + 480 + 28 * 1920
    markers = [(at, m.text) for at, m in data["The Crooked Culvert"] if m.type == "marker"]
    assert markers == [
        (0, "count-in"), (lead, "verse"), (lead + 480 + 12 * 1920, "chorus"), (lead + 480 + 14 * 1920, "verse"),
        (lead + 480 + 26 * 1920, "tag"),
    ]  # fmt: skip


def test_the_click_is_on_every_beat_and_high_on_the_first() -> None:
    """Protects the player's count: beats are even from the count-in through the pickup to the end."""
    part = chart(CROOKED)[0]
    clicks = struck(tracks(midi(part))["click"])
    assert {b - a for (a, _), (b, _) in pairwise(clicks)} == {480}
    assert clicks[0][0] == 0
    # the first measure after the pickup begins with the third whole measure from the start
    assert [at for at, n in clicks if n == 76][:3] == [0, 1920, 3840]


def test_tempo_steps_play_the_song_again_each_with_its_count_in() -> None:
    """Protects slow practice: each step has its tempo, and the notes of each are the same."""
    part = example("pole-and-paddle")[0]
    data = tracks(midi(part, (60, 80, 100)))
    tempos = [(at, m.tempo) for at, m in data[part.song.title] if m.type == "set_tempo"]
    usual = 60_000_000 / part.song.tempo.quarters
    assert [t for _, t in tempos] == [round(usual / 0.6), round(usual / 0.8), round(usual)]
    whole = tempos[1][0]
    notes = struck(data["banjo"])
    third = len(notes) // 3
    assert [(at + whole, n) for at, n in notes[:third]] == notes[third : 2 * third]
    assert [(at + 2 * whole, n) for at, n in notes[:third]] == notes[2 * third :]


def test_no_count_in_begins_at_once() -> None:
    """Protects other programs that only want the notes: without a count-in the first tick is the song's."""
    part = example("pole-and-paddle")[0]
    assert struck(tracks(midi(part, count_in=False))["banjo"]) == played_by_plan(plan([part]))


def test_every_note_that_begins_ends_and_no_string_sounds_twice_at_once() -> None:
    """Protects the ear from hanging notes: on each channel beginnings and ends of a pitch take turns."""
    for part in (chart(CROOKED)[0], example("hens-in-the-hold")[0]):
        for name, messages in tracks(midi(part, (70, 100))).items():
            sounding: set[tuple[int, int]] = set()
            for _, m in messages:
                if m.type == "note_on":
                    assert (m.channel, m.note) not in sounding, name
                    sounding.add((m.channel, m.note))
                elif m.type == "note_off":
                    sounding.remove((m.channel, m.note))
            assert not sounding, name


def test_a_choke_bends_its_own_string_and_lets_go() -> None:
    """Protects the sound of a choke: it rises by its amount on that string's channel alone, and ends at 0."""
    made = one_measure(Note(0, 1920, 2, 10, 69, "I", "r", "choke", 1.5))
    bends = [
        (at, m.channel, m.pitch) for at, m in tracks(midi(made, count_in=False))["banjo"] if m.type == "pitchwheel"
    ]
    assert {channel for _, channel, _ in bends} == {1}
    heights = [p for _, _, p in bends]
    assert heights[:-1] == sorted(heights[:-1])
    assert max(heights) == round(1.5 * 8191 / BEND_RANGE)
    assert bends[-1] == (1920, 1, 0)


def test_the_same_part_gives_the_same_bytes() -> None:
    """Protects builds that can be repeated: nothing of the time of day is in the file."""
    part = example("pole-and-paddle")[0]
    assert midi(part, (60, 100)) == midi(part, (60, 100))


@pytest.mark.parametrize("steps", [(), (0,), (50, -1)])
def test_steps_that_are_no_tempo_are_refused(steps: tuple[int, ...]) -> None:
    """Protects callers: an endless or empty file is never written."""
    with pytest.raises(ValueError, match="percents"):
        midi(chart(CROOKED)[0], steps)


def test_bass_and_chop_follow_the_chords() -> None:
    """Protects the band: each chord's first stroke is its root (or the chart's bass note) in the bass, the chop has its tones only."""
    for words, meter in (
        ("G D7", FOUR),
        ("C/G C", FOUR),
        ("Em", Meter(3, 4)),
        ("G C D", Meter(3, 4)),
        ("A", Meter(6, 8)),
        ("G", Meter(2, 4)),
    ):
        measure = _bars(words, meter)
        found = list(strokes(measure))
        for stretch in measure.stretches:
            assert stretch.chord is not None
            here = [s for s in found if stretch.at <= s.at < stretch.at + stretch.ticks]
            tone = stretch.chord.root if stretch.chord.bass is None else stretch.chord.bass
            assert here[0].at == stretch.at
            assert here[0].bass
            assert here[0].notes[0] % 12 == pitch.pitch_class(tone)
            assert all(n % 12 in stretch.chord.classes for s in here for n in s.notes)
            assert all(s.at + s.ticks <= stretch.at + stretch.ticks for s in here)


def test_where_the_chop_falls() -> None:
    """Protects the feel: on two and four, on two and three of a waltz, on the third eighth of each beat in six-eight, between the
    beats in two. Common practice, no source."""
    expected = {(4, 4): [480, 1440], (3, 4): [480, 960], (6, 8): [480, 1200], (2, 2): [480, 1440], (2, 4): [240, 720]}
    for (count, unit), places in expected.items():
        assert [s.at for s in strokes(_bars("G", Meter(count, unit))) if not s.bass] == places


def test_no_chord_is_silence() -> None:
    """Protects a stop: where the chart has no chord neither bass nor chop sounds."""
    span = chart(CROOKED)[0].song.sections[0].span
    assert not list(strokes(Measure(FOUR, 1920, 1, (Stretch(0, 1920, None, span),), (None,), span)))


def test_a_chord_without_a_fifth_keeps_its_root_in_the_bass() -> None:
    """Protects chords of any make: every chopped chord has at most four tones, inside one octave."""
    for word in ("G5", "Gdim", "Gaug", "Gsus4", "G13", "Gm7b5"):
        chord = read_chord(word, Key(1))
        assert chord is not None
        notes = chop_notes(chord)
        assert 2 <= len(notes) <= 4
        assert max(notes) - min(notes) < 12


@pytest.mark.parametrize(
    ("key", "name"),
    [("G", "G"), ("Bb", "Bb"), ("F#", "F#"), ("E minor", "Em"), ("A mixolydian", "D"), ("A dorian", "Em")],
)
def test_the_key_signature_is_named_for_its_signs(key: str, name: str) -> None:
    """Protects readers of the file: modes have the signature of the major or minor key with the same signs."""
    found = parse_key(key)
    assert found is not None
    assert signature_name(found) == name
