"""What the sheet says of the hands."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Ending, Measure, Repeat, Stretch
from chartc.sheet import a4, backup_pages
from chartc.sheet.hand import said
from chartc.sheet.marks import Text
from chartc.sheet.signs import AGAIN
from chartc.slots.part import FilledSlot
from tests.sheet.overlaps import overlaps
from tests.sheet.parts import part, section, song, vamp


def still(m: Measure, s: Stretch, n: int) -> FilledSlot:
    """A vamp, the same over one chord wherever it stands."""
    return vamp(m, s, 0)


def again(chords: str, *repeats: Repeat) -> list[int]:
    """The measures that are said to be the one before once more, in a section of vamps over these chords."""
    made = part(song("Again", [section("verse", chords.split(), repeats=repeats)]), still)
    return [k for k, m in enumerate(said(made)[0]) if m.again]


def test_what_is_played_again_is_said() -> None:
    """Protects the eyes: a measure that is played like the one before it in its section says so, and no other does."""
    assert again("G G C C G") == [1, 3]
    assert again("G C G C") == []
    two = part(song("Again", [section("verse", ["C", "G"]), section("chorus", ["G", "G"])]), still)
    assert [[m.again for m in s] for s in said(two)] == [[False, False], [False, True]]


def test_what_follows_a_jump_is_not_said_to_be_once_more() -> None:
    """Protects repeats: where players come from elsewhere, the measure printed before is not the one that they have just played."""
    assert again("G G G G G G", Repeat(2, 3, 2)) == [1, 3, 4, 5]
    assert again("G G G G G G G", Repeat(0, 4, 3, (Ending((1, 3), 2, 3), Ending((2,), 4, 4)))) == [1, 3, 6]


def test_silence_is_not_once_more() -> None:
    """Protects rests: a measure in which nothing is played needs no sign."""
    made = part(song("Again", [section("verse", ["G", "G"])]), still)
    silent = tuple(tuple(replace(s, notes=(), rests=((0, s.ticks),)) for s in m) for m in made.slots[0])
    assert not any(m.again for m in said(replace(made, slots=(silent,)))[0])


def test_numbers_stand_beneath_the_sign() -> None:
    """Protects reading anywhere: a measure with the sign has all its numbers, the sign stands in bold beside its chord, meets nothing, and
    the foot of the page says what it means."""
    made = part(song("Again", [section("verse", ["G", "G", "C", "C"], voice=["sung"])]), still)
    (page,) = backup_pages(made, a4)
    words = [m for m in page.marks if isinstance(m, Text)]
    signs = [m for m in words if m.text == AGAIN]
    assert len(signs) == 2
    chords = [m for m in words if m.kind == "chord"]
    for sign, chord in zip(signs, chords[1::2], strict=True):
        assert sign.face == "bold"
        assert 0 < sign.x - chord.box[2] < 8
    numbers = [str(n.fret) for m in made.slots[0] for s in m for n in s.notes]
    assert sorted(m.text for m in words if m.kind == "fret") == sorted(numbers)
    assert any(f"{AGAIN} the measure before once more" in m.text for m in words if m.kind == "legend")
    assert overlaps(page.marks) == []
