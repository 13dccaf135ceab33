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
    """Where a roll first and last meets a fretted string: time and string of the first such stroke, the last one, and the set
    of fretted strings that it meets (a bit for each)."""

    first: int
    string: int
    leaving: Event
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
            met = [e for e in self.events if fretted >> e[2] & 1]
            strings = sum(1 << s for s in {e[2] for e in met})
            self._touches[fretted] = Touch(met[0][0], met[0][2], met[-1], strings) if met else None
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
        self.on = {s: (f, g or "i") for s, f, g in zip(shape.strings, shape.frets, shape.fingers, strict=True)}
        self.fingers = dict(zip(shape.strings, shape.fingers, strict=True))
        self.fretted = sum(1 << s for s, (fret, _) in self.on.items() if fret)
        self.refused = hand.refused(max(shape.frets), "p" in shape.fingers)
        self._notes: dict[Event, Note] = {}
        self._holds: dict[tuple[int, int], Hold] = {}
        self._laid: dict[Rolling, Laid | None] = {}

    def laid(self, roll: Rolling) -> Laid | None:
        """A roll on the shape; None where it damps a string that is open."""
        try:
            return self._laid[roll]
        except KeyError:
            self._laid[roll] = out = None if roll.damped & ~self.fretted else Laid(roll, self)
            return out

    def note(self, event: Event) -> Note:
        """A stroke on a long string of the shape."""
        note = self._notes.get(event)
        if note is None:
            at, ticks, string, pick, how = event
            fret = self.on[string][0]
            pitch = self.hand.instrument.pitch(string, fret)
            self._notes[event] = note = Note(at, ticks, string, fret, pitch, pick, self.fingers[string], how)
        return note

    @staticmethod
    def drone(pitch: int, event: Event) -> Note:
        """A stroke on the open short string, which sounds at a pitch."""
        at, ticks, string, pick, how = event
        return Note(at, ticks, string, 0, pitch, pick, None, how)

    def hold(self, first: int, strings: int) -> Hold:
        """How these fretted strings (a bit for each) are held where `first` is met first."""
        key = (first, strings)
        if key not in self._holds:
            hand = self.hand
            fret, finger = self.on[first]
            places = hand.places[finger][fret]
            used = {s: on for s, on in self.on.items() if on[0] and strings >> s & 1}
            held = hand.holds[finger][fret]
            for f, g in used.values():
                held &= hand.holds[g][f]
            frets = [f for f, _ in used.values()]
            place = hand.choose(places, held) if held else 0
            stretch = hand.mm[max(frets)] - hand.mm[min(place, *frets)]
            form = frozenset([(s, g) for s, (_, g) in used.items()])
            self._holds[key] = Hold(held, places, place, min(frets), max(frets), form, max(0.0, stretch))
        return self._holds[key]


class Laid:
    """A roll on a shape. `hold` is how the hand holds all of it from one place; None where it meets open strings only, or cannot be held so;
    `leaving` the last fretted note."""

    __slots__ = ("_fretted", "_grip", "held", "hold", "leaving", "roll", "touch")

    def __init__(self, roll: Rolling, held: Held) -> None:
        self.roll = roll
        self.held = held
        self.touch = touch = roll.touch(held.fretted)
        self.hold: Hold | None = None
        self.leaving: Note | None = None
        self._fretted: list[Note] | None = None
        self._grip: Grip | None = None
        if touch is not None:
            self.leaving = held.note(touch.leaving)
            hold = held.hold(touch.string, touch.strings)
            self.hold = hold if hold.place and not held.refused else None

    @property
    def fretted(self) -> list[Note]:
        """The fretted notes, in order of time."""
        if self._fretted is None:
            fretted, note = self.held.fretted, self.held.note
            self._fretted = [note(e) for e in self.roll.events if fretted >> e[2] & 1]
        return self._fretted

    def grip(self) -> Grip:
        """Both hands through the roll."""
        if self._grip is None:
            self._grip = self._gripped()
        return self._grip

    def _gripped(self) -> Grip:
        picking, touch, hold = self.roll.picking, self.touch, self.hold
        if touch is None or hold is None:
            return self.held.hand.fretting(self.fretted, picking)
        return Grip(
            Reach(hold.place, hold.low, hold.high, hold.form, touch.first),
            Reach(hold.place, hold.low, hold.high, hold.form, touch.leaving[0]),
            picking.first,
            picking.last,
            hold.stretch_mm,
            ((touch.first, hold.place),),
            "",
            picking.fastest,
            picking.haste,
        )
