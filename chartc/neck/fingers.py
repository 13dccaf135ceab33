"""Fretting fingers for a passage that leaves them open: the cheapest way for a hand to play it.

The form of the model is that of Sayegh 1989 (Computer Music Journal 13:3, 76-84) and Radisavljevic and Driessen 2004 (ICMC): a path
through layers of fingerings, one layer a moment, found by dynamic programming; what is counted follows Heijink and Meulenbroek 2002
(J. Motor Behavior 34:4, 339-351): travel of the hand, spread of the fingers, time. The weights are ours and stand in `hand.WEIGHTS`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, product
from typing import NamedTuple

from chartc.neck.follow import Hand, hand_of
from chartc.neck.hand import FINGERS, WEIGHTS, Fingered, Limits
from chartc.neck.instrument import Instrument

MOST_STATES = 600
"""States of the hand that are followed at once; beyond it the cheapest are. Licks stay far below it."""

_FEW = 4
# states that are followed for a first, good way

_NO_BOUND = 1 << 60

MADE = ("hammer-on", "pull-off", "slide")
"""How the fretting hand makes notes of its own."""

_ORDER = {finger: n for n, finger in enumerate(FINGERS)}

Placed = tuple[int, int, int]
"""Where a finger stands: fret, the strings that it lies on (a bit for each), and for how many moments it has not been needed any more;
zeros where it is lifted."""

_LIFTED: Placed = (0, 0, 0)

_RECENT = 5
# moments after which a finger that is needed no more is anywhere


class State(NamedTuple):
    """The hand after a moment: the index finger's place (0 before the first fretted note), where each finger that is kept down stands,
    and the fingers that played last, with their frets."""

    place: int
    fingers: tuple[Placed, Placed, Placed, Placed]
    played: tuple[tuple[str, int], ...]


START = State(0, (_LIFTED,) * 4, ())


@dataclass(frozen=True, eq=False)
class Moment:
    """The fretted notes that sound at once. `since` is the time from the fretted moment before in ticks; `kept` the string and fret of each
    note that comes back, or from which the fretting hand makes the next one of its string; `origins` for each note
    the fret that its string sounded before; `opens` the strings that sound open anywhere in the passage (a bit for each); `freed` the
    strings with the lowest fret that each sounds before the next such moment: whatever is above it on the string is lifted."""

    notes: tuple[Fingered, ...]
    since: int
    kept: frozenset[tuple[int, int]]
    origins: tuple[int, ...]
    opens: int
    freed: tuple[tuple[int, int], ...]


Fingering = tuple[str, ...]
"""A finger for each note of a moment."""

Way = tuple[int, tuple[Fingering, ...]]
"""Fingerings for moments in a row, with what they cost."""


def moments(notes: Sequence[Fingered]) -> list[Moment]:
    """The fretted notes of a passage, in order of time, by moment."""
    layers = [tuple(group) for _, group in groupby(notes, key=lambda n: n.at)]
    opens = sum(1 << s for s in {n.string for n in notes if not n.fret})
    # forwards: the fret that each string sounded before
    origins: list[tuple[int, ...]] = []
    sounding: dict[int, int] = {}
    soundings: list[tuple[tuple[int, int], ...]] = []
    for layer in layers:
        origins.append(tuple(sounding.get(n.string, 0) for n in layer if n.fret))
        sounding.update({n.string: n.fret for n in layer})
        soundings.append(tuple(sounding.items()))
    # backwards: what comes back, and the strings whose next note the fretting hand makes
    kept: list[frozenset[tuple[int, int]]] = []
    later: set[tuple[int, int]] = set()
    made: set[int] = set()
    for layer, now in zip(reversed(layers), reversed(soundings), strict=True):
        kept.append(frozenset(later | {(string, fret) for string, fret in now if string in made}))
        later |= {(n.string, n.fret) for n in layer}
        made -= {n.string for n in layer}
        made |= {n.string for n in layer if n.how in MADE}
    freed: list[tuple[tuple[int, int], ...]] = []
    lowest: dict[int, int] = {}
    for layer in reversed(layers):
        for n in layer:
            lowest[n.string] = min(n.fret, lowest.get(n.string, n.fret))
        freed.append(tuple(lowest.items()))
        if any(n.fret for n in layer):
            lowest = {}
    found: list[Moment] = []
    before = 0
    for layer, origin, stays, free in zip(layers, origins, reversed(kept), reversed(freed), strict=True):
        if fretted := tuple(n for n in layer if n.fret):
            found.append(Moment(fretted, fretted[0].at - before, stays, origin, opens, free))
            before = fretted[0].at
    return found


def assigned(notes: Sequence[Fingered], instrument: Instrument, limits: Limits, ms_per_tick: float) -> list[str | None]:
    """A finger for each note of a passage, None for open strings: those that are stated, and for the others the cheapest."""
    model = Model(hand_of(instrument, limits), ms_per_tick)
    layers = moments(notes)
    # a way found among few states bounds what is worth following among all
    first = model.cheapest(layers, _FEW, _NO_BOUND)
    assert first is not None
    _, way = model.cheapest(layers, MOST_STATES, first[0]) or first
    fingers = iter([finger for fingering in way for finger in fingering])
    return [next(fingers) if n.fret else n.finger for n in notes]


class Model:
    """What fingerings cost one hand at one speed."""

    def __init__(self, hand: Hand, ms_per_tick: float) -> None:
        self.hand = hand
        self.ms_per_tick = ms_per_tick
        self._spread = hand.limits.comfortable_mm / 100
        self._options: dict[Moment, tuple[tuple[Fingering, int], ...]] = {}

    def cheapest(self, layers: Sequence[Moment], most: int, bound: int) -> Way | None:
        """The cheapest way through all moments that costs no more than `bound`, None where none is found; of the states of the hand after a
        moment only so many are followed."""
        best: dict[State, Way] = {START: (0, ())}
        for moment in layers:
            following: dict[State, Way] = {}
            for state, (cost, way) in best.items():
                for fingering, place in self.options(moment):
                    moved = self.shift(state, moment, fingering, place)
                    if cost + moved > bound:
                        continue
                    price, after = self.step(state, moment, fingering, place)
                    price += moved
                    total = cost + price
                    if total <= bound and (after not in following or total < following[after][0]):
                        following[after] = (total, (*way, fingering))
            best = following
            if len(best) > most:
                best = dict(sorted(best.items(), key=lambda f: f[1][0])[:most])
        return min(best.values(), key=lambda b: b[0], default=None)

    def options(self, moment: Moment) -> tuple[tuple[Fingering, int], ...]:
        """The ways to finger a moment, each with a place of the index finger from which all its notes can be held."""
        if moment not in self._options:
            self._options[moment] = tuple(self._ways(moment)) or (self._impossible(moment),)
        return self._options[moment]

    def _ways(self, moment: Moment) -> Iterator[tuple[Fingering, int]]:
        notes = moment.notes
        for fingering in product(*(self._fingers(n) for n in notes)):
            on: dict[str, int] = {}
            if any(on.setdefault(finger, n.fret) != n.fret for finger, n in zip(fingering, notes, strict=True)):
                continue
            held = -1
            for finger, n in zip(fingering, notes, strict=True):
                held &= self.hand.holds[finger][n.fret]
            for place in range(1, self.hand.instrument.frets + 1):
                if held >> place & 1:
                    yield fingering, place

    def _fingers(self, note: Fingered) -> tuple[str, ...]:
        if note.finger is not None:
            return (note.finger,)
        if note.string == self.hand.instrument.drone:
            return ("t",)
        return FINGERS if self.hand.limits.little_finger else FINGERS[:3]

    def _impossible(self, moment: Moment) -> tuple[Fingering, int]:
        """Where no hand can hold all notes: one finger a fret from the lowest, for the proof to refuse."""
        low = min(n.fret for n in moment.notes)
        top = len(FINGERS) - 1 if self.hand.limits.little_finger else len(FINGERS) - 2
        return tuple(n.finger or FINGERS[min(top, n.fret - low)] for n in moment.notes), low

    def step(self, state: State, moment: Moment, fingering: Fingering, place: int) -> tuple[int, State]:
        """What it costs to play a moment in one way after a state of the hand, but for the move of the hand, and the state after it."""
        cost = 0
        # whatever does not go along is lifted
        standing = list(state.fingers) if place == state.place else [_LIFTED] * 4
        before = state.fingers
        for finger, note, origin in zip(fingering, moment.notes, moment.origins, strict=True):
            if finger not in _ORDER:
                continue
            cost += self._made(before, note, origin, finger)
            n = _ORDER[finger]
            fret, strings, _ = standing[n]
            bit = 1 << note.string
            if fret == note.fret and strings & bit:
                continue
            # a finger that another one replaces on its note
            for other, (f, s, _) in enumerate(standing):
                if f == note.fret and s & bit:
                    cost += WEIGHTS.exchange
                    standing[other] = _LIFTED
            if fret == note.fret:
                cost += self._across(finger, strings, bit, moment.opens)
                standing[n] = (fret, strings | bit, 0)
            else:
                if note.how == "slide":
                    pass
                elif any(played == finger and f != note.fret for played, f in state.played):
                    cost += WEIGHTS.same_finger
                elif fret:
                    cost += WEIGHTS.again
                standing[n] = (note.fret, bit, 0)
            cost += self._placed(finger, note, place, standing)
        down = [self._later(p, moment) for p in standing]
        played = tuple(dict.fromkeys((f, n.fret) for f, n in zip(fingering, moment.notes, strict=True)))
        return cost, State(place, (down[0], down[1], down[2], down[3]), played)

    def _later(self, placed: Placed, moment: Moment) -> Placed:
        fret, strings, age = placed
        for string, lowest in moment.freed:
            if fret > lowest and strings >> string & 1 and (string, fret) not in moment.kept:
                strings &= ~(1 << string)
        if not strings:
            return _LIFTED
        if any(f == fret and strings >> s & 1 for s, f in moment.kept):
            return (fret, strings, 0)
        return (fret, strings, age + 1) if age + 1 < _RECENT else _LIFTED

    def shift(self, state: State, moment: Moment, fingering: Fingering, place: int) -> int:
        """What it costs to move the hand to where a moment is played: by distance, and dear where there is too little time for it."""
        if not state.place or place == state.place:
            return 0
        if any(n.how == "slide" for n in moment.notes):
            return WEIGHTS.along
        limits, mm = self.hand.limits, self.hand.mm
        guided = any(
            (f, 1 << n.string) == (g, s)
            for f, n in zip(fingering, moment.notes, strict=True)
            for g, (_, s, _) in zip(FINGERS, state.fingers, strict=True)
        )
        need = limits.release_ms + self.hand.move_ms(state.place, place, guided)
        have = moment.since * self.ms_per_tick
        cost = WEIGHTS.shift + round(WEIGHTS.shift_cm * abs(mm[place] - mm[state.place]) / 10)
        return cost + (round(WEIGHTS.late * (need - have) / need) if need > have else 0)

    def _made(self, before: Sequence[Placed], note: Fingered, origin: int, finger: str) -> int:
        """What the fretting hand's own notes ask: a hammer-on a higher finger than the one that it comes from, a pull-off a lower one, a
        slide the same."""
        if note.how == "choke":
            return WEIGHTS.choke if finger == "i" else 0
        slide = WEIGHTS.slide if note.how == "slide" and finger != "m" else 0
        if note.how not in MADE or not origin:
            return slide
        bit = 1 << note.string
        on = [n for n, (fret, strings, _) in enumerate(before) if fret == origin and strings & bit]
        if not on:
            return slide
        here = _ORDER[finger]
        if note.how == "slide":
            return slide if here in on else WEIGHTS.impossible
        right = all(here > n for n in on) if note.how == "hammer-on" else all(here < n for n in on)
        return 0 if right else WEIGHTS.impossible

    def _across(self, finger: str, strings: int, bit: int, opens: int) -> int:
        """One more string under a finger that lies at its fret already; an open string beneath it would be stopped."""
        cost = WEIGHTS.across if strings & (strings - 1) == 0 else WEIGHTS.across_more
        if finger != "i":
            cost += WEIGHTS.across_other
        low, high = min(bit, strings & -strings), max(bit, 1 << (strings.bit_length() - 1))
        beneath = (high - 1) & ~(2 * low - 1)
        return cost + (WEIGHTS.over_open if beneath & opens else 0)

    def _placed(self, finger: str, note: Fingered, place: int, standing: Sequence[Placed]) -> int:
        """A finger set down: how near to the others, how far from them, and whether they lie crosswise."""
        n = _ORDER[finger]
        cost = WEIGHTS.little if finger == "p" else 0
        cost += WEIGHTS.near * max(0, n - (note.fret - place)) + WEIGHTS.far * max(0, note.fret - place - n)
        cost += self._apart(0, place, n, note.fret)
        for other, (fret, strings, _) in enumerate(standing):
            if other == n or not fret:
                continue
            cost += self._apart(other, fret, n, note.fret)
            low, high = (other, n) if other < n else (n, other)
            frets = (fret, note.fret) if other < n else (note.fret, fret)
            if frets[0] > frets[1]:
                cost += WEIGHTS.crossed
            elif frets[0] == frets[1] and low != high:
                # at one fret the higher finger belongs on the higher string
                lowest, highest = strings.bit_length() - 1, (strings & -strings).bit_length() - 1
                wrong = note.string > lowest if other < n else note.string < highest
                cost += WEIGHTS.wrong_string if wrong else 0
        return cost

    def _apart(self, a: int, fret_a: int, b: int, fret_b: int) -> int:
        """How far two fingers are stretched beyond what is comfortable for the pair."""
        if a == b:
            return 0
        if a > b:
            a, fret_a, b, fret_b = b, fret_b, a, fret_a
        wide = self.hand.mm[fret_b] - self.hand.mm[fret_a] - WEIGHTS.reach_mm[a, b] * self._spread
        return round(WEIGHTS.stretch_cm * wide / 10) if wide > 0 else 0
