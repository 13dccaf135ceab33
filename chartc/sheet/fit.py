"""What is measured of a measure: its columns, how far apart they must stand, how high the signs are. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import attrgetter
from typing import NamedTuple

from chartc.chart.song import Measure
from chartc.sheet import halves, signs, style
from chartc.sheet.hand import Said
from chartc.sheet.label import Label
from chartc.sheet.pattern import Pattern, Spans, leasts_of, pattern, weights_of
from chartc.slots.part import FilledSlot, Note

TWO_DIGITS = 4.6
"""Between two numbers of two digits on one string: less, and they read as one of four, without a line between them."""

LETTERS = {"hammer-on": "h", "pull-off": "p", "slide": "s"}
"""What the fretting hand does, and the letter for it."""


@dataclass(slots=True, eq=False)
class Fit:
    """What is measured of a measure, wherever it will stand. It is never changed; that it could be makes it twice as fast to make.

    Columns are named by their ticks. `frets` has (column, string, fret) of each note, one after the other, in a column the highest
    string first; `hows` what is done at each of them, empty where none is joined or choked; `amounts` by how many semitones each choke
    rises. `picks` has (column, how many stand above, pick finger), `fingers` the fretting fingers:
    (column, how high above the lowest, letter). `names` are the chords' names, `raised` the ranges of raised characters in them; each is
    as wide as `label_widths` says and stands `label_lefts` to the left of its column; `hangs` tells that one reaches below its line.
    `ats` are the columns' ticks; `gaps` the least distances from one column to the next, the last one to the bar line; `weights` how the
    gaps share further room. `before` is what stands between the bar line and the music (meter, repeat), `lead` the least distance from
    there to the first column, `least` the least width of all. `rise` is how far the staff must lie beneath the letters above it, `foot`
    how far beneath it the stems reach, `stack` how high fingers stand above one another, `pick_rows` how many pick fingers do. `damped`
    are the columns of damped notes, `reaches` has (string, fret, how) of each string's first note where that is reached from another one
    before the measure.

    Its rows are plain values in plain tuples: Python's search for garbage passes over those, and there are many.
    """

    pattern: Pattern
    frets: tuple[int, ...]
    hows: tuple[str | None, ...]
    amounts: tuple[float, ...]
    picks: tuple[int | str, ...]
    fingers: tuple[int | float | str, ...]
    names: tuple[str, ...]
    raised: tuple[tuple[int, int], ...]
    hangs: bool
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
    reaches: tuple[tuple[int, int, str], ...]


class Last(NamedTuple):
    """The last note of a string: its column, its fret, whether it is choked, and how far its column reaches to both sides on that string
    and the one above."""

    at: int
    fret: int
    choked: bool
    half: float


def last_of(fit: Fit, string: int) -> Last | None:
    """The last note that a measure has on a string."""
    frets, hows = fit.frets, fit.hows
    for n in range(len(frets) - 3, -1, -3):
        if frets[n + 1] == string:
            at, fret = frets[n], frets[n + 2]
            half = halves.fret[fret]
            # slurs are drawn between a string and the one above
            if n and frets[n - 3] == at and frets[n - 2] == string - 1:
                half = max(half, halves.fret[frets[n - 1]])
            return Last(at, fret, bool(hows) and hows[n // 3] == "choke", half)
    return None


def fit_of(
    measure: Measure,
    labels: Sequence[Label],
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
    meter = measure.meter
    groups = _groups(slots)
    rhythm = pattern(_spans(measure, slots, groups), meter.count, meter.unit, measure.ticks, measure.pickup)
    ats, weights, leasts = rhythm.ats, rhythm.weights, rhythm.leasts
    further = [s.at for s in measure.stretches if s.at not in rhythm.rights]
    if further:
        ats = tuple(sorted({*ats, *further}))
        weights = weights_of(ats, measure.ticks)
        leasts = leasts_of(weights)
    fingers, stack, sides = _fingers(said)
    ink = _ink(ats, rhythm, groups, sides)
    left, right, joined, choked = ink.left, ink.right, ink.joined, ink.choked
    between = [1.5] * len(ats)
    for k, at in enumerate(ats) if joined or ink.crowded else ():
        if at in joined:
            # a slur's letter stands between its notes, beside the figure of a choke
            between[k - 1] = 10.5 if ats[k - 1] in choked else 7.2
        elif at in ink.crowded:
            between[k - 1] = TWO_DIGITS
    between[-1] = style.TAIL + close
    follows = [*left[1:], 0.0]
    gaps = [
        wide if (wide := mine + next_one + more) > least else least
        for mine, next_one, more, least in zip(right, follows, between, leasts, strict=True)
    ]
    starts = [ats.index(s.at) for s in measure.stretches]
    names, raised, hangs, label_widths = _named(labels)
    _room_for_chords(measure, starts, label_widths, gaps, left)
    lead = style.LEAD + left[0]
    before = (signs.meter_room(meter) if show_meter else 0.0) + (style.REPEAT_ROOM if repeat_start else 0.0)
    lack = words + 6 - (lead + sum(gaps)) if words else -1.0
    if lack > 0:
        total = sum(weights)
        gaps = [g + lack * w / total for g, w in zip(gaps, weights, strict=True)]
    slurred = ink.slurred
    return Fit(
        rhythm,
        tuple(ink.frets),
        tuple([n.how for at in ats for n in groups.get(at, ())]) if slurred or choked else (),
        tuple(ink.amounts),
        tuple(ink.picks),
        fingers,
        names,
        raised,
        hangs,
        label_widths,
        tuple([left[k] for k in starts]),
        ats,
        tuple(gaps),
        weights,
        before,
        lead,
        before + lead + sum(gaps),
        show_meter,
        repeat_start,
        repeat_end,
        11.0 if choked else 8.5 if 1 in slurred else 6.4 if slurred else 5.5,
        _stem_foot(rhythm, bool(ink.damped)),
        stack,
        ink.pick_rows,
        bool(slurred or choked),
        tuple(ink.damped),
        tuple(ink.reaches),
    )


def _groups(slots: tuple[FilledSlot, ...]) -> dict[int, list[Note]]:
    """The notes of each column, the highest string first."""
    out: dict[int, list[Note]] = {}
    group: list[Note] = []
    several: list[list[Note]] = []
    here = -1
    for slot in slots:
        for n in slot.notes:
            at = n.at
            if at != here:
                here = at
                if at not in out:
                    group = out[at] = [n]
                    continue
                group = out[at]
            group.append(n)
            if len(group) == 2:
                several.append(group)
    for group in several:
        group.sort(key=_string)
    return out


_string = attrgetter("string")


def _stem_foot(rhythm: Pattern, damped: bool) -> float:
    """How far beneath the staff the stems of a measure must reach, so that many beams keep clear of crosses and ties."""
    beams = rhythm.beams_most
    room = 11.3 if damped or rhythm.ties else 7.0
    return max(style.STEM_FOOT, room + style.BEAM * beams + 1.5 * (beams - 1), room + 4.3 + 2.6 * (beams - 1))


def _spans(measure: Measure, slots: tuple[FilledSlot, ...], notes: dict[int, list[Note]]) -> Spans:
    spans: list[int] = []
    for at, g in notes.items():
        spans += (at, g[0].ticks if len(g) == 1 else min([n.ticks for n in g]), 0)
    # where no slot is, the banjo is silent
    free = 0
    for slot in slots if len(slots) < 2 else sorted(slots, key=lambda s: s.at):
        for at, ticks in slot.rests:
            spans += (at, ticks, 1)
        if slot.at > free:
            spans += (free, slot.at - free, 1)
        free = max(free, slot.at + slot.ticks)
    if free < measure.ticks:
        spans += (free, measure.ticks - free, 1)
    return tuple(spans)


class _Ink:
    """What stands in the columns of a measure, and how far it reaches."""

    __slots__ = (
        "amounts", "choked", "crowded", "damped", "frets", "joined", "left", "pick_rows", "picks", "reaches", "right", "slurred",
    )  # fmt: skip

    def __init__(self) -> None:
        self.left: list[float] = []
        self.right: list[float] = []
        self.joined: set[int] = set()
        self.choked: set[int] = set()
        self.crowded: set[int] = set()
        self.slurred: set[int] = set()
        self.damped: list[int] = []
        self.frets: list[int] = []
        self.amounts: list[float] = []
        self.reaches: list[tuple[int, int, str]] = []
        self.picks: list[int | str] = []
        self.pick_rows = 0


def _ink(ats: tuple[int, ...], rhythm: Pattern, groups: dict[int, list[Note]], sides: dict[int, float]) -> _Ink:
    """The columns' ink: `joined` are the columns whose notes are joined to one before, `choked` and `damped` those of such notes,
    `slurred` the strings that have joined notes, `crowded` the columns in which a number of two digits follows another on its string.
    `sides` tells how far fretting fingers reach to both sides."""
    out = _Ink()
    frets, picks = out.frets, out.picks
    lefts, rights = rhythm.lefts, rhythm.rights
    fret_half, pick_half = halves.fret, halves.pick
    tall: dict[int, int] = {}
    before = -1
    for at in ats:
        left, right = lefts.get(at, 0.0), rights.get(at, 0.0)
        group = groups.get(at)
        wide = 3.4
        if group is not None:
            level = 0
            choke = slide = damped = False
            for n in group:
                string, fret, pick, how = n.string, n.fret, n.pick, n.how
                frets += (at, string, fret)
                side = fret_half[fret]
                if side > wide:
                    wide = side
                if fret > 9:
                    if tall.get(string) == before:
                        out.crowded.add(at)
                    tall[string] = at
                if pick is not None:
                    picks += (at, level, pick)
                    level += 1
                    side = pick_half[pick] + 0.3
                    if side > wide:
                        wide = side
                if how is not None:
                    choke = choke or how == "choke"
                    damped = damped or how == "damped"
                    if how == "choke":
                        out.amounts.append(n.amount)
                    if how in LETTERS:
                        if string not in frets[1:-3:3]:
                            out.reaches.append((string, fret, how))
                        out.slurred.add(string)
                        slide = slide or how == "slide"
                        out.joined.add(at)
            if at in sides and sides[at] > wide:
                wide = sides[at]
            if level > out.pick_rows:
                out.pick_rows = level
            if damped:
                out.damped.append(at)
            if slide:
                left = max(left, wide + 5.0)
            if choke:
                out.choked.add(at)
                right = wide + style.CHOKE_ROOM
        before = at
        out.left.append(left if left > wide else wide)
        out.right.append(right if right > wide else wide)
    return out


def _fingers(said: Said) -> tuple[tuple[int | float | str, ...], float, dict[int, float]]:
    """The fretting fingers of each column, lowest string first, how high they stand above one another at the most, and how far those of
    each column reach to both sides."""
    sides: dict[int, float] = {}
    if not said.fingers:
        return (), 0.0, sides
    out: list[int | float | str] = []
    column, high, below, most = -1, 0.0, "", 0.0
    half = halves.finger
    for (at, _), letter in sorted(said.fingers.items(), key=_lowest_first):
        side = half[letter] + 0.3
        if at != column:
            column, high = at, 0.0
            sides[at] = side
        else:
            # more where a tail hangs over a tall letter
            high += 9.4 if letter == "p" and below in "it" else 7.2
            if high > most:
                most = high
            if side > sides[at]:
                sides[at] = side
        out += (at, high, letter)
        below = letter
    return tuple(out), most, sides


def _lowest_first(finger: tuple[tuple[int, int], str]) -> int:
    (at, string), _ = finger
    return at * 8 - string


_Named = tuple[tuple[str, ...], tuple[tuple[int, int], ...], bool, tuple[float, ...]]
"""Names of chords: their words, the ranges of raised characters, whether one reaches below its line, how wide they are."""


def _named(labels: Sequence[Label]) -> _Named:
    if len(labels) == 1:
        return _one(labels[0])
    words, raised, hang, wide = zip(*map(_one, labels), strict=True) if labels else ((), (), (), ())
    return sum(words, ()), sum(raised, ()), any(hang), sum(wide, ())


@lru_cache(maxsize=4096)
def _one(label: Label) -> _Named:
    words = label.words
    return (words,), (label.raised,), "/" in words or "g" in words, (label.width(style.CHORD),)


def _room_for_chords(
    measure: Measure, starts: list[int], widths: tuple[float, ...], gaps: list[float], left: list[float]
) -> None:
    """Widens the gaps beneath a chord's name until the next name does not touch it; `starts` are the columns of the chords."""
    for n, (i, stretch) in enumerate(zip(starts, measure.stretches, strict=True)):
        last = n + 1 == len(starts)
        j = len(gaps) if last else starts[n + 1]
        room = sum(gaps[i:j]) + left[i] - (0.0 if last else left[j])
        lack = widths[n] + 5.0 - room
        # the rests of a pickup say it already
        if lack > 0 and (stretch.chord is not None or not measure.pickup):
            for k in range(i, j):
                gaps[k] += lack / (j - i)
