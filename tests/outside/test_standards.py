"""Checks against standards and handbooks: MIDI numbers, A = 440 Hz, key signatures, transposition, fret distances."""

from __future__ import annotations

import pytest

from chartc.neck.instrument import Instrument, String
from chartc.neck.instruments import five_string_banjo
from chartc.theory import pitch
from chartc.theory.chord import read_chord
from chartc.theory.key import Key, parse_key

FIVE_STRING_BANJO = five_string_banjo()


def _key(text: str) -> Key:
    key = parse_key(text)
    assert key is not None
    return key


def test_the_tuning_frequency_is_that_of_iso_16() -> None:
    """A in the treble stave sounds 440 Hz. Source: ISO 16:1975, Acoustics: standard tuning frequency (standard musical pitch)."""
    assert pitch.frequency(pitch.midi("A4")) == 440.0


def test_note_numbers_are_those_of_midi() -> None:
    """Middle C, written C4 here, is note 60 and the range is 0 to 127. Source: MIDI 1.0 Detailed Specification, Note Numbers.

    Naming middle C as C4 follows American standard pitch notation (ANSI S1.1, acoustical terminology; from memory)."""
    assert pitch.midi("C4") == 60
    assert pitch.midi("A4") == 69
    assert [pitch.note_name(n) for n in (0, 60, 69, 127)] == ["C-1", "C4", "A4", "G9"]


@pytest.mark.parametrize(
    ("note", "hertz"),
    [
        ("A0", 27.5),
        ("C4", 261.626),
        ("G4", 391.995),
        ("D3", 146.832),
        ("G3", 195.998),
        ("B3", 246.942),
        ("D4", 293.665),
        ("C8", 4186.009),
    ],
)
def test_frequencies_are_equally_tempered(note: str, hertz: float) -> None:
    """Piano notes and the banjo's open strings in hertz. Source: the table of equal temperament at A4 = 440 Hz that handbooks
    of acoustics print to three decimals (from memory; it follows from ISO 16:1975 by the twelfth root of two)."""
    assert pitch.frequency(pitch.midi(note)) == pytest.approx(hertz, abs=0.0006)


# Source: any handbook of music theory (circle of fifths): sharps or flats (negative), major key, its relative minor.
SIGNATURES = [
    (0, "C", "A"), (1, "G", "E"), (2, "D", "B"), (3, "A", "F#"), (4, "E", "C#"), (5, "B", "G#"), (6, "F#", "D#"), (7, "C#", "A#"),
    (-1, "F", "D"), (-2, "Bb", "G"), (-3, "Eb", "C"), (-4, "Ab", "F"), (-5, "Db", "Bb"), (-6, "Gb", "Eb"), (-7, "Cb", "Ab"),
]  # fmt: skip


@pytest.mark.parametrize(("signs", "major", "minor"), SIGNATURES)
def test_the_fifteen_key_signatures(signs: int, major: str, minor: str) -> None:
    """Each signature has its major key and its relative minor, and just its signs stand in both scales, in their order.

    Source: any handbook of music theory; sharps come as F C G D A E B, flats as B E A D G C F."""
    order = "FCGDAEB"
    signed = {f"{x}♯" for x in order[:signs]} if signs > 0 else {f"{x}♭" for x in order[::-1][:-signs]}
    for key in (_key(major), _key(f"{minor} minor")):
        assert key.signature == signs
        assert {name for name in map(pitch.name, key.scale) if len(name) > 1} == signed
    assert _key(major).scale[5] == _key(f"{minor} minor").tonic
    # the same notes once more, begun on the fifth and on the second degree
    assert Key(_key(major).scale[4], "mixolydian").signature == signs
    assert Key(_key(major).scale[1], "dorian").signature == signs


# Source: worked by hand with the interval rule of any theory handbook. From G; an arrow shows the simpler spelling that is printed.
WORKED = {
    "C": "C Am D7 E♭maj7 Bm7♭5 F/C",
    "D♭": "D♭ B♭m E♭7 F♭maj7→Emaj7 Cm7♭5 G♭/D♭",
    "D": "D Bm E7 Fmaj7 C♯m7♭5 G/D",
    "E♭": "E♭ Cm F7 G♭maj7 Dm7♭5 A♭/E♭",
    "E": "E C♯m F♯7 Gmaj7 D♯m7♭5 A/E",
    "F": "F Dm G7 A♭maj7 Em7♭5 B♭/F",
    "F♯": "F♯ D♯m G♯7 Amaj7 E♯m7♭5→Fm7♭5 B/F♯",
    "G": "G Em A7 B♭maj7 F♯m7♭5 C/G",
    "A♭": "A♭ Fm B♭7 C♭maj7→Bmaj7 Gm7♭5 D♭/A♭",
    "A": "A F♯m B7 Cmaj7 G♯m7♭5 D/A",
    "B♭": "B♭ Gm C7 D♭maj7 Am7♭5 E♭/B♭",
    "B": "B G♯m C♯7 Dmaj7 A♯m7♭5 E/B",
}


@pytest.mark.parametrize("tonic", WORKED)
def test_the_worked_table_of_transpositions(tonic: str) -> None:
    """Six chords from G into twelve keys: exact spelling inside, simple spelling in print, and the way back.

    Source: the table above, worked by hand with the interval rule of any theory handbook."""
    fifths = pitch.tone(tonic) - pitch.tone("G")
    exact, printed = [], []
    for word in WORKED["G"].split():
        chord = read_chord(word, _key("G"))
        assert chord is not None
        moved = chord.moved(fifths)
        bass = "" if moved.bass is None else "/" + pitch.name(moved.bass)
        exact.append(pitch.name(moved.root) + moved.quality.suffix.replace("b", "♭") + bass)
        printed.append(moved.label)
        assert moved.moved(-fifths).label == word
    assert exact == [word.split("→")[0] for word in WORKED[tonic].split()]
    assert printed == [word.split("→")[-1] for word in WORKED[tonic].split()]


SCALES = {"banjo, 26.25 in": 666.75, "banjo, 26.5 in": 673.1, "guitar, 25.5 in": 647.7, "mandolin, 13.875 in": 352.425}


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES.keys())
def test_frets_lie_where_the_makers_rule_puts_them(scale: float) -> None:
    """Each fret lies a 17.817th of what is left of the string further on, within the rounding of that number.

    Source: the divisor 17.817 of handbooks for makers of fretted instruments (from memory)."""
    frets = Instrument("x", scale, 24, (String(60),)).fret_mm
    assert frets[0] == 0
    near = far = 0.0
    for fret in range(1, 25):
        near += (scale - near) / 17.8175
        far += (scale - far) / 17.8165
        assert near < frets[fret] < far
        assert far - near < 0.02


@pytest.mark.parametrize("scale", SCALES.values(), ids=SCALES.keys())
def test_frets_divide_the_string_by_the_twelfth_root_of_two(scale: float) -> None:
    """What is left of the string falls by one twelfth root of two a fret: half of it at 12, a quarter at 24.

    Source: ideal string (frequency is inverse to length, Mersenne's law) and equal temperament; any handbook of acoustics."""
    frets = Instrument("x", scale, 24, (String(60),)).fret_mm
    left = [scale - f for f in frets]
    assert frets[12] == pytest.approx(scale / 2, abs=1e-9)
    assert frets[24] == pytest.approx(scale * 3 / 4, abs=1e-9)
    for fret in range(24):
        assert left[fret] / left[fret + 1] == pytest.approx(1.0594630943592953, abs=1e-12)
        assert left[0] / left[fret] == pytest.approx(pitch.frequency(60 + fret) / pitch.frequency(60), abs=1e-9)


@pytest.mark.parametrize(
    ("fret", "mm"),
    [(1, 37.42), (2, 72.74), (3, 106.08), (5, 167.25), (7, 221.75), (9, 270.30), (10, 292.55), (12, 333.38), (15, 386.42), (17, 417.00), (19, 444.25), (22, 479.65)],
)  # fmt: skip
def test_the_frets_of_a_banjo_in_millimetres(fret: int, mm: float) -> None:
    """Fret distances of a 26.25 inch neck to a hundredth of a millimetre (reckoned by hand from the twelfth root of two)."""
    assert FIVE_STRING_BANJO.scale_mm == pytest.approx(26.25 * 25.4)
    assert FIVE_STRING_BANJO.fret_mm[fret] == pytest.approx(mm, abs=0.0051)
