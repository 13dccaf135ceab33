"""Lead-ins: a roll with a tail behind it. The roll and the tail are each followed by the hand once; where they meet, only what the one
does to the other is worked out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from chartc.neck.follow import Hand, Station, Strokes, strokes
from chartc.neck.hand import Grip, Reach
from chartc.slots.moves import Moved, Written
from chartc.slots.rolls import Held, Hold, Rolling

# rolls that a lead-in is put behind, so that it can be played as fast as this if it can at all (ms a tick: eighths at half = 120)
_CARRIERS, _FAST = 2, 125 / 240


@dataclass(frozen=True, eq=False)
class Meeting:
    """The strokes of a roll and of the tail behind it, together; None where one finger would have the last before and the first
    of the tail."""

    picking: Strokes | None


@dataclass(frozen=True, eq=False)
class Joining:
    """How rolls and tails meet, remembered for each pair of them."""

    hand: Hand
    _known: dict[tuple[Rolling, Written], Meeting] = field(default_factory=dict)

    def meeting(self, roll: Rolling, tail: Written, head: int) -> Meeting:
        """A roll of `head` ticks with a tail behind it."""
        key = (roll, tail)
        if key not in self._known:
            first = tail.notes[0].at
            opening = {n.pick for n in tail.notes if n.at == first} - {None}
            together = (*roll.picks, *((n.at + head, n.pick) for n in tail.notes))
            same = bool(roll.closing & opening)
            self._known[key] = Meeting(None if same else strokes(together, self.hand.limits))
        return self._known[key]

    def carriers(
        self, tail: Moved, rolls: Sequence[Rolling], shapes: Sequence[Held], head: int
    ) -> Iterator[tuple[Rolling, Held, Grip]]:
        """The rolls, each on a shape, behind which a tail can be played fastest: the first two that let it be played fast, or the two
        fastest. What the strokes alone make slower than those found is not tried."""
        best: list[tuple[float, Strokes, Rolling, Held]] = []
        fast = 0
        for roll in rolls:
            picking = self.meeting(roll, tail.written, head).picking
            if picking is None:
                continue
            for held in shapes:
                if len(best) == _CARRIERS and max(_FAST, picking.fastest) >= best[-1][0]:
                    break
                pace = self._pace(roll, held, tail, head, picking) if held.suits(roll) else math.inf
                if pace == math.inf:
                    continue
                best.append((max(_FAST, pace), picking, roll, held))
                best.sort(key=lambda b: b[0])
                del best[_CARRIERS:]
                fast += pace <= _FAST
                if fast == _CARRIERS:
                    break
            if fast == _CARRIERS:
                break
        for _, picking, roll, held in best:
            yield roll, held, self._grip(roll, held, tail, head, picking)

    def _pace(self, roll: Rolling, held: Held, tail: Moved, head: int, picking: Strokes) -> float:
        """The speed that a roll with a tail allows (ms a tick), infinite where it cannot be played at any."""
        touch = roll.touch(held.fretted)
        if touch is None or held.refused or not tail.plain:
            grip = self._grip(roll, held, tail, head, picking)
            return math.inf if grip.problem else grip.fastest
        hold = held.hold(touch.string, touch.strings)
        if not hold.place:
            grip = self._grip(roll, held, tail, head, picking)
            return math.inf if grip.problem else grip.fastest
        stays, place = self._stays(hold, tail)
        if stays == len(tail.fretted):
            return picking.fastest
        before = held.fretted_notes(roll)
        return self.hand.pace(
            self._stations(len(before), stays, place, tail), before + tail.fretted_later(head), picking.fastest
        )

    def _stays(self, hold: Hold, tail: Moved) -> tuple[int, int]:
        """For how many fretted notes of a tail the hand stays where it holds the roll, and where that is."""
        reached = tail.held
        for n in range(len(reached), 0, -1):
            if both := hold.held & reached[n - 1]:
                return n, self.hand.choose(hold.places, both)
        return 0, hold.place

    def _stations(self, count: int, stays: int, place: int, tail: Moved) -> list[Station]:
        """The places of the index finger through a roll with so many fretted notes and a tail."""
        return [(place, 0, count + stays), *[(p, count + a, count + b) for p, a, b in tail.stations(stays)]]

    def _grip(self, roll: Rolling, held: Held, tail: Moved, head: int, picking: Strokes) -> Grip:
        """Both hands through a roll and a tail."""
        touch = roll.touch(held.fretted)
        hold = held.hold(touch.string, touch.strings) if touch else None
        if touch is None or hold is None or not hold.place or held.refused or tail.refused:
            return self.hand.fretting(held.fretted_notes(roll) + tail.fretted_later(head), picking)
        stays, place = self._stays(hold, tail)
        if stays < len(tail.fretted):
            before = held.fretted_notes(roll)
            stations = self._stations(len(before), stays, place, tail)
            return self.hand.settled(stations, before + tail.fretted_later(head), picking)
        low, high, form, end = hold.low, hold.high, hold.form, touch.last
        widest = hold.high
        if stays:
            frets = [n.fret for n in tail.fretted if n.finger != "t"]
            low, high = min(low, *frets), max(high, *frets)
            widest = max(widest, *(n.fret for n in tail.fretted))
            form = form.union((n.string, n.finger) for n in tail.fretted if n.finger)
            end = tail.fretted[-1].at + head
        mm = self.hand.mm
        stretch = mm[widest] - mm[min(place, low)]
        return Grip(
            Reach(place, low, high, form, touch.first),
            Reach(place, low, high, form, end),
            picking.first,
            picking.last,
            stretch,
            ((touch.first, place),),
            "",
            picking.fastest,
            picking.haste,
        )
