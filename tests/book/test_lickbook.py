"""Licks written out in a key: each over a chord where it belongs, with its own notes."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from chartc.book.lickbook import LickBook, Shown, write_out
from chartc.book.licklist import kind_of
from chartc.licks.library import load_library
from chartc.neck.instruments import known
from chartc.player import load_player
from chartc.slots.candidate import onsets_tile
from chartc.slots.part import FilledSlot
from chartc.text.source import Source
from chartc.theory.key import parse_key

PLAYER, _ = load_player(None, (), ())
assert PLAYER is not None
MEANS = PLAYER.means
BANJO = MEANS.instrument

KEYS = ("G", "C", "D", "Eb", "F#", "A minor", "C# minor", "D mixolydian", "E dorian")


@cache
def book(key: str, *roles: str) -> LickBook:
    """The book of a key."""
    parsed = parse_key(key)
    assert parsed is not None
    return write_out(MEANS, parsed, roles)


def written(key: str) -> list[tuple[Shown, list[FilledSlot]]]:
    """Each lick with its slots in order."""
    b = book(key)
    return [(s, [slot for m in slots for slot in m]) for s, slots in zip(b.shown, b.part.slots, strict=True)]


def test_in_g_everything_is_written_out() -> None:
    """A teacher who prints the book in G has the whole library on paper, each lick once."""
    names = [s.lick.name for s in book("G").shown]
    assert sorted(names) == sorted(MEANS.library.by_name)


@pytest.mark.parametrize("key", KEYS)
def test_every_movable_lick_is_in_the_book_of_any_key(key: str) -> None:
    """Movable licks and rolls know no key: a book without them would be useless where there are no open strings. Only a
    lead-in between two named chords may be missing: where the mode has no such chords, or it would lie too high or too low."""
    names = {s.lick.name for s in book(key).shown}
    lacking = [x for x in MEANS.library.licks if kind_of(x) != "open" and x.name not in names]
    assert [x.name for x in lacking if x.role != "lead-in" or x.root < 0] == []


@pytest.mark.parametrize("key", KEYS)
def test_a_lick_keeps_its_notes(key: str) -> None:
    """Over another root the degrees are those of the file, drone notes aside; an open lick has the very frets of its file."""
    for shown, slots in written(key):
        lick = shown.lick
        if lick.pattern or lick.target is not None:
            continue
        played = [n for slot in slots for n in slot.notes if not (n.string == BANJO.drone and not n.fret)]
        meant = [n for n in lick.notes if not (n.string == BANJO.drone and not n.fret)]
        root = shown.chords[0].root_class
        above = [(n.string, n.pick, n.how, (n.pitch - root) % 12) for n in played]
        assert sorted(above, key=str) == sorted(
            ((n.string, n.pick, n.how, (BANJO.pitch(n.string, n.fret or 0) - lick.root) % 12) for n in meant), key=str
        ), lick.name
        if kind_of(lick) == "open":
            assert root == lick.root
            assert sorted(n.fret for n in played) == sorted(n.fret or 0 for n in meant)


@pytest.mark.parametrize("key", KEYS)
def test_chords_are_those_that_the_lick_serves(key: str) -> None:
    """No lick stands over a chord that its file does not name."""
    for shown, _ in written(key):
        assert shown.chords[0].quality.family in shown.lick.serves, shown.lick.name


def test_open_licks_stand_only_where_they_make_sense() -> None:
    """Chords of open licks, by key: those of the key or that players lead through (common practice, no source); never a chord a
    half step from home."""

    def roots(key: str) -> set[str]:
        return {c.label for s in book(key).shown if kind_of(s.lick) == "open" for c in s.chords}

    assert {"G", "C", "D", "D7", "Em", "Am", "F", "A"} <= roots("G")
    assert {"C", "F", "G", "Am"} <= roots("C")
    assert not {"E", "A", "D", "Am", "Em"} & roots("Eb")
    assert not {"G", "C", "F", "D", "Am"} & roots("F#")
    assert {"Am", "C", "G", "D", "F"} <= roots("A minor")


def test_where_movable_licks_stand() -> None:
    """Major over the 1, sevenths over the 1 with its seventh, minor over the relative minor; in a minor key minor over its own 1, all
    else over the 5 with its seventh, but what begins or comes to rest over the relative major."""
    over = {s.lick.name: s.chords[0].label for s in book("D").shown}
    assert (over["heron-step"], over["iron-hoop"], over["grey-wether"], over["forward"]) == ("D", "D7", "Bm", "D")
    over = {s.lick.name: s.chords[0].label for s in book("A minor").shown}
    assert (over["heron-step"], over["iron-hoop"], over["grey-wether"], over["forward"]) == ("E7", "E7", "Am", "Am")
    assert (over["boat-shed"], over["push-off"], over["moon-on-mud"]) == ("C", "C", "Am")


@pytest.mark.parametrize("key", KEYS)
def test_a_lead_in_is_led_into_and_lands(key: str) -> None:
    """A tail alone says nothing: a roll stands before it, and after it the first note of the next chord, its root, third or
    fifth, one or two half steps away, by another finger of the picking hand (common practice, no source)."""
    for shown, slots in written(key):
        if shown.lick.target is None:
            continue
        first, second = slots
        assert [c.label for c in shown.chords] == [first.chord.label, second.chord.label]
        tail = shown.lick.ticks
        assert min(n.at for n in first.notes) == 0
        before = [n for n in first.notes if n.at < first.ticks - tail]
        assert before
        own = [n for n in first.notes if n.at >= first.ticks - tail]
        assert [(n.string, n.pick) for n in own] == [(n.string, n.pick) for n in shown.lick.notes], shown.lick.name
        last = own[-1]
        (landing,) = second.notes
        assert 1 <= abs(landing.pitch - last.pitch) <= 2, shown.lick.name
        assert (landing.pitch - second.chord.root_class) % 12 in second.chord.quality.classes[:3]
        assert landing.pitch == BANJO.pitch(landing.string, landing.fret)
        assert landing.pick != last.pick
        assert (landing.finger is None) == (landing.fret == 0)


@pytest.mark.parametrize("key", KEYS)
def test_measures_are_filled(key: str) -> None:
    """Onsets and rests tile each measure; otherwise the printed rhythm would not add up."""
    b = book(key)
    for section, slots in zip(b.part.song.sections, b.part.slots, strict=True):
        for measure, (slot,) in zip(section.measures, slots, strict=True):
            assert slot.ticks == measure.ticks
            assert onsets_tile(slot.notes, slot.rests, slot.ticks), section.label


def test_the_short_string_stands_as_for_a_song() -> None:
    """Open in G, at a spike for A and D: the root or fifth of the key (banjo teachers' rule)."""
    assert (book("G").part.fifth.fret, book("G").part.fifth.pitch) == (0, 67)
    assert (book("A", "roll").part.fifth.fret, book("A", "roll").part.fifth.pitch) == (7, 69)


def test_roles_stand_in_order_and_can_be_chosen() -> None:
    """By role, within a role by meter, so that a page can be found."""
    assert {s.lick.role for s in book("G", "ending", "fill").shown} == {"fill", "ending"}
    shown = book("G").shown
    seen = list(dict.fromkeys((s.lick.role, s.group) for s in shown))
    assert len(seen) == len({(s.lick.role, s.group) for s in shown})
    pairs = [(s.lick.role, s.group) for s in shown]
    assert pairs == sorted(pairs, key=seen.index)


OWN = """\
licks:
  - name: my-own-knock
    role: fill
    about: mine
    chord: D
    difficulty: 3
    strings: 4  4,4   3  2  1  2  3  4
    frets:   0  2,h4  2  3  4  3  2  0
    picks:   I  T,.   I  T  M  I  T  I
  - name: crooked-step
    role: lick
    about: six eighths in a meter of four
    chord: G
    serves: [augmented]
    strings: 3  4  3  4  3  4
    frets:   0  1  0  1  0  1
    picks:   T  I  T  I  T  I
"""


def test_a_players_own_licks() -> None:
    """A player's own file is printed like ours; a length that fills no measure is shown as long as it is."""
    own, found = load_library([Source("own.yaml", OWN)])
    assert found == ()
    key = parse_key("G")
    assert key is not None
    b = write_out(replace(MEANS, library=own), key)
    shown = {s.lick.name: (s, section) for s, section in zip(b.shown, b.part.song.sections, strict=True)}
    assert shown["my-own-knock"][0].chords[0].label == "D"
    assert shown["my-own-knock"][0].serves == "over D"
    if "crooked-step" in shown:
        assert shown["crooked-step"][1].measures[0].ticks == 6 * 240


def test_an_instrument_that_our_licks_are_not_for() -> None:
    """On a guitar our licks do not lie: only rolls that need no more than its strings are written out, and nothing fails."""
    guitar = next(iter(known()["guitar"].values()))
    key = parse_key("E")
    assert key is not None
    b = write_out(replace(MEANS, instrument=guitar), key)
    assert {s.lick.role for s in b.shown} <= {"roll", "vamp"}
