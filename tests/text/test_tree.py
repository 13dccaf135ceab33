"""YAML as a tree of plain text: nothing is guessed, nothing is built, and every error has its exact place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source
from chartc.text.tree import MAX_DEPTH, MAX_NODES, Branch, Leaf, Node, Table, read_tree


def _tree(text: str) -> Node:
    node, found = read_tree(Source("f", text))
    assert found == ()
    assert node is not None
    return node


def _table(text: str) -> Table:
    node = _tree(text)
    assert isinstance(node, Table)
    return node


def _bad(text: str) -> tuple[Diagnostic, ...]:
    node, found = read_tree(Source("f", text))
    assert node is None
    assert found
    return found


def _places(text: str) -> list[tuple[str, int, int]]:
    return [(d.code, d.place[1], d.place[2]) for d in _bad(text)]


def _plain(node: Node) -> object:
    if isinstance(node, Leaf):
        return node.text
    if isinstance(node, Branch):
        return [_plain(n) for n in node.items]
    return {key: _plain(value) for key, value in node.entries.items()}


@pytest.mark.parametrize(
    "word",
    [
        "no",
        "yes",
        "on",
        "off",
        "~",
        "null",
        "1:30",
        "012",
        "0x1F",
        "1_000",
        ".inf",
        "1e3",
        "2001-12-14",
        "=",
        "3.10",
        "G",
        "+1",
    ],
)
def test_a_scalar_stays_the_text_that_was_written(word: str) -> None:
    """No word turns into a truth value, a number in base 60 or 8, a date or nothing: chords and times stay as written."""
    assert _plain(_tree(f"a: {word}\nb: [{word}]\n")) == {"a": word, "b": [word]}


def test_a_bare_equals_sign_may_be_a_key_too() -> None:
    """`=` is a type of its own in YAML 1.1 and must not crash the reader anywhere."""
    assert _plain(_tree("=: 1\n")) == {"=": "1"}


def test_words_that_mean_no_are_good_keys() -> None:
    """Keys are text as well: `no`, `on` and a number do not collide with each other."""
    assert _plain(_tree("no: 1\non: 2\n1: 3\n01: 4\n")) == {"no": "1", "on": "2", "1": "3", "01": "4"}


def test_lists_tables_and_blocks_nest() -> None:
    """The three kinds of node, both styles of writing them, quotes and blocks of lines all come out as text."""
    text = "a:\n  - b: 'x: y'\n    c: \"d\\te\"\n  - [1, {f: 2}]\ng: |\n  one\n    two\nh: >\n  three\n  four\n"
    assert _plain(_tree(text)) == {
        "a": [{"b": "x: y", "c": "d\te"}, ["1", {"f": "2"}]],
        "g": "one\n  two\n",
        "h": "three four\n",
    }


def test_a_block_of_lines_is_told_from_a_word() -> None:
    """`plain` is false for blocks of lines only: their text does not begin at their place."""
    table = _table("a: |\n  x\nb: >-\n  x\nc: x\nd: 'x'\n")
    plain = {key: node.plain for key, node in table.entries.items() if isinstance(node, Leaf)}
    assert plain == {"a": False, "b": False, "c": True, "d": True}


def test_an_entry_left_empty_is_empty_text() -> None:
    """`key:` with nothing behind it is an empty text with a place on its line."""
    leaf = _table("a:\nb: 1\n").entries["a"]
    assert isinstance(leaf, Leaf)
    assert leaf.text == ""
    assert (leaf.span.line, leaf.span.column, leaf.span.end) == (1, 3, 4)
    quoted = _table("a: ''  # none\n").entries["a"]
    assert (quoted.span.column, quoted.span.end) == (5, 6)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_keys_and_values_know_their_places(end: str) -> None:
    """Every key and value is found at its line and column, quotes left out, behind wide characters and any line end."""
    source = Source("f", end.join(["歌: ♭♭", "b:  'two words'", 'c: [x,  "yz"]', "", "d:", "  - e: 𝄞 f", ""]))
    node, found = read_tree(source)
    assert found == ()
    assert isinstance(node, Table)
    leaves = [*node.keys.values()]

    def collect(inner: Node) -> None:
        if isinstance(inner, Leaf):
            leaves.append(inner)
        elif isinstance(inner, Branch):
            for item in inner.items:
                collect(item)
        else:
            leaves.extend(inner.keys.values() if inner is not node else ())
            for value in inner.entries.values():
                collect(value)

    collect(node)
    assert all(leaf.span.text == leaf.text for leaf in leaves)
    assert sorted((leaf.span.line, leaf.span.column, leaf.text) for leaf in leaves) == [
        (1, 1, "歌"),
        (1, 4, "♭♭"),
        (2, 1, "b"),
        (2, 6, "two words"),
        (3, 1, "c"),
        (3, 5, "x"),
        (3, 10, "yz"),
        (5, 1, "d"),
        (6, 5, "e"),
        (6, 8, "𝄞 f"),
    ]


@pytest.mark.parametrize("sign", ["\u2028", "\u2029", "\x85"])
def test_rare_line_separators_do_not_shift_places(sign: str) -> None:
    """YAML counts these signs as line ends and editors do not: the place shown is the editor's."""
    assert _places(f'a: "x{sign}y"\nb: 1\nb: 2\n') == [("yaml-duplicate", 3, 1)]


def test_a_text_in_quotes_over_two_lines_is_placed_on_its_first() -> None:
    """A place never leaves its line and keeps the last character of it."""
    leaf = _table("a: 'one\n  two'\n").entries["a"]
    assert isinstance(leaf, Leaf)
    assert (leaf.text, leaf.span.text) == ("one two", "one")


def test_a_duplicate_key_is_refused_with_both_places() -> None:
    """The last of two equal keys never wins silently, in any table of the file and however the key is quoted."""
    found = _bad("a: 1\nb:\n  c: 1\n  'c': 2\na: 3\n")
    assert [(d.code, d.place[1], d.place[2]) for d in found] == [("yaml-duplicate", 4, 4), ("yaml-duplicate", 5, 1)]
    assert [(s.line, s.column) for d in found for s, _ in d.related] == [(3, 3), (1, 1)]


def test_anchors_and_aliases_are_refused_all_at_once() -> None:
    """Each sign that would make one value stand in several places is reported where it stands."""
    assert _places("a: &x 1\nb: *x\nc: &y [1]\nd:\n  - &z {e: 1}\n") == [
        ("yaml-alias", 1, 4),
        ("yaml-alias", 2, 4),
        ("yaml-alias", 3, 4),
        ("yaml-alias", 5, 5),
    ]


def test_an_alias_bomb_costs_nothing() -> None:
    """A few hundred bytes that would unfold to billions of values are refused before anything is unfolded."""
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 40)]
    found = _bad("\n".join(rows) + "\n")
    assert {d.code for d in found} == {"yaml-alias"}


def test_merge_keys_are_refused() -> None:
    """`<<` brings in nothing from elsewhere."""
    assert _places("a: 1\n<<: {b: 2}\n") == [("yaml-alias", 2, 1)]


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("a: !!python/object/apply:os.getcwd []\n", 4),
        ("a: !!int 3\n", 4),
        ("a: !!binary aGk=\n", 4),
        ("a: !own x\n", 4),
        ("a: ! x\n", 4),
        ("a: [1, !own {b: 1}]\n", 8),
        ("!own a: 1\n", 1),
    ],
)
def test_tags_are_refused_on_every_kind_of_node(text: str, column: int) -> None:
    """A tag asks for an object; standard ones are refused like private ones, on scalars, lists, tables and keys."""
    assert _places(text) == [("yaml-tag", 1, column)]


def test_nesting_is_capped() -> None:
    """The deepest allowed list is read; one level more, or hundreds, are one finding at that bracket.

    Beyond a thousand the YAML library gives up by itself, with a finding as well."""
    assert isinstance(_tree("[" * MAX_DEPTH + "]" * MAX_DEPTH), Branch)
    assert _places("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1)) == [("yaml-limit", 1, MAX_DEPTH + 1)]
    assert _places("[" * 800) == [("yaml-limit", 1, MAX_DEPTH + 1)]
    assert len(_bad("[" * 100_000)) == 1
    assert _places("{a: " * 800) == [("yaml-limit", 1, 4 * MAX_DEPTH + 1)]


def test_the_number_of_entries_is_capped() -> None:
    """A file of endlessly many entries is refused."""
    assert [d.code for d in _bad("- \n" * (MAX_NODES + 1))] == ["yaml-limit"]


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("a: 1\n  b: 2\n", 2, 4),
        ("a: [1, 2\nb: 3\n", 2, 2),
        ("a: [1, 2", 1, 9),
        ("a: [1, 2\n", 1, 9),
        ("a: x\n\tb: 1\n", 2, 1),
        ("a: 'x\n", 1, 6),
        ("a: @x\n", 1, 4),
        ("歌: 1\n歌2: `x\n", 2, 5),
        ("a: 1\n- b\n", 2, 1),
        ("a: %x\n", 1, 4),
    ],
)
def test_a_broken_file_is_reported_at_its_place(text: str, line: int, column: int) -> None:
    """What is no YAML gives one finding at the line and column where reading stopped, inside the text, with a help."""
    found = _bad(text)
    assert [(d.code, d.place[1], d.place[2]) for d in found] == [("yaml-syntax", line, column)]
    assert found[0].help


def test_a_control_character_has_its_place() -> None:
    """A stray control character is named and placed, also behind characters of several bytes."""
    assert _places("a: 1\n歌♭: x\x07y\n") == [("yaml-syntax", 2, 6)]
    assert "U+0007" in _bad("a: \x07\n")[0].message


def test_a_second_document_is_refused() -> None:
    """Nothing after a second `---` is silently left out."""
    assert _places("a: 1\n---\nb: 2\n") == [("yaml-syntax", 2, 1)]
    assert _bad("a: 1\n---\nb: 2\n")[0].message == "a second document begins here"
    assert _plain(_tree("---\na: 1\n")) == {"a": "1"}


def test_a_key_of_several_words_in_a_list_is_refused() -> None:
    """A list or a table cannot be a key."""
    assert _places("? [a, b]\n: 1\n") == [("yaml-key", 1, 3)]


@pytest.mark.parametrize("text", ["# only a comment\n", "\n"])
def test_a_file_without_entries_is_named(text: str) -> None:
    """A file of comments is no crash and no empty table, but a finding."""
    found = _bad(text)
    assert [d.code for d in found] == ["file-empty"]
    assert found[0].place == ("f", 1, 1)


@given(st.text(st.sampled_from("ab \n:-[]{},&*!|>'\"%@`#?=<\t~0\r\x07\x85\u2028歌"), max_size=40))
def test_no_text_makes_the_reader_raise(text: str) -> None:
    """Whatever stands in the file, the answer is a tree or findings, with every place inside the text."""
    source = Source("f", text)
    node, found = read_tree(source)
    assert (node is None) == bool(found)
    for d in found:
        if d.span is not None:
            assert 1 <= d.span.line <= max(1, len(source.lines))
            assert 1 <= d.span.column <= len(source.line(d.span.line)) + 1
            assert d.span.end >= d.span.column
