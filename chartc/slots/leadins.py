"""Lead-ins: a roll with a tail behind it. The roll and the tail are each followed by the hand once; where they meet, only what the one
does to the other is worked out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from chartc.neck.follow import Hand, Station, Strokes, strokes
from chartc.neck.hand import Grip, Reach
from chartc.slots.moves import Moved, Written
from chartc.slots.part import Note
from chartc.slots.rolls import Held, Hold, Laid, Rolling

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
            if roll.closing & tail.opening:
                self._known[key] = Meeting(None)
            else:
                together = roll.picks + tuple([(n.at + head, n.pick) for n in tail.notes])
                self._known[key] = Meeting(strokes(together, self.hand.limits))
        return self._known[key]

    def carriers(
        self, tail: Moved, rolls: Sequence[Rolling], shapes: Sequence[Held], head: int
    ) -> Iterator[tuple[Laid, Grip]]:
        """The rolls, each on a shape, behind which a tail can be played fastest: the first two that let it be played fast, or the two
        fastest. What the strokes alone make slower than those found is not tried."""
        best: list[tuple[float, Strokes, Laid]] = []
        bound = math.inf
        for roll in rolls:
            picking = self.meeting(roll, tail.written, head).picking
            if picking is None:
                continue
            for held in shapes:
                if picking.fastest >= bound or bound <= _FAST:
                    break
                laid = held.laid(roll)
                if laid is None:
                    continue
                pace = max(_FAST, self._pace(laid, tail, head, picking))
                if pace < bound:
                    best.append((pace, picking, laid))
                    best.sort(key=lambda b: b[0])
                    del best[_CARRIERS:]
                    if len(best) == _CARRIERS:
                        bound = best[-1][0]
            if bound <= _FAST:
                break
        for _, picking, laid in best:
            yield laid, self._grip(laid, tail, head, picking)

    def _pace(self, laid: Laid, tail: Moved, head: int, picking: Strokes) -> float:
        """The speed that a roll with a tail allows (ms a tick), infinite where it cannot be played at any."""
        hold = laid.hold
        if hold is None or not tail.plain:
            grip = self._grip(laid, tail, head, picking)
            return math.inf if grip.problem else grip.fastest
        stays, place = self._stays(hold, tail)
        if stays == len(tail.fretted):
            return picking.fastest
        leaving, following = self._leaving(laid, tail, stays)
        if self._sooner(leaving, following):
            stations = self._stations(len(laid.fretted), stays, place, tail)
            return self.hand.pace(stations, laid.fretted + tail.fretted_later(head), picking.fastest)
        rest = tail.rest(stays)
        if rest.problem:
            return math.inf
        pace = max(picking.fastest, rest.fastest)
        arriving = tail.fretted[stays]
        if arriving.how == "slide":
            return pace
        between = arriving.at - leaving.at + (0 if stays else head)
        return max(pace, self.hand.shift_ms(leaving, arriving, place, following) / between) if between else math.inf

    def _leaving(self, laid: Laid, tail: Moved, stays: int) -> tuple[Note, int]:
        """The last note that the hand plays where it holds the roll, and the place that it goes to from there."""
        leaving = tail.fretted[stays - 1] if stays else laid.leaving
        assert leaving is not None
        return leaving, tail.stations(stays)[0][0]

    def _sooner(self, leaving: Note, following: int) -> bool:
        """Whether the move may be made sooner: the last note before it lies under the hand in the new place too."""
        return bool(self.hand.holds[leaving.finger or "i"][leaving.fret] >> following & 1)

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

    def _grip(self, laid: Laid, tail: Moved, head: int, picking: Strokes) -> Grip:
        """Both hands through a roll and a tail."""
        touch, hold = laid.touch, laid.hold
        if touch is None or hold is None or not tail.plain:
            return self.hand.fretting(laid.fretted + tail.fretted_later(head), picking)
        stays, place = self._stays(hold, tail)
        low, high, form = hold.low, hold.high, hold.form
        if stays:
            frets = [n.fret for n in tail.fretted[:stays]]
            low, high = min(low, *frets), max(high, *frets)
            form = form.union([(n.string, n.finger) for n in tail.fretted[:stays] if n.finger])
        entry = Reach(place, low, high, form, touch.first)
        mm = self.hand.mm
        widest = mm[high] - mm[min(place, low)]
        if stays == len(tail.fretted):
            end = tail.fretted[-1].at + head if stays else touch.leaving[0]
            exit = Reach(place, low, high, form, end)
            positions = ((touch.first, place),)
            return Grip(entry, exit, picking.first, picking.last, widest, positions, "", picking.fastest, picking.haste)
        leaving, following = self._leaving(laid, tail, stays)
        if self._sooner(leaving, following):
            stations = self._stations(len(laid.fretted), stays, place, tail)
            return self.hand.settled(stations, laid.fretted + tail.fretted_later(head), picking)
        rest, arriving = tail.rest(stays), tail.fretted[stays]
        fastest, haste = picking.fastest, picking.haste
        if arriving.how != "slide":
            between = arriving.at - leaving.at + (0 if stays else head)
            first = self.hand.shift_ms(leaving, arriving, place, following) / between
            if first > fastest:
                fastest, haste = first, self.hand.no_time(place, following)
        if rest.fastest > fastest:
            fastest, haste = rest.fastest, rest.haste
        last = rest.exit
        assert last is not None
        return Grip(
            entry,
            Reach(last.position, last.low, last.high, last.form, last.at + head),
            picking.first,
            picking.last,
            max(widest, rest.stretch_mm),
            ((touch.first, place), *[(at + head, p) for at, p in rest.positions]),
            "",
            fastest,
            haste,
        )
