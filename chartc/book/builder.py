"""Building: what is out of date is made again, everything else stays. One `Run` is one run of the command."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import astuple, dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from chartc.book.make import Made, Task, Wanted
from chartc.book.pool import Failed, Settings, do, settings
from chartc.book.saved import from_bytes, to_bytes
from chartc.player import Player
from chartc.store.cache import Cache
from chartc.store.program import program
from chartc.store.record import Record
from chartc.store.stamp import Known, digest, read_stamped, same, stamp
from chartc.store.writing import write_whole
from chartc.text.diagnostic import Diagnostic
from chartc.text.reading import MAX_BYTES

if TYPE_CHECKING:
    from concurrent.futures import Executor


@dataclass(frozen=True, slots=True)
class Band:
    """A player ready to be worked for: the settings, their form for other processes, and the digest of all that they consist of."""

    player: Player
    packed: Settings
    key: str


@dataclass
class Run:
    """What a run reads and writes. `old` is the record of the last run of the same command, `record` that of this one."""

    cache: Cache
    old: Record
    options: str
    executor: Executor | None = None
    at_once: int = 1
    record: Record = field(default_factory=Record)
    files: list[str] = field(default_factory=list)
    """Every output that stands when the run is over, as far as it could be made."""
    made: list[str] = field(default_factory=list)
    """Those of them that were written in this run."""
    started_ns: int = field(default_factory=time.time_ns)
    sure: bool = True
    """Whether every player's files were at rest since before they were read: else nothing is kept for the next run."""
    whole: bool = True
    """Whether all that was read is noted: else the next run has to look again."""
    incomplete: set[str] = field(default_factory=set)
    """Lists of which something could not be made."""

    def read(self, path: str) -> bytes:
        """A file's bytes, noted. Raises OSError."""
        data, noted = read_stamped(path, MAX_BYTES + 1)
        self.record.read[path] = Known(digest(data), noted, time.time_ns())
        return data

    def band(self, player: Player) -> Band:
        """A player with the digest of all that the settings consist of. Raises OSError."""
        parts = [digest(self.read(str(path))) for path in player.files]
        for path in player.files:
            noted = self.record.read[str(path)].stamp
            # it was read before it was noted, and may have been another then
            self.sure = self.sure and noted is not None and noted.mtime_ns <= self.started_ns
        return Band(
            player, settings(player), digest(json.dumps([program(), self.options, parts, player.lacking]).encode())
        )

    def write(self, path: Path, origin: str, data: Callable[[], bytes], beside: str = "") -> None:
        """Writes an output, unless it stands there already as it was made from the same; `beside` is the list beside whose book it lies.
        Raises OSError."""
        name = str(path)
        known = self.old.written.get(name)
        if known is not None and self.old.origin.get(name) == origin and (now := same(name, known)) is not None:
            self.record.written[name] = now
        else:
            made = data()
            found = write_whole(path, made, self.cache.new_files())
            self.record.written[name] = Known(digest(made), None if found is None else stamp(found), time.time_ns())
            self.made.append(name)
        if beside:
            self.record.beside[name] = [beside, self.record.written[name].content]
        self.record.origin[name] = origin
        self.files.append(name)

    def results(self, jobs: Sequence[tuple[Band, Task]]) -> Iterator[tuple[int, Made | Failed]]:
        """Every job's number and result, from the cache or made now; in the order in which they are ready."""
        # the same work may be asked for more than once
        groups: dict[tuple[str, str], list[int]] = {}
        for n, (band, task) in enumerate(jobs):
            groups.setdefault((task_key(band, task), task.name), []).append(n)
        todo: list[tuple[str, list[int]]] = []
        for (key, _), numbers in groups.items():
            made = self._kept(key, jobs[numbers[0]][1])
            if made is None:
                todo.append((key, numbers))
            else:
                yield from ((n, made) for n in numbers)
        work = [(jobs[numbers[0]][0].packed, jobs[numbers[0]][1]) for _, numbers in todo]
        for k, result in do(work, self.executor, self.at_once):
            key, numbers = todo[k]
            if isinstance(result, Made) and self.sure:
                self.cache.put(key, to_bytes(result, work[k][1]))
            yield from ((n, result) for n in numbers)

    def _kept(self, key: str, task: Task) -> Made | None:
        data = self.cache.get(key)
        try:
            return None if data is None else from_bytes(data, task)
        except ValueError:
            return None

    def clear(self) -> list[str]:
        """Removes what the last run wrote beside the books of lists and this one no longer makes, such as songs to play along with in a
        key that the list has left; the names of what is gone. A file stays where anything in it is not as it was written, where it is
        one of this run's under another name, and where its list could not be made whole: then it is left to a later run."""
        gone: list[str] = []
        ours = {_identity(name) for name in self.record.written}
        for name, (listed, content) in self.old.beside.items():
            if name in self.record.written:
                continue
            if listed in self.incomplete:
                self.record.beside[name] = [listed, content]
            elif _identity(name) not in ours and _is(name, content):
                try:
                    Path(name).unlink()
                except OSError:
                    self.record.beside[name] = [listed, content]
                else:
                    gone.append(name)
        return gone

    def settle(self) -> None:
        """Notes that the outputs are as they were written a while ago, so that the next run need not read them again."""
        now = time.time_ns()
        for name, known in self.record.written.items():
            if known.stamp is not None:
                try:
                    if stamp(Path(name).stat()) == known.stamp:
                        self.record.written[name] = known._replace(noted_ns=now)
                except OSError:
                    continue


def _identity(name: str) -> tuple[int, int] | str:
    """Equal for two names of one file, as a disk may have them that knows no capitals."""
    try:
        found = os.lstat(name)
    except OSError:
        return name
    return found.st_dev, found.st_ino


def _is(name: str, content: str) -> bool:
    """Whether a name is a file of its own, no link, and has the content with that digest."""
    try:
        path = Path(name)
        return not path.is_symlink() and digest(path.read_bytes()) == content
    except OSError:
        return False


def task_key(band: Band, task: Task) -> str:
    """The digest of all that a task's result depends on."""
    return digest(f"{band.key} {digest(task.text)} {_said(task.wanted)}".encode())


@lru_cache(maxsize=64)
def _said(wanted: Wanted) -> str:
    return json.dumps(astuple(wanted))


def once(found: Sequence[Diagnostic]) -> list[Diagnostic]:
    """The findings, each once: a chart that is read for several players is found wrong only once."""
    seen: dict[object, Diagnostic] = {}
    for d in found:
        seen.setdefault((d.place, d.code, d.message), d)
    return list(seen.values())
