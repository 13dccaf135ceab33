"""What differs between the kinds of sheet that have measures without tablature."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from chartc.chart.song import Section
from chartc.sheet import breaks, head
from chartc.sheet.beneath import Cue
from chartc.sheet.label import Naming
from chartc.type.faces import Face


def nothing(section: Section, measure: int) -> tuple[Cue, ...]:
    """No words of a chord's own."""
    return ()


@dataclass(frozen=True, slots=True)
class Look:
    """What differs between them.

    Chord names are between the sizes `largest` and `least`: the largest that needs no more pages than the least; down to
    `keeps_rows` names shrink so that the player's rows stay whole. `naming` says how chords are called, `key` what stands in
    the corner, `heading` what is said of a section beside its name; `face` and `size` are those of the words beneath measures.
    `again` tells whether the sign for the measure before once more is used, `most` how many
    measures stand in a row, `pencil` whether room for notes by hand is kept where it costs nothing, `cues` what stands beneath
    the chords of the measure with that index, each under its own, `slashes` whether beats are marked between chords that share a measure
    evenly. Lengths in points.
    """

    naming: Naming
    key: str
    largest: float = 30.0
    least: float = 18.0
    keeps_rows: float = 24.0
    heading: Callable[[Section], str] = head.leads
    face: Face = "italic"
    size: float = 10.0
    again: bool = True
    most: int = breaks.PER_ROW
    pencil: bool = True
    cues: Callable[[Section, int], tuple[Cue, ...]] = nothing
    slashes: bool = True

    @property
    def step(self) -> float:
        """From one line of words to the next."""
        return self.size * 1.1
