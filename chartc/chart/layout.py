"""A chart as tidy text: bar lines in columns, one way of writing each line, comments and separating blank lines kept."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from chartc.chart import syntax
from chartc.chart.syntax import Chart, Line

KEYWORD = 8
"""Columns of a header's keyword; a space follows."""

SIDE = 6
"""Columns of a side row's keyword with its space; a row of chords is indented as far where rows stand beneath it."""

NARROWEST = 4
"""Columns of the narrowest measure, so that rows of short and long chords look alike."""

WIDEST = 110
"""Columns up to which the rows of a whole section share their bar lines; where they would be wider, each row of chords shares
them with the rows beneath it only."""

COMMENT = 90
"""Comments of neighbouring lines stand in one column, as far as it is not beyond this one."""


@dataclass(slots=True)
class _Out:
    """A line to be: `text` without its comment. `cells` are those of a row, whose text is made when the widths are known."""

    line: Line | None
    text: str = ""
    prefix: str = ""
    cells: tuple[str, ...] | None = None


def laid_out(chart: Chart) -> str:
    """The tidy text of a chart without broken lines."""
    lines = _with_blanks(chart)
    for section in _sections(lines):
        _align(section)
    return _text(lines)


# --- lines ---------------------------------------------------------------------------------------------------------------


def _with_blanks(chart: Chart) -> list[_Out]:
    """The lines with the blank ones among them: one for a run of several, and one above each section."""
    out: list[_Out] = []
    last = 0
    for line in chart.lines:
        blank = last and line.number > last + 1
        above = out[-1].line if out else None
        begins = isinstance(line.node, syntax.SectionLine) and above is not None and above.node is not None
        if blank or begins:
            out.append(_Out(None))
        out.append(_out(line))
        last = line.number
    return out


def _out(line: Line) -> _Out:
    match line.node:
        case None:
            assert line.comment is not None
            return _Out(line, "  " if line.comment.column > 1 else "")
        case syntax.Header(keyword, words):
            return _Out(line, f"{keyword:<{KEYWORD}} {_value(keyword, [w.text for w in words])}")
        case syntax.Form(uses):
            return _Out(line, f"{'form':<{KEYWORD}} {', '.join(u.text for u in uses)}")
        case syntax.SectionLine(use, None):
            return _Out(line, f"section {use.text}")
        case syntax.SectionLine(use, syntax.Word() as count):
            noun = "measure" if count.text == "1" else "measures"
            return _Out(line, f"section {use.text}, {count.text} {noun}")
        case syntax.Jobs(jobs):
            return _Out(line, "  " + ", ".join(f"{j.job.text} {j.player.text}" for j in jobs))
        case syntax.RepeatLine(times):
            return _Out(line, "repeat" if times is None else f"repeat {times.text} times")
        case syntax.EndingLine(numbers):
            return _Out(line, f"ending {', '.join(n.text for n in numbers)}")
        case syntax.EndRepeat():
            return _Out(line, "end repeat")
        case syntax.ChordRow(cells):
            return _Out(line, cells=tuple(map(_chords, cells)))
        case syntax.SideRow(kind, side):
            return _Out(line, prefix=f"{kind:<{SIDE}}", cells=tuple(_side(kind, cell) for cell in side))
        case _:
            raise ValueError("a chart with a broken line has no tidy text")


def _value(keyword: str, words: Sequence[str]) -> str:
    if keyword in ("title", "credit"):
        return words[0].replace(";", ";;")
    between = {"meter": "/", "tempo": " = ", "melody": " to "}.get(keyword, " ")
    return between.join(words)


def _chords(cell: syntax.Cell) -> str:
    words = [w.text for w in cell.words]
    if cell.length is not None:
        kind = "pickup" if cell.length.pickup else "in"
        words.insert(0, f"{kind} {cell.length.count.text}/{cell.length.unit.text}:")
    return " ".join(words)


def _side(kind: str, cell: syntax.SideCell) -> str:
    text = ", ".join(" ".join(w.text for w in part) for part in cell.parts).strip()
    return text.replace(";", ";;") if kind == "words" else text


# --- columns -------------------------------------------------------------------------------------------------------------


def _sections(lines: list[_Out]) -> list[list[_Out]]:
    """The rows of each section; the lines between them do not matter."""
    out: list[list[_Out]] = [[]]
    for line in lines:
        if line.line is not None and isinstance(line.line.node, syntax.SectionLine):
            out.append([])
        elif line.cells is not None:
            out[-1].append(line)
    return out


def _align(rows: list[_Out]) -> None:
    if any(row.prefix for row in rows):
        for row in rows:
            row.prefix = row.prefix or " " * SIDE
    groups = _groups(rows)
    # a pickup stands before the first column: its row keeps to itself
    together = [g for g in groups if not _pickup(g[0])]
    widths = _widths([row for group in together for row in group])
    if sum(widths) + 3 * len(widths) + SIDE > WIDEST:
        together = []
    shared = {id(row) for group in together for row in group}
    for group in groups:
        own = widths if id(group[0]) in shared else _widths(group)
        for row in group:
            cells = [
                f" {cell}{' ' * (width - cells_of(cell))} " for cell, width in zip(row.cells or (), own, strict=False)
            ]
            row.text = f"{row.prefix}|{'|'.join(cells)}|"


def _groups(rows: list[_Out]) -> list[list[_Out]]:
    """Each row of chords with the rows beneath it."""
    out: list[list[_Out]] = []
    for row in rows:
        if not out or not row.prefix.strip():
            out.append([])
        out[-1].append(row)
    return out


def _pickup(row: _Out) -> bool:
    return bool(row.cells) and row.cells is not None and row.cells[0].startswith("pickup ")


def _widths(rows: list[_Out]) -> list[int]:
    """The width of each column, in the columns of a terminal."""
    out: list[int] = []
    for row in rows:
        for n, cell in enumerate(row.cells or ()):
            if n == len(out):
                out.append(NARROWEST)
            out[n] = max(out[n], cells_of(cell))
    return out


def cells_of(text: str) -> int:
    """How many columns of a terminal a text takes: none for accents that stand alone, two for wide characters."""
    if text.isascii():
        return len(text)
    wide = sum(unicodedata.east_asian_width(c) in "WF" for c in text)
    return len(text) + wide - sum(unicodedata.category(c) in ("Mn", "Me") for c in text)


# --- text ----------------------------------------------------------------------------------------------------------------


def _text(lines: list[_Out]) -> str:
    out: list[str] = []
    run: list[_Out] = []
    for line in [*lines, _Out(None)]:
        if line.line is not None and line.line.comment is not None and line.line.node is not None:
            run.append(line)
            continue
        out += _commented(run)
        run = []
        if line.line is None:
            out.append("")
        else:
            comment = "" if line.line.comment is None else line.line.comment.text
            out.append((line.text + comment).rstrip())
    return "\n".join(out)


def _commented(run: list[_Out]) -> list[str]:
    """Lines one after the other that all have a comment behind them."""
    column = max((cells_of(line.text) for line in run if cells_of(line.text) <= COMMENT), default=0)
    out = []
    for line in run:
        assert line.line is not None and line.line.comment is not None
        gap = max(0, column - cells_of(line.text)) + 2
        out.append(f"{line.text}{' ' * gap}{line.line.comment.text.rstrip()}")
    return out
