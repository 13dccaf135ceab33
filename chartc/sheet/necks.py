"""Small pictures of the neck: where the fretting fingers stand in the positions of a sheet. Lengths in points."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import pairwise

from chartc.neck.instrument import Instrument
from chartc.sheet.halves import Halves
from chartc.sheet.label import Label, by_letter
from chartc.sheet.marks import Mark, Text, ending_at
from chartc.sheet.stamp import Ink, LineStyle, Stamp, Standing, TextStyle
from chartc.slots.part import FilledSlot, Part
from chartc.type.faces import CAP_HEIGHT

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
ABOVE = 13.0
"""From the name's top to the first fret's line."""
LEFT = 13.0
"""Room for the fret's number."""
GAP = 9.0
"""To the next picture."""
LEAST_GAP = 5.0
"""To the next picture where that saves a row of them."""
HEAD = 14.0
"""The line of words above the pictures."""
BENEATH = 6.0
"""From a row of pictures to the next."""
TITLE = "Positions in the order in which they come"
CONTINUED = "Positions, continued"


@dataclass(frozen=True)
class Grip:
    """A hand's place on the neck: (string, fret, finger), string 1 first, over a chord; `strings` are drawn, from the left; `times` is how
    many slots use it."""

    label: Label
    stops: tuple[tuple[int, int, str], ...]
    strings: tuple[int, ...]
    times: int = 1

    @cached_property
    def low(self) -> int:
        """The first fret that is drawn."""
        low = min([fret for _, fret, _ in self.stops])
        return 1 if max([fret for _, fret, _ in self.stops]) <= FRETS else low

    @cached_property
    def frets(self) -> int:
        """How many frets are drawn."""
        return max(FRETS, max([fret for _, fret, _ in self.stops]) - self.low + 1)

    @cached_property
    def width(self) -> float:
        """Width of the picture."""
        neck = LEFT + STRING * (len(self.strings) - 1) + LETTER / 2
        return max(neck, LEFT - 3 + self.label.width(NAME))

    @cached_property
    def height(self) -> float:
        """Height of the picture, with the room beneath it."""
        return ABOVE + FRET * self.frets + BENEATH


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
    over: dict[Label, list[frozenset[tuple[int, int, str]]]] = {}
    for label, stops in found:
        over.setdefault(label, []).append(stops)
    out: dict[tuple[Label, frozenset[tuple[int, int, str]]], int] = {}
    for (label, stops), times in found.items():
        fuller = max([s for s in over[label] if s >= stops], key=lambda s: (len(s), sorted(s)))
        out[label, fuller] = out.get((label, fuller), 0) + times
    return tuple(
        [
            Grip(label, tuple(sorted(stops)), _strings(stops, part.instrument), times)
            for (label, stops), times in out.items()
        ]
    )


def _strings(stops: Iterable[tuple[int, int, str]], instrument: Instrument) -> tuple[int, ...]:
    """The strings that are drawn, from the left: the long ones, and a short one where it is stopped."""
    return tuple(sorted({*instrument.long_strings, *[string for string, _, _ in stops]}, reverse=True))


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
    """Pictures in rows, `height` points high all together, `gap` points between two of them; `title` is the line of words above
    them, if any."""

    rows: tuple[tuple[Grip, ...], ...]
    height: float
    gap: float = GAP
    title: str = TITLE

    @property
    def count(self) -> int:
        """How many pictures."""
        return sum(map(len, self.rows))

    @property
    def width(self) -> float:
        """Width of the longest row."""
        return max([sum([g.width + self.gap for g in row]) for row in self.rows]) - self.gap


@dataclass(frozen=True, slots=True)
class Place:
    """Where pictures may stand: so wide and high, with a line of words above them if there is room, or without."""

    width: float
    height: float
    titled: bool = True


def whole(all_grips: tuple[Grip, ...], place: Place) -> Strip | None:
    """All pictures in one place, without the line of words where they would have no room beneath it; None where they have none."""
    room, height = place.width, place.height
    if height < LEAST_HEIGHT or not all_grips:
        return None
    wide = [g.width for g in all_grips]
    highs = [g.height for g in all_grips]
    # rows as few as they can be tell whether the place is high enough
    ends = _ends(wide, LEAST_GAP, room)
    need = _stacked(highs, ends)
    if need > height or max(wide) > room:
        return None
    gap, level = _level(wide, len(ends), room)
    if _stacked(highs, level) <= height:
        ends, need = level, _stacked(highs, level)
    else:
        gap = LEAST_GAP
    rows = tuple([tuple(all_grips[a:z]) for a, z in pairwise([0, *ends])])
    words = HEAD if place.titled and need + HEAD <= height else 0.0
    return Strip(rows, need + words, gap, TITLE if words else "")


def most_used(all_grips: tuple[Grip, ...], place: Place) -> Strip | None:
    """As many pictures as find room in a place, in their order: those that are used most, and of those used as often the first. None
    where not one finds room."""
    leaving = sorted(range(len(all_grips)), key=lambda n: (all_grips[n].times, -n))
    for gone in range(len(all_grips)):
        left = set(leaving[gone:])
        found = whole(tuple([g for n, g in enumerate(all_grips) if n in left]), place)
        if found is not None:
            return found
    return None


def spread(all_grips: tuple[Grip, ...], places: Sequence[Place]) -> tuple[Strip | None, ...] | None:
    """All pictures in their order over several places, each as full as it can be before the next: a strip for each place, None for one
    that stays empty. None where they do not find room."""
    out: list[Strip | None] = []
    left = all_grips
    for place in places:
        here = _first(left, place)
        if here is not None:
            left = left[here.count :]
            if here.title and any(out):
                here = replace(here, title=CONTINUED)
        out.append(here)
    return None if left else tuple(out)


def _first(all_grips: tuple[Grip, ...], place: Place) -> Strip | None:
    """As many of the first pictures as find room in a place."""
    low, high = 0, len(all_grips)
    found = None
    while low < high:
        n = (low + high + 1) // 2
        here = whole(all_grips[:n], place)
        if here is not None:
            low, found = n, here
        else:
            high = n - 1
    return found


def _stacked(highs: Sequence[float], ends: Sequence[int]) -> float:
    """How high pictures of these heights stand in rows that end there."""
    return sum([max(highs[a:z]) for a, z in pairwise([0, *ends])]) - BENEATH


def _level(sizes: Sequence[float], count: int, room: float) -> tuple[float, list[int]]:
    """Pictures of these widths in so many rows, about equally long: the gap between two of them, and the end of each row."""
    gap, ends = GAP, _ends(sizes, GAP, room)
    if len(ends) > count:
        gap, ends = LEAST_GAP, _ends(sizes, LEAST_GAP, room)
    if count > 1:
        limit = (sum(sizes) + gap * len(sizes)) / count
        while limit < room:
            level = _ends(sizes, gap, limit)
            if len(level) == count:
                return gap, level
            limit *= 1.05
    return gap, ends


def _ends(sizes: Sequence[float], gap: float, room: float) -> list[int]:
    """Pictures of these widths in rows no longer than `room`: the end of each row."""
    ends: list[int] = []
    used = 0.0
    for n, wide in enumerate(sizes):
        if used and used + wide > room:
            ends.append(n)
            used = 0.0
        used += wide + gap
    return [*ends, len(sizes)]


LEAST_HEIGHT = ABOVE + FRET * FRETS
"""No picture is lower."""


def draw(strip: Strip, x: float, y: float) -> tuple[list[Standing], list[Mark]]:
    """The pictures as stamps and loose marks, the top left corner at (`x`, `y`)."""
    placed: list[Standing] = []
    loose: list[Mark] = []
    if strip.title:
        loose.append(Text(x, y + WORDS * 0.8, strip.title, "italic", WORDS, "necks"))
        y += HEAD
    for row in strip.rows:
        place = x
        for grip in row:
            strings, low, frets = grip.strings, grip.low, grip.frets
            placed.append((_neck(len(strings), low == 1, frets), place, y, 1.0))
            stops = tuple([(strings.index(s), fret, finger) for s, fret, finger in grip.stops])
            placed.append((_hand(stops, low), place, y, 1.0))
            words, raised = grip.label
            base = y + NAME * 0.8
            loose.append(Text(place + LEFT - 3.0, base, words, "bold", NAME, "neck-chord", 0.0, raised))
            place += grip.width + strip.gap
        y += max([grip.height for grip in row])
    return placed, loose


@lru_cache(maxsize=64)
def _neck(strings: int, nut: bool, frets: int) -> Stamp:
    """The lines of a neck, from the picture's top left corner; with the nut at its upper end, or without."""
    ink = Ink()
    right, bottom = LEFT + STRING * (strings - 1), ABOVE + FRET * frets
    for n in range(frets + 1):
        ink.strokes(NUT if n == 0 and nut else WIRE).extend((LEFT, ABOVE + n * FRET, right, ABOVE + n * FRET))
    for n in range(strings):
        ink.strokes(WIRE).extend((LEFT + n * STRING, ABOVE, LEFT + n * STRING, bottom))
    return ink.stamp(ground=True, often=True)


@lru_cache(maxsize=512)
def _hand(stops: tuple[tuple[int, int, str], ...], low: int) -> Stamp:
    """What stands on a neck's lines, from the picture's top left corner, for stops given as (string from the left, fret, finger); `low` is
    the first fret that is drawn."""
    ink = Ink()
    if low > 1:
        base = ABOVE + FRET / 2 + NUMBER * CAP_HEIGHT / 2
        ink.add([ending_at(LEFT - 5.6, base, str(low), "regular", NUMBER, "neck-fret")])
    for string, fret, finger in stops:
        middle = LEFT + string * STRING
        base = ABOVE + (fret - low) * FRET + FRET / 2 + 2.6
        half = _HALVES[finger]
        ink.patches += (middle - half - 0.7, base - 6.4, 2 * half + 1.4, 7.0)
        ink.text(FINGER, middle - half, base, finger)
    return ink.stamp(often=True)


NUT, WIRE = LineStyle("neck", 1.6), LineStyle("neck", 0.5)
FINGER = TextStyle("italic", LETTER, "neck-finger")
_HALVES = Halves("italic", LETTER)
