"""What a songbook costs: cold, on two processes, with nothing changed, with one song edited, in twelve keys; against ordinary canvas calls
that merely draw the same pages. Run it by hand:

    python -m tests.bench.books [SONGS [ROUNDS]]

Distinct seeded songs of dense tablature; the PDF library's accelerator is at work in both ways; each command is a process of its own,
whose modules Python has compiled before, as where the program is installed.
Prints seconds and ratios within one run, all of them medians of so many rounds (five, if nothing else is said).
"""

from __future__ import annotations

import atexit
import importlib
import os
import random
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from chartc.book.make import Task, Wanted
from chartc.player import Player, load_player
from chartc.press import Leaf, bind
from chartc.sheet import Page
from chartc.store.collecting import few_collections
from tests.bench.press import ordinary_calls

# as a value, so that its functions can be timed where it calls them
made: Any = importlib.import_module("chartc.book.make")

_PHRASES = (
    "G G C G", "G D7 G G", "C G D7 G", "Em C G D", "G Em Am D7", "G B7 C Cm", "G G7 C D7", "Am D7 G Em", "C C G G", "G A7 D D7",
)  # fmt: skip


def song(seed: int) -> str:
    """A chart of its own: kickoff, verse and chorus of sixteen measures, tag; about two pages of tablature."""
    rng = random.Random(seed)

    def phrase() -> str:
        chords = rng.choice(_PHRASES).split()
        if rng.random() < 0.3:
            chords[rng.randrange(4)] += " " + rng.choice(("C", "D7", "Em", "G"))
        return "| " + " | ".join(chords) + " |"

    def section(name: str, rows: int) -> str:
        return "\n".join(
            [f"section {name}, {4 * rows} measures", "  lead voice, fills banjo", *(phrase() for _ in range(rows))]
        )

    words = rng.sample(("Weir", "Alder", "Barge", "Moss", "Lock", "Heron", "Gate", "Ridge", "Ferry", "Kiln"), 3)
    parts = [section("kickoff", 1), section("verse", 4), section("chorus", 4), section("tag", 1)]
    head = [
        f"title {' '.join(words)} {seed}", "key G", "meter 4/4", f"tempo quarter = {rng.randrange(84, 190)}", "melody D4 to D5",
        "form kickoff, verse, chorus, verse, chorus, tag",
    ]  # fmt: skip
    return "\n".join(head) + "\n\n" + "\n\n".join(parts) + "\n"


@dataclass(frozen=True)
class Ran:
    """A process: seconds on the clock, seconds of the processors, megabytes at its largest."""

    clock: float
    processor: float
    megabytes: float


def command(*args: str) -> Ran:
    """Runs the command in a process of its own."""
    start = time.perf_counter()
    pid = os.spawnve(os.P_NOWAIT, sys.executable, [sys.executable, "-m", "chartc", "build", *args], _environment())
    _, status, used = os.wait4(pid, 0)
    assert os.waitstatus_to_exitcode(status) == 0, args
    return Ran(time.perf_counter() - start, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


@cache
def _environment() -> dict[str, str]:
    """Ours, but modules are compiled once, into a folder that goes when this process ends."""
    folder = tempfile.TemporaryDirectory()
    atexit.register(folder.cleanup)
    own = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**own, "PYTHONPYCACHEPREFIX": folder.name}


def shares(seeds: Iterable[int], player: Player) -> tuple[dict[str, float], list[Page]]:
    """Seconds of the processor for each stage of some songs, and their pages."""
    spent = dict.fromkeys(("parse", "choice", "layout", "draw", "bind"), 0.0)
    pages: list[Page] = []

    def timed(name: str, function: Callable[..., Any]) -> Callable[..., Any]:
        def run(*args: Any) -> Any:
            start = time.process_time()
            result = function(*args)
            spent[name] += time.process_time() - start
            if name == "layout":
                pages.extend(result)
            return result

        return run

    before = (made.read_song, made.fill_ways, dict(made.SHEETS), made.draw)
    made.read_song, made.fill_ways = timed("parse", before[0]), timed("choice", before[1])
    made.SHEETS["backup"], made.draw = timed("layout", before[2]["backup"]), timed("draw", before[3])
    try:
        done = [made.make(Task(f"{n}", song(n).encode(), Wanted((), 1, ("backup",), "a4")), player) for n in seeds]
    finally:
        made.read_song, made.fill_ways, made.draw = before[0], before[1], before[3]
        made.SHEETS.update(before[2])
    timed("bind", bind)([Leaf(p) for m in done for s in m.sheets for p in s.pages], "book")
    return spent, pages


def run(count: int, rounds: int) -> None:
    """All measures."""
    player, _ = load_player(None, ("backup",), ("a4",))
    assert player is not None
    few = min(count, 100)
    with few_collections():
        shares(range(-10, 0), player)
        ratios: list[tuple[float, float]] = []
        for n in range(rounds):
            spent, pages = shares(range(few * n, few * (n + 1)), player)
            # the marks are made one by one when somebody asks for them: not what the canvas calls cost
            assert all(len(p.marks) for p in pages)
            ordinary = _clocked(lambda pages=pages: ordinary_calls(pages))  # type: ignore[misc]
            ours = sum(spent.values())
            ratios.append((ours / ordinary, (ours - spent["choice"]) / ordinary))
    print(f"{few} songs in this process, {len(pages) / few:.2f} pages each; {rounds} times, other songs each time")
    print("  shares: " + ", ".join(f"{name} {100 * s / ours:.1f} %" for name, s in spent.items()))
    print(
        f"  text to bound book {1000 * ours / len(pages):.2f} ms a page, ordinary canvas calls {1000 * ordinary / len(pages):.2f}"
    )
    whole, without = (statistics.median(r[n] for r in ratios) for n in (0, 1))
    print(f"  ratio {whole:.2f} ({min(r[0] for r in ratios):.2f} to {max(r[0] for r in ratios):.2f})")
    print(f"  without the choice {without:.2f}")
    with tempfile.TemporaryDirectory() as folder:
        _book(Path(folder), count, rounds)


def _clocked(function: Callable[[], Any]) -> float:
    """Seconds of the processor: others may use the machine too."""
    start = time.process_time()
    function()
    return time.process_time() - start


def _book(folder: Path, count: int, rounds: int) -> None:
    songs = folder / "songs"
    songs.mkdir()
    for n in range(count):
        (songs / f"song-{n:05}.chartc").write_text(song(n), encoding="utf-8")
    (folder / "book.yaml").write_text("songbook: Bench\ncharts: songs\n", encoding="utf-8")
    book = str(folder / "book.yaml")
    # compiles the modules
    command(str(songs / "song-00000.chartc"), "--out", str(folder / "none"))
    into = str(folder / "kept")
    command(book, "--out", into)
    bound = (folder / "kept/book.pdf").read_bytes()
    cold: dict[tuple[str, int], list[Ran]] = {}
    out = folder / "cold"
    for _ in range(rounds):
        for charts in (book, str(songs)):
            for jobs in (1, 2):
                cold.setdefault((charts, jobs), []).append(command(charts, "--out", str(out), "--jobs", str(jobs)))
                assert charts != book or (out / "book.pdf").read_bytes() == bound
                shutil.rmtree(out)
    one = _middle(cold[book, 1])
    print(
        f"{count} songs cold: one process {one.clock:.1f} s ({one.processor:.1f} s of processor), {one.megabytes:.0f} MB"
    )
    for charts, what in ((book, "the whole"), (str(songs), "compiling, a file for each song")):
        times = [a.clock / b.clock for a, b in zip(cold[charts, 1], cold[charts, 2], strict=True)]
        print(f"  two processes, {what}: {statistics.median(times):.2f} times as fast")
    first = command(book, "--out", into)
    again = _middle([command(book, "--out", into) for _ in range(rounds)])
    print(
        f"  nothing changed: {1000 * again.processor:.0f} ms of processor ({1000 * first.processor:.0f} the first time)"
    )
    edited = []
    for n in range(rounds):
        (songs / f"song-{n:05}.chartc").write_text(song(count + n), encoding="utf-8")
        edited.append(command(book, "--out", into))
    middle = _middle(edited).processor
    print(f"  one song edited: {middle:.2f} s, 1/{one.processor / middle:.0f} of cold")
    alone = str(songs / "song-00005.chartc")
    keys = [
        _middle([command(alone, "--out", str(folder / f"{word}{n}"), "--keys", word) for n in range(rounds)]).processor
        for word in ("G", "all")
    ]
    print(f"  one song in 12 keys: {keys[1]:.2f} s, {keys[1] / keys[0]:.2f} times one key ({keys[0]:.2f} s)")


def _middle(ran: list[Ran]) -> Ran:
    """The one in the middle by its processor's time."""
    return sorted(ran, key=lambda r: r.processor)[len(ran) // 2]


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:]]
    run(*(*asked, *(1000, 5)[len(asked) :]))
