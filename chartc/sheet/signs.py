"""Signs drawn as lines and curves: bar lines, repeats, meters, rests; and one that is text. Coordinates in points; `top` is the staff's first line."""

from __future__ import annotations

from chartc.sheet import style
from chartc.sheet.marks import Block, Line, Mark, Path, Text, centred, dot
from chartc.theory.meter import Meter

AGAIN = "\N{MUSICAL SYMBOL REPEATED FIGURE-1}"
"""The measure before once more: a slanted stroke between two dots, as text."""


def again(x: float, y: float, size: float) -> Text:
    """The sign with its middle at (`x`, `y`), beside chord names of that size."""
    own = size * 0.7
    return centred(x, y + own * 0.37, AGAIN, "bold", own, "again")


def bar_line(x: float, top: float, bottom: float, width: float = style.THIN) -> Line:
    """A thin bar line."""
    return Line(x, top, x, bottom, width, "bar")


def double_bar(x: float, top: float, bottom: float) -> list[Mark]:
    """The end of a section, at `x`."""
    return [bar_line(x - 2.6, top, bottom), bar_line(x, top, bottom)]


def final_bar(x: float, top: float, bottom: float) -> list[Mark]:
    """The end of the song, ending at `x`."""
    return [
        bar_line(x - style.THICK - 2.2, top, bottom),
        Block(x - style.THICK, top, style.THICK, bottom - top, "bar"),
    ]


def repeat_start(x: float, top: float, bottom: float) -> list[Mark]:
    """Thick, thin, two dots, from `x` to the right; `REPEAT_ROOM` wide."""
    thin = x + style.THICK + 1.8
    return [
        Block(x, top, style.THICK, bottom - top, "bar"),
        bar_line(thin, top, bottom),
        *_dots(thin + 2.9, top, bottom),
    ]


def repeat_end(x: float, top: float, bottom: float) -> list[Mark]:
    """Two dots, thin, thick, ending at `x`."""
    thin = x - style.THICK - 1.8
    return [
        *_dots(thin - 2.9, top, bottom),
        bar_line(thin, top, bottom),
        Block(x - style.THICK, top, style.THICK, bottom - top, "bar"),
    ]


def _dots(x: float, top: float, bottom: float) -> list[Mark]:
    middle, step = (top + bottom) / 2, (bottom - top) / 8
    return [dot(x, middle - step, 1.3, "repeat"), dot(x, middle + step, 1.3, "repeat")]


def meter_room(value: Meter) -> float:
    """What a meter takes between a bar line and the music."""
    return style.METER_ROOM + style.METER_DIGIT * (max(len(str(value.count)), len(str(value.unit))) - 1)


def meter(x: float, top: float, bottom: float, value: Meter, size: float) -> list[Mark]:
    """The meter, its two numbers one above the other, the middle at `x`, knocked out of the staff."""
    middle = (top + bottom) / 2
    height = size * 0.698
    upper = centred(x, middle - 1.4, str(value.count), "bold", size, "meter")
    lower = centred(x, middle + 1.4 + height, str(value.unit), "bold", size, "meter")
    left = min(upper.x, lower.x) - 0.8
    right = max(upper.x + upper.width, lower.x + lower.width) + 0.8
    knock = Block(left, middle - 2 - height, right - left, 2 * height + 4, "knock", 1.0)
    return [knock, upper, lower]


def rest(x: float, middle: float, order: int, dots: int) -> list[Mark]:
    """A rest with its middle at (`x`, `middle`): a hanging block, a sitting block, a zigzag, or hooks on a slanted stem."""
    out: list[Mark] = []
    if order <= 1:
        y = middle - style.LINE_GAP if order == 0 else middle - 3.6
        out.append(Block(x - 4, y, 8, 3.6, "rest"))
        at = (x + 6.2, middle - style.LINE_GAP / 2)
    elif order == 2:
        out.append(
            Path(
                (x - 2.2, middle - 9),
                (
                    (x + 2.2, middle - 3.6),
                    ((x - 1.2, middle - 1.4), (x - 1.2, middle + 0.6), (x + 2.6, middle + 4.4)),
                    ((x - 1.6, middle + 3.2), (x - 4.2, middle + 5.4), (x - 0.2, middle + 9)),
                ),
                1.7,
                "rest",
            )
        )
        at = (x + 5.2, middle - 2.5)
    else:
        hooks = order - 2
        tall = 5.0 + 3.2 * hooks
        foot = (x - 1.2, middle + tall / 2 + 1)
        head = (x + 3.0, middle - tall / 2)
        out.append(Line(*foot, *head, 1.0, "rest"))
        for n in range(hooks):
            share = n * 4.4 / (foot[1] - head[1])
            hx, hy = head[0] + (foot[0] - head[0]) * share, head[1] + (foot[1] - head[1]) * share
            out.append(dot(hx - 5.2, hy + 0.6, 1.5, "rest"))
            out.append(
                Path((hx - 5.2, hy + 1.6), (((hx - 3.6, hy + 2.8), (hx - 1.2, hy + 2.0), (hx, hy)),), 0.9, "rest")
            )
        at = (x + 5.2, middle - 2.5)
    for n in range(dots):
        out.append(dot(at[0] + 2.5 * n, at[1], 0.95, "rest"))
    return out
