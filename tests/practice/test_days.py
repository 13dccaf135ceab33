"""The practice plan: minutes, order, tempos, and its page."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.practice.cautions import CAUTIONS, EVIDENCE
from chartc.practice.days import HALF_HOUR, REST_MINUTES, Task, days, percent_of, tasks
from chartc.practice.pages import day_words, plan_pages, turn_words
from chartc.practice.progress import NOTHING, read_progress
from chartc.sheet import PAPERS, Paper, a4
from chartc.sheet.marks import Text
from chartc.text.source import Source
from chartc.theory.meter import Tempo
from tests.practice.materials import song
from tests.sheet.overlaps import overlaps

MONDAY = date(2027, 5, 3)
TEMPO = Tempo("quarter", 120)
WANTED = (
    Task("song", "Lantern", TEMPO, 40),
    Task("song", "Kiln", TEMPO, 40),
    Task("join", "a into b", TEMPO, 90),
    Task("join", "b into c", TEMPO, 30),
    Task("lick", "d", TEMPO, 30),
)
TASKS = st.lists(
    st.builds(Task, st.sampled_from(["song", "join", "lick"]), st.from_regex("[a-z]{1,9}", fullmatch=True), st.just(TEMPO), st.integers(1, 200)),
    min_size=1, max_size=20, unique_by=lambda t: (t.kind, t.words),
)  # fmt: skip


@given(TASKS, st.integers(10, 240), st.integers(0, 30))
def test_every_day_has_its_minutes_and_its_rests(wanted: list[Task], minutes: int, count: int) -> None:
    """Protects the player's time and hands: exactly so many minutes, and no half hour of playing without a rest."""
    found = days(wanted, MONDAY, MONDAY + timedelta(days=count), minutes)
    assert [d.day for d in found] == [MONDAY + timedelta(days=n) for n in range(max(1, count))]
    for day in found:
        assert day.minutes == minutes
        assert day.turns[0].kind == "warm up"
        played = 0
        for turn in day.turns:
            played = 0 if turn.kind == "rest" else played + turn.minutes
            assert played <= HALF_HOUR
            assert turn.kind != "rest" or turn.minutes == REST_MINUTES


@given(TASKS, st.integers(10, 240), st.integers(2, 30))
def test_turns_are_in_mixed_order(wanted: list[Task], minutes: int, count: int) -> None:
    """Protects the mixing: nothing twice in a row, unless there is nothing else; the same plan every time."""
    until = MONDAY + timedelta(days=count)
    found = days(wanted, MONDAY, until, minutes)
    assert found == days(wanted, MONDAY, until, minutes)
    if len(wanted) > 1:
        for day in found[:-1]:
            played = [(t.kind, t.words) for t in day.turns if t.kind not in ("rest", "warm up")]
            assert all(a != b for a, b in pairwise(played))


def test_hard_joins_come_more_often() -> None:
    """Protects the weights: over some weeks a join three times as heavy comes about three times as often."""
    joins = [Task("join", f"{n}", TEMPO, 90 if n < 8 else 30) for n in range(16)]
    licks = [Task("lick", f"{n} alone", TEMPO, 60) for n in range(8)]
    found = days((*WANTED[:2], *joins, *licks), MONDAY, MONDAY + timedelta(days=43), 30)
    count = Counter(t.words for d in found[:-1] for t in d.turns)
    hard, easy = sum(count[f"{n}"] for n in range(8)), sum(count[f"{n}"] for n in range(8, 16))
    assert 2 < hard / easy < 3.5
    assert min(count[f"{n}"] for n in range(16)) > 0


def test_tempos_rise_in_small_steps_to_the_full_one() -> None:
    """Protects slow beginnings: each task's tempo never falls, begins at 60 percent, steps by a few percent, and ends at the full
    tempo."""
    found = days(WANTED, MONDAY, MONDAY + timedelta(days=28), 60)
    for task in WANTED:
        percents = [t.percent for d in found[:-1] for t in d.turns if t.words == task.words]
        assert percents == sorted(percents)
        assert percents[0] == 60
        assert percents[-1] >= 95
        assert all(b - a <= 5 for a, b in pairwise(percents))
        assert all(t.tempo and t.tempo.count == round(1.2 * t.percent) for d in found for t in d.turns if t.percent)


@pytest.mark.parametrize(
    ("visits", "expected"), [(1, [80]), (2, [60, 100]), (3, [60, 80, 100]), (4, [60, 70, 85, 100])]
)
def test_the_steps(visits: int, expected: list[int]) -> None:
    """Protects the steps themselves: even, multiples of five, from slow to full."""
    assert [percent_of(n, visits) for n in range(visits)] == expected


def test_the_last_day_is_the_songs_in_order_at_their_tempo() -> None:
    """Protects the day before the show: nothing new, no joins, the set as it will be played."""
    last = days(WANTED, MONDAY, MONDAY + timedelta(days=5), 30)[-1]
    played = [t for t in last.turns if t.kind not in ("rest", "warm up")]
    assert {t.kind for t in played} == {"song"}
    assert {t.percent for t in played} == {100}
    assert [t.words for t in played][:4] == ["Lantern", "Kiln", "Lantern", "Kiln"]


@pytest.mark.parametrize(
    ("wanted", "until", "minutes"),
    [((), 5, 30), (WANTED, -1, 30), (WANTED, 400, 30), (WANTED, 5, 9), (WANTED, 5, 241)],
)
def test_plans_that_cannot_be_are_refused(wanted: tuple[Task, ...], until: int, minutes: int) -> None:
    """Protects callers: no tasks, a show in the past or too far off, too few or too many minutes."""
    with pytest.raises(ValueError, match=r"\w"):
        days(wanted, MONDAY, MONDAY + timedelta(days=until), minutes)


def test_tasks_come_from_songs_joins_and_licks() -> None:
    """Protects the link to the set: every song is there, joins that are clean are not, licks being learnt weigh more than known ones."""
    m = song("hens-in-the-hold")
    found = tasks([m], NOTHING)
    assert [t.words for t in found if t.kind == "song"] == [f"{m.title} in G"]
    joins = [t for t in found if t.kind == "join"]
    assert [t.weight for t in joins] == sorted((t.weight for t in joins), reverse=True)
    j = m.joins[0]
    a, b = m.items[j.before].lick, m.items[j.after].lick
    assert any(t.words.startswith(f"{a} into {b} ") for t in joins)
    lick = next(t for t in found if t.kind == "lick").words.split(" over ")[0]
    marked, _ = read_progress(Source("m", f"clean {a} into {b}\nlearning {lick}"))
    again = tasks([m], marked)
    if j.hardness <= 60:
        assert not any(t.words.startswith(f"{a} into {b} ") for t in again)
    weight = {t.words: t.weight for t in found if t.kind == "lick"}
    assert any(t.weight == weight.get(t.words, 0) + 40 for t in again if t.words.startswith(f"{lick} over "))
    known, _ = read_progress(Source("m", f"known {lick}"))
    assert not any(t.kind == "lick" and t.words.startswith(f"{lick} over ") for t in tasks([m], known))


@pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
@pytest.mark.parametrize("minutes", [10, 30, 60, 120, 240])
def test_a_week_is_a_page_on_which_everything_stands(minutes: int, paper: Paper) -> None:
    """Protects the print: a page for each week, every turn on it once, inside the margins, nothing over anything else."""
    long = tuple(Task(t.kind, f"{t.words} into a lick with a very long name indeed (Forty-Rod Levee, banjo break {n})", TEMPO, t.weight)
                 for n, t in enumerate(WANTED))  # fmt: skip
    until = MONDAY + timedelta(days=16)
    found = days(long, MONDAY + timedelta(days=2), until, minutes)
    pages = plan_pages(
        "Practice: a set with a long name, and another song, and one more that is long too", found, until, paper
    )
    assert len(pages) == 3
    for page in pages:
        texts = [m for m in page.marks if isinstance(m, Text)]
        for mark in page.marks:
            left, top, right, bottom = mark.box
            assert left >= paper.left - 1 and right <= paper.edge + 0.5 and top > 0 and bottom < paper.height, mark
        assert not overlaps(page.marks), minutes
        assert " ".join(CAUTIONS.split()) in " ".join(" ".join(m.text for m in texts if m.kind == "caution").split())
    said = " ".join(m.text for page in pages for m in page.marks if isinstance(m, Text) and m.kind in ("turn", "day"))
    for day in found:
        assert day_words(day.day) in said
    boxes = sum(getattr(m, "kind", "") == "box" for page in pages for m in page.marks)
    assert boxes == sum(t.kind != "rest" for d in found for t in d.turns)


def test_the_first_page_says_how_little_is_known() -> None:
    """Protects honesty: the evidence for mixed order is named with its sources, and called small and mixed."""
    until = MONDAY + timedelta(days=3)
    page = plan_pages("Practice", days(WANTED, MONDAY, until, 30), until, a4)[0]
    said = " ".join(m.text for m in page.marks if isinstance(m, Text) and m.kind == "caution")
    assert " ".join(EVIDENCE.split()) in " ".join(said.split())
    assert "small and mixed" in EVIDENCE


def test_turns_in_words() -> None:
    """Protects the words on the page: minutes, note value, tempo and percent, and what to play."""
    day = days(WANTED, MONDAY, MONDAY + timedelta(days=3), 30)[0]
    assert turn_words(day.turns[0]) == "5 min  slow rolls on open strings, then a vamp"
    assert turn_words(day.turns[1]) == "5 min, quarter = 72 (60 percent): join a into b"
