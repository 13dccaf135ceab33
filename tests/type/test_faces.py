"""Faces, widths, missing characters, and the sign face."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chartc.type import draw_signs, faces
from chartc.type.faces import FACES


def test_the_sign_face_is_what_its_script_draws() -> None:
    """Protects the committed face: it is built from the committed outlines, byte for byte."""
    assert draw_signs.build() == draw_signs.SIGNS_FILE.read_bytes()


def test_the_sign_face_has_the_standard_characters() -> None:
    """Protects the flat, sharp and natural, and the measure once more, as text. Source: The Unicode Standard, block Miscellaneous
    Symbols: U+266D music flat sign, U+266E music natural sign, U+266F music sharp sign; block Musical Symbols: U+1D10D musical symbol
    repeated figure-1."""
    from fontTools.ttLib import TTFont

    with TTFont(draw_signs.SIGNS_FILE) as font:
        cmap = font.getBestCmap()
    assert cmap[0x266D] == "flat"
    assert cmap[0x266E] == "natural"
    assert cmap[0x266F] == "sharp"
    assert cmap[0x1D10D] == "again"


def test_the_signs_have_ink_of_their_own_shape() -> None:
    """Protects against an empty or a copied outline: each sign has ink, and no two are alike."""
    from fontTools.pens.boundsPen import BoundsPen
    from fontTools.ttLib import TTFont

    with TTFont(draw_signs.SIGNS_FILE) as font:
        glyphs = font.getGlyphSet()
        boxes = []
        for name in ("flat", "natural", "sharp", "again"):
            pen = BoundsPen(glyphs)
            glyphs[name].draw(pen)
            boxes.append(pen.bounds)
            assert pen.bounds is not None
            assert pen.bounds[2] <= glyphs[name].width
    assert len(set(boxes)) == 4


def test_runs_are_split_between_the_faces() -> None:
    """Protects the flat in B♭, which the text face lacks."""
    assert faces.runs("B♭m7♭5", "bold") == (
        ("bold", "B"),
        ("signs", "♭"),
        ("bold", "m7"),
        ("signs", "♭"),
        ("bold", "5"),
    )


def test_width_agrees_with_the_font_files() -> None:
    """Protects the width function against the font's own table, read by another library."""
    from fontTools.ttLib import TTFont

    with TTFont(faces.file("bold")) as font, TTFont(faces.file("signs")) as signs:
        b = font["hmtx"][font.getBestCmap()[ord("B")]][0]
        flat = signs["hmtx"][signs.getBestCmap()[0x266D]][0]
    assert faces.width("B♭", "bold", 20) == pytest.approx((b + flat) * 20 / 1000)


@pytest.mark.parametrize("text", ["Žluťoučký kůň", "Zażółć gęślą jaźń", "Ó Dónaill", "naïve café", "F♯m7♭5/C ♮"])
def test_latin_letters_are_all_there(text: str) -> None:
    """Protects Czech, Polish, Irish and French names from being reported as unprintable."""
    assert faces.missing(text) == ""


def test_a_missing_character_is_named_and_shown() -> None:
    """Protects against a silent hole: what no face has is reported, and a mark stands for it."""
    assert faces.missing("a☃b雪☃") == "☃雪"
    assert faces.shown("a☃b") == "a\ufffdb"
    assert faces.width("☃", "regular", 10) > 0


def test_an_accent_written_apart_is_joined() -> None:
    """Protects decomposed text, as some systems type it: e + U+0301 prints as é."""
    assert faces.missing("cafe\u0301") == ""
    assert faces.shown("cafe\u0301") == "café"


@given(st.text(max_size=40), st.sampled_from(FACES[:3]))
def test_every_text_can_be_measured(text: str, face: faces.Face) -> None:
    """Protects every later stage: whatever the text, all pieces have widths, and joined they are the printed text."""
    runs = faces.runs(text, face)
    assert "".join(piece for _, piece in runs) == faces.shown(text)
    assert faces.width(text, face, 10) >= 0
    assert all(ord(c) in faces.widths(own) for own, piece in runs for c in piece)


@given(st.text(alphabet="abcde ĺ♭", max_size=80), st.floats(20, 200))
def test_wrapped_lines_fit_and_lose_nothing(text: str, room: float) -> None:
    """Protects cue words and titles: no line is wider than its room, and no letter is lost."""
    lines = faces.wrap(text, "regular", 10, room)
    assert all(faces.width(line, "regular", 10) <= room for line in lines)
    assert "".join(lines).replace(" ", "") == faces.shown(text).replace(" ", "")
