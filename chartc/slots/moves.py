"""Licks moved along the neck. What a lick does in time is worked out once, whatever the chord; what the hand does once for each place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from chartc.licks.lick import Lick
from chartc.licks.notation import STEP, RawNote
from chartc.licks.proof import strong
from chartc.neck.follow import NO_STROKES, Hand, Station, Strokes, strokes
from chartc.neck.hand import Grip
from chartc.neck.instrument import FifthString, Instrument
from chartc.slots.part import Note
from chartc.slots.rolls import Rests

ORNAMENTS = ("hammer-on", "pull-off", "slide", "choke")


@dataclass(frozen=True, eq=False)
class Written:
    """A lick in time, or one half of it, where it is written: notes at the tempo's step with the drone in or left out.

    `durations` are the notes' ticks, `strong` the string and fret of each note on a strong beat that must fit the chord, `thumb` the frets of
    the short string, `left_out` the drone notes that were left out; these three belong to the whole lick.
    """

    lick: Lick
    notes: tuple[RawNote, ...]
    rests: Rests
    strong: tuple[tuple[int, int], ...]
    thumb: tuple[int, ...]
    left_out: int
    picking: Strokes
    onsets: int
    ornaments: int

    @cached_property
    def opening(self) -> frozenset[str | None]:
        """The pick fingers of the first moment."""
        return frozenset(n.pick for n in self.notes if n.at == self.notes[0].at and n.pick is not None)


def written(lick: Lick, step: int, drone: int | None, suits: bool, half: int, hand: Hand) -> Written:
    """A lick in time; `half` 1 or 2 takes one half of it, 0 the whole. Where the drone fights the chord it is left out."""
    notes: list[RawNote] = []
    rests = [(at * step // STEP, ticks * step // STEP) for at, ticks in lick.rests]
    hard: list[tuple[int, int]] = []
    thumb: list[int] = []
    left_out = 0
    for raw in lick.notes:
        at, ticks, fret = raw.at * step // STEP, raw.ticks * step // STEP, raw.fret or 0
        if raw.string == drone and not fret:
            if not suits:
                left_out += 1
                if not any(other.at == raw.at for other in lick.notes if other is not raw):
                    _hold(notes, rests, at, ticks)
                continue
        else:
            if raw.string == drone:
                thumb.append(fret)
            if lick.role != "lead-in" and strong(raw.at, lick.compound, lick.ticks):
                hard.append((raw.string, fret))
        notes.append(_timed(raw, at, ticks, fret))
    if half:
        length = lick.ticks * step // STEP // 2
        start, end = (half - 1) * length, half * length
        notes = [_timed(n, n.at - start, n.ticks, n.fret or 0) for n in notes if start <= n.at < end]
        rests = [(at - start, ticks) for at, ticks in rests if start <= at < end]
    notes.sort(key=lambda n: (n.at, -n.string))
    return Written(
        lick,
        tuple(notes),
        tuple(sorted(rests)),
        tuple(hard),
        tuple(thumb),
        left_out,
        strokes([(n.at, n.pick) for n in notes], hand.limits),
        len({n.at for n in notes}),
        sum(n.how in ORNAMENTS for n in notes),
    )


def _timed(raw: RawNote, at: int, ticks: int, fret: int) -> RawNote:
    return RawNote(at, ticks, raw.string, fret, raw.pick, raw.finger, raw.how, raw.amount, raw.columns)


def _hold(notes: list[RawNote], rests: list[tuple[int, int]], at: int, ticks: int) -> None:
    """Fills the time of a note that is left out: what sounded goes on, or there is a rest."""
    before = [k for k, n in enumerate(notes) if n.at + n.ticks == at]
    if not before:
        rests.append((at, ticks))
    for k in before:
        notes[k] = _timed(notes[k], notes[k].at, notes[k].ticks + ticks, notes[k].fret or 0)


def shifts(lick: Lick, away: int, hand: Hand) -> tuple[int, ...]:
    """By how many frets a lick may move to stand `away` semitones (0 to 11) above where it is written."""
    if not lick.movable:
        return (0,) if away == 0 else ()
    drone = hand.instrument.drone
    frets = [n.fret for n in lick.notes if n.fret and n.string != drone]
    if not frets:
        return (0,) if away == 0 else ()
    top = min(hand.limits.highest_fret or hand.instrument.frets, hand.instrument.frets)
    index, highest = min(frets), max(frets)
    low, high = max(1, lick.lowest) - index, min(lick.highest - index, top - highest)
    return tuple([shift for shift in (away - 24, away - 12, away, away + 12) if low <= shift <= high])


class Moved:
    """A lick at one place on the neck. The open drone's notes are None: its pitch depends on the song."""

    def __init__(self, written: Written, shift: int, hand: Hand) -> None:
        self.written = written
        self.shift = shift
        self.hand = hand
        instrument = hand.instrument
        self._strong = frozenset(
            instrument.pitch(string, fret + shift if fret else 0) % 12 for string, fret in written.strong
        )
        self._tails: dict[int, tuple[Note | None, ...]] = {}
        self._fretted: dict[int, list[Note]] = {}
        self._stations: dict[int, list[Station]] = {}
        self._rests: dict[int, Grip] = {}

    def fits(self, chord_classes: frozenset[int], root_class: int) -> bool:
        """Whether every strong beat has a chord tone or a tension that the lick names."""
        tensions = self.written.lick.tensions
        return all(c in chord_classes or (c - root_class) % 12 in tensions for c in self._strong)

    @cached_property
    def notes(self) -> tuple[Note | None, ...]:
        """The notes, in order of time."""
        return self.later(0)

    def later(self, ticks: int) -> tuple[Note | None, ...]:
        """The notes so many ticks later."""
        if ticks not in self._tails:
            self._tails[ticks] = tuple([self._note(n, ticks) for n in self.written.notes])
        return self._tails[ticks]

    def _note(self, raw: RawNote, later: int) -> Note | None:
        instrument, fret = self.hand.instrument, raw.fret
        if not fret:
            if raw.string == instrument.drone:
                return None
            fret = 0
        else:
            fret += self.shift
        pitch = instrument.pitch(raw.string, fret)
        return Note(raw.at + later, raw.ticks, raw.string, fret, pitch, raw.pick, raw.finger, raw.how, raw.amount)

    @cached_property
    def fretted(self) -> list[Note]:
        """The fretted notes, in order of time."""
        return self.fretted_later(0)

    def fretted_later(self, ticks: int) -> list[Note]:
        """The fretted notes so many ticks later."""
        if ticks not in self._fretted:
            self._fretted[ticks] = [n for n in self.later(ticks) if n is not None and n.fret and n.finger]
        return self._fretted[ticks]

    @cached_property
    def grip(self) -> Grip:
        """Both hands through the lick."""
        return self.hand.fretting(self.fretted, self.written.picking)

    @cached_property
    def refused(self) -> str:
        """Why the lick is not for this player here, whatever the speed; empty where it may be."""
        fretted = self.fretted
        return self.hand.refused(max([n.fret for n in fretted], default=0), any(n.finger == "p" for n in fretted))

    @cached_property
    def plain(self) -> bool:
        """Whether a finger can hold each fretted note by itself, and the thumb none."""
        holds = self.hand.holds
        return not self.refused and all(
            n.finger in holds and n.finger != "t" and holds[n.finger][n.fret] for n in self.fretted
        )

    @cached_property
    def held(self) -> tuple[int, ...]:
        """From which places of the index finger the first one, two, three fretted notes can be held (a bit for each place): as many
        as can be played without a move by a hand that is there already."""
        out: list[int] = []
        held = -1
        for n in self.fretted:
            finger = n.finger or "i"
            held &= self.hand.holds[finger][n.fret]
            if not held or (n.how == "slide" and finger == "i"):
                break
            out.append(held)
        return tuple(out)

    def stations(self, start: int) -> list[Station]:
        """The places of the index finger from a fretted note on."""
        if start not in self._stations:
            self._stations[start] = self.hand.stations(self.fretted, start)
        return self._stations[start]

    def rest(self, start: int) -> Grip:
        """The hand from a fretted note on, as if the pick fingers had all the time."""
        if start not in self._rests:
            self._rests[start] = self.hand.settled(self.stations(start), self.fretted, NO_STROKES)
        return self._rests[start]


def reaches(thumb: tuple[int, ...], shift: int, fifth: FifthString, instrument: Instrument) -> bool:
    """Whether the short string has the frets that a lick wants there: they begin above the nut peg or the spike, and a string that is
    tuned up sounds other notes."""
    if not thumb:
        return True
    assert instrument.drone
    string = instrument.strings[instrument.drone - 1]
    if fifth.pitch != string.open and not fifth.fret:
        return False
    return min(thumb) + shift > max(fifth.fret, string.nut_fret)
