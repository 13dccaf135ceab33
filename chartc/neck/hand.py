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
    let go. No pick finger strikes again within `pick_ms`; within `even_ms` it is uneven. `highest_fret` 0 is the instrument's own.
    """

    comfortable_mm: float = 100.0
    most_mm: float = 130.0
    shift_ms: float = 85.0
    guided_ms: float = 30.0
    release_ms: float = 70.0
    pick_ms: float = 150.0
    even_ms: float = 200.0
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
    stroke of each pick finger (ticks, -1 where it does not play), the widest stretch in mm, the positions taken, and whether
    it can be played at all."""

    entry: Reach | None
    exit: Reach | None
    first: tuple[int, int, int]
    last: tuple[int, int, int]
    stretch_mm: float
    positions: tuple[tuple[int, int], ...]
    problem: str = ""


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


def grip(notes: Sequence[Fingered], instrument: Instrument, limits: Limits, ms_per_tick: float) -> Grip:
    """Follows both hands through the notes (in order of time) at a speed, as few shifts as can be.

    `problem` is empty where the passage can be played, else a few words about what cannot.
    """
    first = [-1, -1, -1]
    last = [-1, -1, -1]
    problem = ""
    # a little above the limit, so that rounding in another program's milliseconds cannot fall below it
    stroke = limits.pick_ms + 0.01
    for note in notes:
        if note.pick is not None:
            n = PICKS.index(note.pick)
            if last[n] >= 0 and note.at != last[n] and (note.at - last[n]) * ms_per_tick < stroke:
                problem = problem or f"{note.pick} would strike twice within {limits.pick_ms:g} ms"
            if first[n] < 0:
                first[n] = note.at
            last[n] = note.at
    fretted = [n for n in notes if n.fret and n.finger]
    top = limits.highest_fret or instrument.frets
    if any(n.fret > min(top, instrument.frets) for n in fretted):
        problem = problem or f"it goes beyond fret {top}"
    if not limits.little_finger and any(n.finger == "p" for n in fretted):
        problem = problem or "it needs the little finger"
    strokes = (tuple(first), tuple(last))
    if not fretted or any(n.fret > instrument.frets for n in fretted):
        return Grip(None, None, strokes[0], strokes[1], 0.0, (), problem)  # type: ignore[arg-type]
    stations = _stations(fretted, instrument, limits)
    mm = instrument.fret_mm
    widest = 0.0
    moves_problem = ""
    for (position, start, end), following in zip(stations, [*stations[1:], None], strict=True):
        group = fretted[start:end]
        high = max(n.fret for n in group)
        widest = max(widest, mm[high] - mm[min(position, min(n.fret for n in group))])
        if following is not None:
            leaving, arriving = fretted[end - 1], fretted[following[1]]
            if arriving.how == "slide":
                continue
            if arriving.at == leaving.at:
                moves_problem = moves_problem or _at_once(leaving, arriving, mm, limits)
                continue
            have = (arriving.at - leaving.at) * ms_per_tick - limits.release_ms
            guided = (leaving.string, leaving.finger) == (arriving.string, arriving.finger)
            if have < move_ms(instrument, limits, position, following[0], guided):
                moves_problem = moves_problem or f"no time to shift from fret {position} to fret {following[0]}"
    first_station, last_station = stations[0], stations[-1]
    return Grip(
        _reach(fretted[first_station[1] : first_station[2]], first_station[0], 0),
        _reach(fretted[last_station[1] : last_station[2]], last_station[0], -1),
        strokes[0],  # type: ignore[arg-type]
        strokes[1],  # type: ignore[arg-type]
        widest,
        tuple((fretted[start].at, position) for position, start, _ in stations),
        problem or moves_problem,
    )


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
