"""What `why` says of a slot, against the choice itself."""

from __future__ import annotations

import numpy as np

from chartc.slots.choose import choose
from chartc.slots.costs import NEVER
from chartc.slots.reasons import reasons
from tests.slots.small import CHOP, ROLLS, SAYINGS, house, library, means, song

# one finger twice in a row: playable slowly only
HASTY = """
  - {name: hasty-hen, role: lick, chord: G, strings: 3 2 1 2 3 2 1 5, frets: 0 0 0 0 0 0 0 0, picks: T T I M T I M T}
"""

LIBRARY = library(ROLLS, CHOP, SAYINGS, HASTY)
ROWS = (
    "section verse, 4 measures\nlead voice, fills banjo\n| G | C | G | G |\nvoice | sung | sung | sung | held silent |"
)


def test_what_is_dropped_has_a_reason_and_could_be_played_more_slowly() -> None:
    """Protects the player's trust: only licks that no hand can play at the tempo are named so, each with what stops it."""
    player = means(LIBRARY, house())
    for tempo, dropped in (("half = 130", {"hasty-hen"}), ("quarter = 60", set())):
        problem, best, _ = choose(song(ROWS, LIBRARY, tempo=tempo), player)
        assert best is not None
        (reason,) = reasons(problem, player, best, [0], False)
        names = {name for name, _ in reason.dropped}
        assert (dropped <= names) if dropped else not names
        assert "rest" not in names
        assert all(words for _, words in reason.dropped)


def test_an_alternative_costs_what_the_song_with_it_costs() -> None:
    """Protects the numbers beside the alternatives: looked at exactly, the whole song around each is the best one with it."""
    player = means(LIBRARY, house())
    problem, best, _ = choose(song(ROWS, LIBRARY), player)
    assert best is not None
    seen = 0
    for n, reason in enumerate(reasons(problem, player, best, [0, 1, 2, 3], True)):
        names = problem.domains[n].pool.names[problem.domains[n].index]
        for other in reason.alternatives:
            found = problem.solve({n: np.where(names == other.lick, 0, NEVER)})
            assert other.more >= 0
            assert found.total <= best.total + other.more
            seen += 1
    assert seen > 4


def test_the_costs_named_are_the_costs_paid() -> None:
    """Protects the explanation: the costs of the chosen lick that are named add up to what it costs in its slot."""
    player = means(LIBRARY, house())
    problem, best, _ = choose(song(ROWS, LIBRARY), player)
    assert best is not None
    for n, reason in enumerate(reasons(problem, player, best, [0, 1, 2, 3], False)):
        own = sum(cost for name, cost in reason.chosen.costs if not name.startswith("the join"))
        assert own == int(problem.domains[n].costs[best.indexes[n]])
        assert reason.kept <= reason.possible
