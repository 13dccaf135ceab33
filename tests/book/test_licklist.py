"""The list of licks: what it says of each, for people and for programs."""

from __future__ import annotations

from fractions import Fraction

import pytest

from chartc.book.licklist import as_json, as_lines, chords_of, listed
from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import REST, ROLES

LIBRARY, _ = load_library(own_sources())
LISTED = {x.name: x for x in listed(LIBRARY)}


def test_every_lick_is_listed_once_by_role() -> None:
    """A lick that is not in the list cannot be found; the roles stand in their one order."""
    names = [x.name for x in listed(LIBRARY)]
    assert sorted(names) == sorted(LIBRARY.by_name)
    order = [ROLES.index(x.role) for x in listed(LIBRARY)]
    assert order == sorted(order)


def test_roles_can_be_chosen() -> None:
    """Only what was asked for, and the whole of it."""
    some = listed(LIBRARY, ("fill", "ending"))
    assert {x.role for x in some} == {"fill", "ending"}
    assert len(some) == sum(x.role in ("fill", "ending") for x in LIBRARY.licks)


@pytest.mark.parametrize(
    ("name", "kind", "chords", "change", "lengths"),
    [
        ("forward", "pattern", ("any",), "", ()),
        ("gravel-bar", "open", ("G", "G7"), "", (Fraction(1),)),
        ("split-oar", "open", ("G", "G7"), "", (Fraction(1, 2),)),
        ("lock-gate", "open", ("C",), "", (Fraction(1),)),
        ("heron-step", "movable", ("major", "seventh"), "", (Fraction(1),)),
        ("long-dusk", "movable", ("minor",), "", (Fraction(2),)),
        ("cider-press", "movable", ("major", "seventh"), "", (Fraction(1),)),
        ("two-barges", "movable", ("major", "seventh"), "", (Fraction(2),)),
        ("oarlock", "movable", ("major", "seventh"), "", (Fraction(1, 2),)),
        ("into-c", "open", ("any",), "any to C", (Fraction(3, 8),)),
        ("one-four-ferry", "open", ("G", "G7"), "G to C", (Fraction(3, 8),)),
        ("half-steps-low", "movable", ("any",), "any to any", (Fraction(1, 4),)),
        ("one-five-high", "movable", ("major", "seventh"), "1 to 5", (Fraction(3, 8),)),
        ("flat-seven-high", "movable", ("major", "seventh"), "1 to b7", (Fraction(1, 4),)),
        ("four-one-high", "movable", ("major", "seventh"), "4 to 1", (Fraction(1, 4),)),
    ],
)
def test_what_is_said_of_a_lick(
    name: str, kind: str, chords: tuple[str, ...], change: str, lengths: tuple[Fraction, ...]
) -> None:
    """Read in the lick files by hand: kind, chords, change and length in measures of the lick's own meter."""
    x = LISTED[name]
    assert (x.kind, x.chords, x.change, x.lengths) == (kind, chords, change, lengths)


def test_roots_are_named_as_charts_write_them() -> None:
    """Chords by letter have one of the twelve usual names, never a sharp where charts write a flat."""
    letters = {c.rstrip("m7") for x in LIBRARY.licks if not x.movable and x.root >= 0 for c in chords_of(x)}
    assert letters <= {"C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"}


def test_the_text_has_a_line_for_each_lick_and_the_roles() -> None:
    """Read in a terminal: one line each with name and what it is for, columns level, and at the end the words a chart may use."""
    lines = list(as_lines(listed(LIBRARY)))
    for lick in LIBRARY.licks:
        own = [line for line in lines if line.startswith(f"  {lick.name} ") and line.endswith("  " + lick.about)]
        assert len(own) == 1, lick.name
    rolls = [line for line in lines if any(line.startswith(f"  {x.name} ") for x in LIBRARY.licks if x.role == "roll")]
    assert len({line.index(LISTED[line.split()[0]].about) for line in rolls}) == 1
    assert all(role in lines[-1] for role in (*ROLES, REST))


def test_data_is_plain() -> None:
    """Programs read the list: the keys that it is documented with, and null where there is no change of chord."""
    data = as_json(LISTED["one-four-ferry"])
    assert data == {
        "name": "one-four-ferry",
        "kind": "open",
        "role": "lead-in",
        "chords": ["G", "G7"],
        "change": "G to C",
        "lengths": [0.375],
        "meters": ["4/4", "2/2", "2/4", "3/4"],
        "difficulty": 1,
        "about": "the third of the first chord becomes the leading tone of the fourth",
    }
    assert as_json(LISTED["forward"])["change"] is None
    assert as_json(LISTED["forward"])["lengths"] == []
