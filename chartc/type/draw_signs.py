"""Draws the sign face: ♭ ♯ ♮, the measure once more, and the mark for a character that no face has. Run it only to rebuild `signs.ttf`.

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
        ("move", ((50, -24),)),
        ("line", ((50, 780),)),
        ("line", ((134, 780),)),
        ("line", ((134, 412),)),
        ("curve", ((188, 482), (276, 482))),
        ("curve", ((402, 482), (402, 344))),
        ("curve", ((402, 230), (300, 140))),
        ("line", ((96, -24),)),
    ]
    hole: Contour = [
        ("move", ((134, 110),)),
        ("line", ((216, 184),)),
        ("curve", ((294, 254), (294, 330))),
        ("curve", ((294, 396), (238, 396))),
        ("curve", ((172, 396), (134, 322))),
    ]
    return [outline, hole]


def _sharp() -> list[Contour]:
    return [
        _polygon((124, -70), (124, 720), (198, 720), (198, -70)),
        _polygon((290, -20), (290, 770), (364, 770), (364, -20)),
        _polygon((40, 164), (40, 280), (448, 408), (448, 292)),
        _polygon((40, 406), (40, 522), (448, 650), (448, 534)),
    ]


def _natural() -> list[Contour]:
    return [
        _polygon((62, 124), (62, 790), (140, 790), (140, 124)),
        _polygon((264, -100), (264, 574), (342, 574), (342, -100)),
        _polygon((62, 124), (62, 230), (342, 322), (342, 216)),
        _polygon((62, 376), (62, 482), (342, 574), (342, 468)),
    ]


def _again() -> list[Contour]:
    # a slanted stroke between two dots, a little higher than capitals
    def round_dot(x: int, y: int, r: int) -> Contour:
        k = round(r * 0.414)
        return [
            ("move", ((x + r, y),)),
            ("curve", ((x + r, y + k), (x + k, y + r), (x, y + r))),
            ("curve", ((x - k, y + r), (x - r, y + k), (x - r, y))),
            ("curve", ((x - r, y - k), (x - k, y - r), (x, y - r))),
            ("curve", ((x + k, y - r), (x + r, y - k), (x + r, y))),
        ]

    return [_polygon((60, -30), (620, 770), (790, 770), (230, -30)), round_dot(160, 590, 108), round_dot(690, 150, 108)]


def _lacking() -> list[Contour]:
    return [
        _polygon((50, -20), (50, 720), (510, 720), (510, -20)),
        _polygon((110, 40), (450, 40), (450, 660), (110, 660)),
        _polygon((120, 56), (410, 640), (440, 624), (150, 40)),
    ]


GLYPHS: dict[str, tuple[int | None, int, list[Contour]]] = {
    ".notdef": (None, 560, _lacking()),
    "space": (0x20, 250, []),
    "flat": (0x266D, 438, _flat()),
    "natural": (0x266E, 406, _natural()),
    "sharp": (0x266F, 490, _sharp()),
    "again": (0x1D10D, 850, _again()),
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
