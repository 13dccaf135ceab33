"""Rows read column by column against the grammar: the same columns, the same errors."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.licks.notation import _parsed, parse_row

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
