"""What is measured of a measure: its columns, how far apart they must stand, how high the signs are. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import attrgetter

from chartc.chart.song import Measure
from chartc.sheet import halves, signs, style
from chartc.sheet.hand import Said
from chartc.sheet.label import Label
from chartc.sheet.pattern import Pattern, Spans, pattern, weights_of
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
    rises; `lasts` the last note of each string. `picks` has (column, how many stand above, pick finger), `fingers` the fretting fingers:
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
    lasts: tuple[Last, ...]
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


Last = tuple[int, int, int, bool, float]
"""The last note of a string: string, column, fret, whether it is choked, and how far its column reaches to both sides on that string
and the one above."""


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
    groups: dict[int, list[Note]] = {}
    for slot in slots:
        for n in slot.notes:
            if n.at in groups:
                group = groups[n.at]
                group.append(n)
                group.sort(key=_string)
            else:
                groups[n.at] = [n]
    rhythm = pattern(_spans(measure, slots, groups), meter.count, meter.unit, measure.ticks, measure.pickup)
    ats, weights = rhythm.ats, rhythm.weights
    further = [s.at for s in measure.stretches if s.at not in rhythm.rights]
    if further:
        ats = tuple(sorted({*ats, *further}))
        weights = weights_of(ats, measure.ticks)
    ink = _ink(ats, rhythm, groups, said.fingers)
    left, right, joined, choked = ink.left, ink.right, ink.joined, ink.choked
    # a slur's letter stands between its notes, beside the figure of a choke
    between = [1.5 if end not in joined else 10.5 if at in choked else 7.2 for at, end in pairwise(ats)]
    if ink.crowded:
        between = [
            max(gap, TWO_DIGITS) if end in ink.crowded else gap for gap, end in zip(between, ats[1:], strict=True)
        ]
    between.append(style.TAIL + close)
    follows = [*left[1:], 0.0]
    gaps = [
        max(mine + next_one + more, 11.0 * weight, 8.0)
        for mine, next_one, more, weight in zip(right, follows, between, weights, strict=True)
    ]
    label_widths = tuple([label.width(style.CHORD) for label in labels])
    _room_for_chords(measure, label_widths, ats, gaps, left)
    lead = style.LEAD + left[0]
    before = (signs.meter_room(meter) if show_meter else 0.0) + (style.REPEAT_ROOM if repeat_start else 0.0)
    lack = words + 6 - (lead + sum(gaps)) if words else -1.0
    if lack > 0:
        total = sum(weights)
        gaps = [g + lack * w / total for g, w in zip(gaps, weights, strict=True)]
    fingers, stack = _fingers(said)
    slurred = ink.slurred
    return Fit(
        rhythm,
        tuple(ink.frets),
        tuple([n.how for at in ats for n in groups.get(at, ())]) if slurred or choked else (),
        tuple(ink.amounts),
        tuple(ink.lasts.values()),
        tuple(ink.picks),
        fingers,
        tuple([label.words for label in labels]),
        tuple([label.raised for label in labels]),
        any("/" in label.words or "g" in label.words for label in labels),
        label_widths,
        tuple([left[ats.index(s.at)] for s in measure.stretches]),
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


_string = attrgetter("string")


def _stem_foot(rhythm: Pattern, damped: bool) -> float:
    """How far beneath the staff the stems of a measure must reach, so that many beams keep clear of crosses and ties."""
    beams = rhythm.beams_most
    room = 11.3 if damped or rhythm.ties else 7.0
    return max(style.STEM_FOOT, room + style.BEAM * beams + 1.5 * (beams - 1), room + 4.3 + 2.6 * (beams - 1))


def _spans(measure: Measure, slots: tuple[FilledSlot, ...], notes: dict[int, list[Note]]) -> Spans:
    spans: list[int] = []
    for at, g in notes.items():
        spans += (at, g[0].ticks if len(g) == 1 else min([n.ticks for n in g]), False)
    # where no slot is, the banjo is silent
    free = 0
    for slot in slots if len(slots) < 2 else sorted(slots, key=lambda s: s.at):
        for at, ticks in slot.rests:
            spans += (at, ticks, True)
        if slot.at > free:
            spans += (free, slot.at - free, True)
        free = max(free, slot.at + slot.ticks)
    if free < measure.ticks:
        spans += (free, measure.ticks - free, True)
    return tuple(spans)


class _Ink:
    """What stands in the columns of a measure, and how far it reaches."""

    __slots__ = (
        "amounts", "choked", "crowded", "damped", "frets", "joined", "lasts", "left", "pick_rows", "picks", "reaches", "right", "slurred",
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
        self.lasts: dict[int, Last] = {}
        self.reaches: list[tuple[int, int, str]] = []
        self.picks: list[int | str] = []
        self.pick_rows = 0


def _ink(
    ats: tuple[int, ...], rhythm: Pattern, groups: dict[int, list[Note]], fingers: dict[tuple[int, int], str]
) -> _Ink:
    """The columns' ink: `joined` are the columns whose notes are joined to one before, `choked` and `damped` those of such notes,
    `slurred` the strings that have joined notes, `crowded` the columns in which a number of two digits follows another on its string."""
    out = _Ink()
    frets, picks, lasts = out.frets, out.picks, out.lasts
    lefts, rights = rhythm.lefts, rhythm.rights
    fret_half, pick_half, finger_half = halves.fret, halves.pick, halves.finger
    tall: dict[int, int] = {}
    before = -1
    for at in ats:
        left, right = lefts.get(at, 0.0), rights.get(at, 0.0)
        group = groups.get(at)
        wide = 3.4
        if group is not None:
            level = 0
            choke = slide = damped = False
            above, half = 0, 0.0
            for n in group:
                string, fret, pick, how = n.string, n.fret, n.pick, n.how
                frets += (at, string, fret)
                one = fret_half[fret]
                if one > wide:
                    wide = one
                if fret > 9:
                    if tall.get(string) == before:
                        out.crowded.add(at)
                    tall[string] = at
                if pick:
                    picks += (at, level, pick)
                    level += 1
                    side = pick_half[pick] + 0.3
                    if side > wide:
                        wide = side
                if fingers:
                    finger = fingers.get((at, string))
                    if finger is not None:
                        side = finger_half[finger] + 0.3
                        if side > wide:
                            wide = side
                if how is not None:
                    choke = choke or how == "choke"
                    damped = damped or how == "damped"
                    if how == "choke":
                        out.amounts.append(n.amount)
                    if how in LETTERS:
                        if string not in lasts:
                            out.reaches.append((string, fret, how))
                        out.slurred.add(string)
                        slide = slide or how == "slide"
                        out.joined.add(at)
                # slurs are drawn between a string and the one above
                both = half if above == string - 1 and half > one else one
                lasts[string] = (string, at, fret, how == "choke", both)
                above, half = string, one
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


def _fingers(said: Said) -> tuple[tuple[int | float | str, ...], float]:
    """The fretting fingers of each column, lowest string first, and how high they stand above one another at the most."""
    if not said.fingers:
        return (), 0.0
    out: list[int | float | str] = []
    column, high, below, most = -1, 0.0, "", 0.0
    for at, _, letter in sorted([(at, -string, letter) for (at, string), letter in said.fingers.items()]):
        if at != column:
            column, high = at, 0.0
        else:
            # more where a tail hangs over a tall letter
            high += 9.4 if letter == "p" and below in "it" else 7.2
            most = max(most, high)
        out += (at, high, letter)
        below = letter
    return tuple(out), most


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
