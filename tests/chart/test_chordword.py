"""What a player is told about a word that is no chord."""

from __future__ import annotations

import pytest

from chartc.chart.chordword import not_a_chord

HINTS = [
    ("g", "write G"),
    ("am7", "write Am7"),
    ("H7", "write B for"),
    ("G/H", "G/B for the note below C"),
    ("G/b", "write G/B"),
    ("G/x", "for example G/D"),
    ("D/x", "for example D/A"),
    ("5/x", "for example 5/2"),
    ("G-C", "spaces between chords: G C"),
    ("G/C/D", "spaces between chords: G C D"),
    ("nc", "write NC"),
    ("n.c.", "write NC"),
    (":", "repeat, end repeat"),
    ("%%", "write % once"),
    (".", "one beat more, write /"),
    ("-", "one beat more, write /"),
    ("Gxyz", "write G with nothing after it"),
    ("G" * 30, "a chord is a capital letter"),
    ("?", "a chord is a capital letter"),
]


@pytest.mark.parametrize(("word", "hint"), HINTS)
def test_hints(word: str, hint: str) -> None:
    """Protects the help beside a bad chord: it names the way to write what was probably meant."""
    message, help = not_a_chord(word)
    assert hint in help, help
    assert message.startswith('"')
