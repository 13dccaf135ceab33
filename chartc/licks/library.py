"""From lick files (YAML) to a library of proven licks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from importlib import resources

from chartc.licks.lick import FAMILIES, ROLES, Library, Lick
from chartc.licks.notation import RawNote, read_rows
from chartc.licks.proof import TENSIONS, assign_fingers, out_of_hand, prove
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.neck.instruments import five_string_banjo
from chartc.text.diagnostic import Diagnostic, in_order
from chartc.text.source import Source
from chartc.text.tree import Leaf, Picker, Table, read_tree
from chartc.theory.chord import read_chord
from chartc.theory.key import Key

MAX_LICKS = 2000
METERS = ("4/4", "2/2", "2/4", "3/4", "6/8", "9/8", "12/8")
_COMPOUND = ("6/8", "9/8", "12/8")
_NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")

# words that a request in a chart gives another meaning
RESERVED = frozenset({*ROLES, "rest", "low", "middle", "high", "fret"})


def own_sources() -> tuple[Source, ...]:
    """The lick files that come with the program, in order of name."""
    folder = resources.files("chartc.licks") / "data"
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".yaml")), key=lambda f: f.name)
    return tuple(Source(f.name, f.read_text("utf-8")) for f in files)


def load_library(
    sources: Iterable[Source], instrument: Instrument | None = None, limits: Limits | None = None, whose: str = ""
) -> tuple[Library, tuple[Diagnostic, ...]]:
    """All licks of the files that hold; a name in a later file replaces an earlier one. Findings come sorted by place.

    A lick that only these limits forbid is left out, and a warning says so; `whose` are the limits, by the player's name.
    """
    found: list[Diagnostic] = []
    licks: dict[str, Lick] = {}
    beyond: list[Lick] = []
    for source in sources:
        here: dict[str, Lick] = {}
        hands = _Hands(instrument or five_string_banjo(), limits or Limits(), whose, beyond)
        for lick in _file(source, hands, found, len(licks)):
            if lick.name in here:
                found.append(
                    Diagnostic("lick-name", f'the name "{lick.name}" is given twice', lick.span, "give each lick a name of its own",
                               related=((here[lick.name].span, "first here"),))
                )  # fmt: skip
            here[lick.name] = lick
        licks.update(here)
    if len(licks) > MAX_LICKS:
        found.append(Diagnostic("lick-limit", f"there are {len(licks)} licks; at most {MAX_LICKS} are read",
                                help="give the player a smaller lick file"))  # fmt: skip
    in_reach = tuple(sorted(licks.values(), key=lambda x: x.order))
    return Library(in_reach, tuple(x for x in {x.name: x for x in beyond}.values() if x.name not in licks)), in_order(
        found
    )


@dataclass(frozen=True)
class _Hands:
    """What a lick is proven on; `beyond` takes those that are right but for these limits."""

    instrument: Instrument
    limits: Limits
    whose: str
    beyond: list[Lick]


def _file(source: Source, hands: _Hands, found: list[Diagnostic], order: int) -> list[Lick]:
    tree, errors = read_tree(source)
    found.extend(errors)
    if tree is None:
        return []
    if not isinstance(tree, Table):
        found.append(Diagnostic("yaml-kind", "a lick file is a table", tree.span, "begin it with a line: licks:"))
        return []
    top = Picker(tree, "a lick file", found)
    out: list[Lick] = []

    def each(table: Table) -> None:
        lick = _lick(table, hands, found, order + len(out))
        if lick is not None:
            out.append(lick)

    if "licks" not in tree.entries:
        top.error("yaml-missing", 'a lick file has no "licks"', tree.span, "begin it with a line: licks:")
    top.tables("licks", each)
    top.done()
    return out


def _lick(table: Table, hands: _Hands, found: list[Diagnostic], order: int) -> Lick | None:
    before = len(found)
    instrument = hands.instrument
    pick = Picker(table, "a lick", found)
    name = pick.leaf("name", required=True)
    if name is not None and (not _NAME.fullmatch(name.text) or name.text in RESERVED):
        pick.error("lick-name", f'"{name.text}" is not a name for a lick', name.span,
                   "use small letters, digits and hyphens, begin with a letter, and do not use a role or a place")  # fmt: skip
    role = pick.word("role", ROLES, "lick", required=True)
    about = pick.text("about")
    meters = pick.words("meter", METERS) or ("4/4", "2/2", "2/4")
    compound = any(m in _COMPOUND for m in meters)
    if compound and not all(m in _COMPOUND for m in meters):
        pick.error(
            "lick-meter",
            "one lick cannot serve both beats of two eighths and beats of three",
            table.entries["meter"].span,
            "write two licks, one of them for 6/8, 9/8 and 12/8",
        )
    difficulty = pick.number("difficulty", 2, 1, 5)
    pattern = role in ("roll", "vamp")
    movable = pick.flag("movable", False)
    lowest, highest = pick.number("lowest", 1, 1, 24), pick.number("highest", 24, 1, 24)
    for key in ("lowest", "highest"):
        if key in table.entries and not movable:
            pick.error("lick-movable", f'only a movable lick has "{key}"', table.entries[key].span,
                       "leave it out, or add a line: movable: yes")  # fmt: skip
    if lowest > highest:
        pick.error("lick-movable", f"lowest {lowest} lies above highest {highest}", table.entries["lowest"].span,
                   "they are frets of the index finger, the lower one first")  # fmt: skip
    if pattern and movable:
        pick.error(
            "lick-role",
            f"a {role} is never movable: a chord shape gives its place",
            table.entries["movable"].span,
            "leave it out",
        )
    tensions = frozenset(TENSIONS[t] for t in pick.words("tensions", tuple(TENSIONS)))
    if pattern and "chord" in table.entries:
        pick.node("chord")
        pick.error("lick-role", f"a {role} has no chord: it is played over any", table.entries["chord"].span,
                   "leave it out; serves says over which kinds of chord it may be played")  # fmt: skip
    root, family = (-1, "") if pattern else _chord(pick, "chord", False, role == "lead-in")
    target, _ = _chord(pick, "to", True, False)
    if role == "lead-in" and target < 0 and "to" not in table.entries:
        pick.error("yaml-missing", 'a lead-in has no "to"', table.span, "say the chord it lands on: to: C")
    if role != "lead-in" and target >= 0:
        pick.error(
            "lick-role", 'only a lead-in has "to"', table.entries["to"].span, "leave it out, or write: role: lead-in"
        )
    serves = frozenset(pick.words("serves", tuple(FAMILIES))) or (
        frozenset({family}) if family else frozenset(FAMILIES)
    )
    rows: dict[str, Leaf] = {}
    for kind in ("strings", "frets", "picks", "fingers", "without-fifth"):
        if pattern and kind in ("frets", "fingers"):
            if kind in table.entries:
                pick.node(kind)
                pick.error("lick-role", f"a {role} has no {kind}: a chord shape gives them", table.entries[kind].span,
                           "leave them out")  # fmt: skip
            continue
        leaf = pick.leaf(kind, required=kind in ("strings", "picks", "frets"))
        if leaf is not None:
            rows[kind] = leaf
    pick.done()
    if len(found) > before or name is None:
        return None
    instead = rows.pop("without-fifth", None)
    result = read_rows(rows, found, table.span)
    if result is None or len(found) > before:
        return None
    written, rests, ticks = result
    chosen = not pattern and "fingers" not in rows
    notes = assign_fingers(written, instrument, hands.limits) if chosen else written
    without: tuple[int, ...] = ()
    if instead is not None:
        wrong: list[Diagnostic] = []
        other = read_rows({"strings": instead, "picks": rows["picks"]}, wrong, table.span)
        found.extend(d for d in wrong if d.code == "lick-row")
        if other is None and len(found) > before:
            return None
        drone = instrument.drone
        if (
            other is None
            or [n.at for n in other[0]] != [n.at for n in notes]
            or any(n.string == drone for n in other[0])
        ):
            found.append(Diagnostic("lick-columns", "the row without the fifth string does not match the row of strings", instead.span,
                                    "write the same columns, with another string wherever the fifth stands",
                                    related=((rows["strings"].span, "the row of strings"),)))  # fmt: skip
            return None
        without = tuple(n.string for n in other[0])
    lick = Lick(
        name.text, role, about, serves, root, target if target >= 0 else None, movable, lowest, highest, ticks, compound, meters,
        tensions, difficulty, notes, rests, without, tuple(s.open for s in instrument.strings), name.span, order,
    )  # fmt: skip
    wrong = prove(lick, rows, instrument, hands.limits)
    if wrong and _too_far(lick, written, rows, hands):
        hands.beyond.append(lick)
        why = out_of_hand(lick, instrument, hands.limits)
        message = f"{lick.name} lies beyond the limits of {hands.whose or 'the player'} ({why}) and is left out"
        help = "the lick is right in itself; the limits are in the player's file, under limits:"
        found.append(Diagnostic("lick-limits", message, lick.span, help, "warning"))
        return None
    found.extend(wrong)
    return None if len(found) > before else lick


def _too_far(lick: Lick, written: tuple[RawNote, ...], rows: dict[str, Leaf], hands: _Hands) -> bool:
    """Whether a lick that did not hold would do so but for what the player's limits take from the usual hand."""
    wider = hands.limits.with_usual()
    if wider == hands.limits:
        return False
    notes = written if lick.pattern or "fingers" in rows else assign_fingers(written, hands.instrument, wider)
    return not prove(replace(lick, notes=notes), rows, hands.instrument, wider)


def _chord(pick: Picker, key: str, optional: bool, any_allowed: bool) -> tuple[int, str]:
    """Pitch class of the root and the family of the chord in an entry; -1 where there is none, or where it may be any."""
    leaf = pick.leaf(key, required=not optional)
    if leaf is None or (any_allowed and leaf.text == "any"):
        return -1, ""
    chord = read_chord(leaf.text, Key(0)) if leaf.text[:1] in "ABCDEFG" else None
    if chord is None:
        pick.error(
            "chord-unknown", f'"{leaf.text}" is not a chord', leaf.span, "write a chord by letter, such as G, C7 or Em"
        )
        return -1, ""
    return chord.root_class, chord.quality.family
