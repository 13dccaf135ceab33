"""Candidates: every way in which a lick of the library can fill a stretch of one chord, with notes, fingers and grip."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from chartc.licks.lick import REST, Library, Lick
from chartc.licks.notation import STEP
from chartc.licks.proof import strong
from chartc.neck.hand import Grip, Limits, grip
from chartc.neck.instrument import FifthString, Instrument
from chartc.neck.shapes import Shape, shapes
from chartc.slots.fifth import drone_suits
from chartc.slots.part import Note
from chartc.theory.chord import Chord

PLACES = {"low": (0, 4), "middle": (5, 7), "high": (8, 24)}
"""Places on the neck by the index finger's fret."""

ASKED_PLACES = {**PLACES, "middle": (5, 8)}
"""The same as a chart may ask for them: over some chords the middle has no other shape than that at fret 8."""

# shapes of a chord that are tried in each place, and how much worse than the best one a shape may be
_SHAPES_EACH, _WORSE = 2, 8
# rolls that a lead-in is put behind, so that it can be played as fast as this if it can at all (ms a tick: eighths at half = 120)
_CARRIERS, _FAST = 2, 125 / 240


def place_of(position: int | None) -> str:
    """low, middle or high."""
    fret = position or 0
    return next(name for name, (low, high) in PLACES.items() if low <= fret <= high)


@dataclass(frozen=True)
class Candidate:
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

    onsets: int = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "onsets", len({n.at for n in self.notes}))

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
        if lick.pattern:
            return all(n.string <= len(self.instrument.strings) for n in lick.notes)
        return lick.tuning == tuple(s.open for s in self.instrument.strings)


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
        usable = [lick for lick in bench.library.licks if bench.usable(lick)]
        self._patterns = [lick for lick in usable if lick.pattern]
        self._tails = [lick for lick in usable if lick.role == "lead-in"]
        self._phrases = [lick for lick in usable if not lick.pattern and lick.role != "lead-in"]
        self._shapes: dict[Chord, tuple[Shape, ...]] = {}
        self._known: dict[tuple[object, ...], tuple[Candidate, ...]] = {}

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
        if key not in self._known:
            self._known[key] = tuple(make())
        return self._known[key]

    def _shapes_of(self, chord: Chord) -> tuple[Shape, ...]:
        if chord not in self._shapes:
            self._shapes[chord] = chosen_shapes(chord, self.bench)
        return self._shapes[chord]

    def _lay_patterns(self, need: Need) -> Iterator[Candidate]:
        for lick in self._patterns:
            if lick.compound != need.compound:
                continue
            for shape in self._shapes_of(need.chord):
                laid = _lay(lick, shape, need, self.bench, need.ticks)
                if laid is not None:
                    yield from _finished(lick, *laid, need, self.bench)

    def _place(self, need: Need, half: int) -> Iterator[Candidate]:
        for lick in self._phrases:
            if lick.compound == need.compound:
                yield from _placed(lick, need, self.bench, half)

    def _lead(self, need: Need, root: int) -> Iterator[Candidate]:
        rolls = [r for r in self._patterns if r.role == "roll" and r.compound == need.compound]
        for lick in self._tails:
            if lick.compound == need.compound:
                yield from _lead_in(lick, need, self.bench, root, rolls, self._shapes_of(need.chord))


def _silence(need: Need) -> Candidate:
    empty = Grip(None, None, (-1, -1, -1), (-1, -1, -1), 0.0, ())
    return Candidate(REST, REST, (1, 1), None, (), ((0, need.ticks),), empty, None, 1, 0, None, frozenset())


# --- rolls ---------------------------------------------------------------------------------------------------------------


def chosen_shapes(chord: Chord, bench: Bench) -> tuple[Shape, ...]:
    """The shapes that rolls are laid over: the best few in each place on the neck, open-handed ones and closed ones."""
    found = shapes(bench.instrument, chord, bench.limits)
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


def _lay(
    lick: Lick, shape: Shape, need: Need, bench: Bench, ticks: int
) -> tuple[list[Note], list[tuple[int, int]]] | None:
    """A roll over a shape for so many ticks, the pattern once more and cut as needed; None where a string cannot do it."""
    drone = bench.instrument.drone
    suits = drone is not None and drone_suits(need.chord, bench.fifth.pitch)
    notes: list[Note] = []
    rests: list[tuple[int, int]] = []
    start = 0
    while start < ticks:
        for n, raw in enumerate(lick.notes):
            at = start + raw.at * need.step // STEP
            if at >= ticks:
                continue
            length = min(raw.ticks * need.step // STEP, ticks - at)
            string = raw.string
            if string == drone and not suits:
                string = lick.without_fifth[n] if lick.without_fifth else 0
                if not string:
                    return None
            if string == drone:
                notes.append(Note(at, length, string, 0, bench.fifth.pitch, raw.pick, None, raw.how))
                continue
            fret, finger = shape.on(string)
            if raw.how == "damped" and not fret:
                return None
            notes.append(
                Note(at, length, string, fret, bench.instrument.pitch(string, fret), raw.pick, finger, raw.how)
            )
        for at, length in lick.rests:
            at = start + at * need.step // STEP
            if at < ticks:
                rests.append((at, min(length * need.step // STEP, ticks - at)))
        start += lick.ticks * need.step // STEP
    return notes, rests


# --- licks ---------------------------------------------------------------------------------------------------------------


def _placed(lick: Lick, need: Need, bench: Bench, half: int) -> Iterator[Candidate]:
    """A lick over a chord, wherever it can stand; `half` 1 or 2 takes one half of a lick twice as long, 0 a whole one."""
    length = lick.ticks * need.step // STEP
    if length != (2 * need.ticks if half else need.ticks) or need.chord.quality.family not in lick.serves:
        return
    for shift in shifts(lick, (need.chord.root_class - lick.root) % 12, bench):
        placed = _move(lick, shift, need, bench)
        if placed is None:
            continue
        notes, rests, left_out = placed
        if half:
            start, end = (half - 1) * need.ticks, half * need.ticks
            notes = [replace(n, at=n.at - start) for n in notes if start <= n.at < end]
            rests = [(at - start, ticks) for at, ticks in rests if start <= at < end]
            yield from _finished(lick, notes, rests, need, bench, (half, 2), (lick.name, shift), left_out=left_out)
        else:
            yield from _finished(lick, notes, rests, need, bench, left_out=left_out)


def shifts(lick: Lick, away: int, bench: Bench) -> tuple[int, ...]:
    """By how many frets a lick may move to stand `away` semitones (0 to 11) above where it is written."""
    if not lick.movable:
        return (0,) if away == 0 else ()
    drone = bench.instrument.drone
    frets = [n.fret for n in lick.notes if n.fret and n.string != drone]
    if not frets:
        return (0,) if away == 0 else ()
    top = min(bench.limits.highest_fret or bench.instrument.frets, bench.instrument.frets)
    index = min(frets)
    return tuple(
        shift
        for shift in (away - 24, away - 12, away, away + 12)
        if index + shift >= max(1, lick.lowest) and index + shift <= lick.highest and max(frets) + shift <= top
    )


def _move(lick: Lick, shift: int, need: Need, bench: Bench) -> tuple[list[Note], list[tuple[int, int]], int] | None:
    """The lick's notes moved along the neck; None where a note does not fit the chord. The drone is left out where it fights."""
    drone = bench.instrument.drone
    suits = drone is not None and drone_suits(need.chord, bench.fifth.pitch)
    notes: list[Note] = []
    rests = [(at * need.step // STEP, ticks * need.step // STEP) for at, ticks in lick.rests]
    left_out = 0
    for raw in lick.notes:
        at, ticks = raw.at * need.step // STEP, raw.ticks * need.step // STEP
        string, fret = raw.string, raw.fret or 0
        if string == drone and not fret:
            if suits:
                notes.append(Note(at, ticks, string, 0, bench.fifth.pitch, raw.pick, None))
                continue
            left_out += 1
            if not any(other.at == raw.at for other in lick.notes if other is not raw):
                _hold(notes, rests, at, ticks)
            continue
        if string == drone:
            # a fretted short string: its frets begin above the nut peg or the spike
            fret += shift
            if bench.fifth.pitch != bench.instrument.strings[string - 1].open and not bench.fifth.fret:
                return None
            if fret <= max(bench.fifth.fret, bench.instrument.strings[string - 1].nut_fret):
                return None
        else:
            fret = fret + shift if fret else 0
        midi = bench.instrument.pitch(string, fret)
        above = (midi - need.chord.root_class) % 12
        if (
            lick.role != "lead-in"
            and strong(raw.at, lick.compound, lick.ticks)
            and midi % 12 not in need.chord.classes
            and above not in lick.tensions
        ):
            return None
        notes.append(Note(at, ticks, string, fret, midi, raw.pick, raw.finger, raw.how, raw.amount))
    return notes, sorted(rests), left_out


def _hold(notes: list[Note], rests: list[tuple[int, int]], at: int, ticks: int) -> None:
    """Fills the time of a note that is left out: what sounded goes on, or there is a rest."""
    before = [n for n in notes if n.at + n.ticks == at]
    if not before:
        rests.append((at, ticks))
    for n in before:
        notes[notes.index(n)] = Note(
            n.at, n.ticks + ticks, n.string, n.fret, n.pitch, n.pick, n.finger, n.how, n.amount
        )


# --- lead-ins ------------------------------------------------------------------------------------------------------------


def _lead_in(
    lick: Lick, need: Need, bench: Bench, root: int, rolls: Sequence[Lick], held: Sequence[Shape]
) -> Iterator[Candidate]:
    """A roll with a tail that lands on the next downbeat, where the chord on `root` begins."""
    tail = lick.ticks * need.step // STEP
    head = need.ticks - tail
    if head < 2 * need.step or lick.target is None or need.chord.quality.family not in lick.serves:
        return
    if lick.root >= 0 and (root - need.chord.root_class) % 12 != (lick.target - lick.root) % 12:
        return
    # a slow song wants its tail behind a roll of few notes
    sparse = [r for r in rolls if len({n.at for n in r.notes}) * 8 <= 5 * r.steps]
    dense = [r for r in rolls if r not in sparse]
    for shift in shifts(lick, (root - lick.target) % 12, bench):
        moved = _move(lick, shift, need, bench)
        if moved is None or not moved[0] or moved[0][0].at or moved[2]:
            continue
        later = [replace(n, at=n.at + head) for n in moved[0]]
        rests = [(at + head, ticks) for at, ticks in moved[1]]
        for some in (dense, sparse):
            found: list[Candidate] = []
            for roll, shape in product(some, held):
                laid = _lay(roll, shape, need, bench, head)
                if laid is None or _same_finger(laid[0], later):
                    continue
                notes, pauses = laid[0] + later, laid[1] + rests
                found += _finished(lick, notes, pauses, need, bench, leads_to=root, tail=tail, base=roll.name)
                if sum(c.grip.fastest <= _FAST for c in found) >= _CARRIERS:
                    break
            # rolls that let the tail be played fast come first; where there are none, the fastest
            found.sort(key=lambda c: max(_FAST, c.grip.fastest))
            yield from found[:_CARRIERS]


def _same_finger(head: list[Note], tail: list[Note]) -> bool:
    """Whether the last stroke before a tail and its first are by one finger."""
    last = max((n.at for n in head), default=-1)
    first = tail[0].at
    return bool({n.pick for n in head if n.at == last} & {n.pick for n in tail if n.at == first} - {None})


def _finished(
    lick: Lick,
    notes: list[Note],
    rests: list[tuple[int, int]],
    need: Need,
    bench: Bench,
    part: tuple[int, int] = (1, 1),
    key: tuple[str, int] | None = None,
    leads_to: int | None = None,
    tail: int = 0,
    left_out: int = 0,
    base: str = "",
) -> Iterator[Candidate]:
    """The candidate, where a hand can play it at this speed."""
    if not notes:
        return
    notes.sort(key=lambda n: (n.at, -n.string))
    held = grip(notes, bench.instrument, bench.limits)
    if held.problem:
        return
    yield Candidate(
        lick.name,
        lick.role,
        part,
        key,
        tuple(notes),
        tuple(sorted(rests)),
        held,
        held.entry.position if held.entry else None,
        lick.difficulty,
        sum(n.how in ("hammer-on", "pull-off", "slide", "choke") for n in notes),
        leads_to,
        lick.tensions,
        tail,
        left_out,
        base or lick.name,
        lick.meters,
    )


def onsets_tile(notes: tuple[Note, ...], rests: tuple[tuple[int, int], ...], ticks: int) -> bool:
    """Whether onsets and rests tile a slot of so many ticks."""
    spans = sorted({(n.at, n.ticks) for n in notes} | set(rests))
    end = 0
    for at, length in spans:
        if at != end or length <= 0:
            return False
        end = at + length
    return end == ticks
