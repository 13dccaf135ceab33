"""A row of tablature: what stands above, on and beneath the staff, in bands that never meet. Coordinates in points."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from chartc.chart.song import Section
from chartc.sheet import signs, staff, stems, style
from chartc.sheet.label import by_letter
from chartc.sheet.marks import Line, Mark, Text, centred, ending_at
from chartc.sheet.measure import Measured, level, place_of, word_lines
from chartc.type.faces import width

ROW_GAP = 7.0
"""Between two rows."""
LEAST_ROW_GAP = 2.0
"""Between two rows where that saves a page."""

STAFF_HEIGHT = 4 * style.LINE_GAP


@dataclass(frozen=True, slots=True)
class Bands:
    """The y of each band from the row's top (baselines of text; `fingers` is the lowest letter's), the staff's first line, how
    far the stems reach beneath its last, and the row's height."""

    bracket: float
    chord: float
    voice: float
    names: float
    fingers: float
    letters: float
    top: float
    picks: float
    foot: float
    words: float
    height: float


@dataclass(frozen=True, slots=True)
class Row:
    """Measures `first` and on of a section, in a row `width` points wide."""

    section: Section
    first: int
    measures: tuple[Measured, ...]
    rooms: tuple[float, ...]
    bands: Bands
    voice_words: bool
    last_of_song: bool
    beside: tuple[tuple[Text, ...], ...] | None
    """For each measure, moves and the names of licks beside the chords, as they stand in a measure that begins at 0 on the
    baseline 0; None where they are on a line of their own."""
    before: Measured | None
    after: Measured | None
    """The measures at the end of the row before and the start of the row after: slurs reach across."""

    @property
    def width(self) -> float:
        """Width of the row."""
        return sum(self.rooms)

    @property
    def finger_letters(self) -> bool:
        """Whether a fretting finger is named in the row."""
        return any(m.said.fingers for m in self.measures)


def row(
    section: Section,
    first: int,
    measures: tuple[Measured, ...],
    room: float,
    fill: bool,
    voice_words: bool,
    last_of_song: bool,
    before: Measured | None = None,
    after: Measured | None = None,
) -> Row:
    """The row with its widths shared out and its bands stacked; `fill` makes it as wide as `room` in any case."""
    rooms = share(measures, room, fill)
    beside = _all_beside(measures, rooms)
    endings = brackets(section, first, len(measures))
    counted = any(times(section, first + k) for k in range(len(measures)))
    y = 1.0
    if endings or counted:
        y += 12.0
    bracket = y - 3.0
    y += 11.5
    chord = y
    y += 3.0
    voiced = any(v.state != "silent" for m in measures for v in m.measure.voice)
    if voiced:
        y += 9.0 if voice_words else 3.5
    voice = y - (3.4 if voice_words else 0.5)
    if beside is None:
        y += 10.5
    names = y - 2.0
    stacks = [sum(_steps(letters)) for m in measures for letters in _fingers(m).values()]
    if stacks:
        deep = (
            voiced
            or beside is None
            or any(_hangs(by_letter(s.chord).words) for m in measures for s in m.measure.stretches)
        )
        y += (9.0 if deep else 8.3) + max(stacks)
    fingers = y - 1.8
    if any(staff.has_technique(m) for m in measures):
        y += 8.3
    letters = y
    top = y + max(staff.rise(m) for m in measures)
    foot = max(stems.stem_foot(m) for m in measures)
    y = top + STAFF_HEIGHT + foot
    if any(p.value.triplet for m in measures for p in m.pieces):
        y += stems.TRIPLET_ROOM
    stacked = max((stems.pick_rows(m) for m in measures), default=0)
    picks = y + 8.5
    if stacked:
        y += 8.5 + stems.PICK_STEP * (stacked - 1)
    elif all(p.rest for m in measures for p in m.pieces):
        y = top + STAFF_HEIGHT + 2.0
    words = y + 11.5
    lines = max(
        (len(word_lines(m.measure.words, r - m.before)) for m, r in zip(measures, rooms, strict=True)), default=0
    )
    if lines:
        y += 3.5 + WORDS_STEP * lines
    bands = Bands(bracket, chord, voice, names, fingers, letters, top, picks, foot, words, y + 2.0)
    return Row(section, first, measures, rooms, bands, voice_words and voiced, last_of_song, beside, before, after)


WORDS_STEP = 10.5


def _hangs(name: str) -> bool:
    """Whether a chord's name reaches below its line."""
    return "/" in name or "g" in name


def share(measures: tuple[Measured, ...], room: float, fill: bool) -> tuple[float, ...]:
    """How wide each measure is. A row that need not fill the page is not torn wide for one or two short measures."""
    least = sum(m.least for m in measures)
    count = sum(1 for m in measures if not m.measure.pickup)
    fill = fill or count > 2 or least * 1.35 > room
    full = room if fill else min(room, max(least * 1.15, count * room / 3.4))
    # one step for the whole row: what sounds alike stands alike
    gaps = [g for m in measures for g in m.gaps]
    weights = [w for m in measures for w in m.weights]
    fixed = sum(m.before + m.lead for m in measures)
    step = level(gaps, weights, full - fixed)
    squeeze = min(1.0, (full - fixed) / sum(gaps))
    return tuple(
        m.before + m.lead + sum(max(g * squeeze, step * w) for g, w in zip(m.gaps, m.weights, strict=True))
        for m in measures
    )


def _fingers(m: Measured) -> dict[int, list[str]]:
    """The fretting fingers that stand one above the other, highest string first, by tick."""
    out: dict[int, list[str]] = {}
    for (at, _), finger in sorted(m.said.fingers.items()):
        out.setdefault(at, []).append(finger)
    return out


def _steps(letters: list[str]) -> list[float]:
    """From each letter's baseline to the next one's: more where a tail hangs over a tall letter."""
    return [9.4 if a == "p" and b in "it" else 7.2 for a, b in pairwise(letters)]


def brackets(section: Section, first: int, count: int) -> list[tuple[int, int, str, bool, bool]]:
    """Endings within the row: first and last measure (in the row), words, whether it begins and ends here."""
    out = []
    for repeat in section.repeats:
        for ending in repeat.endings:
            a, b = max(ending.first, first), min(ending.last, first + count - 1)
            if a <= b:
                words = ", ".join(map(str, ending.times)) + "."
                out.append((a - first, b - first, words, a == ending.first, b == ending.last))
    return out


def times(section: Section, index: int) -> str:
    for repeat in section.repeats:
        if repeat.last == index and repeat.times > 2 and not repeat.endings:
            return f"{repeat.times} times"
    return ""


def draw(row: Row, x: float, y: float) -> list[Mark]:
    """The row's marks, its top left corner at (`x`, `y`)."""
    b = row.bands
    top = y + b.top
    bottom = top + STAFF_HEIGHT
    out: list[Mark] = [
        Line(x, top + k * style.LINE_GAP, x + row.width, top + k * style.LINE_GAP, style.STAFF, "staff")
        for k in range(5)
    ]
    out.append(signs.bar_line(x, top, bottom))
    number = next((m.measure.number for m in row.measures if not m.measure.pickup), 0)
    if number:
        out.append(ending_at(x - 4, top + 3, str(number), "regular", style.NUMBER, "number"))
    before = staff.last_notes(row.before)
    said: set[str] = set()
    place = x
    for k, (m, room) in enumerate(zip(row.measures, row.rooms, strict=True)):
        columns = m.columns(place, room)
        out += _bars(row, k, place, place + room, top, bottom)
        out += _above(row, k, columns, y, place + room, said)
        middle = (top + bottom) / 2
        for p in m.pieces:
            if p.rest:
                whole = p.at == 0 and p.ticks == m.measure.ticks and not m.measure.pickup
                rest_x = (place + m.before + place + room) / 2 if whole else columns[p.at]
                out += signs.rest(rest_x, middle, p.value.order, p.value.dots)
        out += staff.techniques(m, columns, top, y + b.letters, before, place + m.before + 2)
        out += staff.numbers(m, columns, top)
        out += stems.stems(m, columns, bottom, b.foot)
        out += stems.picks(m, columns, y + b.picks)
        for n, line in enumerate(word_lines(m.measure.words, room - m.before)):
            out.append(
                Text(place + m.before + 4, y + b.words + n * WORDS_STEP - 1.5, line, "italic", style.WORDS, "words")
            )
        place += room
    out += staff.carried(row.after, before, top, place - 2.0)
    out += _endings(row, x, y)
    return out


def _bars(row: Row, k: int, left: float, right: float, top: float, bottom: float) -> list[Mark]:
    m = row.measures[k]
    out: list[Mark] = []
    start = left
    if m.show_meter:
        room = signs.meter_room(m.measure.meter)
        out += signs.meter(left + room / 2 + 2, top, bottom, m.measure.meter, style.METER)
        start += room
    if m.repeat_start:
        out += signs.repeat_start(start if m.show_meter else left, top, bottom)
    index = row.first + k
    after = row.measures[k + 1] if k + 1 < len(row.measures) else None
    if m.repeat_end:
        out += signs.repeat_end(right, top, bottom)
    elif index == len(row.section.measures) - 1:
        out += signs.final_bar(right, top, bottom) if row.last_of_song else signs.double_bar(right, top, bottom)
    elif not (after and after.repeat_start and not after.show_meter):
        out.append(signs.bar_line(right, top, bottom))
    return out


def _above(row: Row, k: int, columns: dict[int, float], y: float, end: float, said: set[str]) -> list[Mark]:
    m, room = row.measures[k], row.rooms[k]
    b = row.bands
    out: list[Mark] = []
    reach = dict(zip(m.ats, m.left, strict=True))
    for s in m.measure.stretches:
        if s.chord is None and m.measure.pickup:
            continue  # a pickup's rests say it already
        left = columns[s.at] - reach.get(s.at, 3.0)
        out.append(by_letter(s.chord).text(left, y + b.chord, style.CHORD))
    for v in m.measure.voice:
        if v.state == "silent":
            continue
        a = place_of(v.at, columns) - 3
        z = (end if v.at + v.ticks >= m.measure.ticks else place_of(v.at + v.ticks, columns)) - 4
        word = f"voice {v.state}"
        if row.voice_words and v.state not in said and z - a > width(word, "italic", style.VOICE) + 8:
            said.add(v.state)
            out.append(Text(a, y + b.voice + 1.8, word, "italic", style.VOICE, "voice-word", style.HELPER))
            a += width(word, "italic", style.VOICE) + 3
        dash = (1.1, 2.2) if v.state == "held" else ()
        out.append(Line(a, y + b.voice, z, y + b.voice, 1.1, "voice", style.HELPER, dash))
    if row.beside is None:
        out += _names(m, columns, y + b.names, end)
    elif m.said.names or m.said.moves:
        marks = row.beside[k]
        out += [replace(mark, x=mark.x + end - room, y=y + b.chord) for mark in marks]
    for at, letters in _fingers(m).items():
        place = y + b.fingers - sum(_steps(letters))
        for letter, step in zip(letters, (*_steps(letters), 0.0), strict=True):
            out.append(centred(columns[at], place, letter, "italic", style.FINGER, "finger"))
            place += step
    return out


def _all_beside(measures: tuple[Measured, ...], rooms: tuple[float, ...]) -> tuple[tuple[Text, ...], ...] | None:
    out: list[tuple[Text, ...]] = []
    for m, room in zip(measures, rooms, strict=True):
        found = _beside(m, m.columns(0.0, room), room) if m.said.names or m.said.moves else []
        if found is None:
            return None
        out.append(tuple(found))
    return tuple(out)


def _beside(m: Measured, columns: dict[int, float], end: float) -> list[Text] | None:
    """Moves and names of licks to the right of their chords, on the baseline 0; None where one finds no room there."""
    chords = [(columns[s.at] - _reach(m, s.at), by_letter(s.chord)) for s in m.measure.stretches]
    taken = [(x, x + label.width(style.CHORD) + 4.5) for x, label in chords]
    out: list[Text] = []
    said = [(at, text, "bold", style.MOVE) for at, text in m.said.moves]
    said += [(at, text, "regular", style.NAME) for at, text in m.said.names]
    for at, text, face, size in said:
        start = place_of(at, columns) - 3
        bold = face == "bold"
        mark = Text(start, 0.0, text, "bold" if bold else "regular", size, "move" if bold else "name")
        mark = mark if bold else replace(mark, grey=style.HELPER)
        long = mark.width
        # not beyond the next chord: what stands there would be read as said of it
        limit = min([a - 4.0 for a, _ in taken[: len(chords)] if a > start + 3.5] + [end - 1.0])
        place = start
        for a, b in sorted(taken):
            if place < b and a < place + long + 4.0:
                place = b
        if place + long > limit:
            return None
        out.append(replace(mark, x=place))
        taken.append((place, place + long + 4.0))
    return out


def _reach(m: Measured, at: int) -> float:
    return m.left[m.ats.index(at)] if at in m.ats else 3.0


def _names(m: Measured, columns: dict[int, float], y: float, end: float) -> list[Mark]:
    """Where the hand moves, and the names of licks; a name that finds no room is left out."""
    out: list[Mark] = []
    free = -1.0
    for at, text in m.said.moves:
        x = max(place_of(at, columns) - 3, free)
        out.append(Text(x, y, text, "bold", style.MOVE, "move"))
        free = x + width(text, "bold", style.MOVE) + 4
    taken = [(mark.box[0] - 3, mark.box[2] + 3) for mark in out]
    for at, text in m.said.names:
        start = place_of(at, columns) - 3
        long = width(text, "regular", style.NAME)
        for x in (start, *(b + 0.5 for a, b in taken if b > start)):
            if x + long < end + 4 and not any(x < b and a < x + long for a, b in taken):
                out.append(Text(x, y, text, "regular", style.NAME, "name", style.HELPER))
                taken.append((x - 3, x + long + 3))
                break
    return out


def _endings(row: Row, x: float, y: float) -> list[Mark]:
    out: list[Mark] = []
    base = y + row.bands.bracket
    edges = [x]
    for room in row.rooms:
        edges.append(edges[-1] + room)
    for a, z, words, begins, ends in brackets(row.section, row.first, len(row.measures)):
        left, right = edges[a] + 1.5, edges[z + 1] - 1.5
        roof = base - 9.0
        out.append(Line(left, roof, right, roof, style.THIN, "ending"))
        if begins:
            out.append(Line(left, roof, left, base + 1.5, style.THIN, "ending"))
            out.append(Text(left + 3, base, words, "bold", style.BRACKET, "ending-word"))
        if ends:
            out.append(Line(right, roof, right, base + 1.5, style.THIN, "ending"))
    for k in range(len(row.measures)):
        words = times(row.section, row.first + k)
        if words:
            out.append(ending_at(edges[k + 1], base, words, "bold", style.BRACKET, "times"))
    return out
