"""On the staff: fret numbers, slurs, slides and chokes, and the letters above them. Coordinates in points from the row's left edge and
the staff's first line."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import repeat
from typing import NamedTuple

from chartc.sheet import halves, style
from chartc.sheet.fit import LETTERS, Fit, last_of
from chartc.sheet.row import Row
from chartc.sheet.stamp import Ink, LineStyle, Shape, TextStyle, threes

CHOKES = {0.5: "¼", 1.0: "½", 1.5: "¾", 2.0: "1", 3.0: "1½", 4.0: "2"}
"""A choke's rise as players say it: a semitone is a half step."""

LETTER_STEP = 7.4
"""Between two letters above the staff, at the least; one that finds no room is left out: its slur says enough."""

SPECK = 3.0
"""A piece of staff line shorter than this between two numbers would look like a dot: it is left white."""

LINES = [(0.0, 0.0), *((n * style.LINE_GAP - 4.0, n * style.LINE_GAP + style.FRET_HALF_HEIGHT) for n in range(5))]
"""Where the white behind a number begins, and the number's baseline, by string."""

FRET = TextStyle("bold", style.FRET, "fret")
LETTER = TextStyle("regular", style.TECHNIQUE, "technique")
RISE = TextStyle("regular", style.TECHNIQUE, "technique")
SLUR = 1.4
"""How much higher a slur's upper edge bends than its lower one."""
SLIDE = LineStyle("slide", 0.9)


class Before(NamedTuple):
    """The last note on a string before the one at hand, and where it stands; x None where it is on an earlier row."""

    fret: int
    choked: bool
    x: float | None
    half: float
    """How far its column reaches to the right on its string and the one above."""


Note = tuple[int, int, str | None]
"""A note in its column: string, fret, how."""


def sources(row: Row, k: int, strings: Iterable[int]) -> dict[int, Before]:
    """The last note on each of these strings before measure `k` of a row; `k` may be the row's end."""
    out: dict[int, Before] = {}
    for wanted in strings:
        for j in range(k - 1, -1, -1):
            last = last_of(row.measures[j].fit, wanted)
            if last is not None:
                out[wanted] = Before(last.fret, last.choked, row.columns[j][last.at], last.half)
                break
        else:
            last = last_of(row.before, wanted) if row.before is not None else None
            if last is not None:
                out[wanted] = Before(last.fret, last.choked, None, 0.0)
    return out


def carried(ink: Ink, row: Row) -> None:
    """The beginnings of slurs and slides to notes of the next row, from their last notes to the row's edge."""
    for string, fret, how in sorted(row.after.reaches) if row.after is not None else ():
        beside = sources(row, len(row.measures), (string, string - 1))
        source = beside.get(string)
        if source is None or source.x is None:
            continue
        start = source.x + source.half + (style.CHOKE_ROOM if source.choked else 0.0)
        # numbers that follow on this string's neighbour above end the slur early
        above = beside.get(string - 1)
        end = row.width - 2.0
        if above is not None and above.x is not None and above.x > start:
            end = min(end, above.x - halves.fret[above.fret] - 0.9)
        y = (string - 1) * style.LINE_GAP
        if end - start < 4.0:
            continue
        if how == "slide":
            rise = 2.0 if source.fret <= fret else -2.0
            ink.strokes(SLIDE).extend((start + 1.6, y + rise, end, y - rise))
        else:
            ink.shape(_slur(end - start - 0.9), start + 0.9, y - 3.4)


def numbers(ink: Ink, row: Row) -> None:
    """Fret numbers, each with the staff's line knocked out behind it."""
    edges = [-9.0] * len(LINES)
    patches = ink.patches
    places: list[float] = []
    words: list[str] = []
    halves_of = halves.fret
    for m, columns in zip(row.measures, row.columns, strict=True):
        for at, string, fret in threes(m.fit.frets):
            x, wide = columns[at], halves_of[fret]
            top, base = LINES[string]
            left, across = x - wide - 0.7, 2 * wide + 1.4
            speck = left - edges[string]
            if 0 < speck < SPECK:
                left, across = edges[string], across + speck
            edges[string] = x + wide + 0.7
            patches += (left, top, across, 8.0)
            places += (x - wide, base)
            words.append(str(fret))
    ink.add_texts(FRET, places, words)


def techniques(ink: Ink, row: Row, k: int) -> None:
    """Slurs, slides and chokes of measure `k` of a row."""
    fit, columns = row.measures[k].fit, row.columns[k]
    letters = row.bands.letters - row.bands.top
    before = sources(row, k, [string for string, _, _ in fit.reaches])
    left = row.edges[k] + fit.before + 2  # where a slur from an earlier row begins
    taken: list[float] = []
    amounts = iter(fit.amounts)
    groups = _by_column(fit)
    for at, notes in groups.items():
        x = columns[at]
        said: list[str] = []
        above, half = 0, 0.0
        for string, fret, how in notes:
            # slurs are drawn between a string and the one above, whose number may be the wider
            own = halves.fret[fret]
            wide = half if above == string - 1 and half > own else own
            above, half = string, own
            y = (string - 1) * style.LINE_GAP
            if how in LETTERS:
                source = before.get(string)
                x1 = left if source is None or source.x is None else source.x + source.half
                if source is not None and source.choked:
                    x1 += style.CHOKE_ROOM  # the slur begins beyond the arrow
                if how == "slide":
                    rise = 2.0 if source is None or source.fret <= fret else -2.0
                    near = (
                        source is not None
                        and source.x is not None
                        and not _between(groups, columns, source.x, x, string)
                    )
                    start = x1 + 1.6 if near else x - wide - 6.5
                    if x - wide - 1.4 > start:
                        ink.strokes(SLIDE).extend((start, y + rise, x - wide - 1.4, y - rise))
                elif source is not None and x - wide > x1 + 4 and not _between(groups, columns, x1, x, string):
                    ink.shape(_slur(x - wide - x1 - 1.8), x1 + 0.9, y - 3.4)
                letter = LETTERS[how]
                if letter not in said:
                    # between the two notes where they are neighbours, else at the note that is reached
                    middle = (x1 + x - wide) / 2 if x - x1 < 34 else x
                    for place in (max(middle, x - 16), x, x + LETTER_STEP, x - LETTER_STEP):
                        if all(abs(place - t) >= LETTER_STEP for t in taken):
                            ink.text(LETTER, place - halves.technique[letter], letters, letter)
                            taken.append(place)
                            break
                    said.append(letter)
            elif how == "choke":
                widest = max([halves.fret[k] for _, k, _ in notes])
                _choke(ink, x + widest + 1.3, y, letters, next(amounts))
                taken.append(x + widest + 6.3)
            before[string] = Before(fret, how == "choke", x, wide)


def _by_column(fit: Fit) -> dict[int, list[Note]]:
    """The notes of each column, the highest string first."""
    out: dict[int, list[Note]] = {}
    for (at, string, fret), how in zip(threes(fit.frets), fit.hows or repeat(None), strict=False):
        note = (string, fret, how)
        if at in out:
            out[at].append(note)
        else:
            out[at] = [note]
    return out


def _between(groups: dict[int, list[Note]], columns: dict[int, float], x1: float, x2: float, string: int) -> bool:
    """Whether a number on a string or the one above, or the arrow of a choke on one below, stands between `x1` and `x2`."""
    for at, notes in groups.items():
        if x1 < columns[at] < x2:
            for other, _, how in notes:
                if other == string or other == string - 1 or (how == "choke" and other >= string):
                    return True
    return False


def _slur(long: float) -> Shape:
    """A slur from the origin. Slurs of one length, to a tenth of a point, are one shape, drawn once."""
    return _slur_of(round(long * 10))


@lru_cache(maxsize=1024)
def _slur_of(tenths: int) -> Shape:
    long = tenths / 10
    third = long / 3
    bend = min(2.6, third)
    return Shape(
        (0.0, 0.0),
        (
            ((third, -bend), (long - third, -bend), (long, 0.0)),
            ((long - third, -bend - SLUR), (third, -bend - SLUR), (0.0, 0.0)),
        ),
        0.0,
        "slur",
    )


HEAD = Shape((0.0, 0.0), ((2.0, 4.2), (-2.0, 4.2)), 0.0, "choke")
"""Of a choke's arrow, its tip at the origin."""


def _choke(ink: Ink, x: float, y: float, letters: float, amount: float) -> None:
    tip = letters + 2.2
    curve = ((4.2, 0.0), (5.0, -3.0), (5.0, tip + 2.0 - y))
    ink.shape(Shape((0.0, 0.0), (curve,), 0.9, "choke"), x, y)
    ink.shape(HEAD, x + 5.0, tip)
    text = CHOKES.get(amount, f"{amount:g}")
    ink.text(RISE, x + 5.0 - halves.rise[text], letters, text)
