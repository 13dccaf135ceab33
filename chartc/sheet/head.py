"""What stands around the music: title, facts of the song, section headings, running heads and page numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chartc.chart.song import Section, Song
from chartc.sheet import style
from chartc.sheet.marks import Line, Mark, Text, centred, ending_at
from chartc.sheet.paper import Paper
from chartc.type.faces import width, wrap

TITLE = 25.0
TITLE_LEAST = 17.0

DOT = " \N{MIDDLE DOT} "
"""Between facts that stand in one line."""


def title(
    song: Song, paper: Paper, facts: Sequence[str], key: str | None = None, remarks: Sequence[str] = ()
) -> tuple[list[Mark], float]:
    """The head of a first page and the y where it ends. The key, or what is given for it, stands large at the right, for a
    player leafing through; `remarks` stand beneath the facts, each on a line of its own."""
    out: list[Mark] = []
    key = song.key.label if key is None else key
    room = paper.room - width(key, "bold", TITLE) - 18
    long = width(song.title, "bold", 1.0)
    # in steps of half a point
    size = min(TITLE, max(TITLE_LEAST, int(room / long * 2) / 2)) if long else TITLE
    # a title without end is set ever smaller, and at last cut, visibly, before it fills the page
    most = paper.height * 0.25
    lines = wrap(song.title, "bold", size, room) or ("untitled",)
    while len(lines) * size * 1.12 > most and size > 8:
        size -= 0.5
        lines = wrap(song.title, "bold", size, room)
    if len(lines) * size * 1.12 > most:
        lines = (*lines[: int(most / size / 1.12)], "...")
    y = paper.top + TITLE * 0.75
    corner = ending_at(paper.edge, y, key, "bold", TITLE, "key")
    for line in lines:
        out.append(Text(paper.left, y, line, "bold", size, "title"))
        y += size * 1.12
    out.append(corner)
    y -= size * 1.12
    if song.credit:
        y += 3
        for line in wrap(song.credit, "italic", 10.5, paper.room):
            y += 12.5
            out.append(Text(paper.left, y, line, "italic", 10.5, "credit"))
    y += 4
    for line in wrap(DOT.join(f for f in facts if f), "regular", 11.0, paper.room):
        y += 14
        out.append(Text(paper.left, y, line, "regular", 11.0, "facts"))
    for line in road_map(song, paper.room):
        y += 14
        out.append(Text(paper.left, y, line, "regular", 11.0, "form"))
    for remark in remarks:
        for line in wrap(remark, "italic", 9.5, paper.room):
            y += 12
            out.append(Text(paper.left, y, line, "italic", 9.5, "remark"))
    y += 7
    out.append(Line(paper.left, y, paper.edge, y, style.THIN, "rule"))
    return out, y + 6


def beneath_key(marks: Sequence[Mark]) -> tuple[float, float, float]:
    """The place in the head of a first page that is free beneath the key: its left edge, its top, and the rule's y."""
    key = next(m for m in marks if m.kind == "key").box
    left = max([m.box[2] for m in marks if m.kind not in ("key", "rule") and m.box[3] > key[3] + 0.5], default=0.0)
    return left, key[3], next(m for m in marks if m.kind == "rule").box[3]


def lowered(marks: Sequence[Mark], by: float) -> list[Mark]:
    """The head of a first page with its rule so much lower."""
    return [replace(m, y1=m.y1 + by, y2=m.y2 + by) if isinstance(m, Line) and m.kind == "rule" else m for m in marks]


def facts(song: Song) -> list[str]:
    """Key, meter and tempo in words."""
    return [f"key {song.key.label}", song.meter.label, f"{song.tempo.note} = {song.tempo.count}"]


def road_map(song: Song, room: float) -> tuple[str, ...]:
    """The form in lines: the sections as played, a neighbour that returns at once counted."""
    steps: list[tuple[str, int]] = []
    for label in song.form:
        if steps and steps[-1][0] == label:
            steps[-1] = (label, steps[-1][1] + 1)
        else:
            steps.append((label, 1))
    if not steps:
        return ()
    # a step is not broken inside: its spaces are held together until the lines are cut
    words = [(f"{label} {n} times" if n > 1 else label).replace(" ", "\0") for label, n in steps]
    lines: list[str] = []
    line = "Form:"
    for k, word in enumerate(words):
        piece = word.replace("\0", " ") + (" \N{EN DASH}" if k + 1 < len(words) else "")
        if width(f"{line} {piece}", "regular", 11.0) > room and line != "Form:":
            lines.append(line)
            line = piece
        else:
            line = f"{line} {piece}"
    return tuple(part for text in (*lines, line) for part in wrap(text, "regular", 11.0, room))


def leads(section: Section) -> str:
    """Who leads, who fills, who chops, in words."""
    said = [(section.lead, "leads"), (section.fills, "fills"), (section.chop, "chops")]
    return ", ".join(f"{who} {what}" for who, what in said if who)


def _pieces(words: str, size: float, room: float) -> tuple[str, ...]:
    """Small words in lines that end between the pieces that dots part, and inside one only where it is wider than the room."""
    lines: list[str] = []
    for piece in words.split(DOT):
        longer = f"{lines[-1]}{DOT}{piece}" if lines else piece
        if width(longer, "italic", size) <= room:
            lines[-1:] = [longer]
        else:
            lines += wrap(piece, "italic", size, room)
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class Heading:
    """A section's name and, small, who leads, fills and chops; on lines of their own where one line is too short."""

    section: Section
    room: float
    size: float = style.SECTION
    small: float = style.LEADS
    words: str | None = None
    """What stands there instead."""

    @property
    def _label(self) -> tuple[str, ...]:
        words = self.section.label
        return wrap(words[:1].upper() + words[1:], "bold", self.size, self.room)

    @property
    def _leads(self) -> tuple[bool, tuple[str, ...]]:
        """Whether the small words stand beside the name, and their lines."""
        words = leads(self.section) if self.words is None else self.words
        label = self._label
        beside = width(label[-1] if label else "", "bold", self.size) + 9
        if beside + width(words, "italic", self.small) <= self.room:
            return True, (words,) if words else ()
        return False, _pieces(words, self.small, self.room)

    @property
    def height(self) -> float:
        """Height in points, with the room beneath."""
        beside, lines = self._leads
        return max(1, len(self._label)) * self.size * 1.12 + (0 if beside else len(lines) * self.small * 1.25) + 5.0

    def draw(self, x: float, y: float) -> list[Mark]:
        """The marks, the top left corner at (`x`, `y`)."""
        out: list[Mark] = []
        base = y
        end = x
        for line in self._label:
            base += self.size * 1.12 if out else self.size
            out.append(Text(x, base, line, "bold", self.size, "section"))
            end = x + width(line, "bold", self.size) + 9
        beside, lines = self._leads
        for line in lines:
            base += 0 if beside else self.small * 1.25
            out.append(Text(end if beside else x, base, line, "italic", self.small, "leads"))
        return out


def running(song: Song, paper: Paper, number: int, count: int, key: str | None = None) -> tuple[list[Mark], float]:
    """The small head of a later page and the y where it ends; `key` stands for the song's where it is given."""
    y = running_end(paper) - 11
    right = f"{song.key.label if key is None else key} \N{MIDDLE DOT} page {number} of {count}"
    room = paper.room - width(right, "regular", 10.0) - 12
    lines = wrap(song.title, "bold", 10.0, room)
    short = lines[0] + (" ..." if len(lines) > 1 else "") if lines else ""
    return [
        Text(paper.left, y, short, "bold", 10.0, "running"),
        ending_at(paper.edge, y, right, "regular", 10.0, "running"),
        Line(paper.left, y + 5, paper.edge, y + 5, style.THIN, "rule"),
    ], y + 11


def running_end(paper: Paper) -> float:
    """The y where the small head of a later page ends."""
    return paper.top + 19


def foot(paper: Paper, number: int, count: int, legend: str = "") -> list[Mark]:
    """The page number, and above it, small, what the signs mean."""
    y = paper.height - paper.foot
    out: list[Mark] = [centred(paper.width / 2, y, f"page {number} of {count}", "regular", 9.0, "page")]
    if legend:
        size = min(7.5, 7.5 * paper.room / width(legend, "regular", 7.5))
        out.append(centred((paper.left + paper.edge) / 2, y - 12, legend, "regular", size, "legend", style.HELPER))
    return out
