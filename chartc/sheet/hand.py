"""What the sheet says of the hands: a finger where it is new, a position where the hand moves, that a measure is the one before once
more. Said once, not repeated while the hand stays."""

from __future__ import annotations

from typing import NamedTuple

from chartc.chart.song import Section
from chartc.slots.part import FilledSlot, Part

PLAIN_ROLES = frozenset({"roll", "vamp", "chop"})
"""Roles whose licks need no name above them."""

OPEN_POSITION = 3
"""Up to this fret the hand is at home: moving about there is not said."""


class Said(NamedTuple):
    """What is said in one measure: fingers by (tick, string), words above the staff by tick, and whether it is played like the one
    before."""

    fingers: dict[tuple[int, int], str]
    moves: tuple[tuple[int, str], ...]
    names: tuple[tuple[int, str], ...]
    again: bool = False


def said(part: Part) -> tuple[tuple[Said, ...], ...]:
    """For each measure of each section."""
    return tuple([_section(section, slots) for section, slots in zip(part.song.sections, part.slots, strict=False)])


def _section(section: Section, measures: tuple[tuple[FilledSlot, ...], ...]) -> tuple[Said, ...]:
    out: list[Said] = []
    known: dict[tuple[int, int], str] = {}
    shape: set[tuple[int, int, str]] = set()
    place: int | None = None
    named = ""
    turned = _turned(section)
    for k, slots in enumerate(measures):
        fingers: dict[tuple[int, int], str] = {}
        moves: list[tuple[int, str]] = []
        names: list[tuple[int, str]] = []
        for slot in slots:
            fretted = [(n.at, n.string, n.fret, n.finger) for n in slot.notes if n.finger]
            if fretted:
                new = {held[1:] for held in fretted}
                if not new <= shape:
                    known, shape = {}, new
                position = slot.position
                if position is not None:
                    if position != place and (position > OPEN_POSITION or (place or 0) > OPEN_POSITION):
                        moves.append((fretted[0][0], f"at {position}"))
                        known = {}
                    place = position
                for at, string, fret, finger in fretted:
                    if known.get((string, fret)) != finger:
                        known[string, fret] = finger
                        fingers[at, string] = finger
            plain = slot.role in PLAIN_ROLES or not slot.notes
            if not plain and slot.part[0] == 1 and slot.lick != named:
                names.append((slot.at, slot.lick))
            named = "" if plain else slot.lick
        again = (
            k > 0
            and k not in turned
            and bool(slots)
            and bool(measures[k - 1])
            and slots[0].lick == measures[k - 1][0].lick  # this alone tells most measures apart
            and slots == measures[k - 1]
            and any(s.notes for s in slots)
        )
        out.append(Said(fingers, tuple(moves), tuple(names), again))
    return tuple(out)


def _turned(section: Section) -> frozenset[int]:
    """The measures before which players may come from elsewhere than from the measure printed before."""
    out: set[int] = set()
    for r in section.repeats:
        out.add(r.first)
        if r.endings:
            out.update(e.first for e in r.endings)
            out.add(r.last + 1)
    return frozenset(out)
