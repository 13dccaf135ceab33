"""Whether a build has anything to do. Nothing is imported for it that reads charts, sets sheets or draws."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path

from chartc.book.gather import relist
from chartc.store.cache import Cache
from chartc.store.program import program
from chartc.store.record import Record, holds, load, save
from chartc.store.stamp import digest


def run_name(options: Mapping[str, object]) -> str:
    """The name of the record of a run: the program, the folder it runs in, and all options that outputs depend on."""
    said = {name: _plain(value) for name, value in sorted(options.items())}
    return digest(json.dumps([program(), str(Path.cwd()), said]).encode())


def options_digest(options: Mapping[str, object]) -> str:
    """The digest of options alone."""
    return digest(json.dumps({name: _plain(value) for name, value in sorted(options.items())}).encode())


def _plain(value: object) -> object:
    return value if isinstance(value, (str, int, float, list, type(None))) else repr(value)


def unchanged(cache: Cache, name: str) -> tuple[Record | None, bool]:
    """The record of the last run of that name, and whether everything is as that run left it."""
    record = load(cache.record(name))
    if record is None:
        return None, False
    fine, learned = holds(record, relist)
    if fine and learned:
        save(record, cache.record(name), cache.new_files())
    elif fine and os.path.isfile(cache.record(name)):
        _used(cache.record(name))
    return record, fine


def _used(path: Path) -> None:
    """A record that is asked for stays."""
    import time

    try:
        if time.time() - path.stat().st_mtime > 86_400:
            os.utime(path)
    except OSError:
        return
