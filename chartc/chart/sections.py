"""Sections as meant: measures numbered, rows beneath them read, repeats resolved, the declared number compared."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace

from chartc.chart import syntax
from chartc.chart.advice import odd_row
from chartc.chart.cells import Setting, measure, repeated, strange
from chartc.chart.findings import Findings, count, number
from chartc.chart.group import Block, Row
from chartc.chart.repeats import Repeats, played
from chartc.chart.sides import beneath
from chartc.chart.song import CALLED, SECTION_KINDS, Measure, Repeat, Section, named_leader, own_words
from chartc.chart.vocabulary import Vocabulary
from chartc.text.source import Span

MOST_PRINTED = 10_000
"""Measures that a song may print: all sections together."""

LONGEST_SECTION = 20_000
"""Measures that a section may declare, repeats multiplied out."""


@dataclass(frozen=True, slots=True)
class Body:
    """A section's measures, and how they are played."""

    measures: tuple[Measure, ...]
    played: tuple[int, ...]
    repeats: tuple[Repeat, ...]


def body(block: Block, at: Setting, vocabulary: Vocabulary, found: Findings) -> Body | None:
    """The measures of a section with its own rows, None where a part of it cannot be read (errors are reported)."""
    measures: list[Measure | None] = []
    repeats = Repeats(found, block.broken)
    # where % stands first in the file's order, why there is nothing to say once more; empty where nobody knows
    before: Measure | str = "the first measure of a section has no measure before it"
    row_number = 0
    pickup = False
    # so many measures may be too many or missing because of mistakes that are reported by themselves
    doubtful = 0
    for item in block.items:
        if not isinstance(item, Row):
            repeats.step(item, len(measures))
            if isinstance(item.node, syntax.RepeatLine) or repeats.later_ending:
                before = "the measure before is another one each time that this is played"
            continue
        row: list[Measure | None] = []
        for cell in item.cells or ():
            first = not measures and not row
            got = measure(cell, item.line, first, before, at, found)
            doubtful += _doubt(cell, first)
            pickup |= first and cell.length is not None and cell.length.pickup
            before = got or ""
            row.append(got and replace(got, number=len(measures) + len(row) + (0 if pickup else 1), line=row_number))
        if item.cells is None:
            before = ""
        measures += beneath(item, row, at, vocabulary, found)
        row_number += 1
        if pickup and repeats.open is not None and repeats.open.first == 0:
            # a pickup leads into a repeat and is not repeated
            repeats.open.first = 1
    repeats.finish()
    good = [m for m in measures if m is not None]
    whole = not repeats.broken and not block.broken
    order = played(len(measures), tuple(repeats.done), pickup) if whole else ()
    if whole:
        _compare(block, order, doubtful, found)
    if not whole or len(good) < len(measures) or not order:
        return None
    return Body(tuple(good), order, tuple(repeats.done))


def _doubt(cell: syntax.Cell, first: bool) -> int:
    """How many measures may be too many or missing because of a bar line, a pickup or a repeat that a cell has in a wrong way; an
    error of its own tells of it."""
    if repeated(cell):
        return LONGEST_SECTION
    if cell.length is not None and cell.length.pickup:
        return int(not first)
    return int(not cell.words or strange(cell))


def _compare(block: Block, order: tuple[int, ...], doubtful: int, found: Findings) -> None:
    """The number of measures against the declared one."""
    if not block.rows:
        help = "write its rows of chords beneath it, or borrow them: section break as verse"
        found.add("section-empty", "this section has no rows of chords", block.line.span(), help)
        return
    if block.count is None:
        return
    declared = number(block.count.text, 1, LONGEST_SECTION)
    if declared is None:
        help = "write how many measures it has, played once through"
        found.add("measure-count", f"a section cannot have {block.count.text[:10]} measures", block.line.span(block.count), help)  # fmt: skip
    elif declared != len(order) and abs(declared - len(order)) > doubtful:
        repeated = ", repeats played out" if any(not isinstance(i, Row) for i in block.items) else ""
        found.add(
            "measure-count",
            f"{count(declared, 'measure')} declared, but there {'is' if len(order) == 1 else 'are'} {len(order)}{repeated}",
            block.line.span(block.count),
            f"add or take away measures, or write {len(order)} here; a pickup does not count",
            [_where(block, len(order))],
        )


def _where(block: Block, measures: int) -> tuple[Span, str]:
    """Where a measure may be missing or too many: the one row that is unlike the others, else the last."""
    odd = odd_row(block)
    if odd is None:
        return block.rows[-1].line.span(), f"measure {measures} is the last"
    row = block.rows[odd]
    cells = sum(not (c.length and c.length.pickup) for c in row.cells or ())
    return row.line.span(), f"this row has {count(cells, 'measure')}, unlike the others"


def kind_of(label: str) -> str:
    """A section's kind: the first word of its name that is one of the known kinds, but not of what it borrows (`fiddle break as verse`);
    where there is none, a verse."""
    return next((CALLED.get(w, w) for w in own_words(label) if w in SECTION_KINDS or w in CALLED), "verse")


def identifier(label: str, taken: set[str]) -> str:
    """A name for a section in small ASCII letters and hyphens, unlike all `taken`; it is added to them."""
    ascii_label = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode()
    base = re.sub(r"[^a-z0-9]+", "-", ascii_label.replace("'", "").lower()).strip("-") or "section"
    name, n = base, 1
    while name in taken:
        n += 1
        name = f"{base}-{n}"
    taken.add(name)
    return name


def section(block: Block, label: str, got: Body, taken: set[str], borrowed: bool) -> Section:
    """The section of a block with the measures that it has or borrows."""
    jobs = {job: where.player.text.casefold() for job, (_, where) in block.jobs.items()}
    kind = kind_of(label)
    return Section(
        identifier(label, taken),
        label,
        kind,
        got.measures,
        got.played,
        got.repeats,
        block.line.span(),
        jobs.get("lead", "") or named_leader(label, kind, list(jobs.values())),
        jobs.get("fills", ""),
        jobs.get("chop", ""),
        borrowed,
    )
