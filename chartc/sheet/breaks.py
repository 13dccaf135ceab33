"""Where rows end and where pages end. Lengths in points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

PER_ROW = 4
"""Measures in a row where they fit."""

OWN_ROW = 6
"""Measures in a row where the player wrote so many in one line, and they fit."""


@dataclass(frozen=True, slots=True)
class Item:
    """A measure as the row breaker sees it: its least width, the player's own row it stands in, whether it is a pickup."""

    least: float
    line: int
    pickup: bool


def rows(items: Sequence[Item], room: float, most: int = PER_ROW) -> tuple[tuple[int, int], ...]:
    """Rows of measures as (first, end): the player's own rows where they fit, short ones joined, long ones cut evenly."""
    lines: list[tuple[int, int]] = []
    for n, item in enumerate(items):
        if lines and item.line == items[lines[-1][0]].line:
            lines[-1] = (lines[-1][0], n + 1)
        else:
            lines.append((n, n + 1))
    joined: list[tuple[int, int]] = []
    for line in lines:
        if joined:
            both = (joined[-1][0], line[1])
            short = _count(items, joined[-1]) <= most // 2 and _count(items, line) <= most // 2
            alone = min(_count(items, joined[-1]), _count(items, line)) <= 1
            # a measure that would stand alone joins its neighbours' row, to be cut evenly again
            if (short and _fits(items, both, room)) or (alone and _count(items, joined[-1]) < 2 * most):
                joined[-1] = both
                continue
        joined.append(line)
    out: list[tuple[int, int]] = []
    for line in joined:
        out += _cut(items, line, room, most)
    return tuple(out)


def _count(items: Sequence[Item], line: tuple[int, int]) -> int:
    return sum(1 for i in items[line[0] : line[1]] if not i.pickup)


def _fits(items: Sequence[Item], line: tuple[int, int], room: float) -> bool:
    return sum(i.least for i in items[line[0] : line[1]]) <= room


def _cut(items: Sequence[Item], line: tuple[int, int], room: float, most: int) -> list[tuple[int, int]]:
    """The fewest rows that fit, as even as can be; a measure stands alone only where nothing fits beside it."""
    first, end = line
    own = items[first].line == items[end - 1].line
    if own and _count(items, line) <= max(most, OWN_ROW) and _fits(items, line, room):
        return [line]
    for parts in range(1, end - first + 1):
        cuts = _even(items, first, end, parts, room, most)
        if cuts is not None:
            return cuts
    return [(n, n + 1) for n in range(first, end)]


def _even(
    items: Sequence[Item], first: int, end: int, parts: int, room: float, most: int
) -> list[tuple[int, int]] | None:
    ideal = _count(items, (first, end)) / parts

    @cache
    def best(start: int, left: int) -> tuple[float, tuple[int, ...]] | None:
        if left == 0:
            return (0.0, ()) if start == end else None
        found: tuple[float, tuple[int, ...]] | None = None
        for stop in range(start + 1, end + 1):
            row = (start, stop)
            count = _count(items, row)
            if count > most or (stop > start + 1 and not _fits(items, row, room)):
                break
            if count == 0:
                continue
            rest = best(stop, left - 1)
            if rest is None:
                continue
            # uneven rows cost; where they must be uneven the shorter ones stand last
            cost = (
                (count - ideal) ** 2 + (50 if count == 1 and ideal > 1 else 0) + rest[0] + 1e-3 * left * (most - count)
            )
            if found is None or cost < found[0]:
                found = (cost, (stop, *rest[1]))
        return found

    result = best(first, parts)
    if result is None:
        return None
    starts = (first, *result[1][:-1])
    return list(zip(starts, result[1], strict=True))


@dataclass(frozen=True, slots=True)
class Strip:
    """A row as the page breaker sees it: its height, further room above it where it does not open a page, its section, and
    whether a heading stands in it."""

    height: float
    above: float
    section: int
    opens: bool


def pages(strips: Sequence[Strip], first_room: float, room: float) -> tuple[tuple[int, int], ...]:
    """Pages as (first, end) of the strips: the fewest pages, then the fewest sections torn apart, then no row left alone,
    then pages evenly filled. `first_room` is the height on the first page; where not even one strip fits there, it stays
    empty. There is always a page."""
    n = len(strips)
    if not n:
        return ((0, 0),)
    if strips[0].height > first_room and first_room < room:
        return ((0, 0), *pages(strips, room, room))

    def used(start: int, stop: int) -> float:
        return sum(s.height for s in strips[start:stop]) + sum(s.above for s in strips[start + 1 : stop])

    sizes = {s.section: sum(1 for t in strips if t.section == s.section) for s in strips}
    ordinal: list[int] = []
    for k, s in enumerate(strips):
        ordinal.append(0 if k == 0 or strips[k - 1].section != s.section else ordinal[-1] + 1)

    # cost[k]: the best way to lay out strips 0..k; a page more always costs more than anything else
    best: list[tuple[float, int]] = [(0.0, 0)] + [(float("inf"), 0)] * n
    for start in range(n):
        base = best[start][0]
        if base == float("inf"):
            continue
        space = first_room if start == 0 else room
        for stop in range(start + 1, n + 1):
            height = used(start, stop)
            if height > space and stop > start + 1:
                break
            cost = base + 1000.0
            if stop < n and ordinal[stop]:
                before, after = ordinal[stop], sizes[strips[stop].section] - ordinal[stop]
                cost += 30 + (30 if before == 1 or after == 1 else 0)
            slack = max(0.0, space - height) / space
            cost += (0.3 if stop == n else 8.0) * slack * slack
            if cost < best[stop][0]:
                best[stop] = (cost, start)
    out: list[tuple[int, int]] = []
    stop = n
    while stop > 0:
        start = best[stop][1]
        out.append((start, stop))
        stop = start
    return tuple(reversed(out))
