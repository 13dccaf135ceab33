"""Chords: reading by letter and by degree, qualities, tones, spelling in another key."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.theory import pitch
from chartc.theory.chord import (
    STEPS,
    Chord,
    all_suffixes,
    degree_label,
    degree_tone,
    pretty,
    quality,
    read_chord,
)
from chartc.theory.key import MODES, Key, parse_key

G = Key(1)
KEYS = st.builds(Key, st.integers(-7, 11), st.sampled_from(sorted(MODES.values())))
ROOTS = st.integers(-10, 14)
SUFFIXES = st.sampled_from(all_suffixes())


def _key(text: str) -> Key:
    key = parse_key(text)
    assert key is not None
    return key


def _chord(word: str, key: str = "G") -> Chord:
    chord = read_chord(word, _key(key))
    assert chord is not None, word
    return chord


def _names(chord: Chord) -> str:
    return " ".join(pitch.name(t) for t in chord.tones)


# Each row: the usual suffix, its other forms, the semitones above the root.
WRITTEN = [
    ("", "maj major Maj M", (0, 4, 7)),
    ("m", "min mi Min - minor Minor", (0, 3, 7)),
    ("5", "no3 (no3)", (0, 7)),
    ("6", "maj6 M6", (0, 4, 7, 9)),
    ("m6", "min6 mi6 -6", (0, 3, 7, 9)),
    ("69", "6/9 6(9) 6add9 6(add9) maj6/9 M69", (0, 4, 7, 9, 2)),
    ("m69", "m6/9 -69", (0, 3, 7, 9, 2)),
    ("7", "dom7", (0, 4, 7, 10)),
    ("maj7", "M7 ma7 Maj7 MAJ7 Ma7 Δ Δ7 △ (maj7)", (0, 4, 7, 11)),
    ("m7", "min7 mi7 -7", (0, 3, 7, 10)),
    ("mmaj7", "mM7 m(maj7) m(M7) minmaj7 mMaj7 -maj7 -Δ -Δ7 mΔ", (0, 3, 7, 11)),
    ("9", "", (0, 4, 7, 10, 2)),
    ("maj9", "M9 ma9 Maj9 Δ9", (0, 4, 7, 11, 2)),
    ("m9", "min9 mi9 -9", (0, 3, 7, 10, 2)),
    ("mmaj9", "m(maj9) mM9", (0, 3, 7, 11, 2)),
    ("11", "", (0, 4, 7, 10, 2, 5)),
    ("m11", "min11 -11", (0, 3, 7, 10, 2, 5)),
    ("13", "", (0, 4, 7, 10, 2, 9)),
    ("maj13", "M13 ma13", (0, 4, 7, 11, 2, 9)),
    ("m13", "min13 -13", (0, 3, 7, 10, 2, 9)),
    ("sus2", "2", (0, 2, 7)),
    ("sus4", "sus 4 (sus4)", (0, 5, 7)),
    ("7sus4", "7sus 7(sus4)", (0, 5, 7, 10)),
    ("9sus4", "9sus", (0, 5, 7, 10, 2)),
    ("13sus4", "13sus", (0, 5, 7, 10, 2, 9)),
    ("7sus2", "", (0, 2, 7, 10)),
    ("dim", "° o º Dim mb5 m♭5 m(b5) -b5", (0, 3, 6)),
    ("dim7", "°7 o7 º7", (0, 3, 6, 9)),
    ("m7b5", "m7♭5 m7(b5) ø ø7 Ø min7b5 -7b5 m7-5 hdim hdim7", (0, 3, 6, 10)),
    ("aug", "+ Aug #5 (#5) ♯5 +5", (0, 4, 8)),
    ("add9", "add2 (add9) majadd9", (0, 4, 7, 2)),
    ("madd9", "madd2 m(add9) -add9", (0, 3, 7, 2)),
    ("add11", "add4 (add11)", (0, 4, 7, 5)),
    ("7b5", "7-5 7(b5) 7♭5", (0, 4, 6, 10)),
    ("7#5", "+7 aug7 7+ 7+5 7(#5) 7aug", (0, 4, 8, 10)),
    ("m7#5", "m7+5 m7+", (0, 3, 8, 10)),
    ("7b9", "7-9 7(b9)", (0, 4, 7, 10, 1)),
    ("7#9", "7+9 7(#9)", (0, 4, 7, 10, 3)),
    ("9b5", "9-5", (0, 4, 6, 10, 2)),
    ("9#5", "9+5 +9 9+ aug9", (0, 4, 8, 10, 2)),
    ("maj7#5", "M7#5 +maj7 +M7 augmaj7 maj7+5 Δ#5", (0, 4, 8, 11)),
    ("maj7b5", "M7b5", (0, 4, 6, 11)),
    ("7b5b9", "7b9b5 7(b5,b9) 7-5-9", (0, 4, 6, 10, 1)),
    ("7#5#9", "7#9#5 7(#5,#9) 7+5+9", (0, 4, 8, 10, 3)),
    ("7b9#11", "7(b9,#11) 7#11b9", (0, 4, 7, 10, 1, 6)),
    ("7#11", "7+11 7(#11)", (0, 4, 7, 10, 6)),
    ("maj7#11", "M7#11 maj7+11", (0, 4, 7, 11, 6)),
    ("7b13", "7-13", (0, 4, 7, 10, 8)),
    ("13b9", "13-9 13(b9)", (0, 4, 7, 10, 9, 1)),
    ("(b5)", "b5", (0, 4, 6)),
]  # fmt: skip


@pytest.mark.parametrize(("suffix", "others", "classes"), WRITTEN)
def test_a_quality_is_read_in_every_usual_form(suffix: str, others: str, classes: tuple[int, ...]) -> None:
    """One quality, one suffix, the right tones, however a chart writes it (common practice, no source)."""
    kind = quality(suffix)
    assert kind is not None
    assert kind.suffix == suffix
    assert kind.classes == classes
    for other in others.split():
        assert quality(other) == kind, other


def test_every_suffix_of_the_table_is_checked() -> None:
    """No quality goes without the check above."""
    assert set(all_suffixes()) <= {suffix for suffix, _, _ in WRITTEN}
    assert len(set(all_suffixes())) == len(all_suffixes())


@pytest.mark.parametrize(
    "suffix",
    [
        "x", "Mm7", "mm", "mmaj", "7b", "b", "#", "7b4", "7b7", "b5#5", "7b9b9", "7b9)", "7((b9", "7b9,,", "7(b9", "m5", "msus4",
        "7 b9", "77", "8", "m8", "7b11", "sus3", "dim9", "++", "--", "7#5#5", "m7b5b5", "7♭", "add", "7-", "6-9", "alt", "()", "maug7x",
    ],
)  # fmt: skip
def test_what_is_no_quality_is_none(suffix: str) -> None:
    """Half-written and contradicting suffixes are refused, so that the user hears of a slip of the pen."""
    assert quality(suffix) is None


@given(st.text(st.sampled_from("maj75b#9()sudiΔ°ø+-136,/ ♭"), max_size=10))
def test_a_suffix_read_again_is_the_same_quality(text: str) -> None:
    """No text raises; what is understood has a suffix that means itself, and distinct tones in an octave."""
    kind = quality(text)
    if kind is not None:
        assert quality(kind.suffix) == kind
        assert quality(pretty(kind.suffix)) == kind
        assert len(set(kind.degrees)) == len(kind.degrees)
        assert set(kind.degrees) <= set(STEPS)


@pytest.mark.parametrize(
    ("suffixes", "family"),
    [
        (" 6 maj7 maj9 69 add9 maj13 add11 (b5)", "major"),
        ("m m6 m7 m9 mmaj7 madd9 m69 m7#5", "minor"),
        ("7 9 11 13 7b9 7#9 7b5 7#11 7b13", "seventh"),
        ("dim dim7", "diminished"),
        ("m7b5", "half-diminished"),
        ("aug 7#5 maj7#5", "augmented"),
        ("sus2 sus4 7sus4 9sus4 13sus4 7sus2", "suspended"),
        ("5", "power"),
    ],
)
def test_a_quality_has_its_family(suffixes: str, family: str) -> None:
    """Licks are chosen by family: each quality belongs to one."""
    for suffix in suffixes.split(" "):
        kind = quality(suffix)
        assert kind is not None
        assert kind.family == family, suffix


@pytest.mark.parametrize(
    ("word", "names", "label"),
    [
        ("C", "C E G", "C"),
        ("F#m7b5/C", "F♯ A C E", "F♯m7♭5/C"),
        ("F♯m7♭5", "F♯ A C E", "F♯m7♭5"),
        ("Bb", "B♭ D F", "B♭"),
        ("B♭maj7", "B♭ D F A", "B♭maj7"),
        ("Bb5", "B♭ F", "B♭5"),
        ("C/G", "C E G", "C/G"),
        ("C/D", "C E G D", "C/D"),
        ("C/C", "C E G", "C"),
        ("G7/B", "G B D F", "G7/B"),
        ("C6/9", "C E G A D", "C69"),
        ("C6/9/E", "C E G A D", "C69/E"),
        ("Cm6/9", "C E♭ G A D", "Cm69"),
        ("C(b5)", "C E G♭", "C(♭5)"),
        ("Cb5", "C♭ G♭", "B5"),
        ("Ebdim7", "E♭ G♭ B𝄫 D𝄫", "E♭dim7"),
        ("A/C#", "A C♯ E", "A/C♯"),
        ("Fbmaj7", "F♭ A♭ C♭ E♭", "Emaj7"),
        ("E#m7b5", "E♯ G♯ B D♯", "Fm7♭5"),
        ("D##", "D𝄪 F𝄪♯ A𝄪", "E"),
        ("Gb#9", "G♭ B♭ D♭ A", "G♭(♯9)"),
        ("C/Gb", "C E G G♭", "C/G♭"),
    ],
)
def test_a_chord_by_letter_has_its_tones(word: str, names: str, label: str) -> None:
    """Tones are spelled exactly, root first, a bass note that is no chord tone last; print is simply spelled."""
    chord = _chord(word)
    assert _names(chord) == names.replace("𝄫", "♭♭").replace("𝄪", "♯♯")
    assert chord.label == label
    assert chord.symbol == pitch.plain(label)
    assert chord.symbol.isascii()
    assert chord.classes == {pitch.pitch_class(t) for t in chord.tones}
    assert chord.root_class == pitch.pitch_class(chord.tones[0])


@pytest.mark.parametrize(
    ("word", "key", "label"),
    [
        ("1", "G", "G"),
        ("4", "G", "C"),
        ("5", "G", "D"),
        ("57", "G", "D7"),
        ("6m", "G", "Em"),
        ("6-", "G", "Em"),
        ("2-7", "G", "Am7"),
        ("b7", "G", "F"),
        ("♭7", "G", "F"),
        ("b3maj7", "G", "B♭maj7"),
        ("#4°", "G", "C♯dim"),
        ("4/1", "G", "C/G"),
        ("1/5", "G", "G/D"),
        ("1/b7", "G", "G/F"),
        ("16/9", "G", "G69"),
        ("16/9/3", "G", "G69/B"),
        ("17", "G", "G7"),
        ("I", "G", "G"),
        ("IV", "G", "C"),
        ("V7", "G", "D7"),
        ("vi", "G", "Em"),
        ("ii7", "G", "Am7"),
        ("vii°", "G", "F♯dim"),
        ("viiø7", "G", "F♯m7♭5"),
        ("vim", "G", "Em"),
        ("iisus4", "G", "Asus4"),
        ("bVII", "G", "F"),
        ("IV/5", "G", "C/D"),
        ("IVmaj7", "Eb", "A♭maj7"),
        ("3", "A minor", "C"),
        ("6", "A minor", "F"),
        ("7", "A minor", "G"),
        ("b7", "A minor", "G"),
        ("b3", "A minor", "C"),
        ("#7°", "A minor", "G♯dim"),
        ("iv", "A minor", "Dm"),
        ("V7", "A minor", "E7"),
        ("7", "D mixolydian", "C"),
        ("b7", "D mixolydian", "C"),
        ("4", "D dorian", "G"),
        ("3", "D dorian", "F"),
        ("6", "D dorian", "B"),
    ],
)
def test_a_chord_by_degree_follows_the_key(word: str, key: str, label: str) -> None:
    """Numbers and Roman numerals follow the scale of the key; a flat is counted from the major scale in every mode, a sharp
    raises the mode's own degree; lower case is minor where there is a third (common practice, no source)."""
    assert _chord(word, key).label == label


@pytest.mark.parametrize(
    "word",
    ["", "H", "c", "Gb#", "8", "0", "C/", "/G", "C/H", "C/5", "C/Gb#", "C//G", "Cm /G", "C\n", "N.C.", "%", "b", "iX", "VIII", "IIX", "C###", "1/8", "##4", "C|", "Cx"],
)  # fmt: skip
def test_what_is_no_chord_is_none(word: str) -> None:
    """Anything else is left to the caller to report: no word is half understood."""
    assert read_chord(word, G) is None


@given(st.text(max_size=20), KEYS)
def test_no_text_makes_the_chord_reader_raise(word: str, key: Key) -> None:
    """Any text at all is a chord or None."""
    chord = read_chord(word, key)
    assert chord is None or chord.tones


@given(st.text(st.sampled_from("ABCDEFGabg#♭♯mMj1234567IViv/()+-°øΔsud96, 𝄪"), max_size=12), KEYS)
def test_no_word_of_chord_letters_makes_the_reader_raise(word: str, key: Key) -> None:
    """Words made of the signs of chords come near every rule of the reader; what is read is printed and read again."""
    chord = read_chord(word, key)
    if chord is not None:
        again = read_chord(chord.symbol, key)
        assert again is not None
        assert again.symbol == chord.symbol
        assert again.classes == chord.classes


@given(ROOTS, SUFFIXES, st.none() | ROOTS, st.integers(-12, 12))
def test_moving_there_and_back_is_the_identity(root: int, suffix: str, bass: int | None, fifths: int) -> None:
    """A song put into another key and back is the song, spelling included; on the way its intervals stay."""
    kind = quality(suffix)
    assert kind is not None
    chord = Chord(root, kind, bass)
    moved = chord.moved(fifths)
    assert moved.moved(-fifths) == chord
    assert [t - fifths for t in moved.tones] == list(chord.tones)
    assert {(c + fifths * 7) % 12 for c in chord.classes} == moved.classes


@given(st.integers(-6, 10), SUFFIXES, st.none() | st.integers(-6, 10), KEYS)
def test_a_printed_chord_read_again_is_the_chord(root: int, suffix: str, bass: int | None, key: Key) -> None:
    """Label and symbol of every simply spelled chord mean that chord again, so that a printed chart can be typed in."""
    kind = quality(suffix)
    assert kind is not None
    chord = Chord(root, kind, None if bass == root else bass)
    assert read_chord(chord.symbol, key) == chord
    assert read_chord(chord.label, key) == chord


@given(ROOTS, SUFFIXES, st.none() | ROOTS)
def test_a_label_is_simply_spelled(root: int, suffix: str, bass: int | None) -> None:
    """Printed roots and bass notes never carry a double sign, and printing sounds the same."""
    kind = quality(suffix)
    assert kind is not None
    chord = Chord(root, kind, bass)
    assert not any(sign in chord.label for sign in ("♯♯", "♭♭", "F♭", "C♭", "E♯", "B♯"))
    again = read_chord(chord.label, G)
    assert again is not None
    assert again.classes == chord.classes


@given(st.integers(-7, 11), st.integers(-8, 12))
def test_degrees_are_there_and_back_in_major(tonic: int, step: int) -> None:
    """A tone's degree read again in the same major key is the tone."""
    key = Key(tonic)
    label = degree_label(tonic + step, key)
    if len(label) <= 2:
        assert degree_tone(label, key) == tonic + step
        assert degree_tone(pitch.plain(label), key) == tonic + step


@given(KEYS)
def test_the_scale_is_its_own_degrees(key: Key) -> None:
    """`1` to `7` are the seven tones of the key in every mode, and their labels are counted from the major scale."""
    assert tuple(degree_tone(str(n), key) for n in range(1, 8)) == key.scale
    labels = {
        "major": "1 2 3 4 5 6 7",
        "mixolydian": "1 2 3 4 5 6 ♭7",
        "dorian": "1 2 ♭3 4 5 6 ♭7",
        "minor": "1 2 ♭3 4 5 ♭6 ♭7",
    }
    assert " ".join(degree_label(t, key) for t in key.scale) == labels[key.mode]
    flats = [label for label in labels[key.mode].split() if label.startswith("♭")]
    assert all(degree_tone(label, key) == key.scale[int(label[-1]) - 1] for label in flats)


def test_neighbours_written_in_two_ways_are_one_chord() -> None:
    """`Am`, `A-` and `Amin` are equal, so that a chord written in two ways is not taken for a change."""
    assert _chord("Am") == _chord("A-") == _chord("Amin") == _chord("2m")
    assert _chord("D7b9#11") == _chord("D7#11b9")
    assert _chord("G") != _chord("G7")
