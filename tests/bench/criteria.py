"""How well the choice does what good backup does: the eleven points one by one, beside two honest baselines.

`python -m tests.bench.criteria [SONGS]` prints a table. The points are measured on the notes as played, apart from the costs that the
choice minimises. Baselines: a random candidate of each slot, and the best next candidate, slot by slot in printed order.
"""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np

from chartc.book.compile import vocabulary
from chartc.chart import read_chart
from chartc.chart.song import Song, in_key
from chartc.neck.joint import problem as join_words
from chartc.player import Player, load_player
from chartc.slots.choose import choose
from chartc.slots.costs import NEVER
from chartc.slots.problem import Problem, Solution
from chartc.text.source import Source
from chartc.theory.key import all_keys

# progressions of the style, by degree (common practice, no source); ours in their order and their joining
LINES = {
    "major": ["1 1 4 1", "1 1 5 5", "1 4 1 5", "1 5 1 1", "4 4 1 1", "1 6m 4 5", "1 1 2m 5", "5 5 1 1", "1 b7 4 1", "1 17 4 4", "2 2 5 57",
              "1 3m 4 1", "4 1 5 1", "6m 6m 4 1", "1 5/7 6m 4"],
    "minor": ["1m 1m 4m 1m", "1m b7 1m 1m", "1m 4m 5 5", "1m b6 b7 1m", "b3 b7 1m 1m", "1m 1m 57 1m", "4m 4m 1m 1m", "1m b7 b6 57"],
}  # fmt: skip
TEMPOS = ("quarter = 80", "half = 84", "half = 112")


def charts(count: int) -> Iterator[tuple[str, int]]:
    """So many generated charts, each with the pitch class of the key that it is to be filled in."""
    for seed in range(count):
        rng = random.Random(seed)
        mode = "minor" if seed % 5 == 4 else "major"
        waltz = seed % 6 == 5

        def section(
            name: str, rows: int, voice: bool, rng: random.Random = rng, mode: str = mode, waltz: bool = waltz
        ) -> str:
            out = [f"section {name}, {4 * rows} measures"]
            for row in range(rows):
                line = rng.choice(LINES[mode]) if row < rows - 1 else rng.choice(LINES[mode][3:5]) + ""
                if row == rows - 1:
                    line = "5 57 1 1" if mode == "major" else "5 57 1m 1m"
                out.append("| " + " | ".join(line.split()) + " |")
                if voice:
                    out.append(
                        "voice | sung | sung | sung | held silent |"
                        if not waltz
                        else "voice | sung | sung | sung | held |"
                    )
            return "\n".join(out)

        yield (
            "\n".join(
                [
                    f"title Generated {seed}",
                    f"key {'A minor' if mode == 'minor' else 'G'}",
                    f"meter {'3/4' if waltz else '4/4'}",
                    f"tempo {'quarter = 126' if waltz else TEMPOS[seed % 3]}",
                    "melody D4 to D5",
                    "form verse, chorus, verse, chorus, break as verse, chorus",
                    section("verse", 4, True),
                    section("chorus", rng.choice((2, 4)), True),
                ]
            ),
            seed % 12,
        )


Score = dict[str, list[int]]


def measured(problem: Problem, s: Solution) -> Score:
    """Each criterion as [how often it held, how often it could]."""
    out: Score = defaultdict(lambda: [0, 0])

    def note(name: str, held: bool) -> None:
        out[name][0] += held
        out[name][1] += 1

    plan, song = problem.plan, problem.song
    drone = problem.maker.bench.instrument.drone
    for n in plan.played:
        x, c = plan.slots[n].context, s.chosen[n]
        if not c.notes:
            note("0 silent slots (fewer is better)", True)
            continue
        note("0 silent slots (fewer is better)", False)
        root = x.chord.root_class
        degrees = dict(zip(x.chord.quality.degrees, x.chord.quality.classes, strict=True))
        third = next((v for d, v in degrees.items() if d in ("3", "b3")), None)
        per_eight = c.onsets * 8 * x.step / x.ticks
        if x.voice == "sung":
            note(
                "1 plain behind the voice",
                c.role in ("roll", "vamp", "lead-in") and all(m.how != "choke" for m in c.notes),
            )
            if x.tempo == "slow":
                note("1 slow: 2 to 5 attacks of 8", 2 <= per_eight <= 5)
            if song.melody is not None:
                quarter = (song.melody.high - song.melody.low) / 4
                eight = x.ticks == 8 * x.step and not x.compound
                where = (0, 3, 6) if eight else range(0, x.ticks // x.step, 3 if x.compound else 2)
                beats = [m for m in c.notes if m.string != drone and m.at in {k * x.step for k in where}]
                outside = [m for m in beats if not song.melody.low + quarter < m.pitch < song.melody.high - quarter]
                note(
                    "2 accents out of the melody's way, or a vamp", c.role == "vamp" or len(outside) >= 0.7 * len(beats)
                )
        if x.phrase_end and x.job == "answer" and x.voice in ("held", "silent"):
            note("3 phrase ends answered", c.role in ("fill", "lick", "turnaround", "ending", "lead-in"))
            note("1 gaps: 6 of 8 attacks and an ornament", per_eight >= 6 and c.ornaments > 0)
        if x.meets:
            note("4 lead-in or answer where sections meet", c.role in ("lead-in", "fill", "turnaround"))
        elif x.next_change and not x.phrase_end:
            note("4 lead-in at a change (about half)", c.role == "lead-in")
            if x.job != "chop":
                note("4 lead-in at a change, but for chopping", c.role == "lead-in")
        if x.change:
            first = {m.pitch % 12 for m in c.notes if m.at == c.notes[0].at}
            frame = {(root + v) % 12 for d, v in degrees.items() if d in ("1", "3", "b3", "5", "b5", "#5")}
            note("5 root, third or fifth at a change", bool(first & frame))
            if third is not None:
                soon = {m.pitch % 12 for m in c.notes if m.at < 4 * x.step}
                note("5 third within two beats", (root + third) % 12 in soon)
        rub = [
            m for m in c.notes
            if m.pitch % 12 not in x.chord.classes and (m.pitch - 1) % 12 in x.chord.classes
            and not (m.string == drone and not m.fret) and (m.pitch - root) % 12 not in c.tensions
        ]  # fmt: skip
        note("6 no long or accented rub", all(m.ticks <= x.step and m.at % (2 * x.step) for m in rub))
        if c.role == "roll" and x.tempo != "slow":
            note("10 rolling measures are full", per_eight >= 7)
        if x.degree == "5" and x.next_degrees == ("1",):
            note(
                "11 last 5 has third or seventh",
                bool({(root + v) % 12 for v in (4, 10)} & {m.pitch % 12 for m in c.notes}),
            )
    last = plan.slots[plan.played[-1]].context.chord.root_class
    end = s.chosen[plan.played[-1]].notes
    note("11 the end lands on the root", bool(end) and any(m.pitch % 12 == last for m in end if m.at == end[-1].at))
    _paths(problem, s, note, out)
    return out


def _paths(problem: Problem, s: Solution, note: Callable[[str, bool], None], out: Score) -> None:
    plan, bench, speed = problem.plan, problem.maker.bench, problem.ms_per_tick
    mm = bench.instrument.fret_mm
    gaps = {(f.before, f.after): f.gap for f in plan.follows}
    run = 1
    for a, b in zip(plan.played, plan.played[1:], strict=False):
        x, y = s.chosen[a], s.chosen[b]
        words = join_words(x.grip, y.grip, plan.slots[a].ticks, gaps[a, b], bench.instrument, bench.limits, speed)
        note("joins that no hand can play (fewer is better)", bool(words))
        if x.grip.exit and y.grip.entry:
            p, q = x.grip.exit.position, y.grip.entry.position
            out["mean shift, mm a measure"][0] += round(abs(mm[p] - mm[q]))
            if plan.slots[a].chord != plan.slots[b].chord:
                note("8 at most three frets at a change of chord", abs(p - q) <= 3)
        run = run + 1 if x.lick == y.lick else 1
        for name, counts in (
            ("longest run of one lick", True),
            ("longest run of one lick but a vamp", x.role != "vamp"),
        ):
            out[name] = [max(run if counts else 0, out[name][0]), 1]
        if x.role not in ("roll", "vamp", "rest"):
            note("7 no lick twice in a row", x.lick != y.lick or x.key is not None)
    out["mean shift, mm a measure"][1] += len(plan.played)
    by_section: dict[int, list[int]] = defaultdict(list)
    for n, slot in enumerate(plan.slots):
        by_section[slot.section].append(n)
    kinds: dict[str, tuple[float, float]] = {}
    for section, slots in by_section.items():
        names = [s.chosen[n].lick for n in slots]
        out["distinct licks a section"][0] += len(set(names))
        out["distinct licks a section"][1] += 1
        said = [
            n for n in names if n and s.chosen[slots[names.index(n)]].role not in ("roll", "vamp", "rest", "lead-in")
        ]
        note("7 a lick at most twice a section", all(said.count(n) <= 2 for n in said))
        places = [s.chosen[n].place for n in slots]
        note(
            "8 at most two changes of region a section",
            sum(a != b for a, b in pairwise(places)) <= 2,
        )
        fullness = sum(s.chosen[n].onsets for n in slots) / len(slots)
        height = sum(s.chosen[n].position or 0 for n in slots) / len(slots)
        kinds[problem.song.sections[section].kind] = (fullness, height)
    if {"verse", "chorus"} <= kinds.keys():
        (plain, low), (full, high) = kinds["verse"], kinds["chorus"]
        note(
            "9 verse and chorus differ (a fifth fuller, or five frets)",
            abs(plain - full) >= 0.2 * max(plain, full) or abs(low - high) >= 5,
        )


def random_fill(problem: Problem, seed: int) -> Solution:
    """Any candidate of each slot."""
    rng = random.Random(seed)
    indexes = tuple(rng.choice([k for k, c in enumerate(d.candidates) if c.notes] or [0]) for d in problem.domains)
    return _solution(problem, indexes)


def greedy_fill(problem: Problem) -> Solution:
    """The best next candidate, slot by slot as printed."""
    indexes: list[int] = []
    for n, d in enumerate(problem.domains):
        costs = d.costs.astype(np.int64)
        if n and any(f.before == n - 1 and f.after == n for f in problem.plan.follows):
            costs = costs + problem.joiner.pair(problem.domains[n - 1], d, 0)[indexes[-1]]
        indexes.append(int(np.argmin(costs)))
    return _solution(problem, tuple(indexes))


def _solution(problem: Problem, indexes: tuple[int, ...]) -> Solution:
    return Solution(
        tuple(d.candidates[k] for d, k in zip(problem.domains, indexes, strict=True)), indexes, NEVER, False, 0
    )


def main(count: int) -> None:
    """Prints the table."""
    player, _ = load_player(None, (), ())
    assert player is not None
    columns: dict[str, Score] = {name: defaultdict(lambda: [0, 0]) for name in ("chosen", "greedy", "random")}
    songs = [*_examples(player), *generated(player, count)]
    for n, song in enumerate(songs):
        problem, best, _ = choose(song, player.means)
        assert best is not None
        for name, solution in (("chosen", best), ("greedy", greedy_fill(problem)), ("random", random_fill(problem, n))):
            for criterion, (held, possible) in measured(problem, solution).items():
                total = columns[name][criterion]
                if criterion.startswith("longest"):
                    total[:] = [max(total[0], held), 1]
                else:
                    total[0] += held
                    total[1] += possible
    print(f"{len(songs)} songs")
    print(f"| {'criterion':<58} | chosen | greedy | random |\n|---|---|---|---|")
    for criterion in sorted(set().union(*columns.values()), key=lambda c: (not c[0].isdigit(), len(c.split()[0]), c)):
        cells = []
        for score in columns.values():
            held, possible = score[criterion]
            share = "mean" in criterion or "distinct" in criterion or "longest" in criterion
            count_only = "fewer" in criterion
            cells.append(
                f"{held}"
                if count_only
                else f"{held / max(1, possible):.1f}"
                if share
                else f"{100 * held / max(1, possible):.0f} %"
            )
        print(f"| {criterion:<58} | " + " | ".join(f"{c:>6}" for c in cells) + " |")


def generated(player: Player, count: int) -> Iterator[Song]:
    for text, home in charts(count):
        song, found = read_chart(Source("generated", text), vocabulary(player))
        assert song is not None, found
        yield in_key(song, all_keys(song.key.mode)[home])


def _examples(player: Player) -> Iterator[Song]:
    for path in sorted(Path("examples").glob("*.chartc")):
        song, _ = read_chart(Source(path.name, path.read_text("utf-8")), vocabulary(player))
        assert song is not None
        yield replace(song)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
