"""On the staff: fret numbers, slurs, slides and chokes, and the letters above them. Coordinates in points from the staff's first line
and from the measure's left edge."""

from __future__ import annotations

from dataclasses import dataclass

from chartc.sheet import halves, style
from chartc.sheet.fit import LETTERS, Fit, by_column, half_beside, last_notes
from chartc.sheet.stamp import Ink, LineStyle, Shape, Stamp, TextStyle, threes
from chartc.slots.part import Note

CHOKES = {0.5: "¼", 1.0: "½", 1.5: "¾", 2.0: "1", 3.0: "1½", 4.0: "2"}
"""A choke's rise as players say it: a semitone is a half step."""

LETTER_STEP = 7.4
"""Between two letters above the staff, at the least; one that finds no room is left out: its slur says enough."""

SPECK = 3.0
"""A piece of staff line shorter than this between two numbers would look like a dot: it is left white."""

FRET = TextStyle("bold", style.FRET, "fret")
LETTER = TextStyle("italic", style.TECHNIQUE, "technique")
RISE = TextStyle("regular", style.TECHNIQUE, "technique")
SLIDE = LineStyle("slide", 0.9)


@dataclass(frozen=True, slots=True)
class Before:
    """The last note on a string before the one at hand, and where it stands; x None where it is on an earlier row."""

    note: Note
    x: float | None
    half: float
    """How far its column reaches to the right on its string and the one above."""


def earlier_row(fit: Fit) -> dict[int, Before]:
    """The last note of each string in a measure that stands at the end of the row before."""
    return {n.string: Before(n, None, 0.0) for n, _ in last_notes(fit)}


def moved_on(before: dict[int, Before], fit: Fit, columns: dict[int, float], room: float) -> dict[int, Before]:
    """What stands before the measure that follows one `room` wide, as seen from there; `before` is what stood before that one."""
    out = {s: Before(b.note, None if b.x is None else b.x - room, b.half) for s, b in before.items()}
    out.update((n.string, Before(n, columns[n.at] - room, wide)) for n, wide in last_notes(fit))
    return out


def carried(after: Fit, before: dict[int, Before]) -> Stamp:
    """The beginnings of slurs and slides to notes of the next row, from their last notes to the row's edge, which is the origin."""
    ink = Ink()
    first: dict[int, Note] = {}
    for n in after.notes:
        first.setdefault(n.string, n)
    for string, n in sorted(first.items()):
        source = before.get(string)
        if n.how not in LETTERS or source is None or source.x is None:
            continue
        start = source.x + source.half + (style.CHOKE_ROOM if source.note.how == "choke" else 0.0)
        # numbers that follow on this string's neighbour above end the slur early
        stops = [
            b.x - halves.fret[b.note.fret]
            for s, b in before.items()
            if s == string - 1 and b.x is not None and b.x > start
        ]
        end = min([-2.0, *(x - 0.9 for x in stops)])
        y = (string - 1) * style.LINE_GAP
        if end - start < 4.0:
            continue
        if n.how == "slide":
            rise = 2.0 if source.note.fret <= n.fret else -2.0
            ink.strokes(SLIDE).extend((start + 1.6, y + rise, end, y - rise))
        else:
            ink.shape(_slur(start + 0.9, end, y - 3.4), 0.0, 0.0)
    return ink.stamp()


def numbers(ink: Ink, fit: Fit, columns: dict[int, float]) -> None:
    """Fret numbers, each with the staff's line knocked out behind it."""
    if not fit.notes:
        return
    edges: dict[int, float] = {}
    patches = ink.patches
    places, words = ink.words(FRET)
    halves_of = halves.fret
    for at, string, fret in threes(fit.frets):
        x, y = columns[at], (string - 1) * style.LINE_GAP
        wide = halves_of[fret]
        left = x - wide - 0.7
        edge = edges.get(string, -9.0)
        across = 2 * wide + 1.4
        if 0 < left - edge < SPECK:
            across += left - edge
            left = edge
        edges[string] = x + wide + 0.7
        patches += (left, y - 4.0, across, 8.0)
        places += (x - wide, y + style.FRET_HALF_HEIGHT)
        words.append(str(fret))


def techniques(
    ink: Ink, fit: Fit, columns: dict[int, float], letters: float, before: dict[int, Before], left: float
) -> None:
    """Slurs, slides and chokes. `letters` is the baseline of the letters above the staff, `before` the last note of each string,
    `left` where a slur from an earlier row begins."""
    taken: list[float] = []
    before = dict(before)
    for at, notes in by_column(fit).items():
        x = columns[at]
        said: list[str] = []
        for n in notes:
            wide = half_beside(notes, n.string)
            y = (n.string - 1) * style.LINE_GAP
            if n.how in LETTERS:
                source = before.get(n.string)
                x1 = left if source is None or source.x is None else source.x + source.half
                if source is not None and source.note.how == "choke":
                    x1 += style.CHOKE_ROOM  # the slur begins beyond the arrow
                if n.how == "slide":
                    rise = 2.0 if source is None or source.note.fret <= n.fret else -2.0
                    near = source is not None and source.x is not None and not _between(fit, columns, source.x, at, n)
                    start = x1 + 1.6 if near else x - wide - 6.5
                    if x - wide - 1.4 > start:
                        ink.strokes(SLIDE).extend((start, y + rise, x - wide - 1.4, y - rise))
                elif source is not None and not _between(fit, columns, x1, at, n) and x - wide > x1 + 4:
                    ink.shape(_slur(x1 + 0.9, x - wide - 0.9, y - 3.4), 0.0, 0.0)
                letter = LETTERS[n.how]
                if letter not in said:
                    # between the two notes where they are neighbours, else at the note that is reached
                    middle = (x1 + x - wide) / 2 if x - x1 < 34 else x
                    for place in (max(middle, x - 16), x, x + LETTER_STEP, x - LETTER_STEP):
                        if all(abs(place - t) >= LETTER_STEP for t in taken):
                            ink.text(LETTER, place - halves.technique[letter], letters, letter)
                            taken.append(place)
                            break
                    said.append(letter)
            elif n.how == "choke":
                widest = max(halves.fret[k.fret] for k in notes)
                _choke(ink, x + widest + 1.3, y, letters, n.amount)
                taken.append(x + widest + 6.3)
            before[n.string] = Before(n, x, wide)


def _between(fit: Fit, columns: dict[int, float], x1: float, at: int, note: Note) -> bool:
    """Whether a number on the note's string or the one above, or the arrow of a choke on one below, stands between `x1` and the note,
    which is at `at`."""
    string = note.string
    return any(
        x1 < columns[t] < columns[at]
        and any(n.string in (string, string - 1) or (n.how == "choke" and n.string >= string) for n in notes)
        for t, notes in by_column(fit).items()
    )


def _slur(x1: float, x2: float, y: float) -> Shape:
    bend = min(2.6, (x2 - x1) / 3)
    third = (x2 - x1) / 3
    return Shape(
        (x1, y),
        (
            ((x1 + third, y - bend), (x2 - third, y - bend), (x2, y)),
            ((x2 - third, y - bend - 1.1), (x1 + third, y - bend - 1.1), (x1, y)),
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
