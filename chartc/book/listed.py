"""The charts of set lists and songbooks, for commands that make no books."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from chartc.book.gather import Entry
from chartc.book.lists import read_list
from chartc.book.players import LoadPlayer, Seats, seats
from chartc.book.resolve import resolve
from chartc.player import Player
from chartc.text.diagnostic import Diagnostic
from chartc.text.reading import read


def charts_of(
    names: Sequence[str], usual: Player, load: LoadPlayer | None
) -> tuple[tuple[tuple[Entry, Seats], ...], tuple[Diagnostic, ...], tuple[tuple[str, str], ...]]:
    """The charts that the lists name, each once a list, with the players of the list (`usual` where it names none, or `load` is None);
    everything that is wrong with the lists themselves, their players and the keys in them; and what could not be read (name and words)."""
    found: list[Diagnostic] = []
    trouble: list[tuple[str, str]] = []
    out: list[tuple[Entry, Seats]] = []
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
        playing = seats(listed, usual, load)
        found.extend(playing.found)
        if not playing.seats:
            continue
        resolved, errors, unread = resolve(listed, playing.seats[0].player, _bytes)
        found.extend(errors)
        trouble.extend(unread)
        entries: dict[str, Entry] = {}
        for c in resolved.songs:
            path = Path(c.listed.path)
            entries.setdefault(os.path.realpath(path), Entry(path, c.listed.path, path.stem))
        out += [(entry, playing) for entry in entries.values()]
    return tuple(out), tuple(found), tuple(trouble)


def _bytes(name: str) -> bytes:
    return Path(name).read_bytes()
