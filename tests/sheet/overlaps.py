"""Finds marks that meet though they should stand apart."""

from __future__ import annotations

from collections.abc import Sequence

from chartc.sheet.marks import Block, Line, Mark, Text

# What lies beneath other marks on purpose: the lines of the staff and of a neck, and the white patches behind numbers.
GROUND = {"staff", "knock", "neck"}

# Kinds that touch because they are one sign, or because one ends at the other. Nothing else may meet.
MAY_MEET = {
    frozenset(pair)
    for pair in (
        ("stem", "beam"),  # a stem ends on its beam
        ("beam", "beam"),  # two beams of one group share their stems
        ("stem", "flag"),  # a flag hangs on its stem
        ("flag", "flag"),
        ("damp", "damp"),  # two strokes of one cross
        ("stem", "damp"),  # the stem begins at the cross
        ("rest", "rest"),  # parts of one rest
        ("bar", "bar"),  # thick and thin stroke of one sign
        ("ending", "ending"),  # corners of a bracket
        ("bracket", "bracket"),
        ("choke", "choke"),  # arrow and its head
        ("slur", "bar"),  # a slur, a slide or a tie may cross a bar line
        ("slide", "bar"),
        ("bar", "rule"),
    )
}

SLACK = 0.15
"""Points by which boxes may meet: a line's width at most."""


def overlaps(marks: Sequence[Mark]) -> list[tuple[Mark, Mark]]:
    """All pairs that meet and should not, by a sweep from the top down."""
    items = sorted(((m.box, m) for m in marks if m.kind not in GROUND), key=lambda p: p[0][1])
    found: list[tuple[Mark, Mark]] = []
    alive: list[tuple[tuple[float, float, float, float], Mark]] = []
    for box, mark in items:
        alive = [(b, m) for b, m in alive if b[3] > box[1] + SLACK]
        for b, m in alive:
            if box[0] < b[2] - SLACK and b[0] < box[2] - SLACK and not _may(m, mark):
                found.append((m, mark))
        alive.append((box, mark))
    return found


def _may(a: Mark, b: Mark) -> bool:
    return frozenset((a.kind, b.kind)) in MAY_MEET


def outside(marks: Sequence[Mark], width: float, height: float, margin: float) -> list[Mark]:
    """Marks that reach into the page's edge, `margin` points wide."""
    return [
        m
        for m in marks
        if m.box[0] < margin or m.box[1] < margin or m.box[2] > width - margin or m.box[3] > height - margin
    ]


def white_over(marks: Sequence[Mark]) -> list[tuple[Mark, Mark]]:
    """White patches that are drawn over something other than the staff."""
    found: list[tuple[Mark, Mark]] = []
    earlier: list[Mark] = []
    for m in marks:
        if m.kind == "knock":
            assert isinstance(m, Block)
            box = m.box
            for e in earlier:
                b = e.box
                if (
                    e.kind not in ("staff", "knock", "neck")
                    and b[0] < box[2] - 0.3
                    and box[0] < b[2] - 0.3
                    and b[1] < box[3] - 0.3
                    and box[1] < b[3] - 0.3
                ):
                    found.append((e, m))
        elif isinstance(m, (Text, Line)) or m.kind in ("slur", "choke", "rest", "repeat"):
            earlier.append(m)
    return found
