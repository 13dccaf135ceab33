"""The practice plan as pages, a week on each, with a box to tick for every turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from chartc.practice.cautions import CAUTIONS, EVIDENCE
from chartc.practice.days import Day, Turn
from chartc.sheet.marks import Entry, Line, Mark, Page, Path, Text, centred
from chartc.sheet.paper import Paper
from chartc.text.calendar import DAYS, MONTHS
from chartc.type.faces import width, wrap

_GUTTER = 22.0
_SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5)
_NOTE = 8.5


def day_words(day: date) -> str:
    """A day as printed: `Monday 3 May`."""
    return f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def turn_words(turn: Turn) -> str:
    """A turn as printed."""
    if turn.tempo is None:
        return f"{turn.minutes} min  {turn.words}"
    kind = "" if turn.kind == "song" else f"{turn.kind} "
    tempo = f"{turn.tempo.note} = {turn.tempo.count} ({turn.percent} percent)"
    return f"{turn.minutes} min, {tempo}: {kind}{turn.words}"


def plan_pages(title: str, days: Sequence[Day], until: date, paper: Paper) -> tuple[Page, ...]:
    """A page for each week from Monday to Sunday that has a day of the plan."""
    weeks: dict[date, list[Day]] = {}
    for day in days:
        weeks.setdefault(day.day - timedelta(days=day.day.weekday()), []).append(day)
    out = []
    for n, (_, week) in enumerate(sorted(weeks.items()), 1):
        marks, y = _head(title, n, len(weeks), until, paper)
        marks += _days(week, y, paper)
        marks.append(centred(paper.width / 2, paper.height - 18, f"page {n} of {len(weeks)}", "regular", 9.0, "page"))
        entries = (Entry(f"Week {n}", 0, 0.0),)
        out.append(Page(paper, tuple(marks), str(n), entries))
    return tuple(out)


def _head(title: str, number: int, count: int, until: date, paper: Paper) -> tuple[list[Mark], float]:
    marks: list[Mark] = []
    y = paper.top + 16
    size = 20.0
    while size > 11 and width(title, "bold", size) > paper.room:
        size -= 0.5
    lines = wrap(title, "bold", size, paper.room)
    for line in lines[:2]:
        marks.append(Text(paper.left, y, line, "bold", size, "title"))
        y += size * 1.15
    marks.append(
        Text(
            paper.left,
            y,
            f"Week {number} of {count} \N{MIDDLE DOT} until {day_words(until)} {until.year}",
            "regular",
            11,
            "facts",
        )
    )
    y += 3
    for line in wrap(CAUTIONS if number > 1 else f"{CAUTIONS} {EVIDENCE}", "italic", _NOTE, paper.room):
        y += _NOTE * 1.2
        marks.append(Text(paper.left, y, line, "italic", _NOTE, "caution"))
    y += 7
    marks.append(Line(paper.left, y, paper.edge, y, 0.6, "rule"))
    return marks, y + 8


@dataclass(frozen=True)
class _Row:
    """One line of a column: a day's heading (`day`), the first line of a turn (`box`), or a line that goes on."""

    text: str
    day: bool
    box: bool
    keep: bool
    """Whether the column may not end after this line."""


def _rows(week: Sequence[Day], size: float, room: float, most: int = 9) -> list[_Row]:
    out: list[_Row] = []
    for day in week:
        out.append(_Row(f"{day_words(day.day)}, {day.minutes} minutes", True, False, True))
        rest = ""
        for turn in day.turns:
            if turn.kind == "rest":
                rest = f"{turn.minutes} min rest, then "
                continue
            lines = wrap(rest + turn_words(turn), "regular", size, room - size * 1.3)
            rest = ""
            if len(lines) > most:
                # cut visibly, with room for the dots
                lines = (
                    *lines[: most - 1],
                    wrap(" ".join(lines[most - 1 :]), "regular", size, room - size * 2.6)[0] + " ...",
                )
            for k, line in enumerate(lines):
                out.append(_Row(line, False, k == 0, k + 1 < len(lines)))
    return out


def _days(week: Sequence[Day], top: float, paper: Paper) -> list[Mark]:
    """The days in one column or two, as large as they fit; where they do not, long turns are cut to two lines, and to one."""
    for size, most in (*((size, 9) for size in _SIZES), (7.5, 2), (7.5, 1), (6.5, 1)):
        for columns in (1, 2):
            room = (paper.room - _GUTTER * (columns - 1)) / columns
            placed = _placed(_rows(week, size, room, most), size, top, paper.floor, columns)
            if placed is not None:
                return _drawn(placed, size, paper.left, room)
    raise ValueError("a week of so many turns fits on no page")


def _placed(
    rows: Sequence[_Row], size: float, top: float, floor: float, columns: int
) -> list[tuple[int, float, _Row]] | None:
    out: list[tuple[int, float, _Row]] = []
    column, y = 0, top
    n = 0
    while n < len(rows):
        block = n + 1
        while rows[block - 1].keep and block < len(rows):
            block += 1
        height = sum(_height(r, size) for r in rows[n:block])
        if y + height > floor:
            column, y = column + 1, top
            if column >= columns or y + height > floor:
                return None
        for r in rows[n:block]:
            y += _height(r, size)
            out.append((column, y, r))
        n = block
    return out


def _height(row: _Row, size: float) -> float:
    return size * (1.95 if row.day else 1.28)


def _drawn(placed: Sequence[tuple[int, float, _Row]], size: float, left: float, room: float) -> list[Mark]:
    out: list[Mark] = []
    for column, y, row in placed:
        x = left + column * (room + _GUTTER)
        base = y - size * 0.3
        if row.day:
            out.append(Text(x, base, row.text, "bold", size * 1.1, "day"))
            continue
        if row.box:
            side = size * 0.72
            corner, right, above = (x + 0.5, base), x + 0.5 + side, base - side
            steps = ((right, base), (right, above), (x + 0.5, above), corner)
            out.append(Path(corner, steps, 0.6, "box"))
        out.append(Text(x + size * 1.3, base, row.text, "regular", size, "turn"))
    return out
