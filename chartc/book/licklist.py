"""The list of licks: what each is called, what it is for and what it serves, for people and for programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from chartc.licks.lick import FAMILIES, REST, ROLES, Library, Lick
from chartc.licks.notation import STEP
from chartc.slots.slot import step_of
from chartc.theory import pitch
from chartc.theory.meter import Meter

ABOUT_ROLES = {
    "roll": "for any number of beats behind a voice; a chord shape gives the frets",
    "vamp": "bass notes and damped chords, for any number of beats; a chord shape gives the frets",
    "lick": "to say something in a gap or in a break",
    "fill": "answers to the end of a phrase",
    "lead-in": "tails of a measure that land on the next chord",
    "kickoff": "to open a song or a break",
    "turnaround": "two measures that go round and lead back to the beginning",
    "ending": "to close a section or the song, on the root",
}
"""What each role is for."""

_PLURALS = {"lead-in": "lead-ins", "roll": "rolls", "vamp": "vamps"}

# degrees by semitones above the 1, as players call them
_DEGREES = ("1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")
HOME = 7
"""Movable lead-ins between two chords are written as in the key of G: G is their 1."""


@dataclass(frozen=True, slots=True)
class Listed:
    """One lick of the list.

    `kind` is `pattern` (its frets come from a chord shape), `movable` (it follows its chord along the neck) or `open` (it stands
    where it is written, with open strings). `chords` are the kinds of chord a movable lick or a pattern serves (`any` where it
    serves all), the chords an open lick is played over. `change` says a lead-in's chords: `any to G`, `G to C`, by degree where it is movable; empty
    elsewhere. `lengths` are in measures of the first of `meters`, empty where any length will do. `difficulty` goes from 1 to 5.
    """

    name: str
    kind: str
    role: str
    chords: tuple[str, ...]
    change: str
    lengths: tuple[Fraction, ...]
    meters: tuple[str, ...]
    difficulty: int
    about: str


def kind_of(lick: Lick) -> str:
    """pattern, movable or open."""
    return "pattern" if lick.pattern else "movable" if lick.movable else "open"


def chords_of(lick: Lick) -> tuple[str, ...]:
    """What a lick is played over: chords by letter where it stands in one place, else kinds of chord, `any` for all of them."""
    families = tuple(f for f in FAMILIES if f in lick.serves)
    if len(families) == len(FAMILIES) and (lick.pattern or lick.root < 0):
        return ("any",)
    if kind_of(lick) == "open" and lick.root >= 0:
        return tuple(_letter(lick.root) + FAMILIES[f] for f in families)
    return families


def change_of(lick: Lick) -> str:
    """A lead-in's chords: `any to G`, `G to C`, and by degree, such as `1 to 4`, where it moves with its chords."""
    if lick.target is None:
        return ""
    if lick.movable:
        if lick.root < 0:
            return "any to any"
        return f"{degree_name(lick.root - HOME)} to {degree_name(lick.target - HOME)}"
    return f"{_letter(lick.root) if lick.root >= 0 else 'any'} to {_letter(lick.target)}"


def degree_name(semitones: int) -> str:
    """The degree so many semitones above the 1."""
    return _DEGREES[semitones % 12]


def meter_of(lick: Lick) -> Meter:
    """The first meter in which a lick is at home."""
    return Meter(*map(int, lick.meters[0].split("/")))


def ticks_of(lick: Lick) -> int:
    """A lick's length in ticks in its first meter: a step is an eighth note, in 2/4 a sixteenth."""
    meter = meter_of(lick)
    return lick.ticks * step_of(meter, meter.ticks) // STEP


def listed(library: Library, roles: Sequence[str] = ()) -> tuple[Listed, ...]:
    """The licks by role, in each role in the order of the files; all roles where none is given."""
    out = []
    for role in ROLES:
        for lick in library.licks:
            if lick.role == role and (not roles or role in roles):
                lengths = () if lick.pattern else (Fraction(ticks_of(lick), meter_of(lick).ticks),)
                out.append(
                    Listed(
                        lick.name, kind_of(lick), role, chords_of(lick), change_of(lick), lengths, lick.meters,
                        lick.difficulty, lick.about,
                    )
                )  # fmt: skip
    return tuple(out)


def plural(role: str) -> str:
    """The name of a role's page: `Fills`."""
    word = _PLURALS.get(role, role + "s")
    return word[0].upper() + word[1:]


def serves(one: Listed) -> str:
    """What a lick is played over, in words."""
    if one.change:
        return one.change
    return "any chord" if one.chords == ("any",) else ", ".join(one.chords)


def as_json(one: Listed) -> dict[str, Any]:
    """A lick as plain data; `change` is null where it is no lead-in, lengths are decimal numbers."""
    return {
        "name": one.name,
        "kind": one.kind,
        "role": one.role,
        "chords": list(one.chords),
        "change": one.change or None,
        "lengths": [round(float(n), 4) for n in one.lengths],
        "meters": list(one.meters),
        "difficulty": one.difficulty,
        "about": one.about,
    }


def as_lines(licks: Sequence[Listed]) -> Iterator[str]:
    """The list as text: a heading for each role, a line for each lick, and at the end the words that a chart may ask with."""
    yield "name, chords, measures, meters, difficulty from 1 to 5, what it is for"
    for role in dict.fromkeys(x.role for x in licks):
        here = [x for x in licks if x.role == role]
        columns = [
            (x.name, serves(x), ", ".join(map(str, x.lengths)) or "any", " ".join(x.meters), str(x.difficulty))
            for x in here
        ]
        wide = [max(map(len, column)) for column in zip(*columns, strict=True)]
        yield ""
        yield f"{plural(role)} ({len(here)}): {ABOUT_ROLES[role]}"
        for x, words in zip(here, columns, strict=True):
            yield "  " + "  ".join(w.ljust(n) for w, n in zip(words, wide, strict=True)) + "  " + x.about
    yield ""
    yield f"a chart may ask for a role ({', '.join((*ROLES, REST))}) or for one lick by its name"


def _letter(root: int) -> str:
    """A root as a letter, flats as charts write them."""
    return pitch.note_name(60 + root, -5 if root in (1, 3, 8, 10) else 0)[:-1].replace("♭", "b").replace("♯", "#")
