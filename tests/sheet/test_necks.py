"""Pictures of the neck beneath the music."""

from __future__ import annotations

from dataclasses import replace

import pytest

from chartc.neck.instruments import five_string_banjo
from chartc.sheet import PAPERS, a4, backup_pages, necks
from chartc.sheet.marks import Line, Text
from chartc.slots.part import FilledSlot, Note, Part
from tests.sheet.overlaps import overlaps
from tests.sheet.parts import note, part, section, song

FIVE_STRING_BANJO = five_string_banjo()


def held(*grips: tuple[str, tuple[tuple[int, int, str], ...]]) -> Part:
    """A part of one measure for each chord and the stops (string, fret, finger) that are held in it."""
    made = part(song("Held", [section("verse", [word for word, _ in grips])]))
    slots = []
    for measure, (_, stops) in zip(made.slots[0], grips, strict=True):
        notes: tuple[Note, ...] = tuple(
            note(n * 240, 240, s, f, "T", finger=finger) for n, (s, f, finger) in enumerate(stops)
        )
        slots.append((replace(measure[0], notes=notes),))
    return replace(made, slots=(tuple(slots),))


C = ((1, 2, "r"), (2, 1, "i"), (4, 2, "m"))
F = ((1, 10, "p"), (2, 10, "r"), (3, 10, "m"), (4, 7, "i"))


def test_positions_in_reading_order() -> None:
    """Protects the order: as they first come, each once for a chord."""
    made = necks.grips(held(("C", C), ("F", F), ("C", C), ("G", F)))
    assert [(g.label.words, g.times) for g in made] == [("C", 2), ("F", 1), ("G", 1)]
    assert made[0].stops == C


def test_a_part_of_a_position_is_no_other_one() -> None:
    """Protects against near copies: two of a position's fingers over the same chord are the same position."""
    made = necks.grips(held(("C", C[:2]), ("C", C), ("G", C[:2])))
    assert [(g.label.words, g.stops) for g in made] == [("C", C), ("G", C[:2])]


def test_runs_and_single_fingers_are_no_positions() -> None:
    """Protects the pictures' sense: a string stopped at two frets, a finger that moves, or one finger alone, is not drawn."""
    assert necks.grips(held(("C", ((1, 2, "i"), (2, 6, "i"))))) == ()
    assert necks.grips(held(("C", ((1, 2, "r"), (1, 4, "p"), (2, 1, "i"))), ("C", C[:1]))) == ()


@pytest.mark.parametrize("paper", PAPERS)
def test_fingers_stand_on_their_strings_and_frets(paper: str) -> None:
    """Protects what the picture says: string 1 at the right, lower frets above, the first fret's number at the left, the nut thick
    where the first fret is meant (common practice of chord pictures, no source)."""
    (page,) = backup_pages(held(("C", C), ("F", F)), PAPERS[paper])
    letters = [m for m in page.marks if isinstance(m, Text) and m.kind == "neck-finger"]
    assert [m.text for m in letters] == ["r", "i", "m", "p", "r", "m", "i"]
    r, i, m = letters[:3]
    assert m.x < i.x < r.x
    assert i.y < m.y == r.y
    assert letters[6].y < letters[3].y == letters[4].y
    assert [n.text for n in page.marks if isinstance(n, Text) and n.kind == "neck-fret"] == ["7"]
    thick = [n for n in page.marks if isinstance(n, Line) and n.kind == "neck" and n.width > 1]
    assert len(thick) == 1
    assert thick[0].y1 < i.y
    assert overlaps(page.marks) == []


def test_letters_do_not_meet_in_any_picture() -> None:
    """Protects barres, wide stretches, and the short string: all letters on neighbouring strings and frets stand apart."""
    barre = tuple((s, 5, "i") for s in (1, 2, 3, 4))
    thumb = ((1, 8, "p"), (2, 8, "r"), (5, 7, "t"), (3, 7, "i"))
    wide = ((1, 3, "i"), (4, 8, "p"))
    close = ((1, 4, "p"), (2, 4, "m"), (3, 3, "r"), (4, 3, "i"))
    (page,) = backup_pages(held(("C", barre), ("Gm7b5/Db", thumb), ("D", wide), ("Em", close)), a4)
    assert overlaps(page.marks) == []
    assert sum(1 for m in page.marks if m.kind == "neck-finger") == 14


def test_the_most_used_stand_where_not_all_find_room() -> None:
    """Protects the page: pictures make no page longer; where room is short those used least are left out, and the order stays."""
    grips = tuple(necks.Grip(g.label, g.stops, times) for g, times in zip(
        necks.grips(held(*((word, C) for word in ("C", "D", "E", "F", "G", "A")))), (3, 1, 2, 1, 5, 1), strict=True,
    ))  # fmt: skip
    one_row = necks.strip(grips, FIVE_STRING_BANJO, 500.0, 100.0)
    assert one_row is not None
    assert [g.label.words for row in one_row.rows for g in row] == ["C", "D", "E", "F", "G", "A"]
    narrow = necks.strip(grips, FIVE_STRING_BANJO, 165.0, 100.0)
    assert narrow is not None
    assert [g.label.words for row in narrow.rows for g in row] == ["C", "E", "G"]
    assert necks.strip(grips, FIVE_STRING_BANJO, 500.0, 40.0) is None
    assert necks.strip((), FIVE_STRING_BANJO, 500.0, 400.0) is None


def test_pictures_add_no_page() -> None:
    """Protects the music stand: with and without fretting fingers, a part has the same number of pages."""
    made = part(song("Pages", [section("verse", ["C", "D7", "F", "C"] * 6)]))

    def open_hand(slot: FilledSlot) -> FilledSlot:
        return replace(slot, notes=tuple(replace(n, finger=None) for n in slot.notes))

    bare = replace(made, slots=tuple(tuple(tuple(map(open_hand, m)) for m in s) for s in made.slots))
    assert necks.grips(made)
    assert len(backup_pages(made, a4)) == len(backup_pages(bare, a4))
