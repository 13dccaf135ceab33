"""A fretted instrument as data: strings, scale length, frets."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from chartc.theory import pitch


@dataclass(frozen=True, slots=True)
class String:
    """A string: the MIDI number when open, and the fret at which it starts (0 at the nut, 5 for a banjo's fifth string)."""

    open: int
    nut_fret: int = 0


@dataclass(frozen=True)
class Instrument:
    """`strings` has string 1 first. `scale_mm` is the distance from nut to bridge in millimetres, `frets` the last fret."""

    name: str
    scale_mm: float
    frets: int
    strings: tuple[String, ...]

    @cached_property
    def drone(self) -> int | None:
        """The number of the short string, None where the instrument has none."""
        return next((n for n, s in enumerate(self.strings, 1) if s.nut_fret), None)

    @cached_property
    def long_strings(self) -> tuple[int, ...]:
        """The numbers of the strings that start at the nut."""
        return tuple(n for n, s in enumerate(self.strings, 1) if not s.nut_fret)

    @cached_property
    def opens(self) -> tuple[int, ...]:
        """The MIDI numbers of the open strings, string 1 first."""
        return tuple(s.open for s in self.strings)

    @cached_property
    def fret_mm(self) -> tuple[float, ...]:
        """Distance of each fret from the nut in millimetres: L·(1 − 2^(−n/12))."""
        return tuple(self.scale_mm * (1 - 2 ** (-n / 12)) for n in range(self.frets + 1))

    def pitch(self, string: int, fret: int) -> int:
        """MIDI number of a fretted or open note; on a short string the fret is the neck's, or 0 when open."""
        s = self.strings[string - 1]
        return s.open + (fret - s.nut_fret if fret else 0)

    @property
    def tuning(self) -> str:
        """The open strings by name, last string first, as players say a tuning."""
        return " ".join(pitch.note_name(s.open) for s in reversed(self.strings))


@dataclass(frozen=True, slots=True)
class FifthString:
    """How the short string stands for a whole song: at a spike's fret (0 as tuned or retuned), sounding `pitch` when open.

    `words` say it to the player."""

    fret: int
    pitch: int
    words: str
