"""Keys: a tonic and a mode, their signatures, and how a key asked for is spelled."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from chartc.theory import pitch

Mode = Literal["major", "minor", "mixolydian", "dorian"]

MODES: dict[str, Mode] = {"major": "major", "minor": "minor", "mixolydian": "mixolydian", "dorian": "dorian"}

# how many fifths the signature lies from the tonic's own major signature
_OFFSET: dict[Mode, int] = {"major": 0, "mixolydian": -1, "dorian": -2, "minor": -3}

# the mode's seven degrees as tones above the tonic, on the line of fifths
_SCALE: dict[Mode, tuple[int, ...]] = {
    "major": (0, 2, 4, -1, 1, 3, 5),
    "mixolydian": (0, 2, 4, -1, 1, 3, -2),
    "dorian": (0, 2, -3, -1, 1, 3, -2),
    "minor": (0, 2, -3, -1, 1, -4, -2),
}

# the twelve tonics as charts write them, by pitch class: D♭ before C♯, A♭ before G♯, B before C♭, F♯ before G♭ (as counted in the
# McGill Billboard annotations, Burgoyne et al. 2011)
_MAJOR_TONICS = tuple(pitch.tone(n) for n in ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"])
_MINOR_TONICS = tuple(pitch.tone(n) for n in ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"])

_KEY = re.compile(r"([A-G][b#♭♯]?)\s*(m|minor|min|major|maj|mixolydian|dorian)?")


@dataclass(frozen=True, slots=True)
class Key:
    """A key: `tonic` on the line of fifths, and the mode."""

    tonic: int
    mode: Mode = "major"

    @property
    def signature(self) -> int:
        """Sharps (positive) or flats (negative) of the key signature."""
        return self.tonic + _OFFSET[self.mode]

    @property
    def minor_third(self) -> bool:
        """Whether the mode's third is minor."""
        return self.mode in ("minor", "dorian")

    @property
    def scale(self) -> tuple[int, ...]:
        """The seven degrees as tones."""
        return tuple(self.tonic + step for step in _SCALE[self.mode])

    @property
    def label(self) -> str:
        """As printed: `G`, `B♭`, `C♯ minor`, `A mixolydian`."""
        tonic = pitch.name(self.tonic)
        return tonic if self.mode == "major" else f"{tonic} {self.mode}"

    @property
    def plain(self) -> str:
        """As data: `Bb`, `C# minor`."""
        return pitch.plain(self.label)

    @property
    def file_word(self) -> str:
        """As in a file's name: `B-flat`, `C-sharp-minor`."""
        return self.label.replace("♭", "-flat").replace("♯", "-sharp").replace(" ", "-")


def parse_key(text: str) -> Key | None:
    """A key as a player writes it: `G`, `Bb`, `A minor`, `Am`, `D mixolydian`; None where it is none."""
    match = _KEY.fullmatch(text.strip())
    if not match:
        return None
    word = match.group(2) or "major"
    mode: Mode = MODES.get({"m": "minor", "min": "minor", "maj": "major"}.get(word, word), "major")
    return Key(pitch.tone(match.group(1)), mode)


def names_mode(text: str) -> bool:
    """Whether a key as written says its mode."""
    match = _KEY.fullmatch(text.strip())
    return bool(match and match.group(2))


def usual(pitch_class: int, mode: Mode) -> Key:
    """The key of that mode on a pitch class, spelled as charts write it."""
    tonics = _MINOR_TONICS if _OFFSET[mode] < -1 else _MAJOR_TONICS
    return Key(tonics[pitch_class % 12], mode)


def all_keys(mode: Mode) -> tuple[Key, ...]:
    """The twelve keys of a mode, from C upwards."""
    return tuple(usual(n, mode) for n in range(12))
