"""One model of both hands: what they reach, how long a move takes, and what cannot be played.

All distances are millimetres along the neck, all times milliseconds. The table of limits is ours (no published weights or reach
table in millimetres was found); the form of the time to move is Fitts's law, need = slope · log2(D / W + 1), with the distance D
between the index finger's frets and the width W of the fret aimed at (Fitts 1954; the slopes are ours). A single finger
does not strike again faster than 150 to 200 ms (single-finger tapping: Fujii et al. 2009, Neurosci. Lett. 459:69-73).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

from chartc.neck.instrument import Instrument

FINGERS = ("i", "m", "r", "p")
PICKS = ("T", "I", "M")

OFFSETS = {"i": (0, 0), "m": (0, 2), "r": (0, 3), "p": (1, 5)}
"""How many frets above the index finger each finger may stand while the hand stays where it is."""

_NOMINAL = {"i": 0, "m": 1, "r": 2, "p": 3}


@dataclass(frozen=True, slots=True)
class Limits:
    """A player's hands. Up to `comfortable_mm` a stretch costs nothing, beyond `most_mm` it is not played. `shift_ms` is the slope
    of a free move, `guided_ms` of a move in which a finger keeps its string; `release_ms` after its onset a fretted note may be
    let go. No pick finger strikes again within `pick_ms`; within `even_ms` it is uneven. `run_ms` is the least time
    between two strokes of any fingers, 0 for no limit. `highest_fret` 0 is the instrument's own.
    """

    comfortable_mm: float = 100.0
    most_mm: float = 130.0
    shift_ms: float = 85.0
    guided_ms: float = 30.0
    release_ms: float = 70.0
    pick_ms: float = 150.0
    even_ms: float = 200.0
    run_ms: float = 0.0
    highest_fret: int = 0
    little_finger: bool = True


class Fingered(Protocol):
    """A note as the hand sees it: time in ticks, and what touches the string."""

    @property
    def at(self) -> int: ...
    @property
    def string(self) -> int: ...
    @property
    def fret(self) -> int: ...
    @property
    def finger(self) -> str | None: ...
    @property
    def pick(self) -> str | None: ...
    @property
    def how(self) -> str | None: ...


Form = frozenset[tuple[int, str]]
"""Which finger is on which string."""


@dataclass(frozen=True, slots=True)
class Reach:
    """The hand at one end of a passage: index finger's fret, the frets used there, which finger is on which string, and when the
    first fretted note sounds (at the entry) or the last one sounds (at the exit), in ticks from the passage's start."""

    position: int
    low: int
    high: int
    form: Form
    at: int


@dataclass(frozen=True, slots=True)
class Grip:
    """What both hands do in a passage: entry and exit of the fretting hand (None where every string is open), first and last
    stroke of each pick finger (ticks, -1 where it does not play), the widest stretch in mm, and the positions taken.

    `problem` is empty where the passage can be played slowly, else a few words about what cannot. `fastest` is the speed, in
    milliseconds a tick, beyond which it cannot be played, `haste` what stops it there.
    """

    entry: Reach | None
    exit: Reach | None
    first: tuple[int, int, int]
    last: tuple[int, int, int]
    stretch_mm: float
    positions: tuple[tuple[int, int], ...]
    problem: str = ""
    fastest: float = 0.0
    haste: str = ""

    def problem_at(self, ms_per_tick: float) -> str:
        """What cannot be played at a speed, in a few words; empty where all can."""
        return self.problem or (self.haste if ms_per_tick < self.fastest else "")


def move_ms(instrument: Instrument, limits: Limits, start: int, end: int, guided: bool) -> float:
    """How long the hand needs from one index fret to another: slope · log2(D / W + 1)."""
    mm = instrument.fret_mm
    start, end = max(1, start), max(1, end)
    distance = abs(mm[end] - mm[start])
    width = mm[end] - mm[end - 1]
    return (limits.guided_ms if guided else limits.shift_ms) * math.log2(distance / width + 1)


@lru_cache(maxsize=100_000)
def _holds(instrument_mm: tuple[float, ...], most: float, position: int, fret: int, finger: str) -> bool:
    if finger == "t":
        return -2 <= fret - position <= 4
    low, high = OFFSETS[finger]
    return low <= fret - position <= high and instrument_mm[fret] - instrument_mm[position] <= most


def grip(notes: Sequence[Fingered], instrument: Instrument, limits: Limits) -> Grip:
    """Follows both hands through the notes (in order of time), with as few shifts as can be."""
    first, last, fastest, haste = _strokes(notes, limits)
    problem = ""
    fretted = [n for n in notes if n.fret and n.finger]
    top = limits.highest_fret or instrument.frets
    if any(n.fret > min(top, instrument.frets) for n in fretted):
        problem = problem or f"it goes beyond fret {top}"
    if not limits.little_finger and any(n.finger == "p" for n in fretted):
        problem = problem or "it needs the little finger"
    if not fretted or any(n.fret > instrument.frets for n in fretted):
        return Grip(None, None, first, last, 0.0, (), problem, fastest, haste)
    stations = _stations(fretted, instrument, limits)
    mm = instrument.fret_mm
    widest = 0.0
    for (position, start, end), following in zip(stations, [*stations[1:], None], strict=True):
        group = fretted[start:end]
        high = max(n.fret for n in group)
        widest = max(widest, mm[high] - mm[min(position, min(n.fret for n in group))])
        if following is not None:
            leaving, arriving = fretted[end - 1], fretted[following[1]]
            if arriving.how == "slide":
                continue
            if arriving.at == leaving.at:
                problem = problem or _at_once(leaving, arriving, mm, limits)
                continue
            guided = (leaving.string, leaving.finger) == (arriving.string, arriving.finger)
            need = limits.release_ms + move_ms(instrument, limits, position, following[0], guided)
            if need / (arriving.at - leaving.at) > fastest:
                fastest = need / (arriving.at - leaving.at)
                haste = f"no time to shift from fret {position} to fret {following[0]}"
    if widest > limits.most_mm:
        problem = problem or f"it stretches {widest:.0f} mm"
    first_station, last_station = stations[0], stations[-1]
    return Grip(
        _reach(fretted[first_station[1] : first_station[2]], first_station[0], 0),
        _reach(fretted[last_station[1] : last_station[2]], last_station[0], -1),
        first,
        last,
        widest,
        tuple((fretted[start].at, position) for position, start, _ in stations),
        problem,
        fastest,
        haste,
    )


ROUNDING_MS = 0.01
"""Added to the time between two strokes of a finger, so that rounding in another program's milliseconds cannot fall below the limit."""

Three = tuple[int, int, int]


def _strokes(notes: Sequence[Fingered], limits: Limits) -> tuple[Three, Three, float, str]:
    """First and last stroke of each pick finger, and the speed that they allow (ms a tick) with what stops it."""
    first, last = [-1, -1, -1], [-1, -1, -1]
    fastest, haste = 0.0, ""
    before = -1
    for note in notes:
        if note.pick is None:
            continue
        n = PICKS.index(note.pick)
        if last[n] >= 0 and note.at != last[n]:
            needed = (limits.pick_ms + ROUNDING_MS) / (note.at - last[n])
            if needed > fastest:
                fastest, haste = needed, f"{note.pick} would strike twice within {limits.pick_ms:g} ms"
        if before >= 0 and note.at != before and limits.run_ms / (note.at - before) > fastest:
            fastest, haste = limits.run_ms / (note.at - before), "it is faster than the player's fastest notes"
        if first[n] < 0:
            first[n] = note.at
        last[n] = before = note.at
    return (first[0], first[1], first[2]), (last[0], last[1], last[2]), fastest, haste


def _at_once(a: Fingered, b: Fingered, mm: tuple[float, ...], limits: Limits) -> str:
    """Why two notes of one moment cannot be held together."""
    stretch = abs(mm[a.fret] - mm[b.fret])
    if stretch > limits.most_mm:
        return f"it stretches {stretch:.0f} mm"
    return f"{a.finger} on fret {a.fret} and {b.finger} on fret {b.fret} cannot be held at once"


def _reach(group: Sequence[Fingered], position: int, end: int) -> Reach:
    form: Form = frozenset((n.string, n.finger) for n in group if n.finger)
    frets = [n.fret for n in group if n.finger != "t"] or [position]
    return Reach(position, min(frets), max(frets), form, group[end].at)


def _stations(fretted: Sequence[Fingered], instrument: Instrument, limits: Limits) -> list[tuple[int, int, int]]:
    """The index finger's frets in turn, as (fret, first note, end), each held for as many notes as it can be."""
    mm = instrument.fret_mm
    out: list[tuple[int, int, int]] = []
    n = 0
    while n < len(fretted):
        note = fretted[n]
        assert note.finger
        if note.finger == "t":
            options = [max(1, note.fret - 1)]
        else:
            low, high = OFFSETS[note.finger]
            nominal = note.fret - _NOMINAL[note.finger]
            # a little finger on the first fret has no fret below it for the index finger
            places = [p for p in range(note.fret - high, note.fret - low + 1) if p >= 1] or [1]
            options = sorted(places, key=lambda p: abs(p - nominal))
        best, best_end = options[0], n
        for position in options:
            end = n
            while end < len(fretted) and _holds(
                mm, limits.most_mm, position, fretted[end].fret, fretted[end].finger or "i"
            ):
                if end > n and fretted[end].how == "slide" and fretted[end].finger == "i":
                    break
                end += 1
            if end > best_end:
                best, best_end = position, end
        best_end = max(best_end, n + 1)
        out.append((best, n, best_end))
        n = best_end
    return _eased(out, fretted, mm, limits)


def _eased(
    stations: list[tuple[int, int, int]], fretted: Sequence[Fingered], mm: tuple[float, ...], limits: Limits
) -> list[tuple[int, int, int]]:
    """The same positions, with each change made where there is most time for it: notes that lie under the hand before and after
    a change may be played on either side."""
    for n in range(1, len(stations)):
        before, start, end = stations[n - 1]
        position, _, last = stations[n]
        if fretted[end].how == "slide":
            continue
        best = end
        for place in range(end - 1, start, -1):
            note = fretted[place]
            if note.how == "slide" or not _holds(mm, limits.most_mm, position, note.fret, note.finger or "i"):
                break
            if note.at - fretted[place - 1].at > fretted[best].at - fretted[best - 1].at:
                best = place
        stations[n - 1], stations[n] = (before, start, best), (position, best, last)
    return stations
