"""On the staff: fret numbers, slurs, slides and chokes, and the letters above them. Coordinates in points."""

from __future__ import annotations

from dataclasses import dataclass

from chartc.sheet import style
from chartc.sheet.marks import Block, Line, Mark, Path, centred
from chartc.sheet.measure import Measured
from chartc.slots.part import Note
from chartc.type.faces import width

LETTERS = {"hammer-on": "h", "pull-off": "p", "slide": "s"}

CHOKES = {0.5: "¼", 1.0: "½", 1.5: "¾", 2.0: "1", 3.0: "1½", 4.0: "2"}
"""A choke's rise as players say it: a semitone is a half step."""


LETTER_STEP = 7.4
"""Between two letters above the staff, at the least; one that finds no room is left out: its slur says enough."""

SPECK = 3.0
"""A piece of staff line shorter than this between two numbers would look like a dot: it is left white."""


@dataclass(frozen=True, slots=True)
class Before:
    """The last note on a string before the one at hand, and where it stands; x None where it is on an earlier row."""

    note: Note
    x: float | None
    half: float
    """How far its column reaches to the right on its string and the one above."""


def last_notes(m: Measured | None) -> dict[int, Before]:
    """The last note of each string in a measure that stands at the end of the row before."""
    if m is None:
        return {}
    return {n.string: Before(n, None, 0.0) for at in sorted(m.notes) for n in m.notes[at]}


def carried(after: Measured | None, before: dict[int, Before], top: float, edge: float) -> list[Mark]:
    """The beginnings of slurs and slides to notes of the next row, from their last notes to the row's edge."""
    out: list[Mark] = []
    first: dict[int, Note] = {}
    if after is not None:
        for at in sorted(after.notes):
            for n in after.notes[at]:
                first.setdefault(n.string, n)
    for string, n in sorted(first.items()):
        source = before.get(string)
        if n.how not in LETTERS or source is None or source.x is None:
            continue
        start = source.x + source.half + (style.CHOKE_ROOM if source.note.how == "choke" else 0.0)
        # numbers that follow on this string's neighbour above end the slur early
        stops = [b.x - _half(b.note) for s, b in before.items() if s == string - 1 and b.x is not None and b.x > start]
        end = min([edge, *(x - 0.9 for x in stops)])
        y = top + (string - 1) * style.LINE_GAP
        if end - start < 4.0:
            continue
        if n.how == "slide":
            rise = 2.0 if source.note.fret <= n.fret else -2.0
            out.append(Line(start + 1.6, y + rise, end, y - rise, 0.9, "slide"))
        else:
            out.append(_slur(start + 0.9, end, y - 3.4))
    return out


def numbers(m: Measured, columns: dict[int, float], top: float) -> list[Mark]:
    """Fret numbers, each with the staff's line knocked out behind it."""
    patches: list[Mark] = []
    edges: dict[int, float] = {}
    out: list[Mark] = []
    for at, notes in m.notes.items():
        x = columns[at]
        for n in notes:
            y = top + (n.string - 1) * style.LINE_GAP
            text = str(n.fret)
            half = width(text, "bold", style.FRET) / 2
            left = x - half - 0.7
            edge = edges.get(n.string, left)
            if 0 < left - edge < SPECK:
                left = edge
            edges[n.string] = x + half + 0.7
            patches.append(Block(left, y - 4.0, edges[n.string] - left, 8.0, "knock", 1.0))
            out.append(centred(x, y + style.FRET_HALF_HEIGHT, text, "bold", style.FRET, "fret"))
    return patches + out


def techniques(
    m: Measured, columns: dict[int, float], top: float, letters: float, before: dict[int, Before], left: float
) -> list[Mark]:
    """Slurs, slides and chokes. `letters` is the baseline of the letters above the staff, `before` the last note of each string
    (moved on by this call), `left` where a slur from an earlier row begins."""
    out: list[Mark] = []
    taken: list[float] = []
    for at, notes in m.notes.items():
        x = columns[at]
        said: list[str] = []
        for n in notes:
            half = _wide(notes, n.string)
            y = top + (n.string - 1) * style.LINE_GAP
            if n.how in LETTERS:
                source = before.get(n.string)
                x1 = left if source is None or source.x is None else source.x + source.half
                if source is not None and source.note.how == "choke":
                    x1 += style.CHOKE_ROOM  # the slur begins beyond the arrow
                if n.how == "slide":
                    rise = 2.0 if source is None or source.note.fret <= n.fret else -2.0
                    near = (
                        source is not None and source.x is not None and not _between(m, columns, source.x, at, n.string)
                    )
                    start = x1 + 1.6 if near else x - half - 6.5
                    if x - half - 1.4 > start:
                        out.append(Line(start, y + rise, x - half - 1.4, y - rise, 0.9, "slide"))
                elif source is not None and not _between(m, columns, x1, at, n.string) and x - half > x1 + 4:
                    out.append(_slur(x1 + 0.9, x - half - 0.9, y - 3.4))
                letter = LETTERS[n.how]
                if letter not in said:
                    # between the two notes where they are neighbours, else at the note that is reached
                    middle = (x1 + x - half) / 2 if x - x1 < 34 else x
                    for place in (max(middle, x - 16), x, x + LETTER_STEP, x - LETTER_STEP):
                        if all(abs(place - t) >= LETTER_STEP for t in taken):
                            out.append(centred(place, letters, letter, "italic", style.TECHNIQUE, "technique"))
                            taken.append(place)
                            break
                    said.append(letter)
            elif n.how == "choke":
                widest = max(_half(k) for k in notes)
                out += _choke(x + widest + 1.3, y, letters, n.amount)
                taken.append(x + widest + 6.3)
            before[n.string] = Before(n, x, half)
    return out


def _wide(notes: tuple[Note, ...], string: int) -> float:
    """Half the width of the widest number of a column on a string and the one above it, between which slurs are drawn."""
    return max(_half(n) for n in notes if n.string in (string, string - 1))


def _half(n: Note) -> float:
    return width(str(n.fret), "bold", style.FRET) / 2


def _between(m: Measured, columns: dict[int, float], x1: float, at: int, string: int) -> bool:
    """Whether a number on this string or the one above, or the arrow of a choke on one below, stands between `x1` and the note at
    `at`."""
    return any(
        x1 < columns[t] < columns[at]
        and any(n.string in (string, string - 1) or (n.how == "choke" and n.string >= string) for n in notes)
        for t, notes in m.notes.items()
    )


def _slur(x1: float, x2: float, y: float) -> Mark:
    bend = min(2.6, (x2 - x1) / 3)
    third = (x2 - x1) / 3
    return Path(
        (x1, y),
        (
            ((x1 + third, y - bend), (x2 - third, y - bend), (x2, y)),
            ((x2 - third, y - bend - 1.1), (x1 + third, y - bend - 1.1), (x1, y)),
        ),
        0.0,
        "slur",
    )


def _choke(x: float, y: float, letters: float, amount: float) -> list[Mark]:
    tip = (x + 5.0, letters + 2.2)
    return [
        Path((x, y), (((x + 4.2, y), (x + 5.0, y - 3), (x + 5.0, tip[1] + 2)),), 0.9, "choke"),
        Path(tip, ((tip[0] + 2.0, tip[1] + 4.2), (tip[0] - 2.0, tip[1] + 4.2)), 0.0, "choke"),
        centred(tip[0], letters, CHOKES.get(amount, f"{amount:g}"), "regular", style.TECHNIQUE, "technique"),
    ]


def has_technique(m: Measured) -> bool:
    """Whether a letter stands above the measure."""
    return any(n.how in LETTERS or n.how == "choke" for notes in m.notes.values() for n in notes)


def rise(m: Measured) -> float:
    """From the letters' baseline to the staff: room for a number, a slur or a choke's arrow over the highest string."""
    notes = [n for group in m.notes.values() for n in group]
    if any(n.how == "choke" for n in notes):
        return 11.0
    if any(n.how in LETTERS and n.string == 1 for n in notes):
        return 8.0
    return 6.4 if any(n.how in LETTERS for n in notes) else 5.5
