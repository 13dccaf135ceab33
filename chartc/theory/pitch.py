"""Spelled tones on the line of fifths, and notes as MIDI numbers.

A tone is a whole number: ... B♭ = -2, F = -1, C = 0, G = 1, D = 2 ... Moving to another key adds one number to every tone,
so that spelling is exact and the way back is the identity. (Line of fifths: any theory handbook.)
MIDI note 69 is A4 = 440 Hz (MIDI 1.0; ISO 16:1975).
"""

from __future__ import annotations

import re

_LETTERS = "FCGDAEB"
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_SIGNS = {"b": -1, "♭": -1, "#": 1, "♯": 1, "𝄪": 2, "𝄫": -2}
_NOTE = re.compile(r"([A-G])([b#♭♯]{0,2})(-?\d)")


def tone(name: str) -> int:
    """The tone of a name like `B`, `Bb`, `F♯`. Raises ValueError for anything else."""
    if not name or name[0] not in _LETTERS or any(c not in _SIGNS for c in name[1:]):
        raise ValueError(name)
    return _LETTERS.index(name[0]) - 1 + 7 * sum(_SIGNS[c] for c in name[1:])


def name(tone: int) -> str:
    """The tone's exact name with ♭ and ♯."""
    signs, letter = divmod(tone + 1, 7)
    return _LETTERS[letter] + ("♯" * signs if signs > 0 else "♭" * -signs)


def simple(tone: int) -> int:
    """The tone respelled as it is printed: no double signs, and none of F♭, C♭, E♯, B♯."""
    while tone < -6:
        tone += 12
    while tone > 10:
        tone -= 12
    return tone


def pitch_class(tone: int) -> int:
    """Semitones above C, 0 to 11."""
    return tone * 7 % 12


def plain(text: str) -> str:
    """The text with b and # for ♭ and ♯."""
    return text.replace("♭", "b").replace("♯", "#")


def midi(note: str) -> int:
    """The MIDI number of a note like `D4` (C4 = 60). Raises ValueError for anything else."""
    match = _NOTE.fullmatch(note)
    if not match:
        raise ValueError(note)
    letter, signs, octave = match.groups()
    return 12 * (int(octave) + 1) + _SEMITONES[letter] + sum(_SIGNS[c] for c in signs)


def note_name(midi: int, signature: int = 0) -> str:
    """A MIDI number as a note name with its octave, `C4` for 60: spelled as in a key of so many sharps (flats where negative), and what is
    not in its scale as is usual."""
    scale = [tone for tone in range(signature - 1, signature + 6) if tone * 7 % 12 == midi % 12]
    if scale:
        return f"{name(simple(scale[0]))}{midi // 12 - 1}"
    names = ("C D♭ D E♭ E F G♭ G A♭ A B♭ B" if signature < 0 else "C C♯ D E♭ E F F♯ G A♭ A B♭ B").split()
    return f"{names[midi % 12]}{midi // 12 - 1}"


def frequency(midi: int) -> float:
    """Hertz: 440 · 2^((n − 69) / 12)."""
    return float(440.0 * 2.0 ** ((midi - 69) / 12))
