"""Candidates: every way in which a lick of the library can fill a stretch of one chord, with notes, fingers and grip."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from chartc.licks.lick import REST, Library, Lick
from chartc.licks.notation import STEP
from chartc.neck.hand import Grip, Limits
from chartc.neck.instrument import FifthString, Instrument
from chartc.slots.fifth import drone_suits
from chartc.slots.moves import Moved, reaches, shifts
from chartc.slots.part import Note
from chartc.slots.places import ASKED_PLACES as ASKED_PLACES
from chartc.slots.places import PLACES as PLACES
from chartc.slots.places import place_of as place_of
from chartc.slots.rolls import Event, Held, Laid, Rolling
from chartc.slots.stock import stock_of, usable
from chartc.theory.chord import Chord

_MOST_KNOWN = 1000
# sets of candidates that are remembered, each of a hundred or so


class Candidate(NamedTuple):
    """One fill of a slot. Note times count from the slot's start. `key` names a two-measure lick where it stands, so that its
    halves find each other. `leads_to` is the pitch class of the root that a lead-in makes for, None for other licks."""

    lick: str
    role: str
    part: tuple[int, int]
    key: tuple[str, int] | None
    notes: tuple[Note, ...]
    rests: tuple[tuple[int, int], ...]
    grip: Grip
    position: int | None
    difficulty: int
    ornaments: int
    leads_to: int | None
    tensions: frozenset[int]
    tail: int = 0
    """Ticks of the lead-in at the end, 0 elsewhere."""
    left_out: int = 0
    """Drone notes that were left out."""
    base: str = ""
    """The roll beneath a lead-in; the lick's own name elsewhere."""
    meters: tuple[str, ...] = ()
    """Meters in which the lick is at home."""

    onsets: int = 0
    """Moments at which something sounds."""

    @property
    def place(self) -> str:
        """low, middle or high on the neck."""
        return place_of(self.position)


@dataclass(frozen=True)
class Bench:
    """All that candidates are made from: one instrument as it stands, one pair of hands, one library. Speed comes later: a grip
    says how fast it can be."""

    instrument: Instrument
    fifth: FifthString
    limits: Limits
    library: Library

    def usable(self, lick: Lick) -> bool:
        """Whether a lick belongs to this instrument's tuning; rolls need only the strings."""
        return usable(lick, self.instrument)


@dataclass(frozen=True, slots=True)
class Need:
    """What a slot's candidates depend on."""

    chord: Chord
    ticks: int
    step: int
    compound: bool


Kind = tuple[Need, tuple[int, ...], frozenset[int]]
"""A kind of slot: its need, the roots that may follow, and the halves of a two-measure lick that it may hold."""


class Maker:
    """Makes candidates for one bench; equal needs are met once."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._stock = stock_of(bench.instrument, bench.limits, bench.library)
        self._known: dict[tuple[object, ...], tuple[Candidate, ...]] = {}
        self._drones: dict[Event, Note] = {}
        self._notes: dict[object, tuple[Note, ...]] = {}

    def candidates(
        self, need: Need, next_roots: tuple[int, ...] = (), halves: frozenset[int] = frozenset()
    ) -> tuple[Candidate, ...]:
        """Every playable fill of a slot, silence last. `next_roots` are the roots that may follow, for lead-ins; `halves` tells
        which halves (1, 2) of a two-measure lick the slot may hold."""
        out = list(self._once(("patterns", need), lambda: self._lay_patterns(need)))
        out += self._once(("phrases", need), lambda: self._place(need, 0))
        for half in sorted(halves):
            out += self._once(("half", need, half), lambda half=half: self._place(need, half))  # type: ignore[misc]
        for root in next_roots:
            out += self._once(("tails", need, root), lambda root=root: self._lead(need, root))  # type: ignore[misc]
        out.append(_silence(need))
        return tuple(out)

    def _once(self, key: tuple[object, ...], make: Callable[[], Iterator[Candidate]]) -> tuple[Candidate, ...]:
        known = self._known.get(key)
        if known is None:
            if len(self._known) >= _MOST_KNOWN:
                self._known.clear()
                self._notes.clear()
            self._known[key] = known = tuple(make())
        return known

    def _suits(self, chord: Chord) -> bool:
        return self.bench.instrument.drone is not None and drone_suits(chord, self.bench.fifth.pitch)

    # --- rolls

    def _lay_patterns(self, need: Need) -> Iterator[Candidate]:
        """Every roll and vamp over every shape that is chosen for the chord."""
        stock, suits = self._stock, self._suits(need.chord)
        shapes = stock.shapes(need.chord)
        for lick in stock.patterns:
            roll = stock.rolling(lick, need.ticks, need.step, suits) if lick.compound == need.compound else None
            if roll is None or not roll.events:
                continue
            for held in shapes:
                laid = held.laid(roll)
                if laid is not None and not laid.grip().problem:
                    yield _candidate(lick, self._rolled(laid), roll.rests, laid.grip(), roll.onsets, 0)

    def _rolled(self, laid: Laid) -> tuple[Note, ...]:
        """The notes of a roll on a shape, with the open short string as it is tuned."""
        if laid not in self._notes:
            drone, note = self.bench.instrument.drone, laid.held.note
            self._notes[laid] = tuple([self._drone(e) if e[2] == drone else note(e) for e in laid.roll.events])
        return self._notes[laid]

    def _drone(self, event: Event) -> Note:
        """A stroke on the open short string."""
        if event not in self._drones:
            self._drones[event] = Held.drone(self.bench.fifth.pitch, event)
        return self._drones[event]

    # --- licks

    def _place(self, need: Need, half: int) -> Iterator[Candidate]:
        """Every lick over a chord, wherever it can stand; `half` 1 or 2 takes one half of a lick twice as long, 0 a whole one."""
        chord, step, stock, fifth = need.chord, need.step, self._stock, self.bench.fifth
        suits, family, classes, root = self._suits(chord), chord.quality.family, chord.classes, chord.root_class
        ticks = 2 * need.ticks if half else need.ticks
        for lick in stock.phrases:
            if lick.compound != need.compound or lick.ticks * step // STEP != ticks or family not in lick.serves:
                continue
            for shift in shifts(lick, (root - lick.root) % 12, stock.hand):
                moved = stock.moved(lick, shift, step, suits, half)
                w = moved.written
                if (
                    not w.notes
                    or not moved.fits(classes, root)
                    or not reaches(w.thumb, shift, fifth, self.bench.instrument)
                    or moved.grip.problem
                ):
                    continue
                notes = self._sounding(moved, 0)
                part, key = ((half, 2), (lick.name, shift)) if half else ((1, 1), None)
                yield _candidate(
                    lick, notes, w.rests, moved.grip, w.onsets, w.ornaments, part, key, left_out=w.left_out
                )

    def _sounding(self, moved: Moved, later: int) -> tuple[Note, ...]:
        """A lick's notes so many ticks later, with the open short string as it is tuned."""
        key = (moved, later)
        if key not in self._notes:
            self._notes[key] = tuple(
                [
                    note or self._drone((raw.at + later, raw.ticks, raw.string, raw.pick, raw.how))
                    for note, raw in zip(moved.later(later), moved.written.notes, strict=True)
                ]
            )
        return self._notes[key]

    # --- lead-ins

    def _lead(self, need: Need, root: int) -> Iterator[Candidate]:
        """Every roll with a tail that lands on the next downbeat, where the chord on `root` begins."""
        chord, step, stock, fifth = need.chord, need.step, self._stock, self.bench.fifth
        suits, family, shapes = self._suits(chord), chord.quality.family, stock.shapes(chord)
        # a slow song wants its tail behind a roll of few notes
        rolls = [r for r in stock.patterns if r.role == "roll" and r.compound == need.compound]
        sparse = [r for r in rolls if len({n.at for n in r.notes}) * 8 <= 5 * r.steps]
        dense = [r for r in rolls if r not in sparse]
        carriers: dict[int, list[list[Rolling]]] = {}
        for lick in stock.tails:
            tail = lick.ticks * step // STEP
            head = need.ticks - tail
            if lick.compound != need.compound or head < 2 * step or lick.target is None or family not in lick.serves:
                continue
            if lick.root >= 0 and (root - chord.root_class) % 12 != (lick.target - lick.root) % 12:
                continue
            for shift in shifts(lick, (root - lick.target) % 12, stock.hand):
                moved = stock.moved(lick, shift, step, suits, 0)
                w = moved.written
                if not w.notes or w.notes[0].at or w.left_out:
                    continue
                if not reaches(w.thumb, shift, fifth, self.bench.instrument):
                    continue
                if head not in carriers:
                    carriers[head] = [self._rollings(some, head, step, suits) for some in (dense, sparse)]
                for playable in carriers[head]:
                    for laid, grip in stock.joining.carriers(moved, playable, shapes, head):
                        roll = laid.roll
                        notes = self._rolled(laid) + self._sounding(moved, head)
                        rests = roll.rests + tuple([(at + head, ticks) for at, ticks in w.rests])
                        yield _candidate(
                            lick, notes, rests, grip, roll.onsets + w.onsets, w.ornaments, leads_to=root, tail=tail, base=roll.lick.name,
                        )  # fmt: skip

    def _rollings(self, rolls: list[Lick], head: int, step: int, suits: bool) -> list[Rolling]:
        """Those of some rolls that can be played for so many ticks."""
        known = [self._stock.rolling(roll, head, step, suits) for roll in rolls]
        return [roll for roll in known if roll is not None]


def _silence(need: Need) -> Candidate:
    empty = Grip(None, None, (-1, -1, -1), (-1, -1, -1), 0.0, ())
    return Candidate(REST, REST, (1, 1), None, (), ((0, need.ticks),), empty, None, 1, 0, None, frozenset())


def _candidate(
    lick: Lick,
    notes: tuple[Note, ...],
    rests: tuple[tuple[int, int], ...],
    grip: Grip,
    onsets: int,
    ornaments: int,
    part: tuple[int, int] = (1, 1),
    key: tuple[str, int] | None = None,
    leads_to: int | None = None,
    tail: int = 0,
    left_out: int = 0,
    base: str = "",
) -> Candidate:
    position = grip.entry.position if grip.entry else None
    return Candidate(
        lick.name, lick.role, part, key, notes, rests, grip, position, lick.difficulty, ornaments, leads_to, lick.tensions,
        tail, left_out, base or lick.name, lick.meters, onsets,
    )  # fmt: skip


def onsets_tile(notes: tuple[Note, ...], rests: tuple[tuple[int, int], ...], ticks: int) -> bool:
    """Whether onsets and rests tile a slot of so many ticks."""
    spans = sorted({(n.at, n.ticks) for n in notes} | set(rests))
    end = 0
    for at, length in spans:
        if at != end or length <= 0:
            return False
        end = at + length
    return end == ticks
