"""Places on the neck: low, middle and high."""

from __future__ import annotations

PLACES = {"low": (0, 4), "middle": (5, 7), "high": (8, 24)}
"""Places on the neck by the index finger's fret."""

ASKED_PLACES = {**PLACES, "middle": (5, 8)}
"""The same as a chart may ask for them: over some chords the middle has no other shape than that at fret 8."""


def place_of(position: int | None) -> str:
    """low, middle or high."""
    return _PLACE_OF[min(position or 0, len(_PLACE_OF) - 1)]


_PLACE_OF = tuple(
    next(name for name, (_, high) in PLACES.items() if fret <= high) for fret in range(PLACES["high"][1] + 1)
)
# by the index finger's fret
