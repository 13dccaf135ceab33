"""Rolls and vamps laid over chord shapes. What a roll does in time is worked out once for each length, whatever the chord; what the
hand does on a shape once for each set of strings."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from chartc.licks.lick import Lick
from chartc.licks.notation import STEP
from chartc.neck.follow import Hand, Strokes, strokes
from chartc.neck.hand import Form, Grip, Limits, Reach
from chartc.neck.shapes import Shape
from chartc.slots.part import Note

Event = tuple[int, int, int, str | None, str | None]
"""A stroke on a string, whatever the fret: time, ticks, string, pick finger, how."""

Rests = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Touch:
    """Where a roll first and last meets a fretted string: time and string of the first such stroke, time of the last, and the set
    of fretted strings that it meets (a bit for each)."""

    first: int
    string: int
    last: int
    strings: int


@dataclass(frozen=True, eq=False)
class Rolling:
    """A roll in time: its strokes and rests within so many ticks, cut at the end. `damped` are the strings that are damped (a bit for each) and
    so must be fretted; `closing` the pick fingers of the last moment."""

    lick: Lick
    events: tuple[Event, ...]
    rests: Rests
    damped: int
    picking: Strokes
    _touches: dict[int, Touch | None] = field(default_factory=dict)

    @property
    def last(self) -> int:
        """The time of the last stroke, -1 where there is none."""
        return self.events[-1][0] if self.events else -1

    @cached_property
    def closing(self) -> frozenset[str | None]:
        """The pick fingers of the last moment."""
        return frozenset(e[3] for e in self.events if e[0] == self.last)

    @cached_property
    def picks(self) -> tuple[tuple[int, str | None], ...]:
        """Time and pick finger of each stroke."""
        return tuple((e[0], e[3]) for e in self.events)

    @cached_property
    def onsets(self) -> int:
        """Moments at which something sounds."""
        return len({e[0] for e in self.events})

    def touch(self, fretted: int) -> Touch | None:
        """Where the roll meets these strings (a bit for each)."""
        if fretted not in self._touches:
            met = [(e[0], e[2]) for e in self.events if fretted >> e[2] & 1]
            strings = sum(1 << s for s in {s for _, s in met})
            self._touches[fretted] = Touch(*met[0], met[-1][0], strings) if met else None
        return self._touches[fretted]


def rolling(lick: Lick, ticks: int, step: int, drone: int | None, suits: bool, limits: Limits) -> Rolling | None:
    """A roll for so many ticks, the pattern once more and cut as needed; None where it needs a drone that fights the chord."""
    events: list[Event] = []
    rests: list[tuple[int, int]] = []
    damped = 0
    start = 0
    while start < ticks:
        for n, raw in enumerate(lick.notes):
            at = start + raw.at * step // STEP
            if at >= ticks:
                continue
            string = raw.string
            if string == drone and not suits:
                string = lick.without_fifth[n] if lick.without_fifth else 0
                if not string:
                    return None
            if raw.how == "damped" and string != drone:
                damped |= 1 << string
            events.append((at, min(raw.ticks * step // STEP, ticks - at), string, raw.pick, raw.how))
        for at, length in lick.rests:
            at = start + at * step // STEP
            if at < ticks:
                rests.append((at, min(length * step // STEP, ticks - at)))
        start += lick.ticks * step // STEP
    events.sort(key=lambda e: (e[0], -e[2]))
    picking = strokes([(e[0], e[3]) for e in events], limits)
    return Rolling(lick, tuple(events), tuple(sorted(rests)), damped, picking)


@dataclass(frozen=True, slots=True)
class Hold:
    """Some strings of a shape held from one place: the places of the index finger that reach them all (a bit for each), those to try in
    order, and for the first of these that does: the place (0 where none does), frets, form and stretch."""

    held: int
    places: tuple[int, ...]
    place: int
    low: int
    high: int
    form: Form
    stretch_mm: float


class Held:
    """A chord shape under one hand, with what rolls need of it."""

    def __init__(self, shape: Shape, hand: Hand) -> None:
        self.hand = hand
        self.on = {s: (f, g) for s, f, g in zip(shape.strings, shape.frets, shape.fingers, strict=True)}
        self.fretted = sum(1 << s for s, (fret, _) in self.on.items() if fret)
        self.refused = hand.refused(max(shape.frets), "p" in shape.fingers)
        self._notes: dict[Event, Note] = {}
        self._holds: dict[tuple[int, int], Hold] = {}
        self._grips: dict[Rolling, Grip] = {}
        self._fretted: dict[Rolling, list[Note]] = {}

    def suits(self, roll: Rolling) -> bool:
        """Whether every string that the roll damps is fretted."""
        return not roll.damped & ~self.fretted

    def note(self, event: Event) -> Note:
        """A stroke on a long string of the shape."""
        note = self._notes.get(event)
        if note is None:
            at, ticks, string, pick, how = event
            fret, finger = self.on[string]
            pitch = self.hand.instrument.pitch(string, fret)
            self._notes[event] = note = Note(at, ticks, string, fret, pitch, pick, finger, how)
        return note

    def hold(self, first: int, strings: int) -> Hold:
        """How these fretted strings (a bit for each) are held where `first` is met first."""
        key = (first, strings)
        if key not in self._holds:
            hand = self.hand
            fret, finger = self.on[first]
            places = hand.places[finger or "i"][fret]
            used = {s: (f, g or "i") for s, (f, g) in self.on.items() if f and strings >> s & 1}
            held = hand.holds[finger or "i"][fret]
            for f, g in used.values():
                held &= hand.holds[g][f]
            frets = [f for f, _ in used.values()]
            place = hand.choose(places, held) if held else 0
            stretch = hand.mm[max(frets)] - hand.mm[min(place, *frets)]
            form = frozenset((s, g) for s, (_, g) in used.items())
            self._holds[key] = Hold(held, places, place, min(frets), max(frets), form, max(0.0, stretch))
        return self._holds[key]

    def grip(self, roll: Rolling) -> Grip:
        """Both hands through a roll on this shape."""
        if roll not in self._grips:
            self._grips[roll] = self._grip(roll)
        return self._grips[roll]

    def _grip(self, roll: Rolling) -> Grip:
        picking = roll.picking
        touch = roll.touch(self.fretted)
        if touch is None:
            return Grip(None, None, picking.first, picking.last, 0.0, (), "", picking.fastest, picking.haste)
        hold = self.hold(touch.string, touch.strings)
        if not hold.place or self.refused:
            return self.hand.fretting(self.fretted_notes(roll), picking)
        place, low, high, form = hold.place, hold.low, hold.high, hold.form
        return Grip(
            Reach(place, low, high, form, touch.first),
            Reach(place, low, high, form, touch.last),
            picking.first,
            picking.last,
            hold.stretch_mm,
            ((touch.first, place),),
            "",
            picking.fastest,
            picking.haste,
        )

    def fretted_notes(self, roll: Rolling) -> list[Note]:
        """The fretted notes of a roll on this shape."""
        if roll not in self._fretted:
            self._fretted[roll] = [self.note(e) for e in roll.events if self.fretted >> e[2] & 1]
        return self._fretted[roll]
