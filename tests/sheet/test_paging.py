"""Where pages end, and what turning them costs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.sheet import paging
from chartc.sheet.paging import LEAF, Strip, pages, turning
from tests.chart.charts import song as song_of


def no_turns() -> list[float]:
    """Told to the page breaker where no turn may be looked at."""
    raise AssertionError("two pages are never turned")


def even(count: int, of: int, high: float = 100.0) -> list[Strip]:
    """So many rows, `of` of them to a section."""
    return [Strip(high, 0, n // of, n % of == 0) for n in range(count)]


def test_a_section_is_kept_together_where_no_page_is_lost() -> None:
    """Protects the page turn: a section that would be torn goes to the next page when the number of pages stays the same."""
    strips = [Strip(110, 0, 0, True), Strip(110, 0, 0, False), Strip(90, 0, 1, True), Strip(90, 0, 1, False)]
    assert pages(strips, 310.0, 310.0, no_turns).pages == ((0, 2), (2, 4))


def test_a_section_that_fits_leaves_a_page_half_blank() -> None:
    """Protects long sections: five rows that a page holds stand together, though the page before ends in the middle."""
    strips = [*even(3, 3), *[Strip(100, 0, 1, n == 0) for n in range(5)]]
    assert pages(strips, 600.0, 600.0, no_turns).pages == ((0, 3), (3, 8))


def test_endings_stand_together() -> None:
    """Protects repeats: where a section must be torn, it is not torn before an ending, which is found by looking at the other one."""
    strips = [Strip(100, 0, 0, n == 0, ending=n in (5, 6)) for n in range(10)]
    made = pages(strips, 500.0, 600.0, no_turns).pages
    assert len(made) == 2
    assert made[0][1] == 4


def test_no_page_stays_blank_for_a_section_that_no_page_holds() -> None:
    """Protects the first page: a section of ten rows begins beneath a short one and is torn, rather than leave the page empty."""
    strips = [Strip(110, 0, 0, True), *(Strip(110, 0, 1, n == 0) for n in range(10))]
    made = pages(strips, 660.0, 760.0, no_turns).pages
    assert made[0][1] >= 5
    assert len(made) == 2


def test_facing_pages_come_before_all_else() -> None:
    """Protects the stand: no third page is added to keep a section together."""
    assert len(pages(even(6, 3), 200.0, 400.0, lambda: [0.0] * 6).pages) == 2


def test_a_turn_falls_where_it_is_cheap() -> None:
    """Protects the turn itself: the second page ends before the row where turning costs least."""
    for cheap in (8, 9):
        cost = [0.0 if n == cheap else 30.0 for n in range(12)]
        made = pages(even(12, 12), 500.0, 500.0, lambda cost=cost: cost).pages  # type: ignore[misc]
        assert len(made) == 3
        assert made[1][1] == cheap


def test_a_fourth_page_saves_many_turns() -> None:
    """Protects songs that go to and fro: a page beside one that is there anyway is better than ten turns, but not than two."""
    strips = even(12, 4)
    for times, count in ((2, 3), (10, 4)):
        cost = [0.0 if n == 4 else times * 25.0 for n in range(12)]
        made = pages(strips, 300.0, 500.0, lambda cost=cost: cost).pages  # type: ignore[misc]
        assert len(made) == count, made
        if count == 4:
            assert made[1][1] == 4


def weighed(
    cuts: Sequence[tuple[int, int]], strips: Sequence[Strip], first: float, room: float, turned: Sequence[float]
) -> float:
    """What pages cost, said once more, page by page."""
    whole = {
        s.section: sum(
            t.height + (t.above if t is not strips[0] and not t.opens else 0.0)
            for t in strips
            if t.section == s.section
        )
        for s in strips
    }
    sections = [s.section for s in strips]
    total = 0.0
    for k, (a, z) in enumerate(cuts):
        right, last = k % 2 == 1, z == len(strips)
        high = sum(s.height for s in strips[a:z]) + sum(s.above for s in strips[a + 1 : z])
        space = room if k else first
        slack = max(0.0, (space - high) / space)
        total += 0.3 * slack**2 if last else 8 * slack**2 + (20 if slack > 1 / 3 else 0)
        if right:
            total += 150
        if k and not right:
            total += LEAF + turned[a]
        if k and sections[a - 1] == sections[a]:
            before, after = sections[:a].count(sections[a]), sections[a:].count(sections[a])
            torn = (30 if whole[sections[a]] <= room else 0) + (30 if min(before, after) == 1 else 0)
            torn += 30 if strips[a].ending else 0
            total += torn + (60 if torn and not right else 0)
    return total


@given(
    st.lists(
        st.tuples(st.integers(30, 120), st.booleans(), st.integers(0, 200), st.booleans()), min_size=1, max_size=10
    ),
    st.integers(120, 300),
    st.integers(150, 300),
)
def test_no_way_of_breaking_pages_is_better(raw: list[tuple[int, bool, int, bool]], first: int, room: int) -> None:
    """Protects the claim that the pages are the best there are: no way of cutting small songs costs less, every way tried."""
    section = 0
    strips = []
    for n, (height, opens, _, ending) in enumerate(raw):
        section += opens and n > 0
        strips.append(Strip(height, 7.0 if n and not opens else 0.0, section, opens or n == 0, ending))
    turned = [float(t) for _, _, t, _ in raw]
    n = len(strips)

    def fits(cuts: Sequence[tuple[int, int]]) -> bool:
        return all(
            sum(s.height for s in strips[a:z]) + sum(s.above for s in strips[a + 1 : z]) <= (room if k else first)
            for k, (a, z) in enumerate(cuts)
        )

    best = min(
        weighed(cuts, strips, first, room, turned)
        for count in range(n)
        for ends in combinations(range(1, n), count)
        if fits(cuts := list(zip((0, *ends), (*ends, n), strict=True)))
    )
    made = pages(strips, first, room, lambda: turned)
    assert fits(made.pages)
    assert made.cost == pytest.approx(weighed(made.pages, strips, first, room, turned))
    assert made.cost == pytest.approx(best)


@given(st.lists(st.tuples(st.floats(20, 200), st.booleans()), min_size=0, max_size=40), st.floats(0, 700))
def test_pages_tile_the_rows_and_hold_them(raw: list[tuple[float, bool]], first: float) -> None:
    """Protects every page: all rows in order, none beyond the page's foot, at least one page."""
    section = 0
    strips = []
    for n, (height, opens) in enumerate(raw):
        section += opens and n > 0
        strips.append(Strip(height, 7.0, section, opens or n == 0))
    made = pages(strips, first, 700.0, lambda: [0.0] * len(strips)).pages
    assert made
    assert [n for a, z in made for n in range(a, z)] == list(range(len(strips)))
    for k, (a, z) in enumerate(made):
        height = sum(s.height for s in strips[a:z]) + sum(s.above for s in strips[a + 1 : z])
        assert height <= (700.0 if k else first) + 1e-6 or a == z


TO_AND_FRO = """title To and Fro
key G
meter 4/4
tempo quarter = 120
form verse, chorus, verse, chorus, verse
section verse, 8 measures
| G | G | C | G |
| G | G | D | G |
section chorus, 4 measures
| C | G | D | G |
"""


def test_a_turn_counts_as_often_as_it_is_made() -> None:
    """Protects songs that return: a page's end inside the verse is turned at as often as the verse is played, and back again before
    the verse returns; one between verse and chorus at every change between them."""
    song = song_of(TO_AND_FRO, advice=True)
    starts = [(0, 0), (0, 4), (1, 0)]
    never = turning(song, starts, lambda last, first: 0)
    # inside the verse: three times forward, and back from the chorus twice; before the chorus: there twice, and back twice
    assert never == pytest.approx([0.0, 5 * paging.TURN, 4 * paging.TURN])
    always = turning(song, starts, lambda last, first: 4 * 480)
    assert always == pytest.approx([cost * paging.ALWAYS for cost in never])


def test_a_rest_counts_in_seconds() -> None:
    """Protects slow songs: the same rest gives more time where the beat is slower; half a second is some time, two are enough."""
    starts = [(0, 0), (0, 4), (1, 0)]
    costs = [
        turning(song_of(TO_AND_FRO.replace("= 120", f"= {tempo}"), advice=True), starts, lambda last, first: 480)[1]
        for tempo in (240, 120, 60, 30)
    ]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] == pytest.approx(5 * paging.TURN)
    assert costs[1] > costs[2] > costs[3] == pytest.approx(5 * paging.TURN * paging.ALWAYS)
