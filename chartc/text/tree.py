"""YAML read as a tree of plain text with places: no objects are built, nothing is guessed, every error has its place.

Scalars stay text (`no`, `1:30` and `012` mean what they say). Duplicate keys, anchors, aliases, merge keys and tags are
refused, and size, depth and number of nodes are capped.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import accumulate

from chartc.text.diagnostic import Diagnostic, nearest
from chartc.text.reading import ENTRIES
from chartc.text.source import Source, Span

MAX_DEPTH = 12
MAX_NODES = 200_000

# no sign but minus, no underscore, no digit of another script, and not so long that counting it takes time
_WHOLE = re.compile(r"-?[0-9]{1,18}")
_DECIMAL = re.compile(r"-?[0-9]{1,18}(?:\.[0-9]{1,18})?|-?\.[0-9]{1,18}")


@dataclass(frozen=True, slots=True)
class Leaf:
    """A scalar: its text and its place, without the quotes; `plain` unless it is a block of lines (`|` or `>`)."""

    text: str
    span: Span
    plain: bool = True


@dataclass(frozen=True, slots=True)
class Branch:
    """A list of nodes."""

    items: tuple[Node, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping; `keys` has the key's own place."""

    entries: dict[str, Node]
    keys: dict[str, Leaf]
    span: Span


Node = Leaf | Branch | Table

_SCALAR, _SEQUENCE, _MAPPING, _END = range(4)
_Event = tuple[int, int, int, str, bool]
"""What the YAML library reports and a tree is made of: kind, where it begins and ends in the text, a scalar's text, and whether it is
no block of lines."""


def read_tree(source: Source) -> tuple[Node | None, tuple[Diagnostic, ...]]:
    """The tree of a YAML text, or None and what is wrong."""
    import yaml

    found: list[Diagnostic] = []

    # YAML knows more line ends than a source does, so places come from the index alone
    text = "\n".join((*source.lines, ""))
    starts = list(accumulate((len(line) + 1 for line in source.lines), initial=0))

    def place(index: int) -> tuple[int, int]:
        line = bisect_right(starts, index)
        if line > len(source.lines):
            return max(1, len(source.lines)), len(source.line(len(source.lines))) + 1
        return line, index - starts[line - 1] + 1

    count_of_lines = len(source.lines)

    def at(first: int, last: int | None = None) -> Span:
        line = bisect_right(starts, first)
        if line <= count_of_lines and last is not None and last < starts[line]:
            column = first - starts[line - 1] + 1
            return Span(source, line, column, max(column + 1, column + last - first))
        line, column = place(first)
        return source.span(line, column)

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    # events first: depth, aliases, anchors and tags are refused before anything is built from them
    depth = count = documents = 0
    events: list[_Event] = []
    try:
        for event in yaml.parse(text, Loader=loader):
            count += 1
            start, end = getattr(event.start_mark, "index", 0), getattr(event.end_mark, "index", 0)
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents == 2:
                    found.append(
                        Diagnostic(
                            "yaml-syntax",
                            "a second document begins here",
                            at(start, end),
                            "take the line --- out, or make a second file of it",
                        )
                    )
            if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
                found.append(
                    Diagnostic(
                        "yaml-alias",
                        "anchors and aliases (& and *) are not read",
                        at(start, end),
                        "write the value out again, or put it in quotes if it is text",
                    )
                )
            if tag := getattr(event, "tag", None):
                found.append(
                    Diagnostic(
                        "yaml-tag",
                        f"the tag {tag} is not read",
                        at(start, end),
                        "leave the tag out, or put the value in quotes if it is text",
                    )
                )
            if isinstance(event, yaml.ScalarEvent):
                quoted = 1 if event.style in ("'", '"') else 0
                events.append((_SCALAR, start + quoted, end - quoted, event.value, event.style not in ("|", ">")))
            elif isinstance(event, yaml.MappingStartEvent):
                depth += 1
                events.append((_MAPPING, start, end, "", False))
            elif isinstance(event, yaml.SequenceStartEvent):
                depth += 1
                events.append((_SEQUENCE, start, end, "", False))
            elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
                depth -= 1
                events.append((_END, start, end, "", False))
            if depth > MAX_DEPTH or count > MAX_NODES:
                found.append(
                    Diagnostic(
                        "yaml-limit",
                        "the file is nested too deeply or has too many entries",
                        at(start),
                        f"{MAX_DEPTH} levels and {MAX_NODES} entries are the most that is read",
                    )
                )
                return None, tuple(found)
        if found:
            return None, tuple(found)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        found.append(
            Diagnostic(
                "yaml-syntax",
                f"this is not YAML: {error.problem or error.context}",
                None if mark is None else at(mark.index),
                "check the indent, and put text with : or # in it in quotes",
                file=source.name,
            )
        )
        return None, tuple(found)
    except yaml.reader.ReaderError as error:
        # the two readers count the position in bytes or in characters; the character itself is surer
        index = text.find(chr(error.character))
        found.append(
            Diagnostic(
                "yaml-syntax",
                f"the character U+{error.character:04X} may not stand in YAML",
                at(index, index + 1),
                "take it out",
            )
        )
        return None, tuple(found)
    except yaml.YAMLError as error:
        found.append(Diagnostic("yaml-syntax", f"this is not YAML: {str(error).splitlines()[0]}", file=source.name))
        return None, tuple(found)
    if not events:
        found.append(Diagnostic("file-empty", "the file has no entries", file=source.name, help=ENTRIES))
        return None, tuple(found)
    left = iter(events)

    def walk(event: _Event) -> Node:
        """The node that begins with this event; what is inside it is taken from what is left."""
        kind, first, last, words, plain = event
        if kind == _SCALAR:
            return Leaf(words, at(first, last), plain)
        place = at(first)
        if kind == _SEQUENCE:
            items: list[Node] = []
            while (inner := next(left))[0] != _END:
                items.append(walk(inner))
            return Branch(tuple(items), place)
        entries: dict[str, Node] = {}
        keys: dict[str, Leaf] = {}
        while (inner := next(left))[0] != _END:
            key, value = walk(inner), walk(next(left))
            if not isinstance(key, Leaf):
                found.append(Diagnostic("yaml-key", "a key must be one word", key.span))
                continue
            if key.text == "<<":
                found.append(
                    Diagnostic("yaml-alias", "merge keys (<<) are not read", key.span, "write the entries out")
                )
                continue
            if key.text in keys:
                found.append(
                    Diagnostic(
                        "yaml-duplicate",
                        f'"{key.text}" is given twice',
                        key.span,
                        "keep one of the two",
                        related=((keys[key.text].span, "first here"),),
                    )
                )
                continue
            keys[key.text] = key
            entries[key.text] = value
        return Table(entries, keys, place)

    tree = walk(next(left))
    return (None if found else tree), tuple(found)


@dataclass(slots=True)
class Picker:
    """Takes typed values out of a table and collects every error on the way; each entry is taken at most once."""

    table: Table
    what: str
    found: list[Diagnostic]
    taken: set[str] = field(default_factory=set)

    def error(self, code: str, message: str, span: Span, help: str = "") -> None:
        """Notes an error."""
        self.found.append(Diagnostic(code, message, span, help))

    def node(self, key: str) -> Node | None:
        """The entry as it is, None where absent."""
        self.taken.add(key)
        return self.table.entries.get(key)

    def leaf(self, key: str, required: bool = False) -> Leaf | None:
        """A single text value."""
        node = self.node(key)
        if node is None:
            if required:
                self.error("yaml-missing", f'{self.what} has no "{key}"', self.table.span, f"add a line: {key}: ...")
            return None
        if not isinstance(node, Leaf):
            self.error("yaml-kind", f'"{key}" wants one value, not a list or a table', node.span)
            return None
        return node

    def text(self, key: str, default: str = "", required: bool = False) -> str:
        """A single text."""
        leaf = self.leaf(key, required)
        return default if leaf is None else leaf.text

    def word(self, key: str, known: tuple[str, ...], default: str, required: bool = False) -> str:
        """One of the known words."""
        leaf = self.leaf(key, required)
        if leaf is None:
            return default
        if leaf.text not in known:
            self.error(
                "yaml-word",
                f'"{leaf.text}" is not known here{nearest(leaf.text, known)}',
                leaf.span,
                f"{key} is one of: {', '.join(known)}",
            )
            return default
        return leaf.text

    def number(self, key: str, default: int, low: int, high: int, required: bool = False) -> int:
        """A whole number from `low` to `high`."""
        leaf = self.leaf(key, required)
        return default if leaf is None else self.as_number(leaf, low, high, default)

    def as_number(self, leaf: Leaf, low: int, high: int, default: int) -> int:
        """The leaf as a whole number from `low` to `high`."""
        value = int(leaf.text) if _WHOLE.fullmatch(leaf.text) else low - 1
        if not low <= value <= high:
            self.error("yaml-number", f'"{leaf.text}" is not a whole number from {low} to {high}', leaf.span)
            return default
        return value

    def decimal(self, key: str, default: float, low: float, high: float) -> float:
        """A number from `low` to `high`."""
        leaf = self.leaf(key)
        if leaf is None:
            return default
        value = float(leaf.text) if _DECIMAL.fullmatch(leaf.text) else low - 1
        if not low <= value <= high:
            self.error("yaml-number", f'"{leaf.text}" is not a number from {low:g} to {high:g}', leaf.span)
            return default
        return value

    def flag(self, key: str, default: bool) -> bool:
        """yes or no."""
        return self.word(key, ("yes", "no"), "yes" if default else "no") == "yes"

    def leaves(self, key: str) -> tuple[Leaf, ...]:
        """A list of texts; one text alone is a list of one."""
        node = self.node(key)
        if node is None:
            return ()
        if isinstance(node, Leaf):
            return (node,)
        if isinstance(node, Branch) and all(isinstance(n, Leaf) for n in node.items):
            return tuple(n for n in node.items if isinstance(n, Leaf))
        self.error("yaml-kind", f'"{key}" wants a list of words', node.span, f"write: {key}: [one, two]")
        return ()

    def words(self, key: str, known: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of texts, each of them known."""
        out = []
        for leaf in self.leaves(key):
            if known is not None and leaf.text not in known:
                self.error(
                    "yaml-word",
                    f'"{leaf.text}" is not known here{nearest(leaf.text, known)}',
                    leaf.span,
                    f"{key} takes: {', '.join(known)}",
                )
            else:
                out.append(leaf.text)
        return tuple(out)

    def tables(self, key: str, each: Callable[[Table], None]) -> None:
        """Calls `each` with every table of a list."""
        node = self.node(key)
        if node is None:
            return
        if not isinstance(node, Branch):
            self.error("yaml-kind", f'"{key}" wants a list', node.span, "begin each entry with a dash")
            return
        for item in node.items:
            if isinstance(item, Table):
                each(item)
            else:
                self.error("yaml-kind", "each entry of this list is a table of its own", item.span)

    def done(self) -> None:
        """Reports every entry that nobody asked for."""
        for key, leaf in self.table.keys.items():
            if key not in self.taken:
                self.error(
                    "yaml-unknown",
                    f'{self.what} has no entry "{key}"{nearest(key, self.taken)}',
                    leaf.span,
                    f"known here: {', '.join(sorted(self.taken))}",
                )
