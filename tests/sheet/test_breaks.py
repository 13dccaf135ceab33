"""Where rows end."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.sheet.breaks import INF, Item, Rows


def sizes(count: int, per_line: int, least: float = 100.0, room: float = 500.0, pickup: bool = False) -> list[int]:
    """Measures in each row, for `count` measures written `per_line` to a line."""
    items = [Item(40.0, 0, True)] if pickup else []
    items += [Item(least, n // per_line, False) for n in range(count)]
    return [z - a for a, z in Rows(items).broken(room)]


def test_the_players_rows_are_kept() -> None:
    """Protects the player's phrases: lines of four stay rows of four, lines of three rows of three."""
    assert sizes(8, 4) == [4, 4]
    assert sizes(6, 3) == [3, 3]
    assert sizes(10, 5) == [5, 5]


def test_long_lines_are_cut_evenly() -> None:
    """Protects against a measure stranded alone: five are three and two, six three and three, forty ten times four."""
    assert sizes(5, 5, least=120.0) == [3, 2]
    assert sizes(6, 6, least=120.0) == [3, 3]
    assert sizes(40, 40) == [4] * 10


def test_a_long_line_keeps_its_phrases() -> None:
    """Protects phrases of four in a line of many measures: what is left over stands at its end, not at its beginning."""
    assert sizes(9, 9) == [4, 3, 2]
    assert sizes(17, 17) == [4, 4, 4, 3, 2]
    # the first measure is so wide that three fill the row: its phrase alone is cut in two
    assert [z - a for a, z in Rows([Item(200.0 if n == 0 else 120.0, 0, False) for n in range(16)]).broken(500.0)] == [
        2,
        2,
        4,
        4,
        4,
    ]


def test_a_measure_alone_on_its_line_joins_the_row_before() -> None:
    """Protects against a measure stranded alone where the player's own line is that short: 4 + 1 becomes 2 + 3, the phrase of
    four is cut in its middle."""
    assert sizes(5, 4) == [2, 3]


def test_short_lines_are_joined() -> None:
    """Protects paper: two lines of two measures make one row."""
    assert sizes(4, 2) == [4]


def test_a_pickup_does_not_count() -> None:
    """Protects the four measures after a pickup from being cut."""
    assert sizes(4, 4, pickup=True) == [5]


def test_wide_measures_stand_fewer_to_a_row() -> None:
    """Protects dense measures: four that do not fit are two and two, never three and one."""
    assert sizes(4, 4, least=200.0) == [2, 2]


def every_way(count: int) -> Iterator[list[tuple[int, int]]]:
    """Every way to cut so many measures into rows."""
    for ends in range(1 << (count - 1)):
        stops = [n + 1 for n in range(count - 1) if ends >> n & 1] + [count]
        yield list(zip([0, *stops], stops, strict=False))


@given(
    st.lists(st.tuples(st.floats(30, 300), st.integers(0, 4)), min_size=1, max_size=9),
    st.booleans(),
    st.sampled_from([3, 4, 8]),
)
def test_no_way_of_breaking_rows_is_better(raw: list[tuple[float, int]], pickup: bool, most: int) -> None:
    """Protects the optimum over the whole section: against every way there is to cut it, tried one by one."""
    line = 0
    items = []
    for n, (least, step) in enumerate(raw):
        line += step == 0
        items.append(Item(least, line, pickup and n == 0 and len(raw) > 1))
    of = Rows(items, most)
    best = min(of.total(way, 500.0) for way in every_way(len(items)))
    assert best < INF
    assert of.total(of.broken(500.0), 500.0) == pytest.approx(best)


def test_the_whole_section_is_weighed() -> None:
    """Protects against breaking row by row: filling the first row would leave the phrase of the next line torn."""
    items = [Item(w, n // 4, False) for n, w in enumerate([100, 100, 100, 100, 160, 160, 100, 100, 100, 100, 100, 100])]
    assert [z - a for a, z in Rows(items).broken(500.0)] == [4, 2, 2, 4]


@given(
    st.lists(st.tuples(st.floats(30, 600), st.integers(0, 6)), min_size=1, max_size=30),
    st.booleans(),
)
def test_rows_tile_the_section_and_fit(raw: list[tuple[float, int]], pickup: bool) -> None:
    """Protects the whole sheet: every measure is in one row, in order, and only a measure too wide for any row exceeds one."""
    line = 0
    items = []
    for n, (least, step) in enumerate(raw):
        line += step == 0
        items.append(Item(least, line, pickup and n == 0 and len(raw) > 1))
    made = Rows(items).broken(500.0)
    assert [n for a, z in made for n in range(a, z)] == list(range(len(items)))
    for a, z in made:
        if sum(i.least for i in items[a:z]) > 500.0:
            assert sum(1 for i in items[a:z] if not i.pickup) <= 1
