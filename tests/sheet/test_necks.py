"""Pictures of the neck beneath the music."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from chartc.sheet import PAPERS, Page, a4, backup_pages, necks, rough
from chartc.sheet.marks import Line, Text
from chartc.slots.part import Note, Part
from tests.sheet.overlaps import outside, overlaps
from tests.sheet.parts import note, part, section, song


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


def many(*words: str) -> tuple[necks.Grip, ...]:
    """Positions low on the neck over these chords; over those in small letters, high ones."""
    return necks.grips(held(*((word.upper(), F if word.islower() else C) for word in words)))


def labels(strip: necks.Strip | None) -> list[str]:
    """The chords of a strip's pictures, row by row."""
    assert strip is not None
    return ["".join(g.label.words for g in row) for row in strip.rows]


def whole(grips: tuple[necks.Grip, ...], width: float, height: float) -> necks.Strip | None:
    """All pictures in one place."""
    return necks.whole(grips, necks.Place(width, height))


def test_all_pictures_or_none_stand_in_a_place() -> None:
    """Protects the reader from a row of pictures that stops in its middle."""
    grips = many("C", "d", "E", "f", "g", "A")
    assert labels(whole(grips, 500.0, 100.0)) == ["CDEFGA"]
    assert labels(whole(grips, 205.0, 130.0)) == ["CDE", "FGA"]
    assert whole(grips, 205.0, 100.0) is None
    assert whole(grips, 500.0, 40.0) is None
    assert whole(grips, 20.0, 4000.0) is None
    assert whole((), 500.0, 400.0) is None


def test_pictures_are_spread_over_places_in_their_order() -> None:
    """Protects the order from page to page: a place is filled before the next one, those too small stay empty, and nothing is left
    out."""
    grips = many("C", "d", "E", "f", "g", "A")
    wide, narrow, low = necks.Place(205.0, 100.0), necks.Place(100.0, 100.0), necks.Place(500.0, 30.0)

    def spread(*places: necks.Place) -> list[list[str]] | None:
        found = necks.spread(grips, places)
        return None if found is None else [[] if s is None else labels(s) for s in found]

    assert spread(wide, wide) == [["CDEF"], ["GA"]]
    assert spread(low, narrow, low, wide, wide) == [[], ["CD"], [], ["EFGA"], []]
    assert spread(narrow, narrow) is None
    strips = necks.spread(grips, [wide, wide]) or ()
    assert [s.title for s in strips if s is not None] == [necks.TITLE, necks.CONTINUED]


def test_the_most_used_stand_where_that_is_asked_for() -> None:
    """Protects the book of licks: where room is short its page of positions leaves out those used least, and of these the last."""
    made = many("C", "D", "E", "F", "G", "A")
    grips = tuple(replace(g, times=times) for g, times in zip(made, (3, 1, 2, 1, 5, 1), strict=True))
    assert labels(necks.most_used(grips, necks.Place(150.0, 100.0))) == ["CEG"]
    assert labels(necks.most_used(grips, necks.Place(205.0, 100.0))) == ["CDEG"]
    assert necks.most_used(grips, necks.Place(20.0, 100.0)) is None


def test_rows_of_pictures_are_few_and_level() -> None:
    """Protects the eye: no picture stands alone in a row beneath a full one, and pictures move together where that saves a row."""
    ten = many(*"CDEFGABcde")
    widths = [whole(ten, room, 200.0) for room in (540.0, 495.0, 480.0)]
    assert [labels(w) for w in widths] == [["CDEFGABCDE"], ["CDEFGABCDE"], ["CDEFG", "ABCDE"]]
    assert [w.gap < necks.GAP for w in widths if w is not None] == [False, True, False]
    assert [w.width <= room for w, room in zip(widths, (540, 495, 480), strict=True) if w is not None] == [True] * 3


def test_the_line_of_words_gives_way_to_pictures() -> None:
    """Protects the pictures: where it is only the words above them that find no room, the pictures stand alone."""
    grips = many("C", "d")
    low = whole(grips, 500.0, 60.0)
    assert low is not None
    assert low.count == 2
    assert not low.title
    assert low.height <= 60.0
    placed, loose = necks.draw(low, 0.0, 0.0)
    assert not [m for m in loose if m.kind == "necks"]
    foot = max(m.box[3] for stamp, *place in placed for m in stamp.marks(*place))
    assert foot <= low.height + 1.0


def pictured(page: Page) -> int:
    """How many pictures of the neck stand on a page."""
    return sum(1 for m in page.marks if m.kind == "neck-chord")


def staves(page: Page) -> int:
    """How many lines of staves a page has."""
    return sum(1 for m in page.marks if m.kind == "staff")


def high_up(*lengths: int, chords: int = 3) -> Part:
    """A song of sections so many measures long, its positions high on the neck, over so many chords."""
    names = [("C", "F", "D", "G", "A", "E")[n % chords] for n in range(sum(lengths))]
    (slots,) = held(*((name, F) for name in names)).slots
    starts = [sum(lengths[:n]) for n in range(len(lengths) + 1)]
    cuts = list(pairwise(starts))
    made = part(song("Up There", [section(f"verse {n}", names[a:z]) for n, (a, z) in enumerate(cuts)]))
    return replace(made, slots=tuple(slots[a:z] for a, z in cuts))


@pytest.mark.parametrize(("chords", "where_seen"), [(3, {"head", "last", "before"}), (6, {"last", "before"})])
def test_pictures_find_room_where_the_hand_goes_high(chords: int, where_seen: set[str]) -> None:
    """Protects the player from a sheet without pictures: on a page full of music rows close up, or they stand at the foot of another
    page, or beneath the key; whatever the length, all are there, marks do not meet, and the page number stays free."""
    seen = set()
    for lengths in (*((n,) for n in range(4, 84, 4)), (12, 12, 32), (12, 16, 36)):
        pages = backup_pages(high_up(*lengths, chords=chords), a4)
        assert sum(map(pictured, pages)) == min(chords, sum(lengths))
        (where,) = (k for k, p in enumerate(pages) if pictured(p))
        rule = next(m.box[3] for m in pages[where].marks if m.kind == "rule")
        name = next(m.box[1] for m in pages[where].marks if m.kind == "neck-chord")
        assert staves(pages[where])
        seen.add("head" if name < rule else "last" if where == len(pages) - 1 else "before")
        for page in pages:
            assert overlaps(page.marks) == []
            assert outside(page.marks, a4.width, a4.height, 14) == []
    assert seen == where_seen


@pytest.mark.parametrize("measures", [16, 28])
def test_pictures_are_shared_by_several_pages(measures: int) -> None:
    """Protects a sheet on which no page has room for all pictures: they stand on several, beneath their music, in their order from page
    to page, and the later ones say that they go on."""
    narrow = replace(a4, name="narrow", width=230.0, height=330.0)
    made = high_up(measures, chords=6)
    pages = backup_pages(made, narrow)
    assert all(map(staves, pages))
    assert sum(1 for p in pages if pictured(p)) > 1
    names = [m.text for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "neck-chord"]
    assert names == [g.label.words for g in necks.grips(made)]
    said = [m.text for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "necks"]
    assert said in ([necks.CONTINUED], [necks.TITLE, necks.CONTINUED])
    for page in pages:
        assert overlaps(page.marks) == []


def test_a_full_page_has_its_pictures_beneath_the_key() -> None:
    """Protects pages on which music fills every foot: the pictures stand right of the head's words, above the rule, and the music
    begins beneath it."""
    made = high_up(24)
    for foot in range(39, 139):
        paper = replace(a4, bottom=float(foot))
        pages = backup_pages(made, paper)
        rule = next(m for m in pages[0].marks if m.kind == "rule").box
        names = [m for m in pages[0].marks if m.kind == "neck-chord"]
        if names and names[0].box[1] < rule[1]:
            break
    else:
        raise AssertionError("no page was full")
    key = next(m for m in pages[0].marks if m.kind == "key").box
    necked = [m.box for m in pages[0].marks if m.kind.startswith("neck-")]
    assert min(b[1] for b in necked) > key[3]
    assert max(b[3] for b in necked) < rule[1]
    words = [m.box[2] for m in pages[0].marks if m.kind in ("facts", "form")]
    assert min(b[0] for b in necked) > max(words)
    assert min(m.box[1] for m in pages[0].marks if m.kind in ("staff", "section")) > rule[3]
    assert overlaps(pages[0].marks) == []


def test_pictures_leave_the_music_on_its_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the music stand: with and without pictures, the same rows stand on the same pages; one with nothing but pictures comes
    last."""
    lengths = range(8, 72, 4)
    made = [backup_pages(high_up(measures, chords=6), a4) for measures in lengths]
    monkeypatch.setattr(necks, "grips", lambda _: ())
    plain = [backup_pages(high_up(measures, chords=6), a4) for measures in lengths]
    for pages, without in zip(made, plain, strict=True):
        assert [staves(p) for p in pages[: len(without)]] == [staves(p) for p in without]
        assert len(pages) <= len(without) + 1
        assert not any(map(staves, pages[len(without) :]))


@pytest.mark.parametrize(
    ("measures", "count", "size"),
    [(28, 1, 10.0), (32, 1, 8.8), (36, 2, 10.0), (64, 2, 9.3), (68, 2, 8.8), (96, 3, 9.3), (104, 4, 10.0)],
)
def test_a_sheet_is_smaller_only_where_that_saves_a_page(measures: int, count: int, size: float) -> None:
    """Protects the page turn and the eyes: one page, or two that lie open at once, may be printed an eighth smaller to hold the music and
    its pictures, longer sheets a little smaller to save a page of music, and nothing is smaller than it need be."""
    pages = backup_pages(high_up(measures, chords=6), a4)
    assert len(pages) == count
    assert {round(m.size, 1) for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "fret"} == {size}


def torn(pages: tuple[Page, ...]) -> int:
    """How many pages begin inside a section."""
    return sum(
        min(m.box[1] for m in p.marks if m.kind == "staff")
        < min((m.box[1] for m in p.marks if m.kind == "section"), default=p.paper.height)
        for p in pages
    )


def test_a_sheet_is_smaller_where_that_keeps_a_section_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects reading on: where ordinary print tears a section that a page holds, and 93 % of it does not, that is printed."""
    for lengths in ((4, 28, 8), (32, 16, 8), (32, 24, 4)):
        pages = backup_pages(high_up(*lengths), a4)
        assert torn(pages) == 0
        assert {round(m.size, 1) for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "fret"} == {9.3}
        with monkeypatch.context() as ordinary:
            ordinary.setitem(rough.SIZES, rough.SMALLER, float("inf"))
            ordinary.setitem(rough.SIZES, rough.SMALLEST, float("inf"))
            without = backup_pages(high_up(*lengths), a4)
        assert len(without) == len(pages)
        assert torn(without) == 1


def test_large_print_stays_large() -> None:
    """Protects who sees badly: large print is at most a little smaller."""
    for measures in range(4, 100, 4):
        pages = backup_pages(high_up(measures, chords=6), replace(a4, large=True))
        frets = {round(m.size, 1) for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "fret"}
        assert min(frets) >= 9.3


def test_pictures_without_room_have_a_page_of_their_own() -> None:
    """Protects a sheet full of music: all pictures stand behind it, larger, on a page that is counted and in the outline."""
    low = replace(a4, name="low", height=360.0)
    pages = backup_pages(high_up(32, chords=6), low)
    apart = [p for p in pages if not staves(p)]
    assert [pictured(p) for p in apart] == [6]
    assert list(pages[-len(apart) :]) == apart
    assert [p.label for p in pages] == [str(n + 1) for n in range(len(pages))]
    assert [p.entries[0].words for p in apart] == ["positions"] * len(apart)
    foot = [m.text for p in pages for m in p.marks if isinstance(m, Text) and m.kind == "page"]
    assert foot == [f"page {n + 1} of {len(pages)}" for n in range(len(pages))]
    sizes = {m.size for m in apart[0].marks if isinstance(m, Text) and m.kind == "neck-finger"}
    assert len(sizes) == 1
    assert min(sizes) > necks.LETTER
    for page in pages:
        assert overlaps(page.marks) == []
        assert outside(page.marks, low.width, low.height, 14) == []


def test_pictures_have_as_many_pages_as_they_need() -> None:
    """Protects the last picture: where one page of their own does not hold them all, there are more (the paper is smaller than any)."""
    narrow = replace(a4, name="narrow", width=230.0, height=280.0)
    pages = backup_pages(high_up(12, chords=6), narrow)
    assert [(bool(staves(p)), pictured(p)) for p in pages] == [(True, 0)] * 4 + [(False, 4), (False, 2)]
    assert all(overlaps(p.marks) == [] for p in pages)
