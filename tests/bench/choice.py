"""How long the choice takes, against reading the same chart in the same process, and how it grows with the song. Run it by hand:

    python -m tests.bench.choice

Prints a table: for a chart of 48 slots the time of reading and of the choice, with nothing remembered from other charts and once
more, of the search alone where all costs and joins are known, and for each of twelve keys in a row, as ratios to reading; then
milliseconds a measure for songs of 500 to 5,000 measures, and the ratio of the longest to the others.
"""

from __future__ import annotations

import gc
import statistics
import sys
import time
from collections.abc import Callable
from typing import Any

from chartc.chart import Vocabulary, read_chart
from chartc.chart.song import Song, in_key
from chartc.licks.lick import REST, ROLES
from chartc.player import load_player
from chartc.slots.choose import fill
from chartc.slots.problem import Means, build_problem
from chartc.text.source import Source
from chartc.theory.key import all_keys

RUNS = 5
HEAD = "title Six in the Mill\nkey G\nmeter 4/4\ntempo half = 96\nmelody D4 to B4\n"

SONG = f"""{HEAD}form verse, chorus, verse, break, chorus
section verse, 16 measures
lead voice, fills banjo
| G | G | C | G |
voice | sung | sung | sung | held silent |
| G | Em | A7 | D7 |
| G | G7 | C | Am |
| G | D7 | G | G |
section chorus, 16 measures
| C | C | G | G |
| C | Am | D | D7 |
| C | C | G | Em |
| Am | D7 | G | G |
section break, 16 measures
lead fiddle, chop mandolin
| G | Bm | C | G |
| G | Em | Am | D7 |
| G | G7 | C | Cm |
| G | D7 | G | G |
"""


def text_of(measures: int) -> str:
    """A chart of so many measures (a multiple of 100), all of them printed, in sections of a hundred."""
    lines = [
        "| G | G | C | G |",
        "| G | Em | A7 | D7 |",
        "| C | C | G | G |",
        "| Am | D7 | G | G |",
        "| Bm | C | D | G |",
    ]
    sections = []
    for n in range(measures // 100):
        order = [lines[(n + k * (1 + n % 4)) % 5] for k in range(25)]
        sections.append(f"section verse {n + 1}, 100 measures\n" + "\n".join(order))
    return HEAD + "\n".join(sections) + "\n"


def seconds(work: Callable[[], Any], before: Callable[[], Any] = lambda: None, runs: int = RUNS) -> float:
    """The median of some runs; `before` is done ahead of each and not counted."""
    taken = []
    for _ in range(runs):
        before()
        gc.collect()
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def forget() -> None:
    """Drops what was worked out for other charts and songs: every bounded memory, not what is built once, such as the grammar."""
    for name, module in list(sys.modules.items()):
        if not name.startswith("chartc."):
            continue
        for thing in vars(module).values():
            if hasattr(thing, "cache_clear") and thing.cache_parameters()["maxsize"] is not None:
                thing.cache_clear()


def song_of(text: str, player: Means) -> Song:
    """The song of a chart that must be right."""
    vocabulary = Vocabulary(frozenset(ROLES) | {REST}, frozenset(player.library.by_name))
    song, found = read_chart(Source("bench.chartc", text), vocabulary)
    assert song is not None, found
    return song


def main() -> None:
    """Prints the table."""
    player, found = load_player(None, (), ())
    assert player is not None, found
    means = player.means
    song = song_of(SONG, means)
    count = sum(len(m.stretches) for s in song.sections for m in s.measures)
    keys = [in_key(song, key) for key in all_keys("major")]
    reading = seconds(lambda: song_of(SONG, means), forget)
    ready = build_problem(song, means)
    ready.solve()
    rows: list[tuple[str, float]] = [
        ("reading, nothing remembered", reading),
        ("reading, once more", seconds(lambda: song_of(SONG, means))),
        ("choice, nothing remembered", seconds(lambda: fill(song, means), forget)),
        ("choice, once more", seconds(lambda: fill(song, means))),
        ("search alone, joins known", seconds(ready.solve)),
        ("choice, each of twelve keys", seconds(lambda: [fill(one, means) for one in keys], forget, 3) / 12),
    ]
    print(f"a chart of {count} slots, median of {RUNS}; the ratio is to reading with nothing remembered")
    for name, value in rows:
        print(f"  {name:28}{1000 * value:9.1f} ms{value / reading:9.1f}")
    each = {}
    for measures in (500, 1000, 2000, 5000):
        long = song_of(text_of(measures), means)
        runs = RUNS if measures < 2000 else 3
        each[measures] = 1000 * seconds(lambda long=long: fill(long, means), runs=runs) / measures  # type: ignore[misc]
        print(f"  {measures:5} measures{each[measures]:21.3f} ms a measure (median of {runs})")
    for measures in (500, 1000, 2000):
        print(f"  a measure among 5,000 costs {each[5000] / each[measures]:.2f} times what it costs among {measures:,}")


if __name__ == "__main__":
    main()
