"""Both hands followed through a passage, by the model in `hand`: where the fretting hand stands, when it must move, and how fast the
passage can be played.

Everything that depends on one pair of hands on one neck only is worked out once: which places of the index finger each finger allows
at each fret is a number with a bit for each place, so that "one place for all these notes" is a bitwise and.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from chartc.neck.hand import OFFSETS, PICKS, ROUNDING_MS, Fingered, Form, Grip, Limits, Reach, move_ms
from chartc.neck.instrument import Instrument

_NOMINAL = {"i": 0, "m": 1, "r": 2, "p": 3}

Station = tuple[int, int, int]
"""A place of the index finger with the notes that are played there: fret, first note, end."""

Three = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Strokes:
    """What the pick fingers do in a passage: the first and last stroke of each (ticks, -1 where it does not play), and the speed that they
    allow (ms a tick) with what stops it there."""

    first: Three
    last: Three
    fastest: float
    haste: str


NO_STROKES = Strokes((-1, -1, -1), (-1, -1, -1), 0.0, "")
"""Of pick fingers that play nothing."""


def strokes(notes: Iterable[tuple[int, str | None]], limits: Limits) -> Strokes:
    """The strokes of a passage, from each note's time in ticks and its pick finger, in order of time."""
    first, last = [-1, -1, -1], [-1, -1, -1]
    fastest, haste = 0.0, ""
    before = -1
    for at, pick in notes:
        if pick is None:
            continue
        n = PICKS.index(pick)
        if last[n] >= 0 and at != last[n]:
            needed = (limits.pick_ms + ROUNDING_MS) / (at - last[n])
            if needed > fastest:
                fastest, haste = needed, f"{pick} would strike twice within {limits.pick_ms:g} ms"
        if before >= 0 and at != before and limits.run_ms / (at - before) > fastest:
            fastest, haste = limits.run_ms / (at - before), "it is faster than the player's fastest notes"
        if first[n] < 0:
            first[n] = at
        last[n] = before = at
    return Strokes((first[0], first[1], first[2]), (last[0], last[1], last[2]), fastest, haste)


class Hand:
    """The fretting hand of one player on one neck."""

    def __init__(self, instrument: Instrument, limits: Limits) -> None:
        self.instrument = instrument
        self.limits = limits
        self.mm = mm = instrument.fret_mm
        frets = range(instrument.frets + 1)
        self.places = {finger: tuple(self._places(finger, fret) for fret in frets) for finger in OFFSETS}
        """For each finger and fret the places of the index finger that it may stand for, the most natural one first."""
        self.holds = {
            finger: tuple(
                sum(1 << p for p in frets if p and low <= fret - p <= high and mm[fret] - mm[p] <= limits.most_mm)
                for fret in frets
            )
            for finger, (low, high) in OFFSETS.items()
        }
        """For each finger and fret the places of the index finger from which it can be held, a bit for each."""
        # the thumb on the short string stands beside the hand, whatever the stretch
        self.places["t"] = tuple((max(1, fret - 1),) for fret in frets)
        self.holds["t"] = tuple(sum(1 << p for p in frets if p and -2 <= fret - p <= 4) for fret in frets)
        self._moves: dict[tuple[int, int, bool], float] = {}

    @staticmethod
    def _places(finger: str, fret: int) -> tuple[int, ...]:
        low, high = OFFSETS[finger]
        nominal = fret - _NOMINAL[finger]
        # a little finger on the first fret has no fret below it for the index finger
        places = [p for p in range(fret - high, fret - low + 1) if p >= 1] or [1]
        return tuple(sorted(places, key=lambda p: abs(p - nominal)))

    def move_ms(self, start: int, end: int, guided: bool) -> float:
        """How long the hand needs from one index fret to another."""
        key = (start, end, guided)
        if key not in self._moves:
            self._moves[key] = move_ms(self.instrument, self.limits, start, end, guided)
        return self._moves[key]

    def shift_ms(self, leaving: Fingered, arriving: Fingered, start: int, end: int) -> float:
        """How long the hand needs from the onset of the last note at one place to that of the first at another."""
        guided = leaving.string == arriving.string and leaving.finger == arriving.finger
        return self.limits.release_ms + self.move_ms(start, end, guided)

    def no_time(self, start: int, end: int) -> str:
        """What stops a passage at its fastest, where it is a move of the hand."""
        return f"no time to shift from fret {start} to fret {end}"

    def refused(self, highest: int, little: bool) -> str:
        """Why a passage is not for this player, by its highest fret and whether it needs the little finger; empty where it is."""
        top = self.limits.highest_fret or self.instrument.frets
        if highest > min(top, self.instrument.frets):
            return f"it goes beyond fret {top}"
        return "it needs the little finger" if little and not self.limits.little_finger else ""

    def grip(self, notes: Sequence[Fingered]) -> Grip:
        """Both hands through a passage, its notes in order of time."""
        picking = strokes([(n.at, n.pick) for n in notes], self.limits)
        return self.fretting([n for n in notes if n.fret and n.finger], picking)

    def fretting(self, fretted: Sequence[Fingered], picking: Strokes) -> Grip:
        """The same from the fretted notes alone, with what the pick fingers do."""
        highest = max([n.fret for n in fretted], default=0)
        problem = self.refused(highest, any(n.finger == "p" for n in fretted))
        if not fretted or highest > self.instrument.frets:
            return Grip(None, None, picking.first, picking.last, 0.0, (), problem, picking.fastest, picking.haste)
        return self.settled(self.stations(fretted), fretted, picking, problem)

    def choose(self, places: tuple[int, ...], held: int) -> int:
        """The first of some places that is among the bits; the first of all where none is."""
        for place in places:
            if held >> place & 1:
                return place
        return places[0]

    def stations(self, fretted: Sequence[Fingered], start: int = 0) -> list[Station]:
        """The index finger's places in turn, from a note on, each held for as many notes as it can be."""
        holds, places = self.holds, self.places
        out: list[Station] = []
        n, count = start, len(fretted)
        while n < count:
            note = fretted[n]
            finger = note.finger or "i"
            options = places[finger][note.fret]
            held = holds[finger][note.fret]
            end = n + 1
            while held and end < count:
                note = fretted[end]
                finger = note.finger or "i"
                left = held & holds[finger][note.fret]
                if not left or (note.how == "slide" and finger == "i"):
                    break
                held = left
                end += 1
            out.append((self.choose(options, held), n, end))
            n = end
        return out

    def settled(
        self, stations: list[Station], fretted: Sequence[Fingered], picking: Strokes, problem: str = ""
    ) -> Grip:
        """The grip of a passage with these places of the index finger, each change of place made where there is most time."""
        if len(stations) > 1:
            stations = self.eased(stations, fretted)
        mm, limits = self.mm, self.limits
        widest = 0.0
        fastest, haste = picking.fastest, picking.haste
        for n, (position, start, end) in enumerate(stations):
            frets = [note.fret for note in fretted[start:end]]
            widest = max(widest, mm[max(frets)] - mm[min(position, *frets)])
            if n + 1 == len(stations):
                break
            leaving, arriving = fretted[end - 1], fretted[end]
            if arriving.how == "slide":
                continue
            between = arriving.at - leaving.at
            if not between:
                problem = problem or self._at_once(leaving, arriving)
                continue
            need = self.shift_ms(leaving, arriving, position, stations[n + 1][0])
            if need / between > fastest:
                fastest = need / between
                haste = self.no_time(position, stations[n + 1][0])
        if widest > limits.most_mm:
            problem = problem or f"it stretches {widest:.0f} mm"
        (here, start, end), (there, begin, last) = stations[0], stations[-1]
        entry = _reach(fretted[start:end], here, 0)
        return Grip(
            entry,
            # one place throughout: the same hand at both ends
            Reach(here, entry.low, entry.high, entry.form, fretted[-1].at)
            if len(stations) == 1
            else _reach(fretted[begin:last], there, -1),
            picking.first,
            picking.last,
            widest,
            tuple([(fretted[first].at, position) for position, first, _ in stations]),
            problem,
            fastest,
            haste,
        )

    def pace(self, stations: list[Station], fretted: Sequence[Fingered], fastest: float) -> float:
        """The speed that a passage allows (ms a tick) where its strokes allow `fastest`, infinite where it cannot be played at any;
        every note must be one that a finger can hold."""
        stations = self.eased(stations, fretted)
        position, _, end = stations[0]
        for following, _, after in stations[1:]:
            leaving, arriving = fretted[end - 1], fretted[end]
            if arriving.how != "slide":
                between = arriving.at - leaving.at
                if not between:
                    return math.inf
                fastest = max(fastest, self.shift_ms(leaving, arriving, position, following) / between)
            position, end = following, after
        return fastest

    def _at_once(self, a: Fingered, b: Fingered) -> str:
        """Why two notes of one moment cannot be held together."""
        stretch = abs(self.mm[a.fret] - self.mm[b.fret])
        if stretch > self.limits.most_mm:
            return f"it stretches {stretch:.0f} mm"
        return f"{a.finger} on fret {a.fret} and {b.finger} on fret {b.fret} cannot be held at once"

    def eased(self, stations: list[Station], fretted: Sequence[Fingered]) -> list[Station]:
        """The same places, with each change made where there is most time for it: notes that lie under the hand before and after
        a change may be played on either side."""
        out = list(stations)
        for n in range(1, len(out)):
            before, start, end = out[n - 1]
            position, _, last = out[n]
            if fretted[end].how == "slide":
                continue
            best = end
            for place in range(end - 1, start, -1):
                note = fretted[place]
                if note.how == "slide" or not self.holds[note.finger or "i"][note.fret] >> position & 1:
                    break
                if note.at - fretted[place - 1].at > fretted[best].at - fretted[best - 1].at:
                    best = place
            out[n - 1], out[n] = (before, start, best), (position, best, last)
        return out


def _reach(group: Sequence[Fingered], position: int, end: int) -> Reach:
    form: Form = frozenset([(n.string, n.finger) for n in group if n.finger])
    frets = [n.fret for n in group if n.finger != "t"] or [position]
    return Reach(position, min(frets), max(frets), form, group[end].at)


@lru_cache(maxsize=64)
def hand_of(instrument: Instrument, limits: Limits) -> Hand:
    """The hand of a player on an instrument."""
    return Hand(instrument, limits)


def grip(notes: Sequence[Fingered], instrument: Instrument, limits: Limits) -> Grip:
    """Follows both hands through the notes (in order of time), with as few shifts as can be."""
    return hand_of(instrument, limits).grip(notes)
