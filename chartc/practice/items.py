"""What is practised: a lick at one place on the neck over one chord, and how hard it is to go from one to the next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chartc.chart.song import Song
from chartc.licks.lick import REST, Lick
from chartc.licks.notation import STEP
from chartc.neck.hand import Grip
from chartc.neck.joint import IMPOSSIBLE, ends, meeting, problem, strain
from chartc.slots.candidate import Bench, Candidate, Maker, Need
from chartc.slots.problem import Problem, Solution
from chartc.slots.slot import step_of
from chartc.theory import pitch
from chartc.theory.chord import Chord, quality


@dataclass(frozen=True)
class Item:
    """A lick over a chord: one candidate, or two for the halves of a lick of two measures. `ticks` is the length of each."""

    chord: Chord
    ticks: int
    halves: tuple[Candidate, ...]

    @property
    def lick(self) -> str:
        """The lick's name."""
        return self.halves[0].lick

    @property
    def label(self) -> str:
        """The lick with its chord, as printed: `lock-gate over C`."""
        return f"{self.lick} over {self.chord.label}"

    @property
    def difficulty(self) -> int:
        """From 1 to 5."""
        return self.halves[0].difficulty

    @property
    def first(self) -> Grip:
        """The hands where the lick begins."""
        return self.halves[0].grip

    @property
    def last(self) -> Grip:
        """The hands where the lick ends."""
        return self.halves[-1].grip

    @property
    def stretch_mm(self) -> float:
        """The widest stretch of the fretting hand, in millimetres."""
        return max(c.grip.stretch_mm for c in self.halves)


@dataclass(frozen=True)
class SongJoin:
    """A join that a song has: where (`verse 4`), how often as played, and how hard it is."""

    before: int
    after: int
    places: tuple[str, ...]
    times: int
    hardness: int


@dataclass(frozen=True)
class Material:
    """What a drill is made from. `changes` are the changes of chord that are practised, None for any; `left_out` are
    licks that cannot be played, with the reason."""

    title: str
    song: Song
    maker: Maker
    ms_per_tick: float
    items: tuple[Item, ...]
    joins: tuple[SongJoin, ...] = ()
    changes: frozenset[tuple[Chord, Chord]] | None = None
    left_out: tuple[str, ...] = ()

    @property
    def bench(self) -> Bench:
        """Instrument, hands and library."""
        return self.maker.bench

    def why_not(self, a: Item, b: Item) -> str:
        """What no hand can do in a join, in words; empty where it can be played."""
        bench = self.bench
        return problem(a.last, b.first, a.ticks, 0, bench.instrument, bench.limits, self.ms_per_tick)

    def asked(self, a: Item, b: Item) -> bool:
        """Whether two licks may follow each other: over one chord, or over a change of chord that is practised; what leads to a chord
        goes nowhere else."""
        lead = a.halves[-1].leads_to
        if lead is not None and lead != b.chord.root_class:
            return False
        return a.chord == b.chord or self.changes is None or (a.chord, b.chord) in self.changes

    def hardness(self, a: Item, b: Item) -> int:
        """How hard a join is, from 0; the weights are ours: 100 for both hands at the limit of the tempo, 6 a fret of shift, 5 for each
        step of either lick's difficulty above the first, 8 for a change of chord."""
        bench = self.bench
        met = meeting(ends([a.last]), ends([b.first]), a.ticks, bench.instrument, bench.limits)
        tight = float(max(strain(met, bench.limits, self.ms_per_tick)[1], default=0.0))
        out = 100.0 if tight == IMPOSSIBLE else 100 * tight
        if a.last.exit and b.first.entry:
            out += 6 * min(12, abs(a.last.exit.position - b.first.entry.position))
        out += 5 * (a.difficulty + b.difficulty - 2) + (8 if a.chord != b.chord else 0)
        return round(out)


def of_song(filled: Problem, solution: Solution, resting: frozenset[str] = frozenset()) -> Material:
    """The licks and joins that a filled song uses; resting licks are left alone."""
    slots = filled.plan.slots
    merged: dict[int, Item] = {}
    for n, (slot, c) in enumerate(zip(slots, solution.chosen, strict=True)):
        if c.role == REST or c.lick in resting:
            continue
        if c.part == (1, 2):
            merged[n] = merged[n + 1] = Item(slot.chord, slot.ticks, (c, solution.chosen[n + 1]))
        elif c.part == (1, 1):
            merged[n] = Item(slot.chord, slot.ticks, (c,))
    numbers: dict[Item, int] = {}
    index = {n: numbers.setdefault(item, len(numbers)) for n, item in merged.items()}
    items = tuple(numbers)
    found: dict[tuple[int, int], tuple[list[str], int]] = {}
    changes: set[tuple[Chord, Chord]] = set()
    for f in filled.plan.follows:
        changes.add((slots[f.before].chord, slots[f.after].chord))
        if f.gap or f.before not in index or f.after not in index:
            continue
        a, b = index[f.before], index[f.after]
        inside = solution.chosen[f.after].part == (2, 2) or solution.chosen[f.before].part == (1, 2)
        if inside or (a == b and items[a].halves[0].role in ("roll", "vamp")):
            continue
        slot = slots[f.before]
        section = filled.song.sections[slot.section]
        places, times = found.get((a, b), ([], 0))
        found[a, b] = ([*places, f"{section.label} {section.measures[slot.measure].number}"], times + f.times)
    material = Material(filled.song.title, filled.song, filled.maker, filled.ms_per_tick, items, (), frozenset(changes))
    joins = [
        SongJoin(a, b, tuple(places), times, material.hardness(items[a], items[b]))
        for (a, b), (places, times) in found.items()
    ]
    joins.sort(key=lambda j: (-j.hardness, -j.times, j.before, j.after))
    return replace(material, joins=tuple(joins))


def of_licks(licks: Sequence[Lick], song: Song, maker: Maker, fifths: int = 0) -> Material:
    """Licks of the library, each over the chord that it is written over (G for one that goes over any), moved along the line of
    fifths. `song` says meter and tempo. What cannot be played there is left out, with the reason."""
    items: list[Item] = []
    left: list[str] = []
    for lick in licks:
        chord = chord_of(lick).moved(fifths)
        item, why = place(lick, chord, song, maker, fifths)
        if item is None:
            left.append(f"{lick.name} over {chord.label}: {why}")
        else:
            items.append(item)
    return Material(song.title, song, maker, song.tempo.milliseconds(1), tuple(items), (), None, tuple(left))


_FAMILY_SUFFIX = {
    "seventh": "7",
    "minor": "m",
    "diminished": "dim",
    "augmented": "aug",
    "suspended": "sus4",
    "power": "5",
}
_SPELLED = {pitch.pitch_class(t): t for t in range(-5, 7)}


def chord_of(lick: Lick) -> Chord:
    """The chord that a lick is written over: major where it serves a major chord; G where it goes over any."""
    suffix = ""
    if not lick.pattern and "major" not in lick.serves:
        family = sorted(lick.serves)[0]
        suffix = _FAMILY_SUFFIX.get(family, "m7b5")
    kind = quality(suffix)
    assert kind is not None
    if lick.root < 0 and lick.target is not None:
        # a lead-in from any chord is practised from the fifth above the one it lands on
        return Chord(_SPELLED[(lick.target + 7) % 12], kind)
    return Chord(_SPELLED[lick.root if lick.root >= 0 else 7], kind)


def place(lick: Lick, chord: Chord, song: Song, maker: Maker, fifths: int = 0) -> tuple[Item | None, str]:
    """A lick over a chord where it lies easiest: the least stretch beyond comfort, then the lowest place. None and the reason where
    it cannot be played."""
    meter, speed = song.meter, song.tempo.milliseconds(1)
    ticks = meter.ticks
    step = step_of(meter, ticks)
    length = lick.ticks * step // STEP
    if chord.quality.family not in lick.serves:
        return None, "it is not for a chord of that kind"
    if lick.compound != meter.compound:
        return None, f"it is not for {meter.label}"
    if lick.pattern or lick.role == "lead-in" or length == ticks:
        halves: frozenset[int] = frozenset()
    elif length == 2 * ticks:
        halves = frozenset({1, 2})
    else:
        return None, f"its {lick.steps} eighths do not fill measures of {meter.label}"
    roots = () if lick.target is None else ((lick.target + 7 * fifths) % 12,)
    need = Need(chord, ticks, step, meter.compound)
    named = [c for c in maker.candidates(need, roots, halves) if c.lick == lick.name]
    found: list[Item] = [Item(chord, ticks, (c,)) for c in named if c.part == (1, 1)]
    found += [
        Item(chord, ticks, (a, b))
        for a in named
        for b in named
        if a.part == (1, 2) and b.part == (2, 2) and a.key == b.key
    ]
    if not found:
        return None, "it has no place on the neck there"
    fast = [i for i in found if not any(c.grip.problem_at(speed) for c in i.halves)]
    if not fast:
        return None, next(why for c in found[0].halves for why in [c.grip.problem_at(speed)] if why)
    easy = maker.bench.limits.comfortable_mm
    return min(fast, key=lambda i: (max(0.0, i.stretch_mm - easy), i.halves[0].position or 0)), ""


@dataclass(frozen=True)
class Wide:
    """A stretch wider than is comfortable, with what may be played instead."""

    item: Item
    instead: Item | None

    @property
    def words(self) -> str:
        """As printed on the drill."""
        said = f"{self.item.label} stretches {self.item.stretch_mm:.0f} mm"
        if self.instead is None:
            return f"{said}; leave it out if it is too wide"
        where = f" at fret {self.instead.halves[0].position}" if self.instead.halves[0].position else ""
        mm = f"{self.instead.stretch_mm:.0f} mm" if self.instead.stretch_mm >= 1 else "no stretch"
        return f"{said}; smaller: {self.instead.lick}{where} ({mm})"


def wide(material: Material) -> tuple[Wide, ...]:
    """The items with a stretch beyond comfort: with the same lick where its stretch is smaller, else the nearest other lick of its
    role, first by difficulty."""
    out = []
    maker, meter = material.maker, material.song.meter
    most = maker.bench.limits.comfortable_mm
    for item in material.items:
        if item.stretch_mm <= most:
            continue
        c = item.halves[0]
        need = Need(item.chord, item.ticks, step_of(meter, item.ticks), meter.compound)
        others = [
            Item(item.chord, item.ticks, (other,))
            for other in maker.candidates(need, () if c.leads_to is None else (c.leads_to,))
            if other.role == c.role
            and other.notes
            and other.grip.stretch_mm <= most
            and not other.grip.problem_at(material.ms_per_tick)
        ]
        others.sort(key=lambda o: (o.lick != item.lick, abs(o.difficulty - item.difficulty), o.stretch_mm, o.lick))
        out.append(Wide(item, others[0] if others else None))
    return tuple(out)
