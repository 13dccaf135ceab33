"""Singers: their ranges, the keys they insist on, and the part they sing in a duet. Notes are MIDI numbers (C4 = 60)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source, Span
from chartc.text.tree import Branch, Leaf, Picker, Table, read_tree
from chartc.theory import pitch
from chartc.theory.key import Key, parse_key


@dataclass(frozen=True, slots=True)
class Range:
    """From the lowest to the highest note."""

    low: int
    high: int

    @property
    def words(self) -> str:
        """As written: `A3 to D5`."""
        return f"{pitch.note_name(self.low)} to {pitch.note_name(self.high)}"


@dataclass(frozen=True, slots=True)
class Voice:
    """A part in a duet: the semitones by which it lies above the melody, at its lowest note and at its highest."""

    at_low: int
    at_high: int


VOICES: dict[str, Voice] = {
    "lead": Voice(0, 0),
    # a third or a fourth above the lead: what the highest note needs is a fourth (common practice, no source)
    "tenor": Voice(3, 5),
    # a third or a fourth below
    "baritone": Voice(-5, -3),
    # the tenor an octave down, the baritone an octave up
    "low tenor": Voice(-9, -7),
    "high baritone": Voice(7, 9),
}
"""The parts by the names that singers give them."""


@dataclass(frozen=True, slots=True)
class Singer:
    """A singer. `comfortable` is the part of the range that can be sung all evening (the whole range where none is given); `keys` are
    those insisted on, by the chart's real path; `part` is the part sung in a duet by who does not lead; `written` is the name in the
    singers' file."""

    name: str
    range: Range
    comfortable: Range
    part: str = "tenor"
    keys: Mapping[str, Leaf] = field(default_factory=dict)
    written: Leaf | None = None


def read_singers(source: Source, folder: Path) -> tuple[dict[str, Singer], tuple[Diagnostic, ...]]:
    """The singers of a file by name; paths in it are relative to `folder`."""
    found: list[Diagnostic] = []
    tree, errors = read_tree(source)
    found.extend(errors)
    out: dict[str, Singer] = {}
    if tree is None:
        return out, tuple(found)
    if not isinstance(tree, Table):
        help = "begin it with a line: singers:"
        found.append(Diagnostic("yaml-kind", "a singers' file is a table", tree.span, help))
        return out, tuple(found)
    pick = Picker(tree, "a singers' file", found)
    if "singers" not in tree.entries:
        pick.leaf("singers", required=True)
    names: dict[str, Span] = {}

    def one(table: Table) -> None:
        own = Picker(table, "a singer", found)
        leaf = own.leaf("name", required=True)
        singer = _singer(own, leaf, folder)
        if leaf is None:
            return
        if leaf.text in names:
            found.append(
                Diagnostic("singer-twice", f'there are two singers of the name "{leaf.text}"', leaf.span,
                           "give one of them another name", related=((names[leaf.text], "the first"),))
            )  # fmt: skip
            return
        names[leaf.text] = leaf.span
        if singer is not None:
            out[leaf.text] = singer

    pick.tables("singers", one)
    pick.done()
    return out, tuple(found)


def _singer(own: Picker, name: Leaf | None, folder: Path) -> Singer | None:
    whole = read_range(own, "range", required=True)
    comfortable = read_range(own, "comfortable")
    part = own.word("part", tuple(VOICES), "tenor")
    keys = _keys(own, folder)
    if whole and comfortable and (comfortable.low < whole.low or comfortable.high > whole.high):
        leaf = own.table.entries["comfortable"]
        own.error("singer-range", f"what is comfortable lies outside the range, {whole.words}", leaf.span,
                  "a comfortable range lies inside the whole one")  # fmt: skip
    own.done()
    if whole is None or name is None:
        return None
    return Singer(name.text, whole, comfortable or whole, part, keys, name)


def read_range(own: Picker, key: str, required: bool = False) -> Range | None:
    """An entry such as `A3 to D5`."""
    leaf = own.leaf(key, required)
    if leaf is None:
        return None
    words = leaf.text.split()
    try:
        if len(words) != 3 or words[1] != "to":
            raise ValueError
        low, high = pitch.midi(words[0]), pitch.midi(words[2])
    except ValueError:
        own.error("singer-range", f'"{leaf.text}" is no range', leaf.span,
                  "write the lowest and the highest note with their octaves: A3 to D5   (C4 is middle C)")  # fmt: skip
        return None
    if low >= high or low < 24 or high > 96:
        own.error("singer-range", f"nobody sings from {words[0]} to {words[2]}", leaf.span,
                  "the lowest note stands first, and C4 is middle C: a usual range is A3 to D5")  # fmt: skip
        return None
    return Range(low, high)


def _keys(own: Picker, folder: Path) -> dict[str, Leaf]:
    node = own.node("keys")
    out: dict[str, Leaf] = {}
    if node is None:
        return out
    if not isinstance(node, Table):
        help = "write: keys: {ferry.chartc: A}"
        own.error("yaml-kind", '"keys" is a table of charts and keys', node.span, help)
        return out
    for name, leaf in node.keys.items():
        value = node.entries[name]
        path = folder / name
        if not path.is_file():
            own.error(
                "file-unreadable",
                f'there is no chart "{name}"',
                leaf.span,
                "a path in this file is relative to the file",
            )
        if read_key(own, value) is not None and isinstance(value, Leaf):
            out[str(path.resolve())] = value
    return out


def read_key(own: Picker, node: Leaf | Branch | Table, one_of_several: bool = False) -> Key | None:
    """A key as the value of an entry, or in a list of keys."""
    if not isinstance(node, Leaf):
        own.error("yaml-kind", "a key is one value", node.span, "write one key, such as: Bb")
        return None
    key = parse_key(node.text)
    if key is None:
        help = "write a key such as: G, Bb, F# or A minor"
        several = [part.strip() for part in node.text.split(",")]
        if one_of_several and len(several) > 1 and all(parse_key(part) for part in several):
            help = f"several keys are a list: [{', '.join(several)}]"
        own.error("book-key", f'"{node.text}" is not a key', node.span, help)
    return key
