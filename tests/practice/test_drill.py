"""Drills: what is printed is what the player is promised, and every note of it can be played."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from chartc.export.plan import plan
from chartc.licks.lick import REST
from chartc.neck.follow import grip
from chartc.neck.joint import problem
from chartc.practice.cautions import CAUTIONS
from chartc.practice.drill import (
    KINDS,
    SLOW_PERCENT,
    Drill,
    Wish,
    all_joins,
    flow,
    round_and_round,
    slow_joins,
    song_joins,
)
from chartc.practice.items import Material, wide
from chartc.practice.progress import Progress, read_progress
from chartc.practice.score import end_of, for_print, start_of
from chartc.practice.through import blank, through
from chartc.press import pdf
from chartc.sheet import a4, backup_pages
from chartc.slots.candidate import onsets_tile
from chartc.text.source import Source
from chartc.theory.key import Key, all_keys
from chartc.theory.meter import Meter, Tempo
from tests.export.songs import player
from tests.outside.plan_reader import faults
from tests.practice.materials import library_material, licks, material, means, song

WISH = Wish()

DRILLED = ("repetition",)
"""What a reader of songs finds wrong and drills are for: a lick twice in a row."""


def marks(text: str) -> Progress:
    """The marks of such a file."""
    return read_progress(Source("marks", text))[0]


def made(kind: str, m: Material, wish: Wish = WISH) -> Drill:
    """A drill that must be there."""
    drill = KINDS[kind](m, wish)
    assert drill is not None
    return drill


def names(drill: Drill) -> list[list[str]]:
    """The licks of each section of a drill, halves of two-measure licks as one."""
    return [[s.lick for m in section for s in m if s.part[0] == 1] for section in drill.part.slots]


@pytest.mark.parametrize("kind", KINDS)
def test_every_drill_has_the_cautions_on_its_sheet(kind: str) -> None:
    """Protects the player: the cautions stand on the first page of every drill, whole."""
    pages = backup_pages(for_print(made(kind, song("hens-in-the-hold")).part), a4)
    text = " ".join(m.text for m in pages[0].marks if hasattr(m, "text"))
    assert CAUTIONS in " ".join(text.split())
    assert pdf(pages, "drill", "").startswith(b"%PDF")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    "stem", ["hens-in-the-hold", "wicker-gate-waltz", "cold-kiln", "forty-rod-levee", "pole-and-paddle"]
)
def test_every_drill_is_whole(kind: str, stem: str) -> None:
    """Protects layout and play-along: every measure of a drill is tiled by notes and rests, in any meter."""
    drill = made(kind, song(stem))
    for section, slots in zip(drill.part.song.sections, drill.part.slots, strict=True):
        for measure, (slot,) in zip(section.measures, slots, strict=True):
            assert measure.ticks == slot.ticks == measure.meter.ticks > 0
            assert onsets_tile(slot.notes, slot.rests, slot.ticks), (section.label, slot)


@pytest.mark.parametrize("kind", ["song-joins", "flow", "all-joins", "round"])
def test_a_reader_of_plans_finds_no_unplayable_note_in_a_drill(kind: str) -> None:
    """Protects the hands: an independent reader of plans, with its own limits, finds nothing that fingers or strings cannot do."""
    m = song("hens-in-the-hold")
    drill = made(kind, m)
    for n, passage in enumerate(drill.part.song.order):
        # the player stops between sections
        alone = replace(drill.part, song=replace(drill.part.song, order=(passage,)))
        assert [f for f in faults(plan([alone])) if f.kind not in DRILLED] == [], n


def test_all_joins_of_some_licks_are_there_once_each() -> None:
    """Protects the promise of n² joins: six licks have 36, in 37 measures, and the first lick stands again at the end."""
    m = library_material(6)
    drill = made("all-joins", m)
    possible = {(a.label, b.label) for a in m.items for b in m.items if m.asked(a, b) and not m.why_not(a, b)}
    measures = [(s.lick, s.chord.label) for section in drill.part.slots for me in section for s in me]
    walked = [(f"{a[0]} over {a[1]}", f"{b[0]} over {b[1]}") for a, b in pairwise(measures)]
    assert set(walked) == possible
    assert drill.joins == len(possible)
    assert len(walked) == 36 == len(possible)
    assert measures[0] == measures[-1]


def test_thirty_licks_have_900_joins_possible_or_listed() -> None:
    """Protects completeness: each of 900 joins is on a card once, or is left out with its reason."""
    m = library_material(30)
    assert len(m.items) == 30
    drill = made("all-joins", m)
    assert drill.joins + len(drill.left_out) == 900


def test_joins_that_no_hand_can_play_are_listed_with_the_reason() -> None:
    """Protects the hands: at a fast tempo a thumb that ends a lick cannot begin the next; the walk goes around it."""
    m = material("low-ladder", "thumb-out", "fast-thumb", tempo=240)
    drill = made("all-joins", m)
    # low-ladder and thumb-out end with the thumb, low-ladder and fast-thumb begin with it
    assert sorted(drill.left_out) == [
        f"{a} over G into {b} over G: T would strike twice within 150 ms"
        for a in ("low-ladder", "thumb-out")
        for b in ("fast-thumb", "low-ladder")
    ]
    assert drill.joins == 5
    walked = {join for row in names(drill) for join in pairwise(row)}
    assert walked == {
        ("low-ladder", "thumb-out"), ("thumb-out", "thumb-out"), ("fast-thumb", "low-ladder"), ("fast-thumb", "thumb-out"),
        ("fast-thumb", "fast-thumb"),
    }  # fmt: skip
    assert "would strike twice" in drill.part.song.credit
    assert made("all-joins", material("low-ladder", "thumb-out", "fast-thumb", tempo=160)).left_out == ()


def test_a_lick_of_two_measures_is_whole_on_a_card() -> None:
    """Protects long licks: both halves stand together, in order."""
    drill = made("all-joins", material("two-banks", "fast-thumb"))
    parts = [(s.lick, s.part) for section in drill.part.slots for m in section for s in m]
    for n, (lick, part) in enumerate(parts):
        if part == (1, 2):
            assert parts[n + 1] == (lick, (2, 2))
    assert (("two-banks", (1, 2)) in parts) and drill.joins == 4


def test_what_leads_to_a_chord_goes_nowhere_else() -> None:
    """Protects the sense of a lead-in: it is followed by the chord that it makes for."""
    m = material("up-to-c", "down-to-g", "fast-thumb", "low-ladder")
    for name, row in ((n, r) for r in names(made("all-joins", m)) for n in r):
        del row
        assert name in {"up-to-c", "down-to-g", "fast-thumb", "low-ladder"}
    for a in m.items:
        for b in m.items:
            lead = a.halves[-1].leads_to
            assert m.asked(a, b) == (lead is None or lead == b.chord.root_class)


def test_a_songs_cards_have_only_its_changes_of_chord() -> None:
    """Protects the player's time: licks over two chords follow each other only where the song has that change."""
    m = song("hens-in-the-hold")
    drill = made("all-joins", m)
    assert m.changes
    for section in drill.part.slots:
        chords = [s.chord for measure in section for s in measure]
        for a, b in pairwise(chords):
            assert a == b or (a, b) in m.changes


def test_a_songs_joins_come_hardest_first() -> None:
    """Protects the order: hardness never rises down the sheet, and every join is one of the song's."""
    m = song("hens-in-the-hold")
    hard = [j.hardness for j in m.joins]
    assert hard == sorted(hard, reverse=True)
    drill = made("song-joins", m)
    expected = [[m.items[j.before].lick, m.items[j.after].lick] for j in m.joins[:16]]
    assert [[n for n in row if n != REST] for row in names(drill)] == expected
    for row, j in zip(names(drill), m.joins, strict=False):
        # where the hands cannot get back to the first measure in time there is a measure of rest
        assert (REST in row) == bool(m.why_not(m.items[j.after], m.items[j.before]))
    assert [r.times for s in drill.part.song.sections for r in s.repeats] == [4] * len(expected)


def test_unclean_joins_come_first_and_clean_ones_last() -> None:
    """Protects the player's marks: what the player says goes before what the program thinks."""
    m = song("hens-in-the-hold")
    first, easy = m.joins[0], m.joins[-1]
    words = "\n".join(
        f"{word} {m.items[j.before].lick} into {m.items[j.after].lick}"
        for word, j in (("clean", first), ("unclean", easy))
    )
    drill = made("song-joins", m, Wish(marks(words)))
    assert names(drill)[0][:2] == [m.items[easy.before].lick, m.items[easy.after].lick]
    assert names(drill)[0] != names(made("song-joins", m))[0]


def test_slow_joins_are_the_last_two_beats_into_the_next_two() -> None:
    """Protects the slow drill: its first measure is the end of one lick, its second the start of the next, at a slower tempo, and
    the hands come round in time."""
    m = song("lantern-on-the-lock")
    drill = made("slow-joins", m)
    assert drill.part.song.tempo.count == round(m.song.tempo.count * SLOW_PERCENT / 100)
    beats = 2 * m.song.meter.beat
    for section, join in zip(drill.part.slots, m.joins, strict=False):
        before, after = m.items[join.before], m.items[join.after]
        (a,), (b,) = section[0], section[1]
        assert {(n.at, n.pitch) for n in a.notes} <= {
            (n.at - before.ticks + beats, n.pitch) for n in before.halves[-1].notes
        }
        assert {(n.at, n.pitch) for n in b.notes} <= {(n.at, n.pitch) for n in after.halves[0].notes}
        assert a.notes and b.notes
        ends = [grip(s.notes, m.bench.instrument, m.bench.limits) for s in (a, b)]
        gap = 0 if len(section) == 2 else beats
        speed = m.ms_per_tick * 100 / SLOW_PERCENT
        assert not problem(ends[0], ends[1], beats, 0, m.bench.instrument, m.bench.limits, speed)
        assert not problem(ends[1], ends[0], beats, gap, m.bench.instrument, m.bench.limits, speed)


def test_a_piece_of_a_lick_does_not_begin_with_a_slur() -> None:
    """Protects the cut: a note that the fretting hand would make from one before the cut is a rest."""
    (item,) = material("pull-first").items
    bar = end_of(item, 960)
    assert bar.rests == ((0, 240),)
    assert [n.at for n in bar.notes] == [240, 480, 720]
    assert [n.at for n in start_of(item, 960).notes] == [0, 240, 480, 720]


def test_a_flow_is_its_seed() -> None:
    """Protects repetition: the same seed gives the same walk, another another; its length is as asked, and it never waits."""
    m = song("hens-in-the-hold")
    drill = made("flow", m, Wish(seed=1, measures=40))
    one = names(drill)
    assert one == names(made("flow", m, Wish(seed=1, measures=40)))
    assert one != names(made("flow", m, Wish(seed=2, measures=40)))
    assert 40 <= len(drill.part.slots[0]) <= 41
    assert REST not in one[0]


def test_round_and_round_rests_where_the_hands_cannot_get_back() -> None:
    """Protects the hands: a lick that cannot follow itself at the tempo is played with a measure of rest between, and it is said."""
    drill = made("round", material("low-ladder", tempo=240))
    assert names(drill) == [["low-ladder", "rest"]]
    assert drill.left_out == ("low-ladder over G into low-ladder over G: T would strike twice within 150 ms",)
    assert names(made("round", material("low-ladder", tempo=160))) == [["low-ladder"]]
    assert names(made("round", material("fast-thumb", "low-ladder", tempo=160))) == [["fast-thumb", "low-ladder"]]


def test_wide_stretches_are_marked_and_something_smaller_is_offered() -> None:
    """Protects hands: with narrow limits a lick is marked beneath its measure, and what is offered lies within comfort."""
    m = material("far-reach", "fast-thumb")
    bench = replace(m.bench, limits=replace(m.bench.limits, comfortable_mm=40.0))
    narrow = replace(m, maker=type(m.maker)(bench))
    found = wide(narrow)
    assert [w.item.lick for w in found] == ["far-reach"]
    assert found[0].instead is not None
    assert found[0].instead.stretch_mm <= 40
    drill = made("all-joins", narrow)
    told = [me.words for s in drill.part.song.sections for me in s.measures if me.words]
    assert told == [f"wide, {found[0].item.stretch_mm:.0f} mm"]
    assert found[0].words in drill.part.song.credit
    assert wide(m) == ()


def test_what_cannot_be_played_over_its_chord_is_left_out_with_the_reason() -> None:
    """Protects other keys: a lick with open strings that cannot move is left out, and it is said."""
    m = material("fast-thumb", "grab-roll", key="B")
    assert [i.lick for i in m.items] == ["grab-roll"]
    assert m.left_out == ("fast-thumb over B: it has no place on the neck there",)
    waltz = material("fast-thumb", "grab-roll", meter=Meter(3, 4))
    assert waltz.left_out == ("fast-thumb over G: its 8 eighths do not fill measures of 3/4",)


def test_a_lick_goes_through_a_progression_and_all_keys() -> None:
    """Protects the twelve keys: the lick stands in the first measure of every chord that it can be played over, a roll after it."""
    lick = next(
        x
        for x in player().means.library.licks
        if x.movable and x.role == "lick" and "major" in x.serves and x.steps == 8
    )
    base = blank("x", Key(1), Meter(4, 4), Tempo("quarter", 140), ("1", "4", "5", "1"))
    for key in all_keys("major"):
        part, left, found = through(lick, base, key, player().means)
        assert part is not None
        assert not [d for d in found if d.severity == "error"]
        slots = [s for m in part.slots[0] for s in m]
        over = {text.split(" over ")[1].split(":")[0] for text in left}
        for a, b in zip(slots[::2], slots[1::2], strict=True):
            assert (a.lick == lick.name) == (a.chord.label not in over)
            assert b.role == "roll"


def test_a_lick_that_fits_no_chord_gives_no_drill() -> None:
    """Protects against an empty sheet: with the reasons instead."""
    base = blank("x", Key(1), Meter(4, 4), Tempo("quarter", 140), ("1", "4"))
    part, left, _ = through(licks()["fast-thumb"], base, Key(5), means())
    assert part is None
    assert left


def test_no_licks_no_drills() -> None:
    """Protects the edge: without licks there is nothing, and nothing fails."""
    empty = material()
    assert [make(empty, WISH) for make in (slow_joins, song_joins, all_joins, flow, round_and_round)] == [None] * 5


def test_a_song_with_very_many_licks_says_what_is_left_out() -> None:
    """Protects completeness: beyond forty licks none is dropped in silence, and those of the hardest joins stay."""
    m = song("lantern-on-the-lock")
    whole = [i for i in m.items if i.ticks == m.song.meter.ticks]
    drill = made("all-joins", m)
    out = [t for t in drill.left_out if "more than 40 licks" in t]
    assert len(out) == max(0, len(whole) - 40)
    hardest = m.items[m.joins[0].before]
    assert not any(t.startswith(f"{hardest.label}:") for t in out)


def test_a_lick_that_no_roll_can_follow_has_rests_in_its_progression() -> None:
    """Protects fast tempos: where a thumb that ends the lick cannot begin any roll in time, a rest follows, and it is no error."""
    base = blank("x", Key(1), Meter(4, 4), Tempo("quarter", 240), ("1", "1"))
    part, _, found = through(licks()["low-ladder"], base, Key(1), means())
    assert part is not None
    assert not found
    assert [s.role for m in part.slots[0] for s in m] == ["lick", "rest", "lick", "rest"]


def test_a_long_lick_that_cannot_follow_itself_is_no_drill() -> None:
    """Protects the player from a sheet that cannot be played: it is said instead."""
    base = blank("x", Key(1), Meter(4, 4), Tempo("quarter", 240), ("1", "1"))
    part, left, found = through(licks()["long-ladder"], base, Key(1), means())
    assert (part, found) == (None, ())
    assert left == ("long-ladder in G: it cannot be joined to itself at this tempo",)
