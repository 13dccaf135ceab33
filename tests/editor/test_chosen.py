"""What is chosen over a chord, as the editor shows it."""

from __future__ import annotations

from chartc.book.compile import read_song
from chartc.editor.answers import Answers
from chartc.editor.chosen import chosen
from chartc.player import load_player
from chartc.slots.choose import fill
from chartc.text.source import Source

PLAYER = load_player(None, (), ())[0]
assert PLAYER is not None

CHART = """\
title Ladder to the Ferry
key G
meter 4/4
tempo quarter = 160
form verse, break as verse

section verse, 2 measures
| G   C | D7 |
ask | , vamp | |
"""


def test_the_chosen_lick_and_its_tablature() -> None:
    """Protects the hover's promise: over each chord stands what the sheet prints there, string by string, for the section and for
    the one that borrows its measures."""
    assert PLAYER is not None
    source = Source("ferry.chartc", CHART)
    found = chosen(source, PLAYER)
    assert sorted(found) == [(8, 3), (8, 7), (8, 11)]
    song, _ = read_song(source, PLAYER)
    assert song is not None
    part, _ = fill(song, PLAYER.means)
    assert part is not None
    verse, again = part.slots
    for place, slots in (((8, 3), verse[0][0]), ((8, 7), verse[0][1]), ((8, 11), verse[1][0])):
        assert f"verse: **{slots.lick}** ({slots.role}" in found[place]
    assert f"break as verse: **{again[1][0].lick}**" in found[8, 11]
    rows = found[8, 11].split("```")[1].strip().splitlines()
    assert [row[0] for row in rows[:5]] == list("12345") and len({len(row) for row in rows[:5]}) == 1
    digits = [
        int(c) for n, row in enumerate(rows[:5], 1) for c in row.split("|")[1].replace("-", " ").split() if c.isdigit()
    ]
    plain = [n.fret for s in range(1, 6) for n in verse[1][0].notes if n.string == s and n.how is None]
    assert digits == plain


def test_a_chart_with_errors_has_nothing_chosen() -> None:
    """Protects the editor: while a chart is being written there is no lick to show, and no failure."""
    assert PLAYER is not None
    assert chosen(Source("ferry.chartc", CHART.replace("D7", "H7")), PLAYER) == {}


def test_it_is_asked_only_for_a_chord() -> None:
    """Protects the writer's patience: the choice, which takes a moment, is made only when somebody points at a chord."""
    assert PLAYER is not None
    asked: list[int] = []

    def played() -> dict[tuple[int, int], str]:
        asked.append(1)
        return {(8, 3): "played"}

    answers = Answers(Source("ferry.chartc", CHART), PLAYER.means.library, played)
    assert answers.hover(4, 1) is not None and not asked
    got = answers.hover(8, 3)
    assert got is not None and got[0].endswith("\n\nplayed") and asked
