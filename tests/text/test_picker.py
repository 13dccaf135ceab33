"""The picker: typed values out of a table, all errors in one run."""

from __future__ import annotations

import pytest

from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source
from chartc.text.tree import Branch, Picker, Table, read_tree


def _picker(text: str) -> Picker:
    node, found = read_tree(Source("f", text))
    assert found == ()
    assert isinstance(node, Table)
    return Picker(node, "the player", [])


def _codes(picker: Picker) -> list[tuple[str, int, int]]:
    return [(d.code, d.place[1], d.place[2]) for d in picker.found]


def test_values_are_taken_as_their_kind() -> None:
    """Texts, words, numbers, truth values and lists come out typed, and nothing is reported."""
    picker = _picker("name: Ida\npaper: a4\nfrets: 22\nreach: 104.5\nspikes: no\nlicks: [a, b]\none: x\nlow: -3\n")
    assert picker.text("name") == "Ida"
    assert picker.word("paper", ("a4", "letter"), "letter") == "a4"
    assert picker.number("frets", 1, 1, 30) == 22
    assert picker.number("low", 1, -5, 5) == -3
    assert picker.decimal("reach", 1.0, 50.0, 200.0) == 104.5
    assert picker.flag("spikes", True) is False
    assert picker.words("licks") == ("a", "b")
    assert picker.words("one", ("x", "y")) == ("x",)
    picker.done()
    assert picker.found == []


def test_what_is_absent_takes_its_default() -> None:
    """Nothing has to be written out: each kind falls back to the value that the program gives."""
    picker = _picker("a: 1\n")
    assert picker.text("b", "x") == "x"
    assert picker.word("c", ("k",), "k") == "k"
    assert picker.number("d", 7, 1, 9) == 7
    assert picker.decimal("e", 7.5, 1, 9) == 7.5
    assert picker.flag("f", True) is True
    assert picker.flag("f", False) is False
    assert picker.words("g") == ()
    assert picker.leaves("g") == ()
    assert picker.node("h") is None
    picker.tables("i", lambda table: pytest.fail(str(table)))
    assert picker.found == []


def test_what_is_required_is_asked_for() -> None:
    """A missing entry that must be there is reported at the table, with the line to add."""
    picker = _picker("a: 1\n")
    picker.text("tuning", required=True)
    assert _codes(picker) == [("yaml-missing", 1, 1)]
    assert picker.found[0].message == 'the player has no "tuning"'
    assert "tuning:" in picker.found[0].help


@pytest.mark.parametrize(
    "value",
    ["12.0", "x", "''", "1_0", "0x10", "+3", "٣", "0", "31", "-1", "1e1", "9" * 5000, "--3", "'-'", "'3 '", "½"],
)
def test_a_bad_whole_number_is_reported_at_its_place(value: str) -> None:
    """Only plain digits within the limits are a number: no underscores, signs, blanks, exponents or other scripts' digits."""
    picker = _picker(f"frets:  {value}\n")
    assert picker.number("frets", 22, 1, 30) == 22
    assert _codes(picker) == [("yaml-number", 1, 10 if value.startswith("'") else 9)]
    assert "1 to 30" in picker.found[0].message


@pytest.mark.parametrize(
    "value", ["nan", "inf", ".inf", "1_0.5", "1e2", "x", "''", "0.4", "100.01", "1,5", "٣", ".", "'-'"]
)
def test_a_bad_decimal_number_is_reported_at_its_place(value: str) -> None:
    """Not-a-number and infinity never get into the reckoning, nor does anything outside the limits."""
    picker = _picker(f"reach: {value}\n")
    assert picker.decimal("reach", 55.0, 0.5, 100.0) == 55.0
    assert [d.code for d in picker.found] == ["yaml-number"]
    assert "0.5 to 100" in picker.found[0].message


def test_the_limits_themselves_are_allowed() -> None:
    """Both ends of a range belong to it."""
    picker = _picker("a: 1\nb: 30\nc: 0.5\nd: 100\ne: .5\n")
    assert [picker.number(k, 9, 1, 30) for k in "ab"] == [1, 30]
    assert [picker.decimal(k, 9, 0.5, 100) for k in "cde"] == [0.5, 100.0, 0.5]
    assert picker.found == []


def test_an_unknown_word_is_answered_with_the_known_ones() -> None:
    """The word that is not known is placed, a similar one is named, and all are listed; the default stands in."""
    picker = _picker("paper: leter\nlicks: [roll, fil]\n")
    assert picker.word("paper", ("a4", "letter"), "a4") == "a4"
    assert picker.words("licks", ("roll", "fill")) == ("roll",)
    assert _codes(picker) == [("yaml-word", 1, 8), ("yaml-word", 2, 15)]
    assert '"letter", with a similar name' in picker.found[0].message
    assert picker.found[0].help == "paper is one of: a4, letter"
    assert '"fill", with a similar name' in picker.found[1].message
    assert picker.found[1].help == "licks takes: roll, fill"


def test_a_truth_value_is_yes_or_no() -> None:
    """Anything else is an error: `true` and `on` are not guessed at."""
    picker = _picker("spikes: true\n")
    assert picker.flag("spikes", True) is True
    assert _codes(picker) == [("yaml-word", 1, 9)]


def test_the_wrong_kind_of_node_is_reported() -> None:
    """A list for a word, a word for a list of tables and a list inside a list are named where they stand."""
    picker = _picker("a: [x]\nb: {c: d}\ne: [x, [y]]\nf: x\ng: [x, {h: i}]\n")
    assert picker.text("a", "z") == "z"
    assert picker.number("b", 3, 1, 9) == 3
    assert picker.words("e") == ()
    picker.tables("f", lambda table: pytest.fail(str(table)))
    seen: list[Table] = []
    picker.tables("g", seen.append)
    assert [list(t.entries) for t in seen] == [["h"]]
    assert _codes(picker) == [
        ("yaml-kind", 1, 4),
        ("yaml-kind", 2, 4),
        ("yaml-kind", 3, 4),
        ("yaml-kind", 4, 4),
        ("yaml-kind", 5, 5),
    ]


def test_an_entry_that_nobody_knows_is_reported() -> None:
    """A slip of the pen in a key is an error with the key that was meant, not a setting silently left out."""
    picker = _picker("tunning: x\nname: y\n")
    picker.text("tuning")
    picker.text("name")
    picker.done()
    assert _codes(picker) == [("yaml-unknown", 1, 1)]
    assert 'the player has no entry "tunning"; there is "tuning"' in picker.found[0].message
    assert picker.found[0].help == "known here: name, tuning"


def test_all_errors_come_in_one_run_and_in_one_list() -> None:
    """One bad value does not hide the next; the findings go to the list that the caller gave."""
    found: list[Diagnostic] = []
    node, _ = read_tree(Source("f", "a: x\nb: y\nc: 1\n"))
    assert isinstance(node, Table)
    picker = Picker(node, "it", found)
    picker.number("a", 1, 1, 2)
    picker.decimal("b", 1, 1, 2)
    picker.done()
    assert [d.code for d in found] == ["yaml-number", "yaml-number", "yaml-unknown"]


def test_a_node_can_be_taken_as_it_is() -> None:
    """A caller with a form of its own gets the node itself, and the entry counts as known."""
    picker = _picker("rows:\n  - [1, 2]\n")
    assert isinstance(picker.node("rows"), Branch)
    picker.done()
    assert picker.found == []
