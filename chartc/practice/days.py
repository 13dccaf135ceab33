"""A practice plan: what to play on which day until a show, in short turns of mixed order, hard joins more often, tempos in small steps.

The weights are ours. That mixed order helps is not certain: see `EVIDENCE`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from chartc.licks.lick import CARRYING
from chartc.practice.items import Material, wide
from chartc.practice.progress import Progress
from chartc.practice.score import slower
from chartc.theory.meter import Tempo

Kind = Literal["warm up", "join", "lick", "song", "rest"]

LEAST_MINUTES, MOST_MINUTES = 10, 240
MOST_DAYS = 370
HALF_HOUR, REST_MINUTES, WARM_UP = 30, 5, 5
TURNS = 12
"""A day has at most so many turns, so that a week fits on a page; they last four minutes at least."""

FIRST_PERCENT, LAST_PERCENT, STEP_PERCENT = 60, 100, 5
MOST_JOINS, MOST_LICKS = 20, 10


@dataclass(frozen=True)
class Task:
    """Something to be practised: its words, the tempo that it ends at, and how often it comes beside the others."""

    kind: Kind
    words: str
    tempo: Tempo
    weight: int


@dataclass(frozen=True)
class Turn:
    """A few minutes of a day. `percent` is of the song's tempo, 0 where none is meant."""

    minutes: int
    kind: Kind
    words: str
    percent: int = 0
    tempo: Tempo | None = None


@dataclass(frozen=True)
class Day:
    """One day's turns, in order."""

    day: date
    turns: tuple[Turn, ...]

    @property
    def minutes(self) -> int:
        """Minutes of playing, rests not counted."""
        return sum(t.minutes for t in self.turns if t.kind != "rest")


def tasks(materials: Sequence[Material], progress: Progress) -> tuple[Task, ...]:
    """What a set wants: every song, its hardest joins that are not clean, and the licks that are being learnt, hardest first."""
    songs: list[Task] = []
    joins: list[tuple[int, Task]] = []
    licks: dict[str, tuple[int, Task]] = {}
    learnt = set(progress.marked("known"))
    learning = set(progress.marked("learning"))
    for m in materials:
        title, tempo = m.title, m.song.tempo
        songs.append(
            Task("song", f"{title} in {m.song.key.label}", tempo, 30 + sum(j.hardness for j in m.joins[:5]) // 5)
        )
        for j in m.joins:
            a, b = m.items[j.before].lick, m.items[j.after].lick
            weight = progress.weigh(a, b, j.hardness)
            if weight:
                joins.append((weight, Task("join", f"{a} into {b} ({title}, {j.places[0]})", tempo, 10 + weight)))
        stretches = {w.item: w for w in wide(m)}
        for item in m.items:
            c = item.halves[0]
            if c.role in CARRYING or c.lick in learnt:
                continue
            weight = 10 + 10 * c.difficulty + (40 if c.lick in learning else 0)
            said = f"; wide: {stretches[item].words}" if item in stretches else ""
            task = Task("lick", f"{c.lick} over {item.chord.label} ({title}){said}", tempo, weight)
            if weight > licks.get(c.lick, (0, task))[0]:
                licks[c.lick] = (weight, task)
    joins.sort(key=lambda j: (-j[0], j[1].words))
    ranked = sorted(licks.values(), key=lambda k: (-k[0], k[1].words))
    return (*songs, *(t for _, t in joins[:MOST_JOINS]), *(t for _, t in ranked[:MOST_LICKS]))


def days(wanted: Sequence[Task], start: date, until: date, minutes: int) -> tuple[Day, ...]:
    """The days from `start` to the one before `until`, the day of the show (that day itself where there is no other). Each has so many
    minutes of playing, a rest after each half hour. On the last day there are songs only, in their order, at their tempo.

    Raises ValueError where there is no task, the show lies before the start or too far off, or the minutes are too few or too many.
    """
    if not wanted:
        raise ValueError("there is nothing to practise")
    if until < start:
        raise ValueError("the show lies before the first day")
    if (until - start).days > MOST_DAYS:
        raise ValueError(f"a plan has at most {MOST_DAYS} days")
    if not LEAST_MINUTES <= minutes <= MOST_MINUTES:
        raise ValueError(f"a day has from {LEAST_MINUTES} to {MOST_MINUTES} minutes")
    count = max(1, (until - start).days)
    lengths = _lengths(minutes)
    picker = _Picker(wanted)
    drawn: list[list[int]] = []
    for n in range(count):
        last = n == count - 1
        drawn.append(picker.songs(len(lengths)) if last else picker.day(len(lengths)))
    visits = [0] * len(wanted)
    total = [sum(day.count(k) for day in drawn) for k in range(len(wanted))]
    out = []
    for n, chosen in enumerate(drawn):
        turns = [Turn(_warm(minutes), "warm up", "slow rolls on open strings, then a vamp")]
        for k, length in zip(chosen, lengths, strict=True):
            task = wanted[k]
            percent = LAST_PERCENT if n == count - 1 else percent_of(visits[k], total[k])
            visits[k] += 1
            turns.append(Turn(length, task.kind, task.words, percent, slower(task.tempo, percent)))
        out.append(Day(start + timedelta(days=n), _rested(turns)))
    return tuple(out)


def percent_of(visit: int, visits: int) -> int:
    """The tempo at one of so many visits, in percent: from slow to full in even steps, each a multiple of five."""
    if visits <= 1:
        return (FIRST_PERCENT + LAST_PERCENT) // 2
    exact = FIRST_PERCENT + (LAST_PERCENT - FIRST_PERCENT) * visit / (visits - 1)
    return int(exact // STEP_PERCENT * STEP_PERCENT)


def _warm(minutes: int) -> int:
    return min(WARM_UP, max(2, minutes // 6))


def _lengths(minutes: int) -> list[int]:
    """Minutes of each turn after the warm-up: four or a little more, longer where there would be too many."""
    left = minutes - _warm(minutes)
    count = max(1, min(TURNS, left // 4))
    return [left // count + (n < left % count) for n in range(count)]


def _rested(turns: Sequence[Turn]) -> tuple[Turn, ...]:
    """The turns with a rest wherever half an hour of playing would be exceeded."""
    out: list[Turn] = []
    played = 0
    for turn in turns:
        if played + turn.minutes > HALF_HOUR:
            out.append(Turn(REST_MINUTES, "rest", "rest"))
            played = 0
        out.append(turn)
        played += turn.minutes
    return tuple(out)


class _Picker:
    """Draws tasks so that each comes as often as its weight says, never twice in a row, and neighbours are of different kinds
    where that can be."""

    def __init__(self, wanted: Sequence[Task]) -> None:
        self._wanted = wanted
        self._drawn = [0] * len(wanted)

    def day(self, count: int) -> list[int]:
        """A day's tasks."""
        out: list[int] = []
        for _ in range(count):
            # every task is due when it has come so often as its weight says; the one that is due first is next
            due = sorted(range(len(self._wanted)), key=lambda k: ((self._drawn[k] + 1) / self._wanted[k].weight, k))
            fresh = [k for k in due if k not in out] or due
            apart = [k for k in fresh if not out or self._wanted[k].kind != self._wanted[out[-1]].kind]
            other = [k for k in fresh if not out or k != out[-1]]
            chosen = (apart or other or due)[0]
            self._drawn[chosen] += 1
            out.append(chosen)
        return out

    def songs(self, count: int) -> list[int]:
        """Songs in their order, again from the first where there is time; other tasks where there is no song."""
        songs = [k for k, task in enumerate(self._wanted) if task.kind == "song"] or list(range(len(self._wanted)))
        return [songs[n % len(songs)] for n in range(count)]


def merged(turns: Sequence[Turn]) -> tuple[Turn, ...]:
    """Neighbours that are the same as one longer turn, as on a last day with fewer songs than turns."""
    out: list[Turn] = []
    for turn in turns:
        if out and replace(out[-1], minutes=turn.minutes) == turn:
            out[-1] = replace(turn, minutes=turn.minutes + out[-1].minutes)
        else:
            out.append(turn)
    return tuple(out)
