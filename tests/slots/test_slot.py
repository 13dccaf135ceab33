"""Slots: a song cut into stretches of one chord, with what the rules may ask about each."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from chartc.sheet.printed import printed
from chartc.slots.slot import Cut, Slot, cut, step_of
from chartc.theory.meter import Meter
from tests.slots.small import song


def slots(rows: str, **headers: str) -> tuple[Slot, ...]:
    """The slots of a song."""
    return cut(song(rows, None, **headers)).slots


def shape(rows: str, **headers: str) -> list[tuple[str, int, int]]:
    """Chord, start and length in ticks of every slot."""
    return [(s.chord.label, s.at, s.ticks) for s in slots(rows, **headers)]


# --- where slots are -----------------------------------------------------------------------------------------------------


def test_every_length_of_a_chord() -> None:
    """Protects counting inside a measure: halves, beats, and a chord that is held over some of them (480 ticks a quarter)."""
    assert shape("| G | G C | G C D G | G / / D |") == [
        ("G", 0, 1920),
        ("G", 0, 960), ("C", 960, 960),
        ("G", 0, 480), ("C", 480, 480), ("D", 960, 480), ("G", 1440, 480),
        ("G", 0, 1440), ("D", 1440, 480),
    ]  # fmt: skip


def test_crooked_measures() -> None:
    """Protects crooked tunes: a measure of another length is one slot of that length."""
    assert shape("| G | in 2/4: G | in 5/4: C | in 7/8: D |") == [
        ("G", 0, 1920), ("G", 0, 960), ("C", 0, 2400), ("D", 0, 1680),
    ]  # fmt: skip


def test_no_chord_and_no_slot() -> None:
    """Protects breaks of the whole band: where there is no chord there is no slot, before, behind and between."""
    assert shape("| NC | G NC | NC C | NC |") == [("G", 0, 960), ("C", 960, 960)]
    follows = cut(song("| NC | G NC | NC C | NC |")).follows
    assert [(f.before, f.after, f.times, f.gap) for f in follows] == [(0, 1, 1, 1920)]


def test_a_pickup_has_no_slot() -> None:
    """Protects the singer's pickup: it is never filled, and the first slot is the first whole measure."""
    got = slots("| pickup 2/4: G C | G | C |")
    assert [(s.measure, s.chord.label) for s in got] == [(1, "G"), (2, "C")]
    assert [s.context.place for s in got] == [1, 2]


@pytest.mark.parametrize(
    ("meter", "step"),
    [("4/4", 240), ("2/2", 240), ("3/4", 240), ("2/4", 120), ("6/8", 240), ("9/8", 240), ("12/8", 240), ("5/4", 240), ("7/8", 120), ("5/8", 120)],
)  # fmt: skip
def test_steps_of_the_meters(meter: str, step: int) -> None:
    """Protects the speed of a roll: it goes in eighths, but in sixteenths in 2/4 (one measure of 2/4 in sixteenths is one of
    4/4 in eighths: common practice, no source) and in odd meters that are counted in eighths."""
    count, unit = (int(n) for n in meter.split("/"))
    found = Meter(count, unit)
    assert step_of(found, found.ticks) == step
    assert slots("| G |", meter=meter)[0].context.step == step
    assert slots("| G |", meter=meter)[0].context.compound == (meter in ("6/8", "9/8", "12/8"))


def test_a_stretch_that_eighths_do_not_fill() -> None:
    """Protects against a step that leaves a remainder: half a measure of 7/8 or of 3/16 is counted in smaller steps."""
    assert step_of(Meter(4, 4), 240 * 3) == 240
    assert step_of(Meter(4, 4), 120 * 3) == 120
    for got in slots("| G |\n| in 9/16: C |\n| in 3/8: D |"):
        assert got.ticks % got.context.step == 0


def test_whole_measures() -> None:
    """Protects licks of two measures, which want whole ones."""
    assert [s.context.whole for s in slots("| G | G C | in 2/4: D | NC C |")] == [True, False, False, True, False]


# --- the voice, and what the banjo does ----------------------------------------------------------------------------------


def test_the_voice_as_the_chart_says() -> None:
    """Protects the singer: sung, held and silent as written, half and half where a measure has two; the gaps are where nobody
    sings, counted from the slot's start."""
    got = slots("| G | G | G | G C |\nvoice | sung | held | held silent | sung silent |")
    assert [(s.context.voice, s.context.gap) for s in got] == [
        ("sung", ()),
        ("held", ((0, 1920),)),
        ("held", ((0, 1920),)),
        ("sung", ()),
        ("silent", ((0, 960),)),
    ]


def test_phrases_end_in_a_gap_where_the_chart_says_nothing() -> None:
    """Protects charts without a row for the voice: phrases of four measures, of which the last begins with the held syllable
    and ends in silence (common practice, no source)."""
    got = slots("| G | G | C | G |\n| D7 | D7 | G | G |")
    assert [s.context.voice for s in got] == ["sung", "sung", "sung", "held"] * 2
    assert [s.context.gap for s in got] == [(), (), (), ((0, 1920),)] * 2
    halves = slots("| G | G | C | G D |")
    assert [s.context.voice for s in halves[-2:]] == ["held", "silent"]


def test_the_banjo_answers_an_instrument_where_its_lines_end() -> None:
    """Protects `lead mandolin, fills banjo`: chop through the line, an answer at its end; a banjo that is not asked to fill only chops."""
    rows = "section break, 4 measures\nlead mandolin{}\n| G | C | D7 | G |"
    asked = [(s.context.job, s.context.voice) for s in slots(rows.format(", fills banjo"))]
    assert asked == [("chop", "none")] * 3 + [("answer", "held")]
    assert [s.context.job for s in slots(rows.format(", fills fiddle"))] == ["chop"] * 4


def test_nothing_leads_into_a_stop() -> None:
    """Protects stops: before a measure without a chord the next chord is nothing to lead to, inside a section and at its end; where another
    chord follows at once it is."""
    got = slots("| G | D7 | NC | G |")
    assert [s.context.next_roots for s in got] == [(2,), (), ()]
    assert [s.context.next_change for s in got] == [True, False, False]
    twice = slots("| G | C | D7 | NC |", form="verse, verse")
    assert [(s.context.next_change, s.context.meets) for s in twice] == [(True, False), (True, False), (False, False)]


def test_the_end_is_free_where_the_chart_says_nothing_of_the_voice() -> None:
    """Protects endings before a last measure without a chord: the last chord is held by the voice as a phrase's end is, so that the banjo may
    end the song there."""
    got = slots("| G | D7 | G | NC |", form="verse, verse")
    assert (got[-1].context.last, got[-1].context.voice) == (True, "held")


def test_nobody_sings_where_the_banjo_plays_the_verse() -> None:
    """Protects breaks: the voice of the verse says nothing of a break that borrows its measures; who sings another's measures is a
    voice still, and so is a singer by name."""
    verse = "section verse, 2 measures\nlead Ada Moss\n| G | D7 |\nvoice | sung | held |\n"
    taken = "section break as verse\nlead banjo\n\nsection second verse as verse\nlead voice duet\n"
    by_name = "section third verse as verse\nlead Jory Pell\n"
    assert [s.context.voice for s in slots(verse + by_name)] == ["sung", "held"] * 2
    got = slots(verse + taken)
    assert [(s.context.voice, s.context.job) for s in got] == [
        ("sung", "answer"), ("held", "answer"), ("none", "break"), ("none", "break"), ("sung", "answer"), ("held", "answer"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "job"),
    [
        ("kickoff as verse", "break"), ("banjo break as verse", "break"), ("fiddle break as verse", "chop"), ("break as verse", "chop"),
        ("turnaround as verse", "break"), ("band intro as verse", "break"), ("banjo and fiddle break as verse", "break"),
        ("verse 2 as verse", "answer"), ("tag as verse", "answer"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("first", [True, False])
def test_sections_that_only_the_form_names_are_led_by_their_names(name: str, job: str, first: bool) -> None:
    """Protects kickoffs and breaks over the verse, whether they are played before or after it, and named nowhere but in the form: an instrument in
    the name leads, nobody sings in them, and the sheet prints no words of the verse there; a second verse is sung."""
    form = f"{name}, verse" if first else f"verse, {name}"
    verse = "section verse, 2 measures\nlead voice\n| G | D7 |\nvoice | sung | held |\nwords | up the | lane |\n"
    made = song(verse, form=form)
    got = {made.sections[s.section].label: s.context for s in cut(made).slots}
    assert got[name].job == job
    assert (got[name].voice == "none") == (job != "answer")
    assert got["verse"].job == "answer"
    words = {s.label: s.measures[0].words for s in printed(made).sections}
    assert words == {"verse": "up the", name: "up the" if job == "answer" else ""}


@pytest.mark.parametrize(
    ("head", "job"),
    [
        ("section fiddle break, 1 measure", "chop"),
        ("section banjo intro, 1 measure", "break"),
        ("section banjo break, 1 measure\nchop banjo", "chop"),
        ("section banjo break, 1 measure\nlead fiddle", "chop"),
        ("section verse, 1 measure\nlead voice, fills banjo", "answer"),
        ("section verse, 1 measure\nlead voice", "answer"),
        ("section verse, 1 measure\nlead voice, fills fiddle", "behind"),
        ("section chorus, 1 measure\nlead voice, fills fiddle, chop banjo", "chop"),
        ("section chorus, 1 measure\nlead voice, chop banjo", "chop"),
        ("section chorus, 1 measure\nchop banjo", "chop"),
        ("section chorus, 1 measure\nlead voice, fills banjo, chop mandolin", "answer"),
        ("section kickoff, 1 measure\nchop banjo", "chop"),
        ("section break, 1 measure\nlead banjo", "break"),
        ("section break, 1 measure\nlead fiddle", "chop"),
        ("section break, 1 measure\nlead fiddle, chop banjo", "chop"),
        ("section break, 1 measure\nlead fiddle, chop nobody", "chop"),
        ("section break, 1 measure\nlead fiddle, chop mandolin", "support"),
        ("section verse, 1 measure\nlead voice duet, fills banjo", "answer"),
        ("section verse, 1 measure\nlead two voices", "answer"),
        ("section verse, 1 measure\nlead quartet", "answer"),
        ("section verse, 1 measure\nlead fiddle duet", "chop"),
        ("section verse 2, 1 measure\nlead Ada Moss, fills banjo", "answer"),
        ("section chorus, 1 measure\nlead Ada Moss", "answer"),
        ("section break, 1 measure\nlead Ada Moss", "chop"),
        ("section part one, 1 measure\nlead Ada Moss", "chop"),
        ("section verse, 1 measure\nlead steel guitar", "chop"),
        ("section verse, 1 measure", "answer"),
        ("section chorus, 1 measure", "answer"),
        ("section break, 1 measure", "chop"),
        ("section kickoff, 1 measure", "break"),
        ("section turnaround, 1 measure", "break"),
    ],
)
def test_jobs(head: str, job: str) -> None:
    """Protects the banjo's place in the band: who leads, answers and chops says what the banjo does, and where the chart does
    not say it, the kind of section does."""
    assert slots(f"{head}\n| G |")[0].context.job == job


def test_a_banjo_that_chops_and_answers_does_each_in_its_time() -> None:
    """Protects a banjo that has both jobs: it chops while the singer sings and answers where the line ends; one that only chops goes on
    chopping there. The singer sings all the same."""
    both = slots("section chorus, 4 measures\nlead voice, fills banjo, chop banjo\n| G | G | C | G |")
    assert [s.context.job for s in both] == ["chop", "chop", "chop", "answer"]
    only = slots("section chorus, 4 measures\nlead voice, fills fiddle, chop banjo\n| G | G | C | G |")
    assert [s.context.job for s in only] == ["chop"] * 4
    assert [s.context.voice for s in both] == [s.context.voice for s in only] == ["sung", "sung", "sung", "held"]


def test_nobody_sings_in_a_break() -> None:
    """Protects breaks: without a row for the voice there is none in them, and all is gap; with such a row it counts."""
    for lead in ("banjo", "fiddle"):
        got = slots(f"section break, 2 measures\nlead {lead}\n| G | C |")
        assert [(s.context.voice, s.context.gap) for s in got] == [("none", ((0, 1920),))] * 2
    got = slots("section break, 1 measure\nlead banjo\n| G |\nvoice | sung |")
    assert got[0].context.voice == "sung"


# --- phrases -------------------------------------------------------------------------------------------------------------


def phrases(rows: str, **headers: str) -> list[tuple[int, bool, bool]]:
    """Place in the phrase, whether it ends there, and whether that end is a greater one."""
    return [
        (s.context.place, s.context.phrase_end, s.context.full and s.context.phrase_end) for s in slots(rows, **headers)
    ]


def test_rows_are_phrases() -> None:
    """Protects the player's own rows: a row of three to six measures is a phrase, every second end is a greater one, and so
    is the section's last."""
    assert phrases("| G | G | G |\n| C | C | C |\n| D | D | G |") == [
        (1, False, False), (2, False, False), (3, True, False),
        (1, False, False), (2, False, False), (3, True, True),
        (1, False, False), (2, False, False), (3, True, True),
    ]  # fmt: skip


def test_a_long_row_is_cut_into_phrases_of_four() -> None:
    """Protects charts that write a whole verse in one row."""
    got = phrases("| G | G | G | G | C | C | C | C |")
    assert [place for place, _, _ in got] == [1, 2, 3, 4] * 2
    assert [end for _, end, _ in got] == [False, False, False, True] * 2


def test_short_rows_are_joined() -> None:
    """Protects charts with two measures to a row: two rows make a phrase of four."""
    got = phrases("| G | G |\n| C | C |\n| D | D |\n| G | G |")
    assert [place for place, _, _ in got] == [1, 2, 3, 4] * 2


def test_the_length_of_phrases_can_be_set() -> None:
    """Protects rulebooks with other phrases: eight measures in a row are four phrases of two."""
    got = cut(song("| G | G | C | C | D | D | G | G |"), 2).slots
    assert [s.context.place for s in got] == [1, 2] * 4


def test_phrases_that_return_have_one_letter() -> None:
    """Protects the order A A B A: equal rows share a letter and a motif, others have their own; the last row has its own letter
    even where it returns, so that the end can vary."""
    got = slots("| G | C | G | D |\n| G | C | G | D |\n| C | C | D | D |\n| G | C | G | D |")
    letters = [got[4 * n].context.letter for n in range(4)]
    assert letters[0] == letters[1] and len(set(letters)) == 3
    motifs = [tuple(s.context.motif for s in got[4 * n : 4 * n + 4]) for n in range(4)]
    assert motifs[0] == motifs[1] and len(set(motifs[0])) == 4 and motifs[2] != motifs[0] != motifs[3]


# --- what comes before and after -----------------------------------------------------------------------------------------


def test_changes_of_chord() -> None:
    """Protects lead-ins and downbeats: a slot knows whether the chord changes before it and after it, and to what degree."""
    got = slots("| G | G | C | D7 |")
    assert [s.context.change for s in got] == [True, False, True, True]
    assert [s.context.next_change for s in got] == [False, True, True, False]
    assert [s.context.degree for s in got] == ["1", "1", "4", "5"]
    assert [s.context.next_degrees for s in got] == [("1",), ("4",), ("5",), ()]
    assert [s.context.next_roots for s in got] == [(7,), (0,), (2,), ()]


def test_the_ends_of_sections() -> None:
    """Protects the joins of the form: the first and the last slot of a section know it, the last one before another passage
    meets it, and the very last ends the song, even where its section has been played before."""
    got = slots(
        "form verse, chorus, verse\nsection verse, 2 measures\n| G | G |\nsection chorus, 2 measures\n| C | D |"
    )
    assert [s.context.section_start for s in got] == [True, False, True, False]
    assert [s.context.section_end for s in got] == [False, True, False, True]
    assert [s.context.meets for s in got] == [False, True, False, True]
    assert [s.context.last for s in got] == [False, True, False, False]


def counted(plan: Cut) -> Counter[tuple[int, int, int]]:
    """Which slot follows which, counted."""
    return Counter({(f.before, f.after, f.gap): f.times for f in plan.follows})


def test_follows_by_repeats_and_endings() -> None:
    """Protects the weighing by the form: with repeats and endings each join is counted as often as it is played."""
    rows = "repeat 3 times\n| G | C |\nending 1, 2\n| D |\nending 3\n| G |\nend repeat\n| NC |"
    plan = cut(song(f"section verse, 10 measures\n{rows}"))
    assert plan.played == (0, 1, 2, 0, 1, 2, 0, 1, 3)
    assert counted(plan) == {(0, 1, 0): 3, (1, 2, 0): 2, (2, 0, 0): 2, (1, 3, 0): 1}


def test_follows_by_the_form() -> None:
    """Protects the same across sections, with a stretch without a chord between: a join is the same only with the same gap."""
    plan = cut(
        song(
            "form verse, tag, verse, verse\nsection verse, 2 measures\n| G | C NC |\nsection tag, 2 measures\n| NC | D |"
        )
    )
    assert plan.played == (0, 1, 2, 0, 1, 0, 1)
    assert counted(plan) == {(0, 1, 0): 3, (1, 2, 960 + 1920): 1, (2, 0, 0): 1, (1, 0, 960): 1}


def test_a_measure_that_follows_itself() -> None:
    """Protects vamps: a measure repeated on the spot follows itself."""
    plan = cut(song("section verse, 4 measures\nrepeat 4 times\n| G |\nend repeat"))
    assert counted(plan) == {(0, 0, 0): 3}
    assert plan.slots[0].context.meets is False and plan.slots[0].context.last is True


def test_a_song_without_any_chord() -> None:
    """Protects charts that are all words: nothing to cut."""
    assert cut(song("| NC |")) == Cut((), (), ())


@pytest.mark.parametrize(
    ("tempo", "band"),
    [("quarter = 60", "slow"), ("quarter = 112", "slow"), ("quarter = 140", "middle"), ("half = 96", "middle"), ("half = 112", "fast")],
)  # fmt: skip
def test_bands_of_tempo(tempo: str, band: str) -> None:
    """Protects rules for slow and fast songs: the band is that of the eighth note in milliseconds (over 240, over 150, less),
    whatever note the tempo counts."""
    got = slots("| G |", tempo=tempo)[0].context
    assert got.tempo == band
    note, count = tempo.split(" = ")
    eighth = Fraction(60_000, int(count)) / {"quarter": 2, "half": 4}[note]
    assert band == ("slow" if eighth > 240 else "middle" if eighth > 150 else "fast")


def test_requests_belong_to_their_chord() -> None:
    """Protects the row of requests: each stretch has its own, and the context is the same with or without it."""
    asked, free = slots("| G C | G |\nask | roll, vamp | |"), slots("| G C | G |")
    assert [s.request.role if s.request else None for s in asked] == ["roll", "vamp", None]
    assert [s.context for s in asked] == [s.context for s in free]
