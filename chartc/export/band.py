"""A plain band for playing along: where the bass and the chop sound, and which notes. Common practice of the trade, no source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from chartc.chart.song import Measure
from chartc.theory import pitch
from chartc.theory.chord import STEPS, Chord
from chartc.theory.meter import Meter

BASS_LOW = 28
"""E1, the lowest string of a double bass; roots lie in the octave above it."""
CHOP_LOW = 57
"""Chopped chords lie in the octave from here up."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """What the band plays at a tick of the measure, for so many ticks: MIDI numbers."""

    at: int
    ticks: int
    bass: bool
    notes: tuple[int, ...]


def pulses(meter: Meter, ticks: int) -> Iterator[tuple[int, int, bool]]:
    """Onset, length and whether it is the bass's, for every stroke of a measure: in two and four the bass has the strong beats
    and the chop the others; in three the bass has the first; in compound meters each beat has both; where a measure
    counts two, the chop lies between the beats."""
    beat = meter.beat
    if meter.compound:
        eighth = beat // 3
        for at in range(0, ticks, beat):
            yield at, 2 * eighth, True
            if at + 2 * eighth < ticks:
                yield at + 2 * eighth, eighth, False
    elif meter.count == 2:
        for at in range(0, ticks, beat):
            yield at, beat // 2, True
            if at + beat // 2 < ticks:
                yield at + beat // 2, beat // 2, False
    else:
        for n, at in enumerate(range(0, ticks, beat)):
            yield at, beat, n == 0 if meter.count % 2 else n % 2 == 0


def strokes(measure: Measure) -> Iterator[Stroke]:
    """Bass and chop of one measure, in order of time; silent where there is no chord and in pickups."""
    if measure.pickup:
        return
    grid = list(pulses(measure.meter, measure.ticks))
    for stretch in measure.stretches:
        if stretch.chord is None:
            continue
        end = stretch.at + stretch.ticks
        inside = [p for p in grid if stretch.at <= p[0] < end]
        # a change of chord is heard in the bass, wherever it falls
        if not inside or inside[0][0] != stretch.at:
            inside.insert(0, (stretch.at, (inside[0][0] if inside else end) - stretch.at, True))
        basses = 0
        for n, (at, length, bass) in enumerate(inside):
            length = min(length, end - at)
            if bass or n == 0:
                yield Stroke(at, length, True, (bass_note(stretch.chord, basses % 2 == 1),))
                basses += 1
            else:
                yield Stroke(at, length, False, chop_notes(stretch.chord))


def bass_note(chord: Chord, second: bool) -> int:
    """The root, or the bass note that the chart names; every second time the chord's fifth, the root where it has none."""
    tone = chord.root if chord.bass is None else chord.bass
    if second:
        fifth = next((d for d in ("5", "b5", "#5") if d in chord.quality.degrees), None)
        tone = chord.root if fifth is None else chord.root + STEPS[fifth]
    return BASS_LOW + (pitch.pitch_class(tone) - BASS_LOW) % 12


def chop_notes(chord: Chord) -> tuple[int, ...]:
    """Three or four tones of the chord, close together."""
    return tuple(sorted(CHOP_LOW + (pitch.pitch_class(t) - CHOP_LOW) % 12 for t in chord.tones[:4]))
