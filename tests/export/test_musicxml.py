"""Open notation: what is written is the part, as printed."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from chartc.export.harmony import KINDS, kind
from chartc.export.musicxml import musicxml, spelled
from chartc.export.rhythm import values
from chartc.slots.part import Note, Part
from chartc.theory import pitch
from chartc.theory.chord import STEPS, all_suffixes, quality, read_chord
from chartc.theory.key import Key
from tests.export.songs import CROOKED, chart, example, one_measure


def _notes(data: bytes) -> list[ET.Element]:
    return [n for n in ET.fromstring(data).iter("note") if n.find("rest") is None]


def _texts(note: ET.Element, name: str) -> list[str]:
    return [e.text or "" for e in note.iter(name)]


def _printed(part: Part) -> list[tuple[str, ...]]:
    """String, fret, pick finger and fretting finger of every note as printed."""
    fingers = {"i": "1", "m": "2", "r": "3", "p": "4", "t": "t", None: ""}
    return [
        (str(n.string), str(n.fret), n.pick or "", fingers[n.finger])
        for section in part.slots
        for slots in section
        for s in slots
        for n in s.notes
    ]


def test_both_hands_are_written() -> None:
    """Protects the tablature: string, fret, pick finger and fretting finger of every note, in order."""
    for part in (example("lantern-on-the-lock")[0], chart(CROOKED)[0]):
        found = []
        for note in _notes(musicxml(part)):
            if note.find("tie[@type='stop']") is not None:
                continue
            words = [(_texts(note, name) or [""])[0] for name in ("string", "fret", "pluck", "fingering")]
            found.append(tuple(words))
        assert found == _printed(part)


def test_every_measure_is_full() -> None:
    """Protects other programs' counting: the durations of each measure add up to its length, chord notes not counted."""
    part = chart(CROOKED)[0]
    lengths = [m.ticks for s in part.song.sections for m in s.measures]
    found = []
    for measure in ET.fromstring(musicxml(part)).iter("measure"):
        found.append(sum(int(n.findtext("duration") or 0) for n in measure.iter("note") if n.find("chord") is None))
    assert found == lengths


def test_techniques_begin_on_the_string_that_they_end_on() -> None:
    """Protects slurs: each hammer-on, pull-off and slide ends on a note of the part with that technique, and begins before it on
    the same string."""
    made = one_measure(
        Note(0, 240, 3, 2, 57, "T", "m"), Note(240, 240, 3, 4, 59, None, "m", "slide"), Note(480, 240, 1, 0, 62, "M", None),
        Note(720, 240, 4, 0, 50, "T", None), Note(960, 120, 4, 2, 52, None, "m", "hammer-on"),
        Note(1080, 120, 4, 3, 53, None, "r", "hammer-on"), Note(1200, 720, 4, 0, 50, None, None, "pull-off"),
    )  # fmt: skip
    for part in (made, example("three-legged-heron")[0]):
        _check_techniques(part)
    assert [n.how for n in made.slots[0][0][0].notes].count("slide") == 1


def _check_techniques(part: Part) -> None:
    counted = {"hammer-on": 0, "pull-off": 0, "slide": 0}
    open_on: dict[tuple[str, str], str] = {}
    for note in _notes(musicxml(part)):
        for name in counted:
            for mark in sorted(note.iter(name), key=lambda e: e.get("type") or "", reverse=True):
                string = note.findtext("notations/technical/string") or ""
                if mark.get("type") == "start":
                    open_on[name, string] = string
                else:
                    counted[name] += 1
                    assert open_on.pop((name, string), None) == string
    hows = [n.how for section in part.slots for slots in section for s in slots for n in s.notes]
    assert counted == {name: hows.count(name) for name in counted}
    assert not open_on
    assert sum(counted.values()) > 3


def test_repeats_and_endings_are_written() -> None:
    """Protects the road through the song: three times, the first ending twice, the second once."""
    root = ET.fromstring(musicxml(chart(CROOKED)[0]))
    repeats = [(r.get("direction"), r.get("times")) for r in root.iter("repeat")]
    assert repeats == [("forward", None), ("backward", "3")]
    endings = [(e.get("number"), e.get("type")) for e in root.iter("ending")]
    assert endings == [("1,2", "start"), ("1,2", "stop"), ("3", "start"), ("3", "discontinue")]
    hens = ET.fromstring(musicxml(example("hens-in-the-hold")[0]))
    assert [(r.get("direction"), r.get("times")) for r in hens.iter("repeat")][:2] == [
        ("forward", None),
        ("backward", "3"),
    ]


def test_the_staff_has_the_strings_as_they_are_tuned() -> None:
    """Protects the tuning: lines from the lowest up are strings 5 to 1, the short string as it sounds at its spike."""
    for part in example("lantern-on-the-lock", ("all",)):
        found = []
        for tuning in ET.fromstring(musicxml(part)).iter("staff-tuning"):
            name = (tuning.findtext("tuning-step") or "") + {"1": "#", "-1": "b", "": ""}[
                tuning.findtext("tuning-alter") or ""
            ]
            found.append(pitch.midi(name + (tuning.findtext("tuning-octave") or "")))
        assert found == [part.fifth.pitch, 50, 55, 59, 62]


def test_every_length_is_made_of_note_values() -> None:
    """Protects measures of any make: every multiple of a sixty-fourth, and triplets, add up exactly."""
    for ticks in (*range(30, 1921, 30), 160, 80, 320, 40, 560, 640, 200, 400):
        assert sum(v.ticks for v in values(ticks)) == ticks


def test_every_quality_is_a_kind_with_its_degrees() -> None:
    """Protects chord symbols: from kind and degrees alone the chord's tones come back."""
    named = dict(KINDS)
    for suffix in all_suffixes():
        found = quality(suffix)
        assert found is not None
        name, degrees = kind(found)
        # numbers to semitones, counted as the standard counts: above a chord with a minor seventh
        tones = {int(d.lstrip("b#")): STEPS[d] * 7 % 12 for d in named[name].split()}
        natural = {5: 7, 6: 9, 7: 10, 9: 2, 11: 5, 13: 9, 2: 2, 4: 5}
        extra: list[int] = []
        for number, semitones, how in degrees:
            if how == "alter":
                tones[number] += semitones
            elif how == "subtract":
                del tones[number]
            else:
                extra.append(natural[number] + semitones)
        assert {t % 12 for t in [*tones.values(), *extra]} == set(found.classes), suffix


def test_notes_are_spelled_as_their_chord_or_key_spells_them() -> None:
    """Protects readability: a chord's own tones first, else the nearest to the key, and never another sound."""
    e_flat = read_chord("Eb", Key(-2))
    assert pitch.name(spelled(63, e_flat, Key(-2))) == "E♭"
    assert pitch.name(spelled(61, read_chord("A", Key(2)), Key(2))) == "C♯"
    for signs in range(-6, 7):
        for midi in range(40, 90):
            assert pitch.pitch_class(spelled(midi, None, Key(signs))) == midi % 12


def test_the_same_part_gives_the_same_bytes() -> None:
    """Protects builds that can be repeated: nothing of the time of day is in the file."""
    part = chart(CROOKED)[0]
    assert musicxml(part) == musicxml(part)
