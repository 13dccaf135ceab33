"""What a run read and wrote, so that the next run can see that nothing has changed without doing anything else."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from chartc.store.stamp import Known, Stamp, digest, same
from chartc.store.writing import write_whole


@dataclass(slots=True)
class Record:
    """A run: the files that it read and those that it wrote (each path as the run named it), what each of the latter was made from,
    the lists of charts that it found in folders, and what it said. `beside` are the files beside the books of lists, each with its list and
    the digest of what was written; files of earlier runs may be among them that are no longer made."""

    read: dict[str, Known] = field(default_factory=dict)
    written: dict[str, Known] = field(default_factory=dict)
    origin: dict[str, str] = field(default_factory=dict)
    listings: dict[str, list[str]] = field(default_factory=dict)
    said: Any = None
    beside: dict[str, list[str]] = field(default_factory=dict)

    def as_bytes(self) -> bytes:
        """The record as JSON after a line with its digest."""
        parts = [self.read, self.written, self.origin, self.listings, self.said, self.beside]
        body = json.dumps(parts, separators=(",", ":")).encode()
        return digest(body).encode() + b"\n" + body


def load(path: Path) -> Record | None:
    """The record in a file; None where there is none or it is damaged."""
    try:
        data = path.read_bytes()
        mark, _, body = data.partition(b"\n")
        if mark.decode("ascii", "replace") != digest(body):
            return None
        read, written, origin, listings, said, beside = json.loads(body)
        pairs = {name: [listed, content] for name, (listed, content) in beside.items()}
        return Record(_known(read), _known(written), dict(origin), dict(listings), said, pairs)
    except (OSError, ValueError, TypeError, AttributeError, KeyError, RecursionError):
        return None


def _known(table: Mapping[str, Any]) -> dict[str, Known]:
    return {
        path: Known(content, Stamp(*noted) if noted is not None else None, int(at))
        for path, (content, noted, at) in table.items()
    }


def holds(record: Record, relist: Callable[[str], list[str]]) -> tuple[bool, bool]:
    """Whether every file that the run read or wrote is as it was, and every folder has the charts that it had; and whether more is
    known now than the record said (it is then changed, and worth saving). `relist` makes a listing again by its name."""
    learned = False
    for name, found in record.listings.items():
        if relist(name) != found:
            return False, learned
    for table in (record.read, record.written):
        for path, known in table.items():
            now = same(path, known)
            if now is None:
                return False, learned
            if now is not known:
                table[path] = now
                learned = True
    return True, learned


def save(record: Record, path: Path, new: Path | None) -> None:
    """Keeps a record; `new` is the folder in which new files begin. Quiet where it cannot be written."""
    if new is None:
        return
    try:
        write_whole(path, record.as_bytes(), new, durable=False)
    except OSError:
        return
