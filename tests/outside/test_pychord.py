"""Checks of chord tones against pychord (MIT; Y. Mihira and others). Pitch classes only: its spellings are not always right."""

from __future__ import annotations

import pytest
from pychord import Chord as TheirChord

from chartc.theory import pitch
from chartc.theory.chord import Chord, all_suffixes, quality

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")

# our suffix, and theirs where it is another
THEIRS = {"7#5#9": "7#9#5", "7b5b9": "7b9b5", "maj7#5": "maj7+5"}

# what it has no tones for under any name
LACKING = {"7sus2", "13sus4", "mmaj9", "m13"}

# built otherwise there: its 13th chords pile up every third; ours leave the eleventh out, as players do
ELEVENTH_LEFT_OUT = {"13", "maj13", "13b9"}

# other ways of writing that both know; alone, 2 and 4 are added tones there and suspended ones here
ALSO = (
    "maj",
    "M7",
    "min",
    "-",
    "mM7",
    "m7-5",
    "7-5",
    "7+5",
    "7-9",
    "7+9",
    "9-5",
    "9+5",
    "add4",
    "sus",
    "7(b9)",
    "7b9#11",
    "13b9",
    "m7+5",
    "maj7+11",
)


def _classes(names: list[str]) -> set[int]:
    return {pitch.pitch_class(pitch.tone(n)) for n in names}


@pytest.mark.parametrize("suffix", [s for s in (*all_suffixes(), *ALSO) if s not in LACKING])
def test_chord_tones_agree_on_twelve_roots(suffix: str) -> None:
    """The sound of each quality on each root, for our own suffixes and for other ways of writing. Source: pychord 1.4."""
    kind = quality(suffix)
    assert kind is not None
    for root in ROOTS:
        theirs = _classes(TheirChord(root + THEIRS.get(suffix, suffix)).components(visible=True))
        ours = set(Chord(pitch.tone(root), kind).classes)
        if suffix in ELEVENTH_LEFT_OUT:
            ours.add((pitch.pitch_class(pitch.tone(root)) + 5) % 12)
        assert ours == theirs, root


def test_chords_over_another_bass_note_agree() -> None:
    """A bass note that is a chord tone adds nothing, one that is not adds itself. Source: pychord 1.4."""
    for word, root, bass in (("C/G", "C", "G"), ("D/F#", "D", "F#"), ("F/G", "F", "G"), ("Bb/C", "Bb", "C")):
        kind = quality("")
        assert kind is not None
        assert set(Chord(pitch.tone(root), kind, pitch.tone(bass)).classes) == _classes(
            TheirChord(word).components(visible=True)
        )
