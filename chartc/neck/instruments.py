"""Instruments and tunings from data, the program's own or a player's."""

from __future__ import annotations

from functools import cache
from importlib import resources

from chartc.neck.instrument import Instrument, String
from chartc.text.diagnostic import Diagnostic, nearest
from chartc.text.source import Source
from chartc.text.tree import Leaf, Picker, Table, read_tree
from chartc.theory import pitch

MOST_STRINGS = 9
"""Strings are numbered with one digit in a lick's rows."""


@cache
def known() -> dict[str, dict[str, Instrument]]:
    """The program's own instruments by name, each in its tunings by name; the first tuning is the usual one."""
    file = resources.files("chartc.neck") / "data" / "instruments.yaml"
    tree, found = read_tree(Source("instruments.yaml", file.read_text("utf-8")))
    assert isinstance(tree, Table) and not found
    out: dict[str, dict[str, Instrument]] = {}
    errors: list[Diagnostic] = []

    def each(table: Table) -> None:
        own = own_instrument(table, errors)
        if own:
            out[next(iter(own.values())).name] = own

    Picker(tree, "the file of instruments", errors).tables("instruments", each)
    assert not errors, errors
    return out


def own_instrument(table: Table, found: list[Diagnostic]) -> dict[str, Instrument]:
    """An instrument's tunings from its table (name, scale-mm, frets, short, tunings); empty where something is wrong."""
    before = len(found)
    pick = Picker(table, "an instrument", found)
    name = pick.text("name", required=True)
    scale = pick.decimal("scale-mm", 0.0, 200.0, 1500.0)
    if "scale-mm" not in table.entries:
        pick.error(
            "yaml-missing",
            'an instrument has no "scale-mm"',
            table.span,
            "give the length from nut to bridge: scale-mm: 666.75",
        )
    frets = pick.number("frets", 22, 5, 36, required=True)
    short: dict[int, int] = {}
    node = pick.node("short")
    if isinstance(node, Table):
        own = Picker(node, "the short string", found)
        short[own.number("string", 5, 1, MOST_STRINGS, required=True)] = own.number("fret", 5, 1, frets, required=True)
        own.done()
    elif node is not None:
        pick.error("yaml-kind", '"short" is a table', node.span, "write: short: {string: 5, fret: 5}")
    node = pick.node("tunings")
    out: dict[str, Instrument] = {}
    if not isinstance(node, Table):
        pick.error(
            "yaml-missing",
            'an instrument has a table of "tunings"',
            table.span,
            "write: tunings: {open G: G4 D3 G3 B3 D4}",
        )
    else:
        for tuning, leaf in node.entries.items():
            notes = _notes(leaf, found) if isinstance(leaf, Leaf) else None
            if notes:
                strings = tuple(String(n, short.get(k, 0)) for k, n in enumerate(notes, 1))
                out[tuning] = Instrument(name, scale, frets, strings)
    pick.done()
    return out if len(found) == before else {}


def tuned(instrument: dict[str, Instrument], leaf: Leaf, found: list[Diagnostic]) -> Instrument | None:
    """An instrument in a tuning by its name, or by its notes (highest-numbered string first)."""
    usual = next(iter(instrument.values()))
    by_name = {name.lower(): one for name, one in instrument.items()}
    if leaf.text.lower() in by_name:
        return by_name[leaf.text.lower()]
    if not any(c.isdigit() for c in leaf.text):
        found.append(
            Diagnostic("tuning-unknown", f'there is no tuning "{leaf.text}" for the {usual.name}{nearest(leaf.text, instrument)}',
                       leaf.span, f"known: {', '.join(instrument)}; or write the notes: {usual.tuning}")
        )  # fmt: skip
        return None
    notes = _notes(leaf, found)
    if notes is None:
        return None
    if len(notes) != len(usual.strings):
        found.append(
            Diagnostic("tuning-strings", f"the {usual.name} has {len(usual.strings)} strings, the tuning has {len(notes)} notes",
                       leaf.span, f"its usual tuning is {usual.tuning}")
        )  # fmt: skip
        return None
    strings = tuple(String(n, s.nut_fret) for n, s in zip(notes, usual.strings, strict=True))
    return Instrument(usual.name, usual.scale_mm, usual.frets, strings)


def _notes(leaf: Leaf, found: list[Diagnostic]) -> list[int] | None:
    """Open notes, string 1 first, from words with the highest-numbered string first."""
    words = leaf.text.split()
    notes = []
    for word in words:
        try:
            note = pitch.midi(word)
        except ValueError:
            note = -1
        if not 12 <= note <= 108:
            found.append(
                Diagnostic(
                    "tuning-note", f'"{word}" is not a note with its octave', leaf.span, "write notes like D3, F#3, Bb3"
                )
            )
            return None
        notes.append(note)
    if not 1 <= len(notes) <= MOST_STRINGS:
        found.append(Diagnostic("tuning-strings", f"{len(notes)} strings; 1 to {MOST_STRINGS} can be read", leaf.span))
        return None
    return notes[::-1]


@cache
def five_string_banjo() -> Instrument:
    """The five-string banjo in open G (gDGBD), 26.25 in from nut to bridge, 22 frets."""
    return known()["five-string banjo"]["open G"]
