"""What the choice does with what a player asks for: requests, pins, and licks of two measures."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from chartc.licks.lick import REST
from chartc.neck.hand import Limits
from chartc.player import load_player
from chartc.slots.choose import fill
from chartc.text.diagnostic import show
from tests.slots.small import (
    CHOP,
    LONG,
    ROLLS,
    SAYINGS,
    flat,
    library,
    licks,
    means,
    part,
    refused,
    ruled,
    song,
)

LIBRARY = library(ROLLS, CHOP, SAYINGS, LONG)
ALL_FORBIDDEN = "rulebook: nothing at all\nrules:\n  - {rule: nothing, never: yes}\n"


# --- requests ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "lick", "role"),
    [
        ("net-mender", "net-mender", "lick"),
        ("tide-table", "tide-table", "lick"),
        ("paddle-wheel", "paddle-wheel", "roll"),
        ("plank-to-c", "plank-to-c", "lead-in"),
        ("vamp", "shed-door", "vamp"),
        ("fill", "low-lantern", "fill"),
        ("rest", "rest", "rest"),
    ],
)
def test_a_request_is_met(asked: str, lick: str, role: str) -> None:
    """Protects the player's word: a lick or a role that is asked for is played, above any rule (the voice is sung here, and
    the house forbids licks behind it)."""
    got, found = fill(song(f"| G | C |\nvoice | sung | |\nask | {asked} | |", LIBRARY), means(LIBRARY))
    assert got is not None and not found, show(found)
    assert (flat(got)[0].lick, flat(got)[0].role) == (lick, role)


def test_a_place_and_a_fret_are_met() -> None:
    """Protects requests for a place on the neck: the index finger stands there."""
    lib = library(ROLLS)
    for asked, low, high in (("roll high", 8, 24), ("middle", 5, 8), ("low", 0, 4), ("fret 5", 5, 5)):
        filled = part(song(f"| C | G |\nask | {asked} | |", lib), means(lib))
        position = flat(filled)[0].position or 0
        assert low <= position <= high, asked


def test_requests_for_two_chords_of_a_measure() -> None:
    """Protects the comma: each half of the measure gets what is asked for it."""
    filled = part(song("| G C |\nask | roll, vamp |", LIBRARY), means(LIBRARY))
    assert [s.role for s in flat(filled)] == ["roll", "vamp"]


@pytest.mark.parametrize(
    ("rows", "asked", "chord"),
    [
        ("| C | G |\nask | net-mender | |", "net-mender", "C"),
        ("| G C | G |\nask | low-lantern, | |", "low-lantern", "G"),
        ("| G | G |\nask | lick high | |", "lick high", "G"),
        ("| G | G |\nask | fret 21 | |", "fret 21", "G"),
    ],
)
def test_a_request_that_cannot_be_met_warns(rows: str, asked: str, chord: str) -> None:
    """Protects the player from a silent change: where the chord or the length does not suit, the choice is free and a warning
    at the request names the lick and the chord."""
    got, found = fill(song(rows, LIBRARY), means(LIBRARY))
    assert got is not None
    assert [(d.code, d.severity) for d in found] == [("request-unmet", "warning")]
    assert f"({asked})" in found[0].message and f"over {chord} " in found[0].message
    assert found[0].span is not None and found[0].span.text.strip() == asked and found[0].span.line == 7
    assert all(slot.role != "rest" for slot in flat(got))


def test_silence_is_not_chosen_by_accident() -> None:
    """Protects a played song: silence that is asked for costs nothing, needs no warning, and stays in its slot."""
    got, found = fill(song("| G | G | C |\nask | | rest | |", LIBRARY), means(LIBRARY))
    assert got is not None and not found
    assert [s.role == "rest" for s in flat(got)] == [False, True, False]
    assert flat(got)[1].notes == () and flat(got)[1].rests == ((0, 1920),)


# --- pins that contradict each other -------------------------------------------------------------------------------------


def test_a_lick_pinned_twice_in_a_row_is_played_twice() -> None:
    """Protects a player who wants it so: two pins beside each other stand, although the choice itself never repeats a lick."""
    filled = part(song("| C | G | G | C |\nask | roll | net-mender | net-mender | roll |", LIBRARY), means(LIBRARY))
    assert licks(filled)[1:3] == ["net-mender", "net-mender"]


def test_a_lick_pinned_three_times_in_a_row_is_refused() -> None:
    """Protects the form: three times the same lick is a mistake of the chart, and the message is at the third."""
    rows = "| G | G | G |\nask | net-mender | net-mender | net-mender |"
    found = refused(song(rows, LIBRARY), means(LIBRARY))
    assert [d.code for d in found] == ["pin-repeat"]
    assert found[0].span is not None
    assert (found[0].span.line, found[0].span.column) == (7, 33)


def test_three_pins_in_a_row_by_the_form() -> None:
    """Protects the same across sections: one pin in a section that is played three times on end."""
    rows = "form verse, verse, verse\nsection verse, 1 measure\n| G |\nask | net-mender |"
    assert [d.code for d in refused(song(rows, LIBRARY), means(LIBRARY))] == ["pin-repeat"]
    twice = song(rows.replace("verse, verse, verse", "verse, verse"), LIBRARY)
    assert licks(part(twice, means(LIBRARY))) == ["net-mender"]


def test_rolls_and_vamps_may_be_pinned_for_ever() -> None:
    """Protects plain backup: a roll or a vamp pinned in every measure goes on."""
    for name in ("oar-stroke", "shed-door"):
        rows = f"| G | G | G | G |\nask | {name} | {name} | {name} | {name} |"
        assert licks(part(song(rows, LIBRARY), means(LIBRARY))) == [name] * 4


JOINS = """
  - {name: ends-t, role: lick, chord: G, strings: 3 2 1 2 3 2 1 3, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M T}
  - {name: ends-m, role: lick, chord: G, strings: 3 2 1 2 3 1 2 1, frets: 0 0 0 0 0 0 0 0, picks: T I M I T M I M}
  - {name: ends-i, role: lick, chord: G, strings: 3 2 1 3 2 1 3 2, frets: 0 0 0 0 0 0 0 0, picks: T I M T I M T I}
  - {name: begins-t, role: lick, chord: G, strings: 3 2 1 2 3 2 1 2, frets: 0 0 0 0 0 0 0 0, picks: T I M I T I M I}
  - {name: begins-m, role: lick, chord: G, strings: 1 2 3 1 2 3 1 2, frets: 0 0 0 0 0 0 0 0, picks: M I T M I T M I}
  - {name: far-up, role: lick, chord: G, strings: 1 2 1 2 1 2 1 2, frets: 17 15 17 15 17 15 17 15, picks: M I M I M I M I,
     tensions: ["4", "6", "9"]}
  - {name: down-low, role: lick, chord: G, strings: 3 2 3 2 3 2 3 2, frets: 4 3 4 3 4 3 4 3, picks: T I T I T I T I,
     tensions: ["3", "5", "9"]}
"""


def test_a_pinned_join_that_no_hand_can_play() -> None:
    """Protects against sheets that cannot be played: at an eighth note of 125 ms the thumb cannot end one lick and begin the
    next; the message names both. Slower, it is played."""
    lib = library(JOINS)
    rows = "| G | G |\nask | ends-t | begins-t |"
    found = refused(song(rows, lib, tempo="half = 120"), means(lib))
    assert [d.code for d in found] == ["join-unplayable"]
    assert (
        found[0].message == 'no hand can join "ends-t" to "begins-t" at this tempo: T would strike twice within 150 ms'
    )
    assert found[0].span is not None and found[0].span.line == 7
    assert licks(part(song(rows, lib, tempo="half = 80"), means(lib))) == ["ends-t", "begins-t"]


def test_a_pinned_shift_that_no_hand_can_play() -> None:
    """Protects the fretting hand: from fret 15 to fret 3 within an eighth note of 100 ms there is no time."""
    lib = library(JOINS)
    rows = "| G | G |\nask | far-up | down-low |"
    found = refused(song(rows, lib, tempo="half = 150"), means(lib, limits=Limits(pick_ms=10, even_ms=10)))
    assert [d.code for d in found] == ["join-unplayable"]
    assert found[0].message.endswith("at this tempo: there is no time to shift from fret 15 to fret 3")
    assert len(part(song(rows, lib, tempo="half = 60"), means(lib)).slots[0]) == 2


ONE_WISH = """
rulebook: one wish
rules:
  - {rule: second best, of: {lick: ends-m}, price: 1}
  - {rule: third best, of: {lick: ends-i}, price: 5}
  - {rule: the rest, of: {lick: [begins-t, begins-m, far-up, down-low]}, price: 300}
"""


def test_a_section_that_returns_suits_all_its_neighbours() -> None:
    """Protects sheets that print a section once: the verse's last lick is the cheapest that a hand can join to every section
    that follows, wherever the verse stands in the form."""
    lib = library(JOINS)
    sections = {
        "verse": "section verse, 1 measure\n| G |\n",
        "chorus": "section chorus, 1 measure\n| G |\nask | begins-t |\n",
        "bridge": "section bridge, 1 measure\n| G |\nask | begins-m |\n",
    }

    def verse(form: str) -> str:
        rows = "".join(text for name, text in sections.items() if name in form)
        filled = part(song(rows, lib, form=form, tempo="half = 120"), means(lib, ruled(ONE_WISH)))
        return next(m[0][0].lick for s, m in zip(filled.song.sections, filled.slots, strict=True) if s.kind == "verse")

    assert verse("verse, bridge") == "ends-t"
    assert verse("verse, chorus") == "ends-m"
    assert verse("verse, chorus, verse, bridge") == "ends-i"


def test_a_role_asked_for_again_and_again_brings_different_licks() -> None:
    """Protects variety: a request for a role or a place is no pin, so that no lick comes twice in a row."""
    lib = library(JOINS)
    filled = part(song("| G | G | G | G |\nask | lick | lick | lick | lick |", lib), means(lib, ruled(ONE_WISH)))
    names = licks(filled)
    assert all(a != b for a, b in pairwise(names)) and {s.role for s in flat(filled)} == {"lick"}


def test_a_role_asked_for_more_often_than_there_are_licks() -> None:
    """Protects against refusing a song for want of licks: where the library has only one fill, it comes again."""
    rows = "| G | G | G | G |\nask | fill | fill | fill | fill |"
    assert licks(part(song(rows, LIBRARY), means(LIBRARY))) == ["low-lantern"] * 4
    two = library(SAYINGS)
    names = licks(part(song(rows.replace("fill", "lick"), two), means(two)))
    assert names in (["net-mender", "tide-table"] * 2, ["tide-table", "net-mender"] * 2)


def test_a_role_asked_for_in_a_measure_that_repeats() -> None:
    """Protects a sheet that prints a measure once: what is asked for there is played each time, be it the same lick."""
    rows = "section verse, 3 measures\nrepeat 3 times\n| G |\nask | fill |\nend repeat"
    assert licks(part(song(rows, LIBRARY), means(LIBRARY))) == ["low-lantern"]


def test_no_lick_comes_back_at_once() -> None:
    """Protects against a tune that circles: however cheap a lick is, it is neither played twice in a row nor again after one
    other measure; rolls and vamps may."""
    lib = library(JOINS, ROLLS)
    book = ruled(ONE_WISH + "  - {rule: no rolls, of: {role: roll}, price: 200}\n")
    filled = part(song("| G | G | G | G | G | G |", lib), means(lib, book))
    names = licks(filled)
    assert len({*names}) >= 3
    for n, slot in enumerate(flat(filled)):
        if slot.role == "lick":
            assert slot.lick not in names[max(0, n - 2) : n], names


def test_a_pin_holds_for_its_own_measure_only() -> None:
    """Protects the measure beside a pin: the rules still hold there, and the pinned lick does not spread into it."""
    book = ruled("rulebook: r\nrules:\n  - {rule: no licks, of: {role: [lick, fill]}, never: yes}\n")
    filled = part(song("| G | G | G |\nask | | net-mender | |", LIBRARY), means(LIBRARY, book))
    assert [s.lick == "net-mender" for s in flat(filled)] == [False, True, False]
    free = part(
        song("| G | G | G |\nask | | net-mender | |", library(SAYINGS)), means(library(SAYINGS), ruled("rulebook: r\n"))
    )
    assert [s.lick == "net-mender" for s in flat(free)] == [False, True, False]


# --- licks of two measures -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rows", "fits"),
    [
        ("| G | G |\nask | long-ferry | |", True),
        ("| G | G |\nask | | long-ferry |", True),
        ("section verse, 6 measures\nrepeat\n| G | G | C |\nask | long-ferry | | |\nend repeat", True),
        ("section verse, 4 measures\nrepeat\n| G | G |\nask | long-ferry | |\nend repeat", True),
        ("section verse, 4 measures\nrepeat\n| G | G |\nask | long-ferry | long-ferry |\nend repeat", True),
        ("form verse, chorus, verse\nsection verse, 2 measures\n| G | G |\nask | long-ferry | |\nsection chorus, 1 measure\n| C |", True),
        ("| G | C |\nask | long-ferry | |", False),
        ("| G | C G | G |\nask | long-ferry | | |", False),
        ("| G | NC | G |\nask | long-ferry | | |", False),
        ("| G | in 2/4: G |\nask | long-ferry | |", False),
        ("section verse, 3 measures\nrepeat\n| G |\nask | long-ferry |\nend repeat\n| G |", False),
        ("section verse, 3 measures\n| G |\nask | long-ferry |\nrepeat\n| G |\nend repeat", False),
        ("section verse, 4 measures\nrepeat\n| G |\nask | long-ferry |\nending 1\n| G |\nending 2\n| G |\nend repeat", False),
        ("section verse, 1 measure\n| G |\nask | long-ferry |\nsection chorus, 1 measure\n| G |", False),
    ],
)  # fmt: skip
def test_a_lick_of_two_measures_needs_two_whole_neighbours(rows: str, fits: bool) -> None:
    """Protects two-measure licks from being torn apart: they stand on two whole measures of one chord that always follow each
    other, and never across a repeat, an ending or the end of a section."""
    got, found = fill(song(rows, LIBRARY), means(LIBRARY))
    assert got is not None
    halves = [s.part for s in flat(got) if s.lick == "long-ferry"]
    assert halves == ([(1, 2), (2, 2)] if fits else [])
    assert [d.code for d in found] == ([] if fits else ["request-unmet"])


def test_halves_of_a_long_lick_find_each_other() -> None:
    """Protects two-measure licks that nobody asked for: wherever the choice takes a half, the other one follows."""
    lib = library(LONG, CHOP)
    book = ruled("rulebook: long\nrules:\n  - {rule: no vamp, of: {role: vamp}, price: 50}\n")
    filled = part(song("| G | G | G | G | G |", lib), means(lib, book))
    parts = [s.part for s in flat(filled)]
    assert sorted(parts) == [(1, 1), (1, 2), (1, 2), (2, 2), (2, 2)] or parts.count((1, 2)) == 1
    for before, after in zip([None, *flat(filled)], [*flat(filled), None], strict=True):
        opened = before is not None and before.part == (1, 2)
        closed = after is not None and after.part == (2, 2)
        assert opened == closed


def test_a_role_that_only_long_licks_have_is_met() -> None:
    """Protects the request for a turnaround where a verse closes: all that a library has may be two measures long, and the measure
    before, where somebody sings and no such lick may stand, takes the first half. Where it is asked for something else
    the message says what is wrong."""
    lib = library(ROLLS, LONG.replace("role: lick", "role: turnaround"))
    got, found = fill(song("| C | G | G |\nvoice | sung | sung | sung |\nask | | | turnaround |", lib), means(lib))
    assert got is not None and not found, show(found)
    assert [(s.lick, s.part) for s in flat(got)[1:]] == [("long-ferry", (1, 2)), ("long-ferry", (2, 2))]
    (finding,) = refused(song("| C | G | G |\nask | | roll | turnaround |", lib), means(lib))
    assert finding.message == '"long-ferry" is two measures long, and its other half has no place beside it'


def test_a_student_stays_where_the_neck_is_learnt() -> None:
    """Protects students: what full players play up the neck lies within the first seven frets at the easy level, within the octave at the
    middle one, and no measure is silent for it."""
    player, _ = load_player(None, (), ())
    assert player is not None
    rows = "section chorus, 8 measures\nlead voice, fills banjo\n| A | A7 | D | Dm |\n| E7 | C#m | E7 | A |"
    highest = {}
    for level in ("easy", "middle", "full"):
        filled = part(song(rows, player.means.library, key="A"), replace(player.means, level=level))
        assert REST not in [slot.role for slot in flat(filled)]
        highest[level] = max(slot.position or 0 for slot in flat(filled))
    assert highest["easy"] <= 7 < highest["middle"] <= 12
