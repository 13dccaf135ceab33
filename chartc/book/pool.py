"""Tasks done one after another, or by any executor of the standard library's interface: processes here, or an engine on many machines."""

from __future__ import annotations

import os
import pickle
import signal
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chartc.book.make import Made, Task, make
from chartc.player import Player
from chartc.store.collecting import collect_seldom, few_collections
from chartc.store.stamp import digest

if TYPE_CHECKING:
    from concurrent.futures import Executor, Future


@dataclass(frozen=True, slots=True)
class Failed:
    """A task that a defect of the program, or the end of a process, cut short; in words."""

    words: str


@dataclass(frozen=True, slots=True)
class Settings:
    """A player's settings in a form that travels: `name` is the digest of `data`."""

    name: str
    data: bytes


def settings(player: Player) -> Settings:
    """Packs a player's settings for other processes."""
    data = pickle.dumps(player)
    packed = Settings(digest(data), data)
    # a process that is forked from this one has them already
    _PLAYERS[packed.name] = player
    return packed


_PLAYERS: dict[str, Player] = {}
_MOST_PLAYERS = 32


def work(packed: Settings, tasks: Sequence[Task]) -> list[Made | Failed]:
    """Does some tasks: what another process is asked to do. The data comes from the process that asks, never from a file."""
    player = _PLAYERS.get(packed.name)
    if player is None:
        while len(_PLAYERS) >= _MOST_PLAYERS:
            _PLAYERS.pop(next(iter(_PLAYERS)))
        player = _PLAYERS[packed.name] = pickle.loads(packed.data)
    return [_one(task, player) for task in tasks]


def _one(task: Task, player: Player) -> Made | Failed:
    try:
        return make(task, player)
    except Exception as error:
        if os.environ.get("CHARTC_DEBUG"):
            raise
        return Failed(f"{type(error).__name__}: {error}")


Job = tuple[Settings, Task]


def do(jobs: Sequence[Job], executor: Executor | None = None, at_once: int = 1) -> Iterator[tuple[int, Made | Failed]]:
    """Does all jobs and gives each one's number and result, in the order in which they are ready; what is made does not depend on it.

    Without an executor they are done here. `at_once` is how many the executor works on at once; a few more are kept waiting for it.
    """
    if executor is None:
        for n, (packed, task) in enumerate(jobs):
            yield n, work(packed, [task])[0]
        return
    # not imported where one process is enough
    from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, wait

    batches = _batches(jobs, at_once)
    waiting: dict[Future[list[Made | Failed]], list[int]] = {}
    left = iter(batches)
    broken = False
    while True:
        while not broken and len(waiting) < 3 * at_once and (batch := next(left, None)) is not None:
            packed = jobs[batch[0]][0]
            try:
                waiting[executor.submit(work, packed, [jobs[n][1] for n in batch])] = batch
            except BrokenExecutor:
                broken = True
                yield from _here(jobs, batch)
        if not waiting:
            break
        ready, _ = wait(waiting, return_when=FIRST_COMPLETED)
        for future in ready:
            batch = waiting.pop(future)
            try:
                yield from zip(batch, future.result(), strict=True)
            except BrokenExecutor as error:
                broken = True
                yield from ((n, Failed(f"a process that worked on it was ended ({error})")) for n in batch)
    # what nobody had begun is done here
    for batch in left:
        yield from _here(jobs, batch)


def _here(jobs: Sequence[Job], batch: Sequence[int]) -> Iterator[tuple[int, Made | Failed]]:
    for n in batch:
        yield n, work(jobs[n][0], [jobs[n][1]])[0]


_BATCH = 8


def _batches(jobs: Sequence[Job], at_once: int) -> list[list[int]]:
    """Numbers of jobs of one player, a few at a time, so that the settings do not travel with each; near the end ever fewer, so that no
    process waits long for another."""
    out: list[list[int]] = []
    for n, (packed, _) in enumerate(jobs):
        size = max(1, min(_BATCH, (len(jobs) - n) // (4 * at_once) + 1))
        if out and len(out[-1]) < size and jobs[out[-1][0]][0].name == packed.name:
            out[-1].append(n)
        else:
            out.append([n])
    return out


@contextmanager
def processes(count: int) -> Iterator[Executor | None]:
    """An executor of so many processes on this machine; None for one, which is this one."""
    if count <= 1:
        with few_collections():
            yield None
        return
    from concurrent.futures import ProcessPoolExecutor

    pool = ProcessPoolExecutor(count, initializer=_begin, initargs=(os.getpid(),))
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        raise
    pool.shutdown()


def _begin(parent: int) -> None:
    """A new process: it leaves stopping to its parent, and ends when the parent is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    collect_seldom()

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(0.5)
        os._exit(1)

    if os.name == "posix":
        threading.Thread(target=watch, daemon=True).start()
