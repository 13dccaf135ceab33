"""The charts of set lists and songbooks, for commands that make no books."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from chartc.book.gather import Entry
from chartc.book.lists import read_list
from chartc.book.resolve import resolve
from chartc.player import Player
from chartc.text.diagnostic import Diagnostic
from chartc.text.reading import read


def charts_of(
    names: Sequence[str], player: Player
) -> tuple[tuple[Entry, ...], tuple[Diagnostic, ...], tuple[tuple[str, str], ...]]:
    """The charts that the lists name, each once, with everything that is wrong with the lists themselves and with the keys in them;
    and what could not be read (name and words)."""
    found: list[Diagnostic] = []
    trouble: list[tuple[str, str]] = []
    entries: dict[str, Entry] = {}
    for name in names:
        try:
            source, errors = read(Path(name))
        except OSError as error:
            trouble.append((name, error.strerror or str(error)))
            continue
        found.extend(errors)
        if source is None:
            continue
        listed, errors = read_list(source, Path(name), _bytes)
        found.extend(errors)
        if listed is None:
            continue
        resolved, errors, unread = resolve(listed, player, _bytes)
        found.extend(errors)
        trouble.extend(unread)
        for c in resolved.songs:
            path = Path(c.listed.path)
            entries.setdefault(os.path.realpath(path), Entry(path, c.listed.path, path.stem))
    return tuple(entries.values()), tuple(found), tuple(trouble)


def _bytes(name: str) -> bytes:
    return Path(name).read_bytes()
