"""Draws the sign face: ♭ ♯ ♮ and the mark for a character that no face has. Run it only to rebuild `signs.ttf`.

    python -m chartc.type.draw_signs

The outlines are our own. A thousand units to the em, as in the text face, whose capitals are 698 units high.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

SIGNS_FILE = Path(__file__).with_name("signs.ttf")

FAMILY = "Chartc Signs"

Contour = list[tuple[str, tuple[tuple[int, int], ...]]]


def _polygon(*points: tuple[int, int]) -> Contour:
    return [("move", (points[0],)), *(("line", (p,)) for p in points[1:])]


def _flat() -> list[Contour]:
    # the belly is one shape with the stem so that no seam shows at large sizes; its hole turns the other way
    outline: Contour = [
        ("move", ((52, -20),)),
        ("line", ((52, 800),)),
        ("line", ((124, 800),)),
        ("line", ((124, 402),)),
        ("curve", ((176, 470), (262, 470))),
        ("curve", ((384, 470), (384, 336))),
        ("curve", ((384, 226), (286, 138))),
        ("line", ((84, -20),)),
    ]
    hole: Contour = [
        ("move", ((124, 96),)),
        ("line", ((216, 178),)),
        ("curve", ((290, 248), (290, 326))),
        ("curve", ((290, 396), (230, 396))),
        ("curve", ((160, 396), (124, 316))),
    ]
    return [outline, hole]


def _sharp() -> list[Contour]:
    return [
        _polygon((130, -70), (130, 720), (194, 720), (194, -70)),
        _polygon((292, -20), (292, 770), (356, 770), (356, -20)),
        _polygon((44, 172), (44, 276), (442, 400), (442, 296)),
        _polygon((44, 412), (44, 516), (442, 640), (442, 536)),
    ]


def _natural() -> list[Contour]:
    return [
        _polygon((66, 130), (66, 800), (134, 800), (134, 130)),
        _polygon((266, -100), (266, 570), (334, 570), (334, -100)),
        _polygon((66, 130), (66, 226), (334, 316), (334, 220)),
        _polygon((66, 384), (66, 480), (334, 570), (334, 474)),
    ]


def _lacking() -> list[Contour]:
    return [
        _polygon((50, -20), (50, 720), (510, 720), (510, -20)),
        _polygon((110, 40), (450, 40), (450, 660), (110, 660)),
        _polygon((120, 56), (410, 640), (440, 624), (150, 40)),
    ]


GLYPHS: dict[str, tuple[int | None, int, list[Contour]]] = {
    ".notdef": (None, 560, _lacking()),
    "space": (0x20, 250, []),
    "flat": (0x266D, 420, _flat()),
    "natural": (0x266E, 400, _natural()),
    "sharp": (0x266F, 486, _sharp()),
    "lacking": (0xFFFD, 560, _lacking()),
}
"""Name: character, advance in units, outline."""


def _glyph(contours: list[Contour]) -> Any:
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    pen = TTGlyphPen(None)
    for contour in contours:
        for how, points in contour:
            if how == "move":
                pen.moveTo(points[0])
            elif how == "line":
                pen.lineTo(points[0])
            else:
                pen.qCurveTo(*points)
        pen.closePath()
    return pen.glyph()


def build() -> bytes:
    """The face as a TrueType file; the same bytes every time."""
    from fontTools.fontBuilder import FontBuilder

    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(GLYPHS))
    builder.setupCharacterMap({code: name for name, (code, _, _) in GLYPHS.items() if code is not None})
    glyphs = {name: _glyph(contours) for name, (_, _, contours) in GLYPHS.items()}
    builder.setupGlyf(glyphs)
    table = builder.font["glyf"]
    builder.setupHorizontalMetrics(
        {name: (advance, getattr(table[name], "xMin", 0)) for name, (_, advance, _) in GLYPHS.items()}
    )
    builder.setupHorizontalHeader(ascent=1025, descent=-275)
    names = {"familyName": FAMILY, "styleName": "Regular", "psName": "ChartcSigns", "version": "Version 1.000"}
    builder.setupNameTable({**names, "uniqueFontIdentifier": "Chartc Signs 1.000", "fullName": FAMILY})
    builder.setupOS2(sTypoAscender=1025, sTypoDescender=-275, usWinAscent=1025, usWinDescent=275, sCapHeight=698)
    builder.setupPost()
    # fixed dates, or no two builds would be equal
    builder.font["head"].created = builder.font["head"].modified = 3_786_912_000
    builder.font.recalcTimestamp = False
    out = BytesIO()
    builder.font.save(out)
    return out.getvalue()


if __name__ == "__main__":
    SIGNS_FILE.write_bytes(build())
