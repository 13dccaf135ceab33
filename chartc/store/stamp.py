"""Whether a file is still the one that it was: first by what the file system says, then by its content."""

from __future__ import annotations

import hashlib
import os
import sys
import time
from pathlib import Path
from typing import NamedTuple

SETTLED_NS = 2_000_000_000
"""A file that was changed less than so many nanoseconds before it was noted may have been changed again within one tick of the file
system's clock (two seconds at the coarsest): it is known by its content only."""


class Stamp(NamedTuple):
    """What the file system says of a file: bytes, times of change of content and of entry in nanoseconds, number of the file."""

    size: int
    mtime_ns: int
    ctime_ns: int
    inode: int


def stamp(found: os.stat_result) -> Stamp:
    """The stamp of a file as the file system tells of it."""
    return Stamp(found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino)


def digest(data: bytes) -> str:
    """SHA-256 of the data, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def read_stamped(path: str | Path, most: int = sys.maxsize) -> tuple[bytes, Stamp]:
    """A file's bytes (`most` of them) and its stamp as it was before they were read. Raises OSError."""
    with open(path, "rb") as file:
        before = stamp(os.fstat(file.fileno()))
        # so many bytes as it should have and one more: room for the most would be made and given back for each file
        asked = min(most, before.size + 1)
        data = file.read(asked)
        if len(data) == asked:
            data += file.read(most - asked) if most < sys.maxsize else file.read()
        return data, before


class Known(NamedTuple):
    """A file's content by its digest; its stamp where that is known, and the time in nanoseconds at which it was taken."""

    content: str
    stamp: Stamp | None
    noted_ns: int


def same(path: str, known: Known) -> Known | None:
    """What is known of a file, anew where its stamp alone did not tell; None where it has another content. No error of the file
    system is raised: a file that cannot be read is not the same."""
    try:
        noted = time.time_ns()
        now = stamp(os.stat(path))
        if now == known.stamp and max(now.mtime_ns, now.ctime_ns) < known.noted_ns - SETTLED_NS:
            return known
        if known.stamp is not None and now.size != known.stamp.size:
            return None
        with open(path, "rb") as file:
            return Known(known.content, now, noted) if digest(file.read()) == known.content else None
    except (OSError, ValueError):
        return None
