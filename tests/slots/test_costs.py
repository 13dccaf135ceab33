"""Costs are remembered by what they read of a slot: equal readings must mean equal costs."""

from __future__ import annotations

from chartc.slots.choose import fill
from chartc.slots.costs import COSTS
from chartc.slots.problem import build_problem
from chartc.slots.rulebook import WEIGHTS
from chartc.slots.shelf import shelf_for
from chartc.slots.slot import Context
from tests.slots.small import CHOP, ROLLS, SAYINGS, house, library, means, part, song

LIBRARY = library(ROLLS, CHOP, SAYINGS)

SONGS = (
    ("form verse, chorus, verse, break, chorus\nsection verse, 8 measures\nlead voice, fills banjo\n| G | C | G | D7 |\nvoice | sung | held silent | sung | silent |\n"
     "| G | C | D7 | G |\nsection chorus, 4 measures\n| C | G C | D7 | G |\nsection break, 4 measures\nlead fiddle, chop mandolin\n| G | C | D7 | G |",
     {"melody": "D4 to B4"}),
    ("section verse, 16 measures\nlead voice, fills banjo\n" + "| G | C | D7 | G |\nvoice | sung | sung | sung | held silent |\n" * 2
     + "| G | C | D7 | G |\nvoice | sung | silent | held | silent |\n" * 2, {"tempo": "half = 112"}),
    ("section kickoff, 4 measures\n| G | G | D7 | G |\nsection verse, 4 measures\nlead voice, fills fiddle\n| G | C | D7 | G |",
     {"meter": "3/4", "tempo": "quarter = 66"}),
    ("section bridge, 4 measures\nlead banjo\n| Em | Am | D7 | G |\nsection tag, 2 measures\n| G C | G |", {"meter": "2/4", "melody": "C4 to C5"}),
)  # fmt: skip


def test_equal_readings_are_equal_costs() -> None:
    """Protects every sheet after the first: a cost that is worked out for one slot is used for all slots that read alike, so that
    it may read nothing of a slot but what it says."""
    compared = 0
    for rows, headers in SONGS:
        problem = build_problem(song(rows, LIBRARY, **headers), means(LIBRARY))
        by_pool: dict[int, list[Context]] = {}
        for domain in problem.domains:
            by_pool.setdefault(id(domain.pool), []).append(domain.context)
        pools = {id(d.pool): d.pool for d in problem.domains}
        # every pool in every context of its song and of the others' slots: far more than happen to meet
        contexts = [d.context for d in problem.domains]
        for pool in pools.values():
            alike = [x for x in contexts if x.ticks == pool.need.ticks and x.step == pool.need.step]
            for cost in COSTS:
                seen: dict[object, list[int]] = {}
                for x in alike:
                    now = cost.amounts(pool, x, problem.setting).tolist()
                    compared += 1
                    assert seen.setdefault(cost.reads(x, problem.setting), now) == now, cost.name
    assert compared > 1000


def test_every_weight_of_the_slot_has_its_cost() -> None:
    """Protects the rulebook: a weight multiplies a cost of the slot or of the joins, and nothing is weighed that has no name."""
    of_joins = {"landing", "pattern"}
    assert {cost.name for cost in COSTS} | of_joins == set(WEIGHTS)


def test_a_song_is_filled_alike_whatever_was_filled_before() -> None:
    """Protects same bytes every time: what is remembered from other songs changes nothing."""
    player = means(LIBRARY, house())
    songs = [song(rows, LIBRARY, **headers) for rows, headers in SONGS]
    alone = []
    for one in songs:
        shelf_for.cache_clear()
        alone.append(part(one, player))
    shelf_for.cache_clear()
    for order in (songs, songs[::-1], songs):
        for one in order:
            got, _ = fill(one, player)
            assert got == alone[songs.index(one)]


def test_joins_are_those_of_the_songs_own_speed() -> None:
    """Protects a song that comes after the same one a little faster: what joins cost is remembered for one speed only."""
    rows, _ = SONGS[0]
    player = means(LIBRARY, house())

    def tables(tempo: str) -> list[list[list[int]]]:
        made = build_problem(song(rows, LIBRARY, tempo=tempo), player)
        return [met(met.a.cheapest, met.b.cheapest).tolist() for met in made.between.values()]

    alone = []
    for tempo in ("half = 100", "half = 103"):
        shelf_for.cache_clear()
        alone.append(tables(tempo))
    assert alone[0] != alone[1]
    shelf_for.cache_clear()
    for tempo, expected in zip(("half = 100", "half = 103", "half = 100"), (*alone, alone[0]), strict=True):
        assert tables(tempo) == expected
