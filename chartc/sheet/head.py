"""What stands around the music: title, facts of the song, section headings, running heads and page numbers."""

from __future__ import annotations

from collections.abc import Sequence

from chartc.chart.song import Section, Song
from chartc.sheet import style
from chartc.sheet.marks import Line, Mark, Text, centred, ending_at
from chartc.sheet.paper import Paper
from chartc.type.faces import width, wrap

TITLE = 25.0
TITLE_LEAST = 17.0


def title(song: Song, paper: Paper, facts: Sequence[str], key_size: float = 25.0) -> tuple[list[Mark], float]:
    """The head of a first page and the y where it ends. The key stands large at the right, for a player leafing through."""
    out: list[Mark] = []
    key = song.key.label
    room = paper.room - width(key, "bold", key_size) - 18
    size = TITLE
    while size > TITLE_LEAST and width(song.title, "bold", size) > room:
        size -= 0.5
    y = paper.top + TITLE * 0.75
    out.append(ending_at(paper.edge, y, key, "bold", key_size, "key"))
    for line in wrap(song.title, "bold", size, room) or ("untitled",):
        out.append(Text(paper.left, y, line, "bold", size, "title"))
        y += size * 1.12
    y -= size * 1.12
    if song.credit:
        y += 3
        for line in wrap(song.credit, "italic", 10.5, paper.room):
            y += 12.5
            out.append(Text(paper.left, y, line, "italic", 10.5, "credit"))
    y += 4
    for line in wrap(" \N{MIDDLE DOT} ".join(f for f in facts if f), "regular", 11.0, paper.room):
        y += 14
        out.append(Text(paper.left, y, line, "regular", 11.0, "facts"))
    for line in road_map(song, paper.room):
        y += 14
        out.append(Text(paper.left, y, line, "regular", 11.0, "form"))
    y += 7
    out.append(Line(paper.left, y, paper.edge, y, style.THIN, "rule"))
    return out, y + 6


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


def heading(
    section: Section, x: float, y: float, room: float, size: float = style.SECTION, small: float = style.LEADS
) -> list[Mark]:
    """A section's name on the baseline `y` and, small, who leads, fills and chops."""
    label = section.label[:1].upper() + section.label[1:]
    while size > 10 and width(label, "bold", size) > room:
        size -= 0.5
    lines = wrap(label, "bold", size, room)
    out: list[Mark] = [Text(x, y, lines[0] if lines else "", "bold", size, "section")]
    words = leads(section)
    start = x + out[0].box[2] - out[0].box[0] + 9
    fit = wrap(words, "italic", small, max(10.0, x + room - start)) if words else ()
    if len(fit) == 1:
        out.append(Text(start, y, fit[0], "italic", small, "leads"))
    return out


def running(song: Song, paper: Paper, number: int, count: int) -> tuple[list[Mark], float]:
    """The small head of a later page and the y where it ends."""
    y = paper.top + 8
    right = f"{song.key.label} \N{MIDDLE DOT} page {number} of {count}"
    room = paper.room - width(right, "regular", 10.0) - 12
    lines = wrap(song.title, "bold", 10.0, room)
    short = lines[0] + (" ..." if len(lines) > 1 else "") if lines else ""
    return [
        Text(paper.left, y, short, "bold", 10.0, "running"),
        ending_at(paper.edge, y, right, "regular", 10.0, "running"),
        Line(paper.left, y + 5, paper.edge, y + 5, style.THIN, "rule"),
    ], y + 11


def foot(paper: Paper, number: int, count: int, legend: str = "") -> list[Mark]:
    """The page number, and above it, small, what the signs mean."""
    y = paper.height - 18
    out: list[Mark] = [centred(paper.width / 2, y, f"page {number} of {count}", "regular", 9.0, "page")]
    if legend:
        out.append(centred((paper.left + paper.edge) / 2, y - 12, legend, "regular", 7.5, "legend", style.HELPER))
    return out
