"""A measure measured: its columns, how far apart they must stand, and how a row's width is shared out. Lengths in points."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from chartc.chart.song import Measure
from chartc.sheet import rhythm, signs, style
from chartc.sheet.hand import Said
from chartc.sheet.label import by_letter
from chartc.sheet.rhythm import Piece
from chartc.slots.part import FilledSlot, Note
from chartc.type.faces import width, wrap

WORDS_ROOM = 150.0
"""Cue words are wrapped rather than make a measure wider than this."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A measure ready to be placed.

    `ats` are the columns' ticks; `left` and `right` how far each column's ink reaches; `gaps` the least distances from one
    column to the next, the last one to the bar line; `weights` how the gaps share further room. `before` is what stands
    between the bar line and the music (meter, repeat), `lead` the least distance from there to the first column.
    """

    measure: Measure
    pieces: tuple[Piece, ...]
    notes: dict[int, tuple[Note, ...]]
    said: Said
    ats: tuple[int, ...]
    left: tuple[float, ...]
    right: tuple[float, ...]
    gaps: tuple[float, ...]
    weights: tuple[float, ...]
    before: float
    lead: float
    show_meter: bool
    repeat_start: bool
    repeat_end: bool

    @property
    def least(self) -> float:
        """The least width."""
        return self.before + self.lead + sum(self.gaps)

    def columns(self, x: float, room: float) -> dict[int, float]:
        """The x of every column in a measure that starts at `x` and is `room` wide; the measure's end is a column too."""
        out: dict[int, float] = {}
        place = x + self.before + self.lead
        inner = room - self.before - self.lead
        step = level(self.gaps, self.weights, inner)
        # a measure squeezed below its least width keeps its proportions
        squeeze = min(1.0, inner / sum(self.gaps))
        for at, gap, weight in zip(self.ats, self.gaps, self.weights, strict=True):
            out[at] = place
            place += max(gap * squeeze, step * weight)
        out[self.measure.ticks] = x + room
        return out


def level(gaps: Sequence[float], weights: Sequence[float], room: float) -> float:
    """The step such that gaps of at least `step` times their weight fill the room: what is narrow grows first, so that notes of
    one length stand evenly. 0 where the room is too small."""
    rest = room - sum(gaps)
    if rest <= 0:
        return 0.0
    # gaps join, narrowest for its weight first, as long as the step reaches them
    step = weight = room_used = 0.0
    for ratio, g, w in sorted((g / w, g, w) for g, w in zip(gaps, weights, strict=True)):
        if weight and ratio * weight - room_used > rest:
            break
        weight += w
        room_used += g
        step = (rest + room_used) / weight
    return step


def place_of(tick: int, columns: dict[int, float]) -> float:
    """The x of a tick that may lie between two columns."""
    if tick in columns:
        return columns[tick]
    ats = list(columns)
    n = bisect_right(ats, tick)
    if n == 0 or n == len(ats):
        return columns[ats[min(n, len(ats) - 1)]]
    a, b = ats[n - 1], ats[n]
    return columns[a] + (columns[b] - columns[a]) * (tick - a) / (b - a)


def measured(
    measure: Measure,
    slots: tuple[FilledSlot, ...],
    said: Said,
    show_meter: bool,
    repeat_start: bool,
    repeat_end: bool,
    closes: bool = False,
) -> Measured:
    """Measures one measure; `closes` tells that its section ends with it."""
    notes: dict[int, tuple[Note, ...]] = {}
    for slot in slots:
        for n in slot.notes:
            notes[n.at] = tuple(sorted((*notes.get(n.at, ()), n), key=lambda n: n.string))
    row = _pieces(measure, slots, notes)
    ats = tuple(sorted({0} | {p.at for p in row} | {s.at for s in measure.stretches}))
    at_piece = {p.at: p for p in row}
    left, right = [], []
    for at in ats:
        reach = _reach(at_piece.get(at), notes.get(at, ()), at, said)
        left.append(reach[0])
        right.append(reach[1])
    joined = {n.at for group in notes.values() for n in group if n.how in ("hammer-on", "pull-off", "slide")}
    choked = {n.at for group in notes.values() for n in group if n.how == "choke"}
    ends = (*ats[1:], measure.ticks)
    gaps, weights = [], []
    for i, (at, end) in enumerate(zip(ats, ends, strict=True)):
        weight = max(0.3, ((end - at) / 240) ** 0.6)
        if i + 1 < len(ats):
            # a slur's letter stands between its notes, beside the figure of a choke
            need = right[i] + left[i + 1] + (1.5 if end not in joined else 10.5 if at in choked else 7.2)
        else:
            need = right[i] + style.TAIL + (style.REPEAT_ROOM if repeat_end else style.CLOSE_ROOM if closes else 0.0)
        gaps.append(max(need, 11.0 * weight, 8.0))
        weights.append(weight)
    _room_for_chords(measure, ats, gaps, left)
    lead = style.LEAD + left[0]
    before = (signs.meter_room(measure.meter) if show_meter else 0.0) + (style.REPEAT_ROOM if repeat_start else 0.0)
    words = _words_width(measure.words)
    lack = words + 6 - (lead + sum(gaps))
    if lack > 0:
        total = sum(weights)
        gaps = [g + lack * w / total for g, w in zip(gaps, weights, strict=True)]
    return Measured(
        measure,
        row,
        notes,
        said,
        ats,
        tuple(left),
        tuple(right),
        tuple(gaps),
        tuple(weights),
        before,
        lead,
        show_meter,
        repeat_start,
        repeat_end,
    )


def _words_width(text: str) -> float:
    """Room for the cue words: all of them where they are few, else enough for two or three lines."""
    full = width(text, "italic", style.WORDS)
    if not full:
        return 0.0
    longest = max(width(w, "italic", style.WORDS) for w in text.split())
    return max(min(longest, WORDS_ROOM), min(full, 85.0))


def word_lines(text: str, room: float) -> tuple[str, ...]:
    """Cue words as they stand beneath a measure `room` points wide."""
    return wrap(text, "italic", style.WORDS, room - 5) if text else ()


def _pieces(measure: Measure, slots: tuple[FilledSlot, ...], notes: dict[int, tuple[Note, ...]]) -> tuple[Piece, ...]:
    offset = measure.meter.ticks - measure.ticks if measure.pickup else 0
    beat = measure.meter.beat
    spans = [(at, min(n.ticks for n in group), False) for at, group in notes.items()]
    spans += [(at, ticks, True) for slot in slots for at, ticks in slot.rests]
    # where no slot is, the banjo is silent
    free = 0
    for slot in sorted(slots, key=lambda s: s.at):
        if slot.at > free:
            spans.append((free, slot.at - free, True))
        free = max(free, slot.at + slot.ticks)
    if free < measure.ticks:
        spans.append((free, measure.ticks - free, True))
    out: list[Piece] = []
    for at, ticks, rest in sorted(spans):
        if rest and at == 0 and ticks == measure.ticks and not measure.pickup:
            out.append(Piece(0, ticks, rhythm.Value(0), True))  # a whole rest fills any measure
        else:
            out += rhythm.pieces(at, ticks, beat, offset, rest)
    return tuple(out)


def _reach(piece: Piece | None, notes: tuple[Note, ...], at: int, said: Said) -> tuple[float, float]:
    half = 3.4
    for n in notes:
        half = max(half, width(str(n.fret), "bold", style.FRET) / 2)
        if (at, n.string) in said.fingers:
            half = max(half, width(said.fingers[at, n.string], "italic", style.FINGER) / 2 + 0.3)
        if n.pick:
            half = max(half, width(n.pick, "regular", style.PICK) / 2 + 0.3)
    left = right = half
    if piece is not None:
        if piece.value.dots:
            right = max(right, 6.6)
        if piece.rest:
            left, right = max(left, 4.5 + 1.5 * max(0, piece.value.order - 3)), max(right, 4.5 + 2.5 * piece.value.dots)
        elif piece.value.beams:
            right = max(right, 5.2)
    if any(n.how == "choke" for n in notes):
        right = half + style.CHOKE_ROOM
    if any(n.how == "slide" for n in notes):
        left = max(left, half + 5.0)
    return left, right


def _room_for_chords(measure: Measure, ats: tuple[int, ...], gaps: list[float], left: list[float]) -> None:
    """Widens the gaps beneath a chord's name until the next name does not touch it."""
    starts = [ats.index(s.at) for s in measure.stretches]
    for n, (i, stretch) in enumerate(zip(starts, measure.stretches, strict=True)):
        last = n + 1 == len(starts)
        j = len(ats) if last else starts[n + 1]
        room = sum(gaps[i:j]) + left[i] - (0.0 if last else left[j])
        silent = stretch.chord is None and measure.pickup
        lack = 0.0 if silent else by_letter(stretch.chord).width(style.CHORD) + 5.0 - room
        if lack > 0:
            for k in range(i, j):
                gaps[k] += lack / (j - i)
