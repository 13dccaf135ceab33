"""Meter and tempo. Time inside the program is in ticks: whole numbers, 480 to a quarter note."""

from __future__ import annotations

from dataclasses import dataclass

DIVISION = 480
"""Ticks a quarter note."""

WHOLE = 4 * DIVISION


@dataclass(frozen=True, slots=True)
class Meter:
    """A meter `count`/`unit`, such as 6/8."""

    count: int
    unit: int

    @property
    def ticks(self) -> int:
        """Length of a measure in ticks."""
        return self.count * WHOLE // self.unit

    @property
    def compound(self) -> bool:
        """6/8, 9/8 and 12/8, felt in dotted beats."""
        return self.unit >= 8 and self.count % 3 == 0 and self.count > 3

    @property
    def beat(self) -> int:
        """Length of a felt beat in ticks: a dotted note in compound meters."""
        return WHOLE // self.unit * (3 if self.compound else 1)

    @property
    def beats(self) -> int:
        """Felt beats in a measure."""
        return self.ticks // self.beat

    @property
    def label(self) -> str:
        """As printed: `6/8`."""
        return f"{self.count}/{self.unit}"


_NOTES = {"whole": WHOLE, "half": 960, "quarter": 480, "eighth": 240, "sixteenth": 120}
NOTE_WORDS: dict[str, int] = {w: t for n, t in _NOTES.items() for w, t in ((n, t), (f"dotted {n}", t * 3 // 2))}
"""Note names that a tempo may count, with their length in ticks."""


@dataclass(frozen=True, slots=True)
class Tempo:
    """So many notes of a length a minute: `note` is a key of NOTE_WORDS."""

    note: str
    count: int

    @property
    def quarters(self) -> float:
        """Quarter notes a minute."""
        return self.count * NOTE_WORDS[self.note] / DIVISION

    def milliseconds(self, ticks: int) -> float:
        """How long so many ticks last."""
        return ticks * 60_000.0 / (self.count * NOTE_WORDS[self.note])
