"""What candidates of one pair of hands and one library are made from, whatever the song."""

from __future__ import annotations

from functools import lru_cache

from chartc.licks.lick import Library, Lick
from chartc.neck.follow import Hand, hand_of
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.neck.shapes import Shape, shapes
from chartc.slots.leadins import Joining
from chartc.slots.moves import Moved, Written, written
from chartc.slots.places import PLACES
from chartc.slots.rolls import Held, Rolling, rolling
from chartc.theory.chord import Chord

# shapes of a chord that are tried in each place, and how much worse than the best one a shape may be
_SHAPES_EACH, _WORSE = 2, 8

_MOST_CHORDS = 200
# chords whose shapes are remembered


def usable(lick: Lick, instrument: Instrument) -> bool:
    """Whether a lick belongs to an instrument's tuning; rolls need only the strings."""
    if lick.pattern:
        return all(n.string <= len(instrument.strings) for n in lick.notes)
    return lick.tuning == instrument.opens


class Stock:
    """What candidates of one pair of hands and one library are made from, whatever the song: what does not depend on how the short string
    stands is worked out once."""

    def __init__(self, instrument: Instrument, limits: Limits, library: Library) -> None:
        self.hand = hand_of(instrument, limits)
        own = [lick for lick in library.licks if usable(lick, instrument)]
        self.patterns = [lick for lick in own if lick.pattern]
        self.tails = [lick for lick in own if lick.role == "lead-in"]
        self.phrases = [lick for lick in own if not lick.pattern and lick.role != "lead-in"]
        self.joining = Joining(self.hand)
        self._shapes: dict[Chord, tuple[Held, ...]] = {}
        self._rolling: dict[tuple[str, int, int, bool], Rolling | None] = {}
        self._written: dict[tuple[str, int, bool, int], Written] = {}
        self._moved: dict[tuple[Written, int], Moved] = {}

    def shapes(self, chord: Chord) -> tuple[Held, ...]:
        """The shapes that rolls are laid over."""
        if chord not in self._shapes:
            if len(self._shapes) >= _MOST_CHORDS:
                self._shapes.clear()
            self._shapes[chord] = tuple(Held(s, self.hand) for s in chosen_shapes(chord, self.hand))
        return self._shapes[chord]

    def rolling(self, lick: Lick, ticks: int, step: int, suits: bool) -> Rolling | None:
        """A roll for so many ticks; None where it needs a drone that fights the chord."""
        key = (lick.name, ticks, step, suits)
        if key not in self._rolling:
            self._rolling[key] = rolling(lick, ticks, step, self.hand.instrument.drone, suits, self.hand.limits)
        return self._rolling[key]

    def moved(self, lick: Lick, shift: int, step: int, suits: bool, half: int) -> Moved:
        """A lick, or one half of it, at one place on the neck."""
        key = (lick.name, step, suits, half)
        if key not in self._written:
            self._written[key] = written(lick, step, self.hand.instrument.drone, suits, half, self.hand)
        place = (self._written[key], shift)
        if place not in self._moved:
            self._moved[place] = Moved(*place, self.hand)
        return self._moved[place]


@lru_cache(maxsize=8)
def stock_of(instrument: Instrument, limits: Limits, library: Library) -> Stock:
    """The stock of a pair of hands on an instrument with a library."""
    return Stock(instrument, limits, library)


def chosen_shapes(chord: Chord, hand: Hand) -> tuple[Shape, ...]:
    """The shapes that rolls are laid over: the best few in each place on the neck, open-handed ones and closed ones."""
    found = shapes(hand.instrument, chord, hand.limits)
    if not found:
        return ()
    best = found[0].rank
    out: list[Shape] = []
    for low, high in PLACES.values():
        for closed in (False, True):
            here = [
                s
                for s in found
                if low <= s.position <= min(high, 14) and s.closed == closed and s.rank <= best + _WORSE
            ]
            out.extend(here[:_SHAPES_EACH])
    return tuple(out)
