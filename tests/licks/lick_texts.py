"""Lick files as text for the tests: one good lick, and the same with something changed."""

from __future__ import annotations

from chartc.licks.library import load_library
from chartc.licks.lick import Library
from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source

GOOD = {
    "name": "gate-latch",
    "role": "lick",
    "about": "a lick for the tests",
    "chord": "G",
    "strings": "3 2 1 2",
    "frets": "0 0 0 0",
    "picks": "T I M I",
}
ROLL = {"name": "water-wheel", "role": "roll", "strings": "2 1 5 1", "picks": "I M T M"}
LEAD = {
    "name": "gang-plank",
    "role": "lead-in",
    "chord": "any",
    "to": "G",
    "strings": "4 4",
    "frets": "2 4",
    "picks": "T I",
    "fingers": "i r",
}


def lick_text(base: dict[str, str], **changes: str | None) -> str:
    """One entry of a lick file; `without_fifth` and `to` are written as their keys, None takes a key out."""
    entries: dict[str, str | None] = {**base, **{key.replace("_", "-"): value for key, value in changes.items()}}
    return "  - " + "\n    ".join(f"{key}: {value}" for key, value in entries.items() if value is not None) + "\n"


def lick_file(*licks: str) -> str:
    """A lick file of such entries."""
    return "licks:\n" + "".join(licks)


def load(text: str, name: str = "own.yaml") -> tuple[Library, tuple[Diagnostic, ...]]:
    """The library of one file, and what is wrong with it."""
    return load_library([Source(name, text)])


def load_one(base: dict[str, str], **changes: str | None) -> tuple[Library, tuple[Diagnostic, ...]]:
    """The library of one lick, and what is wrong with it."""
    return load(lick_file(lick_text(base, **changes)))


def told(found: tuple[Diagnostic, ...]) -> list[tuple[str, str]]:
    """Code and marked text of each finding."""
    return [(d.code, d.span.text.strip() if d.span else "") for d in found]
