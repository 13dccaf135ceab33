"""The rows of a lick: what each sign means, and where a wrong one is reported."""

from __future__ import annotations

import logging

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lark import Lark
from lark import logger as lark_log

from chartc.licks.lick import Lick
from chartc.licks.notation import ROWS, STEP, Stroke, parse_row
from chartc.text.grammar import grammar
from tests.licks.lick_texts import GOOD, ROLL, load_one, told


def the_lick(base: dict[str, str] = GOOD, /, **changes: str | None) -> Lick:
    library, found = load_one(base, **changes)
    assert found == ()
    (lick,) = library.licks
    return lick


def test_a_column_is_a_step() -> None:
    """Each column lasts one step, in the order written: onsets and lengths are what every sheet is printed from."""
    lick = the_lick()
    assert [(n.at, n.ticks, n.string, n.fret, n.pick) for n in lick.notes] == [
        (0, STEP, 3, 0, "T"),
        (STEP, STEP, 2, 0, "I"),
        (2 * STEP, STEP, 1, 0, "M"),
        (3 * STEP, STEP, 2, 0, "I"),
    ]
    assert (lick.ticks, lick.steps, lick.rests) == (4 * STEP, 4, ())


def test_a_comma_divides_a_column_into_equal_parts() -> None:
    """`3,3` is two sixteenths in the time of one eighth, and three parts are a triplet; the fretting hand may make the second."""
    lick = the_lick(strings="3,3 2 1 2", frets="0,h2 0 0 0", picks="T,. I M I", fingers=".,m . . .")
    first, second = lick.notes[:2]
    assert (first.at, first.ticks, first.how) == (0, STEP // 2, None)
    assert (second.at, second.ticks, second.how, second.pick, second.finger) == (120, 120, "hammer-on", None, "m")
    lick = the_lick(strings="3,2,1 2 1 2", frets="0,0,0 0 0 0", picks="T,I,M I M I")
    assert [(n.at, n.ticks) for n in lick.notes[:4]] == [(0, 80), (80, 80), (160, 80), (240, 240)]


def test_a_plus_joins_what_is_struck_at_once() -> None:
    """`3+1` is a pinch: two notes with one onset and one length."""
    lick = the_lick(strings="3+1 2 1 2", frets="0+0 0 0 0", picks="T+M I M I")
    assert [(n.at, n.string, n.pick) for n in lick.notes[:2]] == [(0, 3, "T"), (0, 1, "M")]
    assert {n.ticks for n in lick.notes[:2]} == {STEP}


def test_an_underscore_holds_and_a_dot_rests() -> None:
    """`_` makes what sounds longer, `.` in the row of strings is silence with its own length; a rest can be held too."""
    lick = the_lick(strings="3 _ . 2", frets="0 _ . 0", picks="T _ . I")
    assert [(n.at, n.ticks) for n in lick.notes] == [(0, 2 * STEP), (3 * STEP, STEP)]
    assert lick.rests == ((2 * STEP, STEP),)
    lick = the_lick(strings="3 . _ _", frets="0 . _ _", picks="T . _ _")
    assert lick.rests == ((STEP, 3 * STEP),)


def test_an_x_damps() -> None:
    """`x3` is the third string damped as it sounds: the chop is printed and played short."""
    lick = the_lick(ROLL, role="vamp", strings="4 _ x3+x2 _", picks="T _ I+M _")
    assert [(n.string, n.how) for n in lick.notes] == [(4, None), (3, "damped"), (2, "damped")]


@pytest.mark.parametrize(
    ("changes", "how", "fret", "amount"),
    [
        ({"frets": "0 0 0 h1", "picks": "T I M ."}, "hammer-on", 1, 0.0),
        ({"frets": "0 3 0 p1", "picks": "T I M ."}, "pull-off", 1, 0.0),
        ({"frets": "0 1 0 s3", "picks": "T I M ."}, "slide", 3, 0.0),
        ({"frets": "0 0 0 c3"}, "choke", 3, 1.0),
        ({"frets": "0 0 0 c3:2"}, "choke", 3, 2.0),
        ({"frets": "0 0 0 c3:0.5"}, "choke", 3, 0.5),
    ],
)
def test_how_a_fret_is_reached(changes: dict[str, str], how: str, fret: int, amount: float) -> None:
    """h, p, s and c before a fret: hammer-on, pull-off, slide, choke, the choke with its rise in semitones (1 unless said)."""
    note = the_lick(**changes).notes[-1]
    assert (note.how, note.fret, note.amount) == (how, fret, amount)


def test_the_fretting_fingers_are_read() -> None:
    """i, m, r, p and t name the fretting fingers; . says nothing, as under an open string."""
    lick = the_lick(strings="3 2 1 5", frets="0 3 5 7", picks="T I M T", fingers=". i r t")
    assert [n.finger for n in lick.notes] == [None, "i", "r", "t"]


def test_the_grammar_has_no_conflict(caplog: pytest.LogCaptureFixture) -> None:
    """Every row is read by LALR without a guess: lark tells of a conflict that it settles by itself, and tells of none here."""
    before = lark_log.level
    try:
        with caplog.at_level(logging.DEBUG, logger=lark_log.name):
            Lark('start: a "x"? "x"?\na: "y" "x"?', parser="lalr", debug=True)
            assert "Shift/Reduce" in caplog.text
            caplog.clear()
            Lark(grammar("lick.lark"), parser="lalr", start=list(ROWS), debug=True)
            assert "conflict" not in caplog.text.lower()
    finally:
        lark_log.setLevel(before)


@pytest.mark.parametrize(
    ("kind", "text", "offset"),
    [
        ("strings", "3 2 y 2", 4),
        ("strings", "3 0 1 2", 2),
        ("strings", "3 2 +1 2", 4),
        ("strings", "3 2 1,", 5),
        ("strings", "3 2 1+", 5),
        ("strings", "3 2 h1 2", 4),
        ("strings", "32 1", 1),
        ("frets", "0 0 t2 0", 4),
        ("frets", "0 -1 0", 2),
        ("frets", "0 c3:x 0", 4),
        ("frets", "0 123 0", 4),
        ("picks", "T i M I", 2),
        ("picks", "T I A M", 4),
        ("fingers", ". I . .", 2),
        ("fingers", ". i a .", 4),
    ],
)
def test_a_wrong_sign_is_reported_where_it_stands(kind: str, text: str, offset: int) -> None:
    """The reader says the offset of the first sign that does not fit, and what would fit in that row."""
    result = parse_row(kind, text)
    assert isinstance(result[0], int), result
    assert result[0] == offset
    assert result[1]


def test_a_wrong_sign_is_shown_in_its_file() -> None:
    """The finding marks the sign itself, line and column, not the row as a whole."""
    _, found = load_one(GOOD, frets="0 0 q 0")
    (finding,) = found
    assert (finding.code, finding.span and finding.span.line, finding.span and finding.span.column) == (
        "lick-row",
        7,
        16,
    )
    assert "fret" in finding.help


@pytest.mark.parametrize(
    ("changes", "marked"),
    [
        ({"picks": "T I M"}, ["T I M"]),
        ({"frets": "0 0 0 0 0"}, ["0 0 0 0 0"]),
        ({"strings": "3 _ 1 2"}, ["0", "I"]),
        ({"strings": "3 . 1 2"}, ["0", "I"]),
        ({"frets": "0 0 _ 0"}, ["_"]),
        ({"frets": "0 0 . 0"}, ["."]),
        ({"picks": "T I _ I"}, ["_"]),
        ({"strings": "3 2 1,1 2"}, ["0", "M"]),
        ({"strings": "3 2 1+3 2"}, ["0", "M"]),
        ({"frets": "0 0 0+0 0"}, ["0+0"]),
        ({"fingers": ". . . . ."}, [". . . . ."]),
    ],
)
def test_rows_must_have_the_same_columns(changes: dict[str, str], marked: list[str]) -> None:
    """Each column that does not fit under its string is marked, in every row, in one run."""
    _, found = load_one(GOOD, **changes)
    assert told(found) == [("lick-columns", text) for text in marked]


def test_nothing_can_be_held_before_it_sounds() -> None:
    """A lick that begins with `_` has nothing to hold."""
    _, found = load_one(GOOD, strings="_ 2 1 2", frets="_ 0 0 0", picks="_ I M I")
    assert told(found) == [("lick-row", "_")]


@pytest.mark.parametrize(
    "row", ["|\n      3 2 1 2", ">\n      3 2\n      1 2", "3 2\n      1 2", '""', '"3 2\\x201 2"']
)
def test_a_row_stands_on_one_line(row: str) -> None:
    """Findings point at columns, so a row that YAML puts together from several lines or from escapes is refused."""
    _, found = load_one(GOOD, strings=row)
    assert [d.code for d in found] == ["lick-row"]


def test_a_row_may_stand_in_quotes() -> None:
    """Quotes are YAML's, not the row's; places are counted inside them."""
    assert the_lick(strings="'3 2 1 2'").notes[0].string == 3
    _, found = load_one(GOOD, strings="'3 2 z 2'")
    assert told(found) == [("lick-row", "z")]


_STRING = st.tuples(st.sampled_from(["", "x"]), st.integers(1, 9)).map(lambda p: f"{p[0]}{p[1]}")
_STROKE = st.one_of(st.just("_"), st.just("."), st.lists(_STRING, min_size=1, max_size=4).map("+".join))
_COLUMNS = st.lists(st.lists(_STROKE, min_size=1, max_size=4).map(",".join), min_size=1, max_size=12)


@given(_COLUMNS, st.sampled_from([" ", "  ", "\t"]))
def test_a_row_comes_back_as_it_was_written(columns: list[str], gap: str) -> None:
    """Whatever columns are written, reading gives back exactly these words, each at its own offset in the text."""
    text = gap.join(columns)
    read: list[tuple[Stroke, ...]] = []
    for column in parse_row("strings", text):
        assert isinstance(column, tuple)
        read.append(column)
    assert [",".join("+".join(s.words) for s in column) for column in read] == columns
    for column in read:
        for stroke in column:
            assert text[stroke.column :].startswith("+".join(stroke.words))


@given(st.text(st.sampled_from("123459x_., +hpsc:TIMimrpt0"), max_size=24))
def test_any_text_is_read_or_reported(text: str) -> None:
    """No row makes the reader fail: it is read, or an offset inside the text is reported."""
    for kind in ROWS:
        result = parse_row(kind, text)
        if result and isinstance(result[0], int):
            assert 0 <= result[0] <= max(0, len(text) - 1)
