"""What measures that are played alike have in common: columns, how far apart they must stand, how high the signs are. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from operator import attrgetter

from chartc.chart.song import Measure
from chartc.sheet import halves, signs, style
from chartc.sheet.hand import Said
from chartc.sheet.label import Label
from chartc.sheet.pattern import Pattern, Spans, pattern
from chartc.slots.part import FilledSlot, Note

LETTERS = {"hammer-on": "h", "pull-off": "p", "slide": "s"}
"""What the fretting hand does, and the letter for it."""


@dataclass(slots=True, eq=False)
class Fit:
    """What measures that are played alike have in common. It is never changed; that it could be makes it twice as fast to make.

    Columns are named by their ticks. `notes` stand in order, in a column the highest string first; `frets` has (column, string, fret)
    of each, one after the other, `picks` (column, how many stand above, pick finger), `fingers` the fretting fingers: (column, how high
    above the lowest, letter). `labels` are the chords' names, each
    `label_lefts` to the left of its column. `ats` are the columns' ticks; `gaps` the least distances from one column to the next, the last one to the bar line; `weights` how the gaps share further
    room. `before` is what stands between the bar line and the music (meter,
    repeat), `lead` the least distance from there to the first column, `least` the least width of all. `rise` is how far the staff must
    lie beneath the letters above it, `foot` how far beneath it the stems reach, `stack` how high fingers stand above one another,
    `pick_rows` how many pick fingers do. `damped` are the columns of damped notes, `reaches` the
    strings whose first note is reached from another one before the measure.
    """

    pattern: Pattern
    notes: tuple[Note, ...]
    frets: tuple[int, ...]
    picks: tuple[int | str, ...]
    fingers: tuple[int | float | str, ...]
    labels: tuple[Label, ...]
    label_widths: tuple[float, ...]
    label_lefts: tuple[float, ...]
    ats: tuple[int, ...]
    gaps: tuple[float, ...]
    weights: tuple[float, ...]
    before: float
    lead: float
    least: float
    show_meter: bool
    repeat_start: bool
    repeat_end: bool
    rise: float
    foot: float
    stack: float
    pick_rows: int
    techniques: bool
    damped: tuple[int, ...]
    reaches: tuple[int, ...]


def fit_of(
    measure: Measure,
    labels: tuple[Label, ...],
    slots: tuple[FilledSlot, ...],
    said: Said,
    words: float,
    close: float,
    show_meter: bool,
    repeat_start: bool,
    repeat_end: bool,
) -> Fit:
    """The fit of a measure: `labels` are its chords' names, `words` the width of its cue words, `close` what a double bar or a repeat takes
    at its end."""
    groups: dict[int, list[Note]] = {}
    for slot in slots:
        for n in slot.notes:
            group = groups.get(n.at)
            if group is None:
                groups[n.at] = [n]
            else:
                group.append(n)
                group.sort(key=_string)
    rhythm = pattern(_spans(measure, slots, groups), measure.meter, measure.ticks, measure.pickup)
    ats = tuple(sorted({0, *rhythm.reach, *[s.at for s in measure.stretches]}))
    ink = _ink(ats, rhythm, groups, said.fingers)
    left, right, joined, choked = ink.left, ink.right, ink.joined, ink.choked
    gaps, weights = [], []
    last = len(ats) - 1
    for i, at in enumerate(ats):
        end = measure.ticks if i == last else ats[i + 1]
        weight = _weight(end - at)
        if i < last:
            # a slur's letter stands between its notes, beside the figure of a choke
            need = right[i] + left[i + 1] + (1.5 if end not in joined else 10.5 if at in choked else 7.2)
        else:
            need = right[i] + style.TAIL + close
        gaps.append(max(need, 11.0 * weight, 8.0))
        weights.append(weight)
    label_widths = tuple([label.width(style.CHORD) for label in labels])
    _room_for_chords(measure, label_widths, ats, gaps, left)
    lead = style.LEAD + left[0]
    before = (signs.meter_room(measure.meter) if show_meter else 0.0) + (style.REPEAT_ROOM if repeat_start else 0.0)
    lack = words + 6 - (lead + sum(gaps)) if words else -1.0
    if lack > 0:
        total = sum(weights)
        gaps = [g + lack * w / total for g, w in zip(gaps, weights, strict=True)]
    fingers, stack = _fingers(said)
    slurred = ink.slurred
    return Fit(
        rhythm,
        tuple(ink.notes),
        tuple(ink.frets),
        tuple(ink.picks),
        fingers,
        labels,
        label_widths,
        tuple([left[ats.index(s.at)] for s in measure.stretches]),
        ats,
        tuple(gaps),
        tuple(weights),
        before,
        lead,
        before + lead + sum(gaps),
        show_meter,
        repeat_start,
        repeat_end,
        11.0 if choked else 8.0 if 1 in slurred else 6.4 if slurred else 5.5,
        _stem_foot(rhythm, bool(ink.damped)),
        stack,
        ink.pick_rows,
        bool(slurred or choked),
        tuple(ink.damped),
        _reached(ink.notes) if slurred else (),
    )


_string = attrgetter("string")


@cache
def _weight(ticks: int) -> float:
    """How much of a row's further room a length gets."""
    return float(max(0.3, (ticks / 240) ** 0.6))


def _stem_foot(rhythm: Pattern, damped: bool) -> float:
    """How far beneath the staff the stems of a measure must reach, so that many beams keep clear of crosses and ties."""
    beams = rhythm.beams_most
    room = 11.3 if damped or rhythm.ties else 7.0
    return max(style.STEM_FOOT, room + style.BEAM * beams + 1.5 * (beams - 1), room + 4.3 + 2.6 * (beams - 1))


def _reached(notes: Sequence[Note]) -> tuple[int, ...]:
    """The strings whose first note is reached from another one."""
    firsts: dict[int, Note] = {}
    for n in notes:
        firsts.setdefault(n.string, n)
    return tuple([string for string, n in firsts.items() if n.how in LETTERS])


@lru_cache(maxsize=256)
def by_column(fit: Fit) -> dict[int, tuple[Note, ...]]:
    """The notes of each column, highest string first."""
    out: dict[int, tuple[Note, ...]] = {}
    for n in fit.notes:
        out[n.at] = (*out.get(n.at, ()), n)
    return out


@lru_cache(maxsize=256)
def last_notes(fit: Fit) -> tuple[tuple[Note, float], ...]:
    """The last note of each string, and how far its column reaches to both sides on that string and the one above."""
    lasts = {}
    for group in by_column(fit).values():
        for n in group:
            lasts[n.string] = (n, half_beside(group, n.string))
    return tuple(lasts.values())


def half_beside(notes: tuple[Note, ...], string: int) -> float:
    """Half the width of the widest number of a column on a string and the one above it, between which slurs are drawn."""
    return max([halves.fret[n.fret] for n in notes if n.string in (string, string - 1)])


def _spans(measure: Measure, slots: tuple[FilledSlot, ...], notes: dict[int, list[Note]]) -> Spans:
    spans = [(at, g[0].ticks if len(g) == 1 else min([n.ticks for n in g]), False) for at, g in notes.items()]
    # where no slot is, the banjo is silent
    free = 0
    for slot in slots if len(slots) < 2 else sorted(slots, key=lambda s: s.at):
        if slot.rests:
            spans += [(at, ticks, True) for at, ticks in slot.rests]
        if slot.at > free:
            spans.append((free, slot.at - free, True))
        free = max(free, slot.at + slot.ticks)
    if free < measure.ticks:
        spans.append((free, measure.ticks - free, True))
    return tuple(spans)


class _Ink:
    """What stands in the columns of a measure, and how far it reaches."""

    __slots__ = ("choked", "damped", "frets", "joined", "left", "notes", "pick_rows", "picks", "right", "slurred")

    def __init__(self) -> None:
        self.left: list[float] = []
        self.right: list[float] = []
        self.joined: set[int] = set()
        self.choked: set[int] = set()
        self.slurred: set[int] = set()
        self.damped: list[int] = []
        self.notes: list[Note] = []
        self.frets: list[int] = []
        self.picks: list[int | str] = []
        self.pick_rows = 0


def _ink(
    ats: tuple[int, ...], rhythm: Pattern, groups: dict[int, list[Note]], fingers: dict[tuple[int, int], str]
) -> _Ink:
    """The columns' ink: `joined` are the columns whose notes are joined to one before, `choked` and `damped` those of such notes,
    `slurred` the strings that have joined notes."""
    out = _Ink()
    notes, frets, picks = out.notes, out.frets, out.picks
    fret_half, pick_half, finger_half = halves.fret, halves.pick, halves.finger
    for at in ats:
        left, right = rhythm.reach.get(at, NO_REACH)
        group = groups.get(at)
        wide = 3.4
        if group is not None:
            level = 0
            choke = slide = damped = False
            for n in group:
                string, fret, pick = n.string, n.fret, n.pick
                notes.append(n)
                frets += (at, string, fret)
                one = fret_half[fret]
                if one > wide:
                    wide = one
                if pick:
                    picks += (at, level, pick)
                    level += 1
                    one = pick_half[pick] + 0.3
                    if one > wide:
                        wide = one
                if fingers:
                    finger = fingers.get((at, string))
                    if finger is not None:
                        one = finger_half[finger] + 0.3
                        if one > wide:
                            wide = one
                how = n.how
                if how is not None:
                    choke = choke or how == "choke"
                    damped = damped or how == "damped"
                    if how in LETTERS:
                        out.slurred.add(string)
                        slide = slide or how == "slide"
                        out.joined.add(at)
            if level > out.pick_rows:
                out.pick_rows = level
            if damped:
                out.damped.append(at)
            if slide:
                left = max(left, wide + 5.0)
            if choke:
                out.choked.add(at)
                right = wide + style.CHOKE_ROOM
        out.left.append(left if left > wide else wide)
        out.right.append(right if right > wide else wide)
    return out


NO_REACH = (0.0, 0.0)


def _fingers(said: Said) -> tuple[tuple[int | float | str, ...], float]:
    """The fretting fingers of each column, lowest string first, and how high they stand above one another at the most."""
    if not said.fingers:
        return (), 0.0
    out: list[int | float | str] = []
    column, high, below, most = -1, 0.0, "", 0.0
    for (at, _), letter in sorted(said.fingers.items(), key=_upwards):
        if at != column:
            column, high = at, 0.0
        else:
            # more where a tail hangs over a tall letter
            high += 9.4 if letter == "p" and below in "it" else 7.2
            most = max(most, high)
        out += (at, high, letter)
        below = letter
    return tuple(out), most


def _upwards(finger: tuple[tuple[int, int], str]) -> tuple[int, int]:
    (at, string), _ = finger
    return at, -string


def _room_for_chords(
    measure: Measure, widths: tuple[float, ...], ats: tuple[int, ...], gaps: list[float], left: list[float]
) -> None:
    """Widens the gaps beneath a chord's name until the next name does not touch it."""
    starts = [ats.index(s.at) for s in measure.stretches]
    for n, (i, stretch) in enumerate(zip(starts, measure.stretches, strict=True)):
        last = n + 1 == len(starts)
        j = len(ats) if last else starts[n + 1]
        room = sum(gaps[i:j]) + left[i] - (0.0 if last else left[j])
        silent = stretch.chord is None and measure.pickup
        lack = 0.0 if silent else widths[n] + 5.0 - room
        if lack > 0:
            for k in range(i, j):
                gaps[k] += lack / (j - i)
