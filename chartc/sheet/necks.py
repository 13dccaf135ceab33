"""Small pictures of the neck: where the fretting fingers stand in the positions of a sheet. Lengths in points."""

from __future__ import annotations

from dataclasses import dataclass

from chartc.neck.instrument import Instrument
from chartc.sheet.label import Label, by_letter
from chartc.sheet.marks import Block, Line, Mark, Text, centred, ending_at
from chartc.slots.part import FilledSlot, Part
from chartc.type.faces import CAP_HEIGHT, width

STRING = 9.0
"""From string to string."""
FRET = 10.5
"""From fret to fret."""
FRETS = 4
"""At least so many frets are drawn."""
NAME = 10.0
LETTER = 9.0
NUMBER = 8.5
WORDS = 9.5
ABOVE = 14.0
"""From the name's top to the first fret's line."""
LEFT = 13.0
"""Room for the fret's number."""
GAP = 9.0
"""To the next picture."""
HEAD = 14.0
"""The line of words above the pictures."""
TITLE = "Positions in the order in which they come"


@dataclass(frozen=True, slots=True)
class Grip:
    """A hand's place on the neck: (string, fret, finger), string 1 first, over a chord; `times` is how many slots use it."""

    label: Label
    stops: tuple[tuple[int, int, str], ...]
    times: int = 1

    @property
    def low(self) -> int:
        """The first fret that is drawn."""
        low = min(fret for _, fret, _ in self.stops)
        return 1 if max(fret for _, fret, _ in self.stops) <= FRETS else low

    @property
    def frets(self) -> int:
        """How many frets are drawn."""
        return max(FRETS, max(fret for _, fret, _ in self.stops) - self.low + 1)


def grips(part: Part) -> tuple[Grip, ...]:
    """The positions of a part in the order in which they first come: at least two fingers that stand together over a chord. A
    position that is part of a fuller one over the same chord is drawn with that one."""
    found: dict[tuple[Label, frozenset[tuple[int, int, str]]], int] = {}
    for measures in part.slots:
        for slots in measures:
            for slot in slots:
                stops = _stops(slot)
                if stops:
                    key = (by_letter(slot.chord), stops)
                    found[key] = found.get(key, 0) + 1
    out: dict[tuple[Label, frozenset[tuple[int, int, str]]], int] = {}
    for (label, stops), times in found.items():
        fuller = max((s for n, s in found if n == label and s >= stops), key=lambda s: (len(s), sorted(s)))
        out[label, fuller] = out.get((label, fuller), 0) + times
    return tuple(Grip(label, tuple(sorted(stops)), times) for (label, stops), times in out.items())


def _stops(slot: FilledSlot) -> frozenset[tuple[int, int, str]]:
    """What the hand holds in a slot; nothing where a string, or a finger, is at two frets: that is a run, not a position."""
    held: dict[int, tuple[int, int, str]] = {}
    frets: dict[str, int] = {}
    for n in slot.notes:
        if n.fret and n.finger:
            stop = (n.string, n.fret, n.finger)
            if held.setdefault(n.string, stop) != stop or frets.setdefault(n.finger, n.fret) != n.fret:
                return frozenset()
    return frozenset(held.values()) if len(held) > 1 else frozenset()


@dataclass(frozen=True, slots=True)
class Strip:
    """Pictures in rows, `height` points high all together."""

    rows: tuple[tuple[Grip, ...], ...]
    instrument: Instrument
    height: float


def strip(all_grips: tuple[Grip, ...], instrument: Instrument, room: float, height: float) -> Strip | None:
    """As many pictures as find room in a place so wide and high: all, or those that are used most, in their order; None where
    not one row fits."""
    kept = all_grips
    while kept:
        rows = _rows(kept, instrument, room)
        need = HEAD + sum(_height(row) for row in rows)
        if need <= height:
            return Strip(rows, instrument, need)
        least = min(kept, key=lambda g: (g.times, -kept.index(g)))
        kept = tuple(g for g in kept if g is not least)
    return None


def _rows(kept: tuple[Grip, ...], instrument: Instrument, room: float) -> tuple[tuple[Grip, ...], ...]:
    rows: list[list[Grip]] = [[]]
    used = 0.0
    for grip in kept:
        wide = _width(grip, instrument)
        if rows[-1] and used + wide > room:
            rows.append([])
            used = 0.0
        rows[-1].append(grip)
        used += wide
    return tuple(tuple(row) for row in rows)


def _strings(grip: Grip, instrument: Instrument) -> tuple[int, ...]:
    """The strings that are drawn, from the left: the long ones, and a short one where it is stopped."""
    stopped = {string for string, _, _ in grip.stops}
    return tuple(n for n in range(len(instrument.strings), 0, -1) if n in instrument.long_strings or n in stopped)


def _width(grip: Grip, instrument: Instrument) -> float:
    neck = LEFT + STRING * (len(_strings(grip, instrument)) - 1) + LETTER / 2
    return max(neck, LEFT - 3 + grip.label.width(NAME)) + GAP


def _height(row: tuple[Grip, ...]) -> float:
    return ABOVE + FRET * max(g.frets for g in row) + 6.0


def draw(strip: Strip, x: float, y: float) -> list[Mark]:
    """The pictures' marks, the top left corner at (`x`, `y`)."""
    out: list[Mark] = [Text(x, y + WORDS * 0.8, TITLE, "italic", WORDS, "necks")]
    y += HEAD
    for row in strip.rows:
        place = x
        for grip in row:
            out += _draw(grip, strip.instrument, place, y)
            place += _width(grip, strip.instrument)
        y += _height(row)
    return out


def _draw(grip: Grip, instrument: Instrument, x: float, y: float) -> list[Mark]:
    strings = _strings(grip, instrument)
    left, top = x + LEFT, y + ABOVE
    right, bottom = left + STRING * (len(strings) - 1), top + FRET * grip.frets
    name = grip.label.text(left - 3.0, y + NAME * 0.8, NAME)
    out: list[Mark] = [Text(name.x, name.y, name.text, "bold", NAME, "neck-chord", raised=name.raised)]
    for n in range(grip.frets + 1):
        nut = n == 0 and grip.low == 1
        out.append(Line(left, top + n * FRET, right, top + n * FRET, 1.6 if nut else 0.5, "neck"))
    for n in range(len(strings)):
        out.append(Line(left + n * STRING, top, left + n * STRING, bottom, 0.5, "neck"))
    if grip.low > 1:
        base = top + FRET / 2 + NUMBER * CAP_HEIGHT / 2
        out.append(ending_at(left - 5.6, base, str(grip.low), "regular", NUMBER, "neck-fret"))
    letters: list[Mark] = []
    for string, fret, finger in grip.stops:
        middle = left + strings.index(string) * STRING
        base = top + (fret - grip.low) * FRET + FRET / 2 + 2.6
        half = width(finger, "italic", LETTER) / 2 + 0.7
        out.append(Block(middle - half, base - 6.4, 2 * half, 7.0, "knock", 1.0))
        letters.append(centred(middle, base, finger, "italic", LETTER, "neck-finger"))
    return out + letters
