"""Lines to blocks: the headers, and the sections with their rows; each row of chords with the rows beneath it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from chartc.chart import syntax
from chartc.chart.findings import Findings, count
from chartc.chart.lines import HEADERS, SIDE_ROWS
from chartc.chart.syntax import Line
from chartc.text.diagnostic import Edit


@dataclass(slots=True)
class Row:
    """A row of chords (or one that could not be read) with the rows beneath it, by kind."""

    line: Line
    sides: dict[str, Line] = field(default_factory=dict)

    @property
    def cells(self) -> tuple[syntax.Cell, ...] | None:
        """The row's cells, None where it could not be read."""
        return self.line.node.cells if isinstance(self.line.node, syntax.ChordRow) else None


@dataclass(slots=True)
class Block:
    """A section as written. `broken` tells that a line of it could not be read, so that nothing can be said about its
    measures as a whole. `items` are rows, and the lines of repeats and endings, in order."""

    line: Line
    use: syntax.Use | None
    count: syntax.Word | None
    broken: bool = False
    jobs: dict[str, tuple[Line, syntax.Job]] = field(default_factory=dict)
    items: list[Row | Line] = field(default_factory=list)

    @property
    def rows(self) -> list[Row]:
        """The rows of chords."""
        return [i for i in self.items if isinstance(i, Row)]


@dataclass(slots=True)
class Blocks:
    """The whole file in blocks. `broken` are the kinds of the lines that could not be read; an empty kind among them is a
    line that could be anything."""

    headers: dict[str, list[Line]] = field(default_factory=dict)
    sections: list[Block] = field(default_factory=list)
    broken: set[str] = field(default_factory=set)

    @property
    def names_known(self) -> bool:
        """Whether every section's name could be read."""
        return not self.broken & {"section", ""}


def group(chart: syntax.Chart, found: Findings) -> Blocks:
    """The chart in blocks. Reports what stands in the wrong place: late or doubled headers, rows outside a section, rows
    without chords above, doubled rows and jobs."""
    blocks = Blocks()
    stray = False
    for line in chart.lines:
        node = line.node
        if isinstance(node, syntax.Broken):
            blocks.broken.add(node.kind)
        kind = _kind(node)
        section = blocks.sections[-1] if blocks.sections else None
        if node is None:
            continue
        if kind in HEADERS:
            _header(blocks, kind, line, found)
        elif kind == "section":
            blocks.sections.append(_block(line))
        elif section is None:
            # one report for a run of such lines; after a line that nobody could read, none: it may have been the section's
            if not stray and not isinstance(node, syntax.Broken) and blocks.names_known:
                found.add(
                    "row-outside",
                    "this line belongs to a section, but no section has begun",
                    line.span(),
                    "write a line like this above it: section verse, 8 measures",
                )
                stray = True
        else:
            _inside(section, kind, line, found)
    return blocks


def _kind(node: syntax.Node | None) -> str:
    match node:
        case syntax.Broken(kind):
            return kind
        case syntax.Header(keyword):
            return keyword
        case syntax.Form():
            return "form"
        case syntax.SectionLine():
            return "section"
        case syntax.ChordRow():
            return "chords"
        case syntax.SideRow(kind):
            return kind
        case syntax.Jobs():
            return "lead"
        case None:
            return ""
        case _:
            return "repeat"


def _header(blocks: Blocks, keyword: str, line: Line, found: Findings) -> None:
    lines = blocks.headers.setdefault(keyword, [])
    if blocks.sections:
        first = (blocks.sections[0].line.span(), "the first section begins here")
        help = "move the line above the first section"
        if lines and keyword != "form":
            # moved, it would be there twice
            first, help = (lines[0].span(), "given here already"), _one(keyword, "take this line out")
        found.add("header-late", f'"{keyword}" stands below a section; headers come first', line.span(), help, [first])
    elif lines and keyword != "form":
        related = [(lines[0].span(), "given here first")]
        help = _one(keyword, "keep one of the two lines")
        found.add("header-twice", f'"{keyword}" is given twice', line.span(), help, related)
    lines.append(line)


def _one(keyword: str, help: str) -> str:
    """What to do with a header that is there once too often, and how what may be meant is written."""
    said = f"a chart has one {keyword}: {help}"
    return f"{said}; {_INSTEAD[keyword]}" if keyword in _INSTEAD else said


_INSTEAD = {
    "key": "a section that goes up is written with its chords as they sound, such as A, D and E where it was G, C and D",
    "meter": "a measure of another length says so itself, such as: in 2/4: G",
}


def _block(line: Line) -> Block:
    if isinstance(line.node, syntax.SectionLine):
        return Block(line, line.node.use, line.node.count)
    return Block(line, None, None, broken=True)


def _inside(section: Block, kind: str, line: Line, found: Findings) -> None:
    node = line.node
    if kind == "chords":
        section.items.append(Row(line))
        section.broken |= isinstance(node, syntax.Broken)
    elif kind in SIDE_ROWS:
        _side(section, kind, line, found)
    elif isinstance(node, syntax.Jobs):
        _jobs(section, line, node, found)
    elif isinstance(node, syntax.Broken):
        # a broken line of jobs says nothing about the measures; any other may be a row or a repeat
        section.broken |= kind not in ("lead", "fills", "chop")
    else:
        section.items.append(line)


def _side(section: Block, kind: str, line: Line, found: Findings) -> None:
    rows = section.rows
    if not rows:
        if not isinstance(line.node, syntax.Broken) and not section.broken:
            help = "write it beneath a row of chords, cut by the same bar lines"
            found.add("row-alone", f'the row "{kind}" has no row of chords above it', line.span(), help)
        return
    first = rows[-1].sides.setdefault(kind, line)
    if first is not line:
        found.add(
            "row-twice",
            f'this row of chords has a second row "{kind}"',
            line.span(),
            "keep one of the two",
            [(first.span(), "the first one")],
        )
        return
    cells = rows[-1].cells
    if cells is not None and isinstance(line.node, syntax.SideRow) and len(line.node.cells) != len(cells):
        extra = line.node.cells[len(cells) :]
        place = line.span(extra[0]).to(line.span(extra[-1])) if extra else line.span()
        found.add(
            "row-cells",
            f'the row "{kind}" has {count(len(line.node.cells), "measure")}, the chords above it have {len(cells)}',
            place,
            "give each measure its place between bar lines; a place may stay empty",
            [(rows[-1].line.span(), f"{count(len(cells), 'measure')} here")],
        )


def _commas(line: Line, job: syntax.Job) -> list[Edit]:
    """The commas that a line of jobs lacks, in the stead of the spaces (and the word `and`) before the next job."""
    span = line.span(job.player)
    before = re.finditer(r"(?<=\w)(\s+and)?\s+(?=(?:lead|fills|chop)\s+\w)", span.text)
    return [(replace(span, column=span.column + m.start(), end=span.column + m.end()), ", ") for m in before]


def _jobs(section: Block, line: Line, node: syntax.Jobs, found: Findings) -> None:
    commas = [edit for job in node.jobs for edit in _commas(line, job)]
    for job in node.jobs:
        inside = [w for w in job.player.text.split() if w in ("lead", "fills", "chop")]
        if inside:
            message = f'there is no comma before "{inside[0]}"'
            better = "lead voice, fills banjo, chop mandolin"
            if commas and len(line.span().text) <= 200:
                better = line.span().text
                for span, new in reversed(commas):
                    better = better[: span.column - line.column] + new + better[span.end - line.column :]
            fix = _commas(line, job)
            place = line.span(job.player)
            at = re.search(rf"(?<!\w){inside[0]}(?!\w)", place.text)
            if at:
                place = replace(place, column=place.column + at.start(), end=place.column + at.end())
            found.add("job-comma", message, place, f"write it like this: {better}", fix=fix)
            continue
        first = section.jobs.setdefault(job.job.text, (line, job))
        if first[1] is not job:
            found.add(
                "job-twice",
                f'"{job.job.text}" is given twice in this section',
                line.span(job.job),
                "keep one of the two",
                [(first[0].span(first[1].job), "given here first")],
            )
