"""Checks against the interval, pitch, key, chord and roman modules of music21 (BSD; M. S. Asato Cuthbert and others).

It writes flats as `-`; roots and tones are compared, never its figures.
"""

from __future__ import annotations

from music21 import chord as m_chord
from music21 import interval as m_interval
from music21 import key as m_key
from music21 import pitch as m_pitch
from music21 import roman as m_roman

from chartc.theory import pitch
from chartc.theory.chord import STEPS, Chord, all_suffixes, degree_tone, quality, read_chord
from chartc.theory.key import Key, Mode, all_keys

# the intervals that the degrees of a chord stand for, in the abbreviations of theory handbooks
INTERVALS = {
    "1": "P1", "b9": "m9", "9": "M9", "2": "M2", "#9": "A9", "b3": "m3", "3": "M3", "4": "P4", "11": "P11", "#4": "A4", "#11": "A11",
    "b5": "d5", "5": "P5", "#5": "A5", "b6": "m6", "b13": "m13", "6": "M6", "13": "M13", "bb7": "d7", "b7": "m7", "7": "M7",
}  # fmt: skip

FIFTEEN = range(-7, 8)


def _theirs(tone: int, octave: int = 4) -> m_pitch.Pitch:
    """Our tone as one of their pitches."""
    return m_pitch.Pitch(pitch.name(tone).replace("♭", "-").replace("♯", "#") + str(octave))


def _ours(theirs: m_pitch.Pitch) -> int:
    """Their pitch as our tone."""
    return pitch.tone(theirs.name.replace("-", "b"))


def _moved(interval: m_interval.Interval, theirs: m_pitch.Pitch) -> int:
    # without a limit it keeps the exact spelling, as many signs as that takes
    return _ours(interval.transposePitch(theirs, maxAccidental=None))


def test_every_quality_has_its_spelled_tones_in_twelve_keys() -> None:
    """Each tone of each quality lies its interval above the root, spelled exactly. Source: music21, interval and pitch."""
    assert set(INTERVALS) == set(STEPS)
    for suffix in all_suffixes():
        kind = quality(suffix)
        assert kind is not None
        for key in all_keys("major"):
            root = _theirs(key.tonic)
            expected = [_moved(m_interval.Interval(INTERVALS[d]), root) for d in kind.degrees]
            assert list(Chord(key.tonic, kind).tones) == expected, (suffix, key.label)


def test_every_degree_is_its_interval_in_semitones() -> None:
    """The sound of each degree agrees with the size of its interval. Source: music21, interval."""
    for degree, name in INTERVALS.items():
        assert STEPS[degree] * 7 % 12 == m_interval.Interval(name).semitones % 12, degree


def test_moving_every_quality_into_every_key_is_transposing_by_the_interval() -> None:
    """A chord moved from key to key has the tones that transposing each by the keys' interval gives, exactly spelled.

    All qualities, twelve keys to twelve keys. Source: music21, interval and pitch."""
    keys = all_keys("major")
    for suffix in all_suffixes():
        kind = quality(suffix)
        assert kind is not None
        chord = Chord(pitch.tone("G"), kind, pitch.tone("F"))
        theirs = [_theirs(t) for t in chord.tones]
        for key in keys:
            between = m_interval.Interval(_theirs(pitch.tone("G")), _theirs(key.tonic, 5))
            moved = chord.moved(key.tonic - pitch.tone("G"))
            assert list(moved.tones) == [_moved(between, t) for t in theirs], (suffix, key.label)
    for first in keys:
        for second in keys:
            between = m_interval.Interval(_theirs(first.tonic), _theirs(second.tonic, 5))
            assert _moved(between, _theirs(pitch.tone("E"))) == pitch.tone("E") + second.tonic - first.tonic


def test_families_agree_with_their_chord_qualities() -> None:
    """Major, minor, diminished, half-diminished, augmented and seventh chords are called so there too. Source: music21, chord."""
    asked = {
        "major": ("", "maj7"),
        "minor": ("m", "m7"),
        "diminished": ("dim", "dim7"),
        "augmented": ("aug",),
        "half-diminished": ("m7b5",),
        "seventh": ("7",),
    }
    for family, suffixes in asked.items():
        for suffix in suffixes:
            kind = quality(suffix)
            assert kind is not None
            assert kind.family == family
            for key in all_keys("major"):
                theirs = m_chord.Chord([_theirs(t) for t in Chord(key.tonic, kind).tones])
                assert _ours(theirs.root()) == key.tonic
                if family == "seventh":
                    assert theirs.isDominantSeventh()
                elif family == "half-diminished":
                    assert theirs.isHalfDiminishedSeventh()
                else:
                    assert theirs.quality == family
                assert theirs.isDiminishedSeventh() == (suffix == "dim7")


def test_signatures_and_scales_agree_in_every_mode() -> None:
    """The signature and the seven spelled degrees of every key of up to seven signs, in four modes. Source: music21, key."""
    offsets: dict[Mode, int] = {"major": 0, "minor": -3, "mixolydian": -1, "dorian": -2}
    for mode, offset in offsets.items():
        for signs in FIFTEEN:
            ours = Key(signs - offset, mode)
            name = pitch.name(ours.tonic).replace("♭", "-").replace("♯", "#")
            theirs = m_key.Key(name, mode)
            assert theirs.sharps == ours.signature == signs
            assert [_ours(p) for p in theirs.pitches[:7]] == list(ours.scale)


def test_roman_numerals_agree_in_twelve_keys() -> None:
    """The triads and sevenths on the degrees, the flat ones in major among them. Source: music21, roman.

    Its flats in minor count from the minor scale, ours from the major one, so that only the plain degrees are compared there."""
    asked: dict[Mode, list[tuple[str, str]]] = {
        "major": [
            ("I", "I"), ("ii", "ii"), ("iii", "iii"), ("IV", "IV"), ("V", "V"), ("vi", "vi"), ("vii°", "viio"), ("V7", "V7"),
            ("ii7", "ii7"), ("viiø7", "vii/o7"), ("bVII", "bVII"), ("bIII", "bIII"), ("bVI", "bVI"), ("#iv°", "#ivo"),
        ],
        "minor": [("i", "i"), ("III", "III"), ("iv", "iv"), ("V", "V"), ("v", "v"), ("VI", "VI"), ("VII", "VII"), ("V7", "V7")],
    }  # fmt: skip
    for mode, numerals in asked.items():
        for key in all_keys(mode):
            theirs = m_key.Key(pitch.name(key.tonic).replace("♭", "-").replace("♯", "#"), mode)
            for word, figure in numerals:
                ours = read_chord(word, key)
                assert ours is not None
                assert list(ours.tones) == [_ours(p) for p in m_roman.RomanNumeral(figure, theirs).pitches], (
                    word,
                    key.label,
                )


def test_degrees_agree_with_intervals_above_the_tonic() -> None:
    """Plain, flat and sharp degrees of twelve major keys lie their interval above the tonic. Source: music21, interval."""
    named = {
        "1": "P1",
        "2": "M2",
        "3": "M3",
        "4": "P4",
        "5": "P5",
        "6": "M6",
        "7": "M7",
        "b2": "m2",
        "b3": "m3",
        "b5": "d5",
        "b6": "m6",
        "b7": "m7",
        "#1": "A1",
        "#2": "A2",
        "#4": "A4",
        "#5": "A5",
    }
    for key in all_keys("major"):
        for degree, interval in named.items():
            assert degree_tone(degree, key) == _moved(m_interval.Interval(interval), _theirs(key.tonic)), (
                degree,
                key.label,
            )


def test_midi_numbers_and_names_agree() -> None:
    """All 128 notes and the signed names around the octave's edge. Source: music21, pitch."""
    for number in range(128):
        theirs = m_pitch.Pitch(midi=number)
        assert abs(pitch.frequency(number) / float(theirs.frequency) - 1) < 1e-9
        # it reads C-1 as a C flat
        if number >= 12:
            assert m_pitch.Pitch(pitch.note_name(number).replace("♭", "-").replace("♯", "#")).midi == number
    for name in ("Cb4", "B#3", "Fb5", "E##2", "Dbb4"):
        assert pitch.midi(name) == m_pitch.Pitch(name.replace("b", "-")).midi
