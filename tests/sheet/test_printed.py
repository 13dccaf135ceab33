"""What of a part is printed: pickups that are never played are not, and nothing else changes with them."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Repeat
from chartc.sheet import a4, backup_pages
from chartc.sheet.marks import Text
from chartc.sheet.printed import printed_part
from chartc.slots.part import Part
from tests.sheet.overlaps import overlaps
from tests.sheet.parts import part, section, song


def two_pickups(cue: str = "") -> Part:
    """A verse and a break of two repeated measures each, both with a pickup; the break's may be sung."""
    repeat = Repeat(1, 2, 2)
    verse, taken = (section(name, ["G", "C"], pickup=480, repeats=(repeat,)) for name in ("verse", "break"))
    if cue:
        taken = replace(taken, measures=(replace(taken.measures[0], words=cue), *taken.measures[1:]))
    return part(song("Off We Go", [verse, taken]))


def test_a_pickup_that_is_never_played_is_not_printed() -> None:
    """Protects the player from a rest in the middle of the song: only the section that opens it has its pickup; the repeat, the form and the
    licks stay with their measures."""
    before = two_pickups()
    after = printed_part(before)
    verse, taken = after.song.sections
    assert (verse.pickup, taken.pickup) == (True, False)
    assert taken.measures == before.song.sections[1].measures[1:]
    assert taken.repeats == (Repeat(0, 1, 2),)
    assert [taken.measures[m].number for m in taken.played] == [
        before.song.sections[1].measures[m].number for m in before.song.sections[1].played
    ]
    assert after.slots == (before.slots[0], before.slots[1][1:])
    assert [len(p.measures) for p in after.song.order] == [len(p.measures) for p in before.song.order]
    (page,) = backup_pages(before, a4)
    assert overlaps(page.marks) == []
    assert [m.text for m in page.marks if isinstance(m, Text) and m.kind == "number"] == ["1", "1"]


def test_a_pickup_in_which_somebody_sings_is_printed() -> None:
    """Protects the singer's entry: the words over a pickup stay where they are."""
    after = printed_part(two_pickups(cue="And the"))
    assert [s.pickup for s in after.song.sections] == [True, True]
