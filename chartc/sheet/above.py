"""What stands above the staff of a row: chord names, the voice, where the hand moves, the names of licks, and the brackets of endings.
Coordinates in points; of what goes into an ink, from the row's left edge and the staff's first line."""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence

from chartc.sheet import halves, style
from chartc.sheet.endings import brackets, times
from chartc.sheet.marks import Mark, Text, ending_at
from chartc.sheet.measure import Measured, place_of
from chartc.sheet.row import Beside, Columns, Row
from chartc.sheet.signs import AGAIN
from chartc.sheet.stamp import Ink, LineStyle, TextStyle
from chartc.type.faces import width

VOICE = LineStyle("voice", 1.1, style.HELPER)
HELD = LineStyle("voice", 1.1, style.HELPER, (1.1, 2.2))
VOICE_WORD = TextStyle("italic", style.VOICE, "voice-word", style.HELPER)
MOVE = TextStyle("bold", style.MOVE, "move")
NAME = TextStyle("regular", style.NAME, "name", style.HELPER)
ENDING = LineStyle("ending", style.THIN)


def chords(row: Row, k: int, x: float, y: float) -> list[Mark]:
    """The chord names of measure `k` of a row whose left edge is at `x`, on the baseline `y`."""
    m, columns = row.measures[k], row.columns[k]
    fit = m.fit
    return [
        Text(x + columns[s.at] - left, y, words, "bold", style.CHORD, "chord", 0.0, raised)
        for s, words, raised, left in zip(m.measure.stretches, fit.names, fit.raised, fit.label_lefts, strict=True)
        if s.chord is not None or not m.measure.pickup  # a pickup's rests say it already
    ]


def above(ink: Ink, row: Row, k: int, said: set[str]) -> None:
    """What else stands above measure `k`; `said` collects which of the voice's states have had their word."""
    m, columns, end, bands = row.measures[k], row.columns[k], row.edges[k + 1], row.bands
    if m.measure.voice:
        _voice(ink, row, m, columns, end, said)
    if row.beside is None:
        for x, text, move in _names(m, columns, end):
            ink.text(MOVE if move else NAME, x, bands.names - bands.top, text)
    else:
        for x, text, move in row.beside[k]:
            ink.text(MOVE if move else NAME, x, bands.chord - bands.top, text)


def _voice(ink: Ink, row: Row, m: Measured, columns: Columns, end: float, said: set[str]) -> None:
    y = row.bands.voice - row.bands.top
    for v in m.measure.voice:
        if v.state == "silent":
            continue
        a = place_of(v.at, columns) - 3
        z = (end if v.at + v.ticks >= m.measure.ticks else place_of(v.at + v.ticks, columns)) - 4
        word = f"voice {v.state}"
        if row.voice_words and v.state not in said and z - a > width(word, "italic", style.VOICE) + 8:
            said.add(v.state)
            ink.text(VOICE_WORD, a, y + 1.8, word)
            a += width(word, "italic", style.VOICE) + 3
        ink.strokes(HELD if v.state == "held" else VOICE).extend((a, y, z, y))


Told = tuple[tuple[int, str], ...]
"""Words by the tick at which they stand."""


def _told(m: Measured) -> tuple[Told, Told]:
    """What is said of the hand's place, and the names of licks; of the measure before once more its sign alone, so that nobody need read its
    numbers."""
    return (((0, AGAIN),), ()) if m.said.again else (m.said.moves, m.said.names)


def _long(text: str, move: bool) -> float:
    return 2 * (halves.move[text] if move else halves.name[text])


def all_beside(
    measures: tuple[Measured, ...], columns: Sequence[Columns], edges: Sequence[float]
) -> tuple[Beside, ...] | None:
    """For each measure, its moves and names of licks beside the chords; None where one finds no room there."""
    out: list[Beside] = []
    for m, places, end in zip(measures, columns, edges[1:], strict=True):
        said = m.said
        found = _beside(m, places, end) if said.names or said.moves or said.again else ()
        if found is None:
            return None
        out.append(found)
    return tuple(out)


def _beside(m: Measured, columns: Columns, end: float) -> Beside | None:
    """Moves and names of licks to the right of their chords; None where one finds no room there."""
    fit = m.fit
    chords = [columns[s.at] - left for s, left in zip(m.measure.stretches, fit.label_lefts, strict=True)]
    taken = [(x, x + wide + 4.5) for x, wide in zip(chords, fit.label_widths, strict=True)]
    out: list[tuple[float, str, bool]] = []
    for words, move in zip(_told(m), (True, False), strict=True):
        for at, text in words:
            start = place = place_of(at, columns) - 3
            long = _long(text, move)
            for a, b in taken:
                if place < b and a < place + long + 4.0:
                    place = b
            # not beyond the next chord: what stands there would be read as said of it
            limit = next((x - 4.0 for x in chords if x > start + 3.5), end)
            if place + long > min(limit, end - 1.0):
                return None
            out.append((place, text, move))
            insort(taken, (place, place + long + 4.0))
    return tuple(out)


def _names(m: Measured, columns: Columns, end: float) -> Beside:
    """Where the hand moves, and the names of licks, on a line of their own; a name that finds no room is left out."""
    out: list[tuple[float, str, bool]] = []
    free = 0.0
    taken = []
    moves, names = _told(m)
    for at, text in moves:
        place = max(place_of(at, columns) - 3, free)
        out.append((place, text, True))
        long = _long(text, True)
        taken.append((place - 3, place + long + 3))
        free = place + long + 4
    for at, text in names:
        start = place_of(at, columns) - 3
        long = _long(text, False)
        for place in (start, *(b + 0.5 for a, b in taken if b > start)):
            if place + long < end + 4 and not any(place < b and a < place + long for a, b in taken):
                out.append((place, text, False))
                taken.append((place - 3, place + long + 3))
                break
    return tuple(out)


def endings(ink: Ink, row: Row, x: float, y: float) -> list[Mark]:
    """The brackets of endings over a row, and, as loose marks, their words and how often passages are played; the row's top left corner
    is at (`x`, `y`)."""
    out: list[Mark] = []
    base = row.bands.bracket
    edges, lift = row.edges, row.bands.top
    for a, z, words, begins, ends in brackets(row.section, row.first, len(row.measures)):
        left, right = edges[a] + 1.5, edges[z + 1] - 1.5
        roof, low = base - lift - 9.0, base - lift + 1.5
        strokes = ink.strokes(ENDING)
        strokes += (left, roof, right, roof)
        if begins:
            strokes += (left, roof, left, low)
            out.append(Text(x + left + 3, y + base, words, "bold", style.BRACKET, "ending-word"))
        if ends:
            strokes += (right, roof, right, low)
    for k in range(len(row.measures)):
        words = times(row.section, row.first + k)
        if words:
            out.append(ending_at(x + edges[k + 1], y + base, words, "bold", style.BRACKET, "times"))
    return out
