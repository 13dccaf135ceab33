"""Set lists and songbooks as written: YAML files whose first entry is `set-list` or `songbook`."""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from chartc.book.gather import matching
from chartc.book.singers import Singer, read_key, read_singers
from chartc.text.calendar import DAYS, MONTHS
from chartc.text.diagnostic import Diagnostic, has_errors, nearest
from chartc.text.reading import decode
from chartc.text.source import Source, Span
from chartc.text.tree import Branch, Leaf, Picker, Table, read_tree
from chartc.type.printable import unprintable

Read = Callable[[str], bytes]
"""Reads a file and notes that it was read. Raises OSError."""


@dataclass(frozen=True, slots=True)
class Listed:
    """A song in a list: the path of its chart as it is read, and where the list names it; who sings (the first leads); the key where it
    is fixed, and further keys that are printed with it; how long it lasts where that is said, in seconds."""

    path: str
    span: Span
    singers: tuple[str, ...] = ()
    sung: tuple[Singer, ...] = ()
    key: Leaf | None = None
    more_keys: tuple[Leaf, ...] = ()
    kickoff: str = ""
    ending: str = ""
    notes: str = ""
    seconds: int | None = None


@dataclass(frozen=True, slots=True)
class Set:
    """Songs that are played without a rest."""

    name: str
    songs: tuple[Listed, ...]


Kind = Literal["set-list", "songbook"]


@dataclass(frozen=True, slots=True)
class BookList:
    """A set list or a songbook. `players` are the paths of players' files; `facing` tells that songs of two pages begin on the left;
    `by_title` that songs stand in order of title, `least_retuning` that those of a set stand so that the fifth string is moved least;
    `keys` are the keys of every song of a songbook."""

    kind: Kind
    title: str
    date: str
    place: str
    sets: tuple[Set, ...]
    players: tuple[tuple[str, Span], ...]
    facing: bool
    by_title: bool
    least_retuning: bool
    keys: tuple[str, ...]
    listings: tuple[str, ...]
    sound: bool = True


_DURATION = re.compile(r"([0-9]{1,2}):([0-5][0-9])")


def read_list(source: Source, path: Path, read: Read) -> tuple[BookList | None, tuple[Diagnostic, ...]]:
    """The list in a text that stands at `path`; None where it is no list. Every error has its place, and all are found at once; what is
    right of a list with errors, which is not `sound`, is there to be checked further."""
    found: list[Diagnostic] = []
    tree, errors = read_tree(source)
    found.extend(errors)
    if tree is None:
        return None, tuple(found)
    first = next(iter(tree.entries), "") if isinstance(tree, Table) else ""
    if not isinstance(tree, Table) or first not in ("set-list", "songbook"):
        place = tree.keys[first].span if isinstance(tree, Table) else tree.span
        found.append(Diagnostic("book-kind", "this is neither a set list nor a songbook", place,
                                "begin it with a line: set-list: its name   or: songbook: its name"))  # fmt: skip
        return None, tuple(found)
    reader = _Reader(Picker(tree, f"a {first.replace('-', ' ')}", found), path, read)
    made = reader.set_list() if first == "set-list" else reader.songbook()
    reader.pick.done()
    found.extend(unprintable(reader.printed))
    return replace(made, sound=not has_errors(found)), tuple(found)


class _Reader:
    def __init__(self, pick: Picker, path: Path, read: Read) -> None:
        self.pick = pick
        self.path = path
        self.read = read
        self.singers: dict[str, Singer] | None = None
        self.listings: list[str] = []
        self.printed: list[Leaf] = []

    def set_list(self) -> BookList:
        pick = self.pick
        title = self._words(pick, "set-list", required=True)
        date = self._date()
        place = self._words(pick, "place")
        self._singers()
        players = self._players()
        facing = pick.flag("facing-pages", True)
        retuning = pick.word("order", ("as listed", "least retuning"), "as listed") == "least retuning"
        sets: list[Set] = []

        def one(table: Table) -> None:
            own = Picker(table, "a set", pick.found)
            name = self._words(own, "name") or f"Set {len(sets) + 1}"
            node = own.node("songs")
            songs: list[Listed] = []
            if not isinstance(node, Branch):
                own.error("yaml-kind", "a set has a list of songs", node.span if node else table.span,
                          "write: songs:   and beneath it an entry with a dash for each song")  # fmt: skip
            else:
                songs = [s for item in node.items for s in self._song(item)]
            own.done()
            sets.append(Set(name, tuple(songs)))

        if "sets" not in pick.table.entries:
            pick.leaf("sets", required=True)
        pick.tables("sets", one)
        return BookList(
            "set-list", title, date, place, tuple(sets), players, facing, False, retuning, (), tuple(self.listings)
        )

    def songbook(self) -> BookList:
        pick = self.pick
        title = self._words(pick, "songbook", required=True)
        date = self._date()
        players = self._players()
        facing = pick.flag("facing-pages", True)
        by_title = pick.word("order", ("by title", "as listed"), "by title") == "by title"
        keys = tuple(leaf.text for leaf in pick.leaves("keys") if self._is_key(leaf))
        songs: dict[str, Listed] = {}
        if "charts" not in pick.table.entries:
            pick.leaf("charts", required=True)
        for leaf in pick.leaves("charts"):
            for chart in self._charts(leaf):
                songs.setdefault(os.path.realpath(chart), Listed(chart, leaf.span))
        sets = (Set("", tuple(songs.values())),)
        return BookList("songbook", title, date, "", sets, players, facing, by_title, False, keys, tuple(self.listings))

    def _words(self, own: Picker, key: str, required: bool = False) -> str:
        """A text that is printed."""
        leaf = own.leaf(key, required)
        if leaf is None:
            return ""
        self.printed.append(leaf)
        return leaf.text

    def _is_key(self, leaf: Leaf) -> bool:
        return leaf.text.lower() == "all" or read_key(self.pick, leaf, one_of_several=True) is not None

    def _date(self) -> str:
        leaf = self.pick.leaf("date")
        if leaf is None:
            return ""
        try:
            day = datetime.date.fromisoformat(leaf.text)
        except ValueError:
            self.pick.error(
                "book-date", f'"{leaf.text}" is no date', leaf.span, "write year, month and day: 2027-05-01"
            )
            return ""
        return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"

    def _place(self, word: str) -> str:
        """A path in the list, as the command would name it."""
        return os.path.normpath(os.path.join(self.path.parent, word))

    def _players(self) -> tuple[tuple[str, Span], ...]:
        return tuple((self._place(leaf.text), leaf.span) for leaf in self.pick.leaves("players") if self._there(leaf))

    def _there(self, leaf: Leaf) -> bool:
        if os.path.isfile(self._place(leaf.text)):
            return True
        self.pick.error("file-unreadable", f'there is no file "{leaf.text}"', leaf.span,
                        "a path in this file is relative to the file")  # fmt: skip
        return False

    def _singers(self) -> None:
        leaf = self.pick.leaf("singers")
        if leaf is None:
            return
        name = self._place(leaf.text)
        try:
            data = self.read(name)
        except OSError as error:
            self.pick.error("file-unreadable", f'"{leaf.text}" cannot be read: {error.strerror}', leaf.span,
                            "a path in this file is relative to the file")  # fmt: skip
            return
        source, found = decode(data, name)
        self.pick.found.extend(found)
        if source is not None:
            self.singers, found = read_singers(source, Path(name).parent)
            self.pick.found.extend(found)

    def _charts(self, leaf: Leaf) -> list[str]:
        base = str(self.path.parent)
        charts = matching(base, leaf.text)
        self.listings.append("\0".join(("charts", base, leaf.text)))
        if not charts:
            self.pick.error("book-empty", f'there is no chart "{leaf.text}"', leaf.span,
                            "write a chart, a folder, or a pattern such as songs/*.chartc; paths are relative to this file")  # fmt: skip
        return [self._place(c) for c in charts]

    def _song(self, item: Leaf | Branch | Table) -> list[Listed]:
        if isinstance(item, Leaf):
            return [Listed(self._place(item.text), item.span)] if self._there(item) else []
        if isinstance(item, Branch):
            self.pick.error("yaml-kind", "a song is one chart, or a table with an entry song", item.span)
            return []
        own = Picker(item, "a song", self.pick.found)
        leaf = own.leaf("song", required=True)
        sings = own.leaves("sings")
        key = own.leaf("key")
        if key is not None and read_key(own, key) is None:
            key = None
        more = tuple(leaf for leaf in own.leaves("more-keys") if self._is_key(leaf))
        kickoff, ending, notes = (self._words(own, key) for key in ("kickoff", "ending", "notes"))
        seconds = self._seconds(own)
        own.done()
        if leaf is None or not self._there(leaf):
            return []
        known = [s for s in sings if self._known(own, s)]
        sung = tuple(self.singers[s.text] for s in known) if self.singers is not None else ()
        self.printed += [*known, *(singer.written for singer in sung if singer.written is not None)]
        names = tuple(s.text for s in known)
        return [Listed(self._place(leaf.text), leaf.span, names, sung, key, more, kickoff, ending, notes, seconds)]

    def _known(self, own: Picker, leaf: Leaf) -> bool:
        if self.singers is None or leaf.text in self.singers:
            return True
        own.error("singer-unknown", f'there is no singer "{leaf.text}"{nearest(leaf.text, self.singers)}', leaf.span,
                  f"known: {', '.join(self.singers)}")  # fmt: skip
        return False

    def _seconds(self, own: Picker) -> int | None:
        leaf = own.leaf("time")
        if leaf is None:
            return None
        match = _DURATION.fullmatch(leaf.text)
        if match is None:
            own.error(
                "book-time", f'"{leaf.text}" is no length of time', leaf.span, 'write minutes and seconds: "3:30"'
            )
            return None
        return int(match.group(1)) * 60 + int(match.group(2))
