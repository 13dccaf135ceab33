"""Papers and their margins, in points (72 to an inch)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper standing upright. Lengths in points; `left` leaves room for the measure numbers."""

    name: str
    width: float
    height: float
    left: float = 46.0
    right: float = 34.0
    top: float = 30.0
    bottom: float = 39.0

    @property
    def room(self) -> float:
        """Width between the margins."""
        return self.width - self.left - self.right

    @property
    def edge(self) -> float:
        """The x of the right margin."""
        return self.width - self.right

    @property
    def floor(self) -> float:
        """The lowest y that music may reach; beneath it stands the foot of the page."""
        return self.height - self.bottom


a4 = Paper("a4", 595.276, 841.890)
letter = Paper("letter", 612.0, 792.0)

PAPERS: dict[str, Paper] = {p.name: p for p in (a4, letter)}
"""The papers by the names that a player writes."""
