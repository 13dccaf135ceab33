"""The short string against the rules of the trade (banjo teachers' pages; where it says so, common practice without a source)."""

from __future__ import annotations

import pytest

from chartc.chart.song import Song
from chartc.neck.instrument import Instrument, String
from chartc.neck.instruments import five_string_banjo
from chartc.slots.fifth import drone_suits, fifth_string
from chartc.theory import pitch
from chartc.theory.chord import read_chord
from chartc.theory.key import Key
from tests.slots.small import CHOP, library, means, notes_as_played, part, song

FIVE_STRING_BANJO = five_string_banjo()

G = 67


def suits(word: str, midi: int = G) -> bool:
    """Whether a drone suits a chord."""
    chord = read_chord(word, Key(0))
    assert chord is not None
    return drone_suits(chord, midi)


@pytest.mark.parametrize(
    "word", ["G", "C", "Em", "Eb", "G7", "Cmaj7", "Am7", "D7", "D", "F", "Bb", "Gm", "Cm", "F6", "Dm", "Gsus4", "A7", "C7", "D9"]
)  # fmt: skip
def test_over_these_chords_an_open_g_is_right(word: str) -> None:
    """Protects the drone: root, third, fifth, fourth, sixth, ninth or seventh of the chord is heard as right; G over D7 is
    the commonest sound of the style (common practice, no source)."""
    assert suits(word)


@pytest.mark.parametrize("word", ["Ab", "F#", "F#m", "B", "E", "Abm", "C#", "G#7", "Bm", "F#m7b5"])
def test_over_these_chords_an_open_g_fights(word: str) -> None:
    """Protects the ear: a drone that lies a half step from a tone of the chord, or is no colour of it, is not right (common
    practice, no source)."""
    assert not suits(word)


def test_no_drone_a_half_step_above_a_chord_tone() -> None:
    """Protects against every rub at once: over all usual chords, a drone that suits and is no tone of the chord is never a half
    step above or below a tone of it, but for the fourth, which the trade allows."""
    for word in ("C", "Cm", "C7", "Cmaj7", "Cm7", "C6", "Cdim", "Cdim7", "Cm7b5", "Caug", "Csus4", "Csus2", "C5", "C9"):
        chord = read_chord(word, Key(0))
        assert chord is not None
        for midi in range(60, 72):
            if drone_suits(chord, midi) and midi % 12 not in chord.classes and (midi - chord.root_class) % 12 != 5:
                assert not {(midi - 1) % 12, (midi + 1) % 12} & chord.classes, (word, midi)


def test_the_drone_in_any_octave() -> None:
    """Protects other tunings: only the name of the note counts."""
    for word in ("G", "D7", "F#", "Am"):
        assert len({suits(word, midi) for midi in (43, 55, 67, 79)}) == 1


THREE_CHORDS = "| 1 | 4 | 1 | 5 |\n| 1 | 4 | 57 | 1 |"
SPIKES = (7, 9, 10)


def stand(key: str, rows: str = THREE_CHORDS, spikes: tuple[int, ...] = SPIKES) -> tuple[int, str, str]:
    """For a song of three chords in a key: the spike's fret or 0, the note, and the words to the player."""
    found = fifth_string(song(rows, key=key), FIVE_STRING_BANJO, spikes)
    return found.fret, pitch.note_name(found.pitch, -5), found.words


@pytest.mark.parametrize(
    ("key", "fret", "note"),
    [
        ("G", 0, "G4"),
        ("C", 0, "G4"),
        ("D", 7, "A4"),
        ("A", 7, "A4"),
        ("E", 9, "B4"),
        ("B", 9, "B4"),
        ("F", 10, "C5"),
        ("G mixolydian", 0, "G4"),
        ("E minor", 9, "B4"),
        ("A minor", 7, "A4"),
        ("D minor", 7, "A4"),
    ],
)
def test_the_usual_keys(key: str, fret: int, note: str) -> None:
    """Protects the player's habit: the short string stands on the root or the fifth of the key, at the spike that gives it, and
    as tuned in G and C (banjo teachers' pages)."""
    assert stand(key)[:2] == (fret, note)


@pytest.mark.parametrize(("key", "note", "words"), [("Db", "A♭4", "a half step"), ("Ab", "A♭4", "a half step")])
def test_tuned_up_where_no_spike_helps(key: str, note: str, words: str) -> None:
    """Protects the flat keys: without a spike at the sixth fret the string is tuned up a half step, and the words say so; with
    such a spike it is used instead, which is less work."""
    fret, got, said = stand(key)
    assert (fret, got) == (0, note) and f"tuned up to {note[:-1]}, {words}" in said
    assert stand(key, spikes=(6, 7, 9))[:2] == (6, note)


def test_without_spikes() -> None:
    """Protects a banjo without spikes: the string is as tuned, or tuned up by two half steps at most, in every key."""
    for n in range(12):
        key = pitch.plain(pitch.name((n * 7 + 5) % 12 - 5))
        fret, _, _ = stand(key, spikes=())
        found = fifth_string(song(THREE_CHORDS, key=key), FIVE_STRING_BANJO, ())
        assert fret == 0 and 0 <= found.pitch - G <= 2
    assert stand("A", spikes=())[1] == "A4"


def test_the_root_or_the_fifth_is_preferred() -> None:
    """Protects the rule itself: in every major key with the usual spikes the drone is the root or the fifth of the key, or the
    string as it is tuned where that suits the song no worse."""
    for key in ("C", "Db", "D", "E", "F", "G", "Ab", "A", "B"):
        found = fifth_string(song(THREE_CHORDS, key=key), FIVE_STRING_BANJO, SPIKES)
        tonic = pitch.pitch_class(pitch.tone(key))
        assert (found.pitch - tonic) % 12 in (0, 7), key


def test_the_key_decides_between_equals() -> None:
    """Protects the rule where the chords alone do not settle it: of D and G in turn the open G suits the one as well as the A
    suits the other; in D the string goes to A, the fifth of the key, and in G it stays."""
    assert stand("D", "| D | G |")[:2] == (7, "A4")
    assert stand("G", "| D | G |")[:2] == (0, "G4")


def test_the_words_name_the_chords_without_a_drone() -> None:
    """Protects the player from a wrong note: chords over which the string is left out are named; where it always suits there
    is no such remark."""
    assert "left out" not in stand("G")[2] and stand("G")[2] == "G, as tuned"
    words = stand("G", "| G | G | G | C |\n| G | B7 / / F#m | C | G |")[2]
    assert words == "G, as tuned; left out over B7, F♯m"
    assert stand("A")[2].startswith("spike at fret 7, A")


def test_the_form_weighs_the_chords() -> None:
    """Protects songs with an odd chord here and there: a chord counts by how long it is played in the whole form."""
    rows = "section verse, 2 measures\n| C | C |\nsection tag, 2 measures\n| Ab | Ab |"
    often = fifth_string(song(rows, key="C", form="verse, verse, verse, tag"), FIVE_STRING_BANJO, (6,))
    assert (often.fret, often.pitch) == (0, G)
    other = "section verse, 2 measures\n| Ab | Db |\nsection tag, 1 measure\n| C |"
    seldom = fifth_string(song(other, key="Ab", form="verse, verse, verse, tag"), FIVE_STRING_BANJO, (6,))
    assert (seldom.fret, seldom.pitch) == (6, 68)


def test_a_spike_at_or_below_the_nut_is_none() -> None:
    """Protects odd settings: the fifth string begins at its fifth fret, so that lower spikes cannot be used."""
    assert stand("A", spikes=(1, 3, 5))[0] == 0


def test_other_instruments() -> None:
    """Protects players of other instruments: without a short string there is nothing to set."""
    guitar = Instrument("six strings", 647.7, 20, tuple(String(n) for n in (64, 59, 55, 50, 45, 40)))
    found = fifth_string(song(THREE_CHORDS), guitar, SPIKES)
    assert (found.fret, found.pitch, found.words) == (0, 0, "none")


ROLLS = """
  - {name: with-a-stand-in, role: roll, strings: 2 1 5 2 1 5 2 1, picks: I M T I M T I M, without-fifth: 2 1 3 2 1 3 2 1}
"""
LICK = """
  - {name: round-the-drone, role: lick, chord: E, movable: yes, serves: [major], strings: 2 1 5 2 1 5 2 1, frets: 5 6 0 5 6 0 5 6,
     picks: I M T I M T I M}
"""


def sounding(rows: str, text: str) -> tuple[Song, list[int]]:
    """The open short string's pitches in a song that is filled from such licks, without any spike."""
    lib = library(text)
    filled = part(song(rows, tempo="half = 80"), means(lib, spikes=()))
    return filled.song, [n.pitch for _, n in notes_as_played(filled) if n.string == 5 and not n.fret]


def test_a_roll_goes_round_the_short_string_where_it_fights() -> None:
    """Protects the sound: over B the G is left out and another string stands in for it; over G and D7 it sounds."""
    _, drones = sounding("| G | D7 | G | G |", ROLLS)
    assert drones == [G] * 8
    _, drones = sounding("| G | B | B | B | G | G | G | G | G | G | G | G | G | G | G | G |", ROLLS)
    assert drones == [G] * 26


def test_a_lick_leaves_the_short_string_out_where_it_fights() -> None:
    """Protects licks that move along the neck: over E the G is left out of a lick, over C it stays."""
    rows = "| C | C | C | C | C | C | E | C | C | C | C | C |\nask | | | | | | | round-the-drone | | | | | |"
    lib = library(ROLLS, LICK)
    of = song(rows, lib, key="C", tempo="half = 60")
    filled = part(of, means(lib, spikes=()))
    over = [slot for measure in filled.slots[0] for slot in measure if slot.lick == "round-the-drone"]
    assert over and filled.fifth.pitch == G
    for slot in over:
        drones = [n for n in slot.notes if n.string == 5]
        assert not drones if slot.chord.label == "E" else drones


def test_nobody_tunes_a_string_that_is_not_played() -> None:
    """Protects the minutes between songs: in A the short string is tuned up to A for rolls that sound it, and stays as it is for a chop."""
    of = song("| A | D | E | A |", key="A", tempo="half = 80")
    assert part(of, means(library(ROLLS), spikes=())).fifth.words == "tuned up to A, a whole step"
    silent = part(of, means(library(CHOP), spikes=())).fifth
    assert (silent.fret, silent.pitch, silent.words) == (0, G, "G, as tuned; not played")
