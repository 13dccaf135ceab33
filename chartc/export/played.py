"""The song as time: every measure as it is played, with its place in ticks from the song's first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from chartc.chart.song import Measure, Section
from chartc.slots.part import FilledSlot, Part
from chartc.theory.meter import Meter


@dataclass(frozen=True, slots=True)
class Played:
    """A measure as played: `at` counts ticks from the song's first tick, `meter` is the measure's, a pickup's is that of the measure
    after it; `opens` tells that a section begins here."""

    at: int
    section: Section
    measure: Measure
    meter: Meter
    slots: tuple[FilledSlot, ...]
    opens: bool


def played(part: Part) -> Iterator[Played]:
    """Every measure in the order of the form, repeats and endings resolved."""
    at = 0
    for passage in part.song.order:
        section = part.song.sections[passage.section]
        for n, m in enumerate(passage.measures):
            measure = section.measures[m]
            yield Played(at, section, measure, meter_of(section, m), part.slots[passage.section][m], n == 0)
            at += measure.ticks


def length(part: Part) -> int:
    """The song's length in ticks, as played."""
    return sum(p.measure.ticks for p in played(part))


def meter_of(section: Section, index: int) -> Meter:
    """The meter in which a measure is counted: a pickup belongs to the measure after it."""
    following = index + 1 if section.measures[index].pickup and index + 1 < len(section.measures) else index
    return section.measures[following].meter
