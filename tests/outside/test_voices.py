"""Ranges of voices as a handbook gives them, as values for the ranking.

Source: "Range", The New Harvard Dictionary of Music (Randel, 1986), by way of a library's guide: soprano C4 to A5, mezzo-soprano A3
to F5, alto F3 to D5, tenor B2 to G4, baritone G2 to E4, bass E2 to C4.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from chartc.book.ranking import ranked, trio
from chartc.book.singers import read_singers
from chartc.chart.song import Melody
from chartc.text.source import Source
from chartc.theory import pitch
from chartc.theory.key import parse_key

VOICES = {
    "soprano": ("C4", "A5"),
    "mezzo": ("A3", "F5"),
    "alto": ("F3", "D5"),
    "tenor": ("B2", "G4"),
    "baritone": ("G2", "E4"),
    "bass": ("E2", "C4"),
}


@pytest.mark.parametrize("voice", VOICES)
def test_a_melody_of_the_whole_range_fits_in_one_key_only(voice: str) -> None:
    """Protects the ends of a range: a melody as wide as the voice fits where it lies exactly inside, and a semitone off nowhere."""
    low, high = VOICES[voice]
    text = f"singers:\n  - name: One\n    range: {low} to {high}\n"
    singers, found = read_singers(Source("singers.yaml", text), Path())
    assert not found
    one = singers["One"]
    key = parse_key("G")
    assert key is not None
    # written in G a fifth above where it fits, so that only the key a fifth below G suits: C
    melody = Melody(one.range.low + 7, one.range.high + 7)
    fits = [f for f in ranked(key, melody, trio([one])) if not f.missing]
    assert [f.key.label for f in fits] == ["C"]
    assert (pitch.note_name(fits[0].melody.low), pitch.note_name(fits[0].melody.high)) == (low, high)


def test_a_man_and_a_woman_need_not_sing_a_song_in_one_key() -> None:
    """Protects the purpose: a melody of an octave and a fourth that suits an alto in one key suits a baritone in another, an octave lower."""
    text = "".join(f"  - name: {v}\n    range: {a} to {b}\n" for v, (a, b) in VOICES.items())
    singers, _ = read_singers(Source("singers.yaml", "singers:\n" + text), Path())
    key = parse_key("G")
    assert key is not None
    melody = Melody(pitch.midi("A3"), pitch.midi("D5"))
    alto, baritone = (ranked(key, melody, trio([singers[v]]))[0] for v in ("alto", "baritone"))
    assert not alto.missing and not baritone.missing
    assert alto.melody.low - baritone.melody.low in range(9, 12)
    assert alto.key != baritone.key
