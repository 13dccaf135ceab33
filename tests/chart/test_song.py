"""What a chart means: beats, repeats, the form, rows beneath, transposition."""

from __future__ import annotations

from dataclasses import replace

import pytest

from chartc.chart.cells import shares
from chartc.chart.sections import kind_of
from chartc.chart.song import Ending, Measure, Melody, Passage, Repeat, Request, Song, in_key
from chartc.theory.key import Mode, all_keys, parse_key
from chartc.theory.meter import Meter, Tempo
from tests.chart.charts import HEAD, read, song
from tests.chart.test_reference import EXAMPLES


def chords(measure: Measure) -> list[tuple[int, int, str | None]]:
    """The measure's stretches as onset, length and symbol."""
    return [(s.at, s.ticks, s.chord.symbol if s.chord else None) for s in measure.stretches]


def one(rows: str, count: int = 1, head: str = HEAD) -> Song:
    """The song of one section."""
    plural = "measure" if count == 1 else "measures"
    return song(f"{head}section verse, {count} {plural}\n{rows}\n", advice=True)


def test_the_whole_example() -> None:
    """Protects the meaning of the reference's first chart, line by line."""
    got = song(EXAMPLES[0])
    assert (got.title, got.credit, got.key.label) == ("Ladder to the Ferry", "written for this project", "G")
    assert (got.meter, got.tempo, got.melody) == (Meter(4, 4), Tempo("quarter", 112), Melody(62, 71))
    assert [(s.id, s.label, s.kind) for s in got.sections] == [
        ("kickoff", "kickoff", "kickoff"),
        ("verse", "verse", "verse"),
        ("chorus", "chorus", "chorus"),
        ("break-as-verse", "break as verse", "break"),
    ]
    assert [(s.lead, s.fills, s.chop) for s in got.sections] == [
        ("banjo", "", "mandolin"),
        ("voice", "banjo", "mandolin"),
        ("", "", ""),
        ("fiddle", "", "banjo"),
    ]
    assert got.form == ("kickoff", "verse", "chorus", "break as verse", "chorus")
    assert got.sections[3].measures == got.sections[1].measures
    chorus = got.sections[2]
    assert chorus.repeats == (Repeat(0, 5, 2, (Ending((1,), 2, 3), Ending((2,), 4, 5))),)
    assert chorus.played == (0, 1, 2, 3, 0, 1, 4, 5)
    verse = got.sections[1].measures
    assert [m.words for m in verse[:4]] == ["Up the long", "ladder", "to the ferry again", ""]
    assert [(v.at, v.ticks, v.state) for v in verse[3].voice] == [(0, 960, "held"), (960, 960, "silent")]
    assert [r and (r.role, r.place) for m in verse[:4] for r in m.requests] == [
        ("roll", None),
        None,
        (None, "high"),
        ("fill", None),
    ]
    assert chords(verse[5]) == [(0, 1440, "G"), (1440, 480, "D")]
    assert chords(verse[6]) == chords(verse[5]) and verse[6].again and not verse[5].again
    assert [m.line for m in verse] == [0] * 4 + [1] * 4 and [m.number for m in verse] == list(range(1, 9))


# worked out by hand from the rule: one word, one each, halves; eighths in compound meters, quarters in meters of halves
SHARES = [
    ("4/4", 1, (1920,)), ("4/4", 2, (960, 960)), ("4/4", 3, None), ("4/4", 4, (480,) * 4), ("4/4", 8, None),
    ("3/4", 2, None), ("3/4", 3, (480,) * 3), ("2/4", 2, (480, 480)), ("2/2", 2, (960, 960)), ("2/2", 4, (480,) * 4),
    ("2/2", 3, None), ("3/2", 6, (480,) * 6), ("3/2", 2, None), ("6/8", 2, (720, 720)), ("6/8", 3, None),
    ("6/8", 6, (240,) * 6), ("9/8", 3, (720,) * 3), ("9/8", 2, None), ("9/8", 9, (240,) * 9), ("12/8", 2, (1440, 1440)),
    ("12/8", 4, (720,) * 4), ("12/8", 12, (240,) * 12), ("3/8", 3, (240,) * 3), ("5/4", 5, (480,) * 5), ("5/4", 2, None),
    ("7/8", 7, (240,) * 7), ("1/4", 2, None),
]  # fmt: skip


@pytest.mark.parametrize(("meter", "words", "expected"), SHARES)
def test_how_words_share_a_measure(meter: str, words: int, expected: tuple[int, ...] | None) -> None:
    """Protects the rule of beats in every kind of meter."""
    count, unit = meter.split("/")
    assert shares(words, Meter(int(count), int(unit))) == expected


def test_neighbours_of_one_chord_are_one_stretch() -> None:
    """Protects the merging of beats: requests go by chords, not by words."""
    got = one("| G / / D | G G D D | NC / G / |\nask | roll, fill | , fill high | , old gate |", 3).sections[0]
    assert chords(got.measures[1]) == [(0, 960, "G"), (960, 960, "D")]
    assert chords(got.measures[2]) == [(0, 960, None), (960, 960, "G")]
    asked = [[r and (r.role, r.place, r.lick) for r in m.requests] for m in got.measures]
    assert asked[0] == [("roll", None, None), ("fill", None, None)]
    assert asked[1] == [None, ("fill", "high", None)]
    assert asked[2] == [None, (None, None, "old gate")]
    assert got.measures[0].stretches[0].span.text == "G / /"


def test_one_request_serves_every_chord() -> None:
    """Protects the request for a whole measure: it goes to each chord, and not to a stretch without one."""
    got = one("| G NC D NC |\nask | roll fret 5 |").sections[0].measures[0]
    given = [r is not None for r in got.requests]
    assert given == [True, False, True, False]
    first = got.requests[0]
    assert isinstance(first, Request) and (first.role, first.fret, first.span.text) == ("roll", 5, "roll fret 5")


def test_names_of_several_words() -> None:
    """Protects lick names: the longest known name counts, whatever stands beside it."""
    got = one("| G |\nask | high ferry roll |").sections[0].measures[0].requests[0]
    assert got is not None and (got.lick, got.role, got.place) == ("ferry roll", None, "high")


def test_pickup_is_played_only_at_the_start() -> None:
    """Protects the pickup: uncounted, number 0, played where its section opens the song and nowhere else."""
    text = HEAD + "form verse, verse\nsection verse, 2 measures\nrepeat\n| pickup 3/8: | G |\nend repeat\n"
    got = song(text)
    verse = got.sections[0]
    pickup = verse.measures[0]
    assert pickup.pickup and pickup.number == 0 and pickup.ticks == 720 and not pickup.crooked
    assert chords(pickup) == [(0, 720, None)]
    assert verse.repeats == (Repeat(1, 1, 2),) and verse.played == (1, 1) and verse.measures[1].number == 1
    assert got.order == (Passage(0, (0, 1, 1)), Passage(0, (1, 1)))


def test_crooked_measures() -> None:
    """Protects measures of another length, and the sign for the measure before among them."""
    got = one("| G | in 2/4: C | in 2/4: % | in 4/4: D |", 4).sections[0].measures
    assert [(m.ticks, m.crooked, m.again) for m in got] == [
        (1920, False, False),
        (960, True, False),
        (960, True, True),
        (1920, False, False),
    ]


def test_form_lines_add_up_and_names_ignore_capitals() -> None:
    """Protects long forms, trailing commas, capitals and spaces in names."""
    text = HEAD + "form Verse  One,\nform verse one, BREAK as verse one\nsection verse one, 1 measure\n| G |\n"
    got = song(text)
    assert [p.section for p in got.order] == [0, 0, 1]
    assert got.sections[1].kind == "break" and got.sections[1].id == "break-as-verse-one"


def test_without_a_form_each_section_is_played_once() -> None:
    """Protects charts without a form, borrowed sections among them."""
    text = HEAD + "section verse, 1 measure\n| G |\nsection break as verse\nlead Fiddle\n"
    got = song(text)
    assert got.form == ("verse", "break as verse") and got.sections[1].lead == "fiddle"


def test_short_name_of_a_borrowing_section() -> None:
    """Protects the form `break` for the only section `break as verse`."""
    text = HEAD + "form verse, break\nsection verse, 1 measure\n| G |\nsection break as verse\nlead banjo\n"
    assert song(text).form == ("verse", "break as verse")


def test_identifiers_are_unique_and_never_empty() -> None:
    """Protects the sections' identifiers in data and in file names."""
    names = ["verse 2", "verse-2", "副歌", "Übergang", "---", "verse 2-2"]
    text = HEAD + "".join(f"section {n}, 1 measure\n| G |\n" for n in names if n != "---")
    ids = [s.id for s in song(text).sections]
    assert ids == ["verse-2", "verse-2-2", "section", "ubergang", "verse-2-2-2"]


def test_ways_of_writing_the_file() -> None:
    """Protects files from every system: byte-order mark, line ends, tabs, no-break spaces, remarks without a space, accents
    that stand alone, signs for flat and sharp, and no newline at the end."""
    plain = "title Café\nkey Bb\nmeter 4/4\ntempo quarter = 100\nsection verse, 2 measures\n| Bb | F#m |"
    odd = "\ufefftitle\tCafe\u0301;x\r\nkey\u00a0B♭;y\r\rmeter 4/4\ntempo\u2009quarter=100\nsection verse,2 measures;\n|B♭|F♯m|;|"
    a, b = song(plain, True), song(odd, True)
    assert (a.title, a.key, a.tempo) == (b.title, b.key, b.tempo)
    assert [chords(m) for m in a.sections[0].measures] == [chords(m) for m in b.sections[0].measures]


def test_semicolons_in_texts() -> None:
    """Protects the doubled semicolon in title, credit and words, and the remark after it."""
    text = (
        HEAD.replace("Ladder to the Ferry", "A;;B ; no ;; more")
        + "section verse, 1 measure\n| G |\nwords | a;; b;;c | ;x |\n"
    )
    got = song(text)
    assert got.title == "A;B" and got.sections[0].measures[0].words == "a; b;c"


def test_warnings_leave_a_song() -> None:
    """Protects charts without a tempo: a warning, and the usual tempo."""
    got, found = read("title A\nkey G\nmeter 2/2\nsection verse, 1 measure\n| G |\n")
    assert got is not None and got.tempo == Tempo("quarter", 100)
    assert [(d.code, d.severity) for d in found] == [("tempo-missing", "warning")]


WORDS = "G Em A7 Bbmaj7 F#m7b5 C/G 1 b7 6m 4/1 Ebm7b5/Gb NC G#dim7 D9sus4"


@pytest.mark.parametrize("mode", ["major", "minor", "mixolydian", "dorian"])
def test_transposition_there_and_back(mode: str) -> None:
    """Protects exact spelling: from each of the twelve keys to each other and back, nothing has changed."""
    row = "| " + " | ".join(WORDS.split()) + " |"
    home = parse_key(f"G {mode}")
    assert home is not None
    head = HEAD.replace("key G", f"key G {mode}") + "melody D4 to B4\n"
    start = one(row, len(WORDS.split()), head)
    for a in all_keys(home.mode):
        there = in_key(start, a)
        assert in_key(there, home) == start
        for b in all_keys(home.mode):
            assert in_key(in_key(there, b), a) == there


@pytest.mark.parametrize("mode", ["major", "minor"])
def test_a_chart_written_in_another_key_and_back_keeps_its_melody(mode: Mode) -> None:
    """Protects the singer: the melody of a chart that is written anew in another key, and from there in the first one, lies where it lay,
    half an octave away too."""
    for home in all_keys(mode):
        head = HEAD.replace("key G", f"key {home.plain}") + "melody D4 to B4\n"
        start = one("| 1 |", 1, head)
        for other in all_keys(mode):
            there = in_key(start, other)
            assert in_key(replace(there, written_key=other), home).melody == start.melody
            assert there.melody is not None and start.melody is not None
            assert abs(there.melody.low - start.melody.low) <= 6


@pytest.mark.parametrize(
    ("label", "kind"),
    [
        ("verse", "verse"), ("last chorus", "chorus"), ("fiddle break as verse", "break"), ("half verse two", "verse"),
        ("chorus tag", "chorus"), ("way out", "verse"), ("as verse", "verse"), ("Part Two as chorus", "verse"),
        ("fiddle solo", "break"), ("outro", "ending"), ("refrain two", "chorus"), ("instrumental as verse", "break"),
    ],
)  # fmt: skip
def test_a_word_of_the_name_says_the_kind(label: str, kind: str) -> None:
    """Protects the climax: a last chorus is a chorus; what a section borrows says nothing of its kind."""
    assert kind_of(label) == kind
