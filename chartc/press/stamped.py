"""Stamps as PDF content, drawn from their own origin, whatever page they stand on and wherever."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache

from chartc.press.letters import depths, shown, tenths
from chartc.sheet.stamp import Shape, Stamp, Standing, TextStyle, fours, pairs
from chartc.type.faces import Face

Shown = tuple[str, str, str, tuple[tuple[Face, str], ...]]


Stamped = tuple[str, tuple[tuple[Face, str], ...]]
"""A stamp's content, and the characters that it uses by face. The content takes the state to be black without dashes, and leaves
it so."""


class _Shown(dict[str, Shown]):
    """Texts of one state as they are shown, each made where it is first asked for. `plain` has what shows those that `font` alone is
    needed for, as nearly all are."""

    def __init__(self, face: Face, size: float) -> None:
        super().__init__()
        self.face, self.size = face, size
        self.font = shown("0", face, size)[0]
        self.plain: dict[str, str] = {}

    def __missing__(self, text: str) -> Shown:
        if len(self) >= 1024:
            self.clear()
            self.plain.clear()
        made = self[text] = first, last, body, seen = shown(text, self.face, self.size)
        if first == last == self.font and seen == ((self.face, text),):
            self.plain[text] = body
        return made


@cache
def _texts(style: TextStyle) -> _Shown:
    return _Shown(style.face, style.size)


def stamped(stamp: Stamp) -> Stamped:
    """Draws a stamp, or takes what was drawn of it before."""
    return _kept(stamp) if stamp.often else _drawn(stamp)


@lru_cache(maxsize=512)
def _kept(stamp: Stamp) -> Stamped:
    return _drawn(stamp)


def _drawn(stamp: Stamp) -> Stamped:
    t, down = tenths(), depths()
    out: list[str] = []
    if stamp.patches:
        out.append("1 g")
        one, sides = iter(stamp.patches), _sides()
        by_four = zip(one, zip(one, one, one, strict=True), strict=False)
        out += [f"{t[round(x * 10)]} {sides[rest]}" for x, rest in by_four]
        out.append("f\n0 g")
    for line, ends in stamp.lines.items():
        out.append(f"{line.width:g} w")
        if line.grey:
            out.append(f"{line.grey:g} G")
        if line.dash:
            out.append(f"[{' '.join([f'{d:g}' for d in line.dash])}] 0 d")
        out += [
            f"{(start := t[round(x1 * 10)])} {down[y1]} m {start if x1 == x2 else t[round(x2 * 10)]} {down[y2]} l"
            for x1, y1, x2, y2 in fours(ends)
        ]
        out.append("S")
        if line.grey:
            out.append("0 G")
        if line.dash:
            out.append("[] 0 d")
    for corners in stamp.areas.values():
        out += [
            f"{t[round(x * 10)]} {t[round((y + tall) * -10)]} {t[round(wide * 10)]} {t[round(tall * 10)]} re"
            for x, y, wide, tall in fours(corners)
        ]
        out.append("f")
    for shape, (x, y) in zip(stamp.shapes, pairs(stamp.shape_places), strict=True):
        out.append(f"q 1 0 0 1 {t[round(x * 10)]} {t[round(y * -10)]} cm\n{_shape(shape)}\nQ")
    used: dict[Face, set[str]] = {}
    if stamp.texts:
        out.append("BT")
        font = ""
        x0 = y0 = 0
        for style, (places, words) in stamp.texts.items():
            texts = _texts(style)
            if style.grey:
                out.append(f"{style.grey:g} g")
            xs = [round(left * 10) for left in places[::2]]
            ys = [round(base * -10) for base in places[1::2]]
            steps = zip(words, xs, [x0, *xs], ys, [y0, *ys], strict=False)
            different = set(words)
            if texts.plain.keys() >= different:
                plain = texts.plain
                if font != texts.font:
                    font = texts.font
                    out.append(font)
                out += [f"{t[x - x0]} {t[y - y0]} Td {plain[text]}" for text, x, x0, y, y0 in steps]
                used.setdefault(style.face, set()).update(*different)
            else:
                for text, x, x0, y, y0 in steps:
                    first, last, body, _ = texts[text]
                    if first != font:
                        out.append(first)
                    out.append(f"{t[x - x0]} {t[y - y0]} Td {body}")
                    font = last
                for text in different:
                    for face, run in texts[text][3]:
                        used.setdefault(face, set()).update(run)
            x0, y0 = xs[-1], ys[-1]
            if style.grey:
                out.append("0 g")
        out.append("ET")
    return "\n".join(out), tuple([(face, "".join(found)) for face, found in used.items()])


class _Sides(dict[tuple[float, float, float], str]):
    """Rectangles as they are written, but for the left edge, by (top, width, height), each made where it is first asked for: of patches
    many are alike."""

    def __missing__(self, sides: tuple[float, float, float]) -> str:
        if len(self) > 20_000:
            self.clear()
        y, wide, tall = sides
        t = tenths()
        made = self[sides] = f"{t[round((y + tall) * -10)]} {t[round(wide * 10)]} {t[round(tall * 10)]} re"
        return made


@cache
def _sides() -> _Sides:
    return _Sides()


@lru_cache(maxsize=2048)
def _shape(shape: Shape) -> str:
    """A path from its own origin, painted."""
    return f"{_outline(shape)} f" if not shape.width else f"{shape.width:g} w {_outline(shape)} S"


def _outline(path: Shape) -> str:
    """A path's points, y upwards, to a hundredth of a point: signs are small."""
    x, y = path.start
    out = [f"{x:.2f} {-y:.2f} m"]
    for step in path.steps:
        if isinstance(step[0], tuple):
            (a, b), (c, d), (e, f) = step
            out.append(f"{a:.2f} {-b:.2f} {c:.2f} {-d:.2f} {e:.2f} {-f:.2f} c")
        else:
            x, y = step
            out.append(f"{x:.2f} {-y:.2f} l")
    return " ".join(out)


def at_places(placed: Iterable[Standing], height: float, used: dict[Face, set[str]]) -> list[str]:
    """The stamps at their places on a page `height` points high, the state around them left as it was."""
    out: list[str] = []
    factor = 0.0
    x0 = y0 = 0
    for stamp, right, down, own in placed:
        content, characters = stamped(stamp)
        if own != factor:
            # another print size: everything from here on is so many times as large
            if factor:
                out.append("Q")
            out.append(f"q {own:.6g} 0 0 {own:.6g} 0 {height:.6g} cm")
            factor = own
            x0 = y0 = 0
        x, y = round(right / factor * 100), round(down / factor * -100)
        out.append(f"1 0 0 1 {(x - x0) / 100:g} {(y - y0) / 100:g} cm")
        x0, y0 = x, y
        out.append(content)
        for face, found in characters:
            used[face].update(found)
    if factor:
        out.append("Q")
    return out
