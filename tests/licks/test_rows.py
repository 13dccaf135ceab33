"""Rows read column by column against the grammar: the same columns, the same errors."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.licks.notation import _column, _parsed, parse_row

pieces = st.sampled_from(
    ["1", "2", "x3", "5", "+", ",", "_", ".", "h4", "p2", "c3:1", "12", "T", "I+M", "i", " ", "  ", "\t", "§", "m,r"]
)


@given(kind=st.sampled_from(["strings", "frets", "picks", "fingers"]), text=st.lists(pieces, max_size=9).map("".join))
def test_column_by_column_is_as_the_grammar_says(kind: str, text: str) -> None:
    """Protects every lick: the quick way through a row gives exactly what the grammar gives, right rows and wrong ones."""
    assert parse_row(kind, text) == _parsed(kind, text)


@pytest.mark.parametrize("text", ["2 1 5", " 2,1\t5 ", "1+5 _ . x2+x1"])
def test_columns_have_their_places(text: str) -> None:
    """Protects the caret beneath a wrong note: a stroke knows where it stands in the row."""
    columns = parse_row("strings", text)
    for column in columns:
        assert isinstance(column, tuple)
        for stroke in column:
            assert text[stroke.column :].startswith(stroke.words[0])


def test_columns_that_are_surely_right_are_those_of_the_grammar() -> None:
    """Protects the grammar: every column of up to three signs, and every longer one made of words, is read by its pattern exactly
    where the grammar takes it, and as the grammar reads it."""
    alphabets = {"strings": "x19,+_.0", "frets": "h0c:1,+_.", "picks": "TI,+_.x", "fingers": "mt,+_.I"}
    for kind, signs in alphabets.items():
        for size in (1, 2, 3):
            for letters in product(signs, repeat=size):
                text = "".join(letters)
                assert (_column(kind, text, 0) or None) == _by_grammar(kind, text), (kind, text)
    words = {"strings": ("x3", "5"), "frets": ("p12", "c7:1.5", "0"), "picks": ("M", "."), "fingers": ("r", ".")}
    for kind, known in words.items():
        for size in (2, 3, 4):
            for parts in product((*known, "_", ",", "+"), repeat=size):
                text = "".join(parts)
                assert (_column(kind, text, 0) or None) == _by_grammar(kind, text), (kind, text)


def _by_grammar(kind: str, text: str) -> object:
    """The one column, or None where it does not fit."""
    found = _parsed(kind, text)
    return found[0] if isinstance(found[0], tuple) else None
