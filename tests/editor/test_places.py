"""Places as editors count them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from pygls.workspace import PositionCodec

from chartc.editor.places import Units, character, column, units

LINE = "a♭🪕e\u0301 G"


def test_signs_beyond_the_first_plane() -> None:
    """Protects the caret behind an emoji: it is two units of UTF-16 and four of UTF-8 (Unicode Standard 15.0, chapter 3.9,
    D91 and D92; Language Server Protocol 3.17, Position)."""
    counts: dict[Units, list[int]] = {
        "utf-8": [0, 1, 4, 8, 9, 11, 12, 13],
        "utf-16": [0, 1, 2, 4, 5, 6, 7, 8],
        "utf-32": [0, 1, 2, 3, 4, 5, 6, 7],
    }
    for kind, expected in counts.items():
        assert [character(LINE, n, kind) for n in range(1, len(LINE) + 2)] == expected
        assert [column(LINE, n, kind) for n in expected] == list(range(1, len(LINE) + 2))


def test_places_that_are_none() -> None:
    """Protects against editors that are a moment ahead: beyond the end is the end, within a sign is the sign."""
    assert character("G", 9, "utf-16") == 1 and column("G", 9, "utf-16") == 2 and column("🪕", 9, "utf-16") == 2
    assert column("🪕G", 1, "utf-16") == 1 and column("♭", 2, "utf-8") == 1


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=30), st.sampled_from(("utf-8", "utf-16", "utf-32")))
def test_there_and_back(line: str, kind: Units) -> None:
    """Protects every text: each column's character is that column again, and the units agree with another program's."""
    for n in range(1, len(line) + 2):
        assert column(line, character(line, n, kind), kind) == n
    assert units(line, kind) == PositionCodec(kind).client_num_units(line)
