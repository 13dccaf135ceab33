"""Sections printed more than once."""

from __future__ import annotations

from dataclasses import replace

from chartc.slots.unfold import before_each_neighbour, for_each_time, merged
from tests.slots.small import library, means, part, song, weighing

ROWS = """form verse, chorus, verse, tag, verse
section verse, 2 measures
| G | C |
section chorus, 1 measure
| G |
section tag, 1 measure
| D |
"""
ROLL = "{name: plain, role: roll, strings: 3 2 1 2 3 2 1 2, picks: T I M I T I M I}"


def test_copies_that_turn_out_alike_are_printed_once() -> None:
    """Protects paper, and the player's eyes: a section is printed as often as it differs, its name says where each copy is played, and what is
    played stays the same."""
    lib = library(f"\n  - {ROLL}")
    of = song(ROWS, lib)
    whole = part(of, means(lib, weighing()))
    verse, chorus, tag = whole.slots
    other = tuple(tuple(replace(s, lick="other") for s in measure) for measure in verse)
    for loosen, label in (
        (for_each_time, "verse (times 1 and 3)"),
        (before_each_neighbour, "verse (before chorus and at the end)"),
    ):
        loose, remarks = loosen(of)
        assert [s.kind for s in loose.sections] == ["verse", "chorus", "verse", "tag", "verse"]
        apart = replace(whole, song=loose, slots=(verse, chorus, verse, tag, verse), remarks=remarks)
        once = merged(apart, of)
        assert (once.song.sections, once.slots, once.remarks) == (of.sections, whole.slots, ())
        assert once.song.order == of.order
        twice = merged(replace(apart, slots=(verse, chorus, other, tag, verse)), of)
        assert next(s.label for s in twice.song.sections if s.kind == "verse") == label
        assert len(twice.song.sections) == 4 and "verse is printed 2 times" in twice.remarks[0]
        played = [twice.slots[p.section] for p in twice.song.order]
        assert played == [verse, chorus, other, tag, verse]
