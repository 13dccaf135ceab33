"""The rows of a lick, read: strings, frets, pick fingers and fretting fingers in columns, as on paper."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from chartc.text.diagnostic import Diagnostic
from chartc.text.grammar import grammar
from chartc.text.source import Span
from chartc.text.tree import Leaf

if TYPE_CHECKING:
    from lark import Lark

ROWS = ("strings", "frets", "picks", "fingers")

_WANTED = {
    "strings": "a string from 1 to 9, x before it for damped, _ to hold, or . for a rest",
    "frets": "a fret such as 7, h7 p7 s7 for hammer-on, pull-off, slide, c10 or c10:2 for a choke, _ or .",
    "picks": "T, I or M, _ or .",
    "fingers": "i, m, r, p or t, _ or .",
}


@dataclass(frozen=True, slots=True)
class Stroke:
    """What one row says at one moment: its words (several in a pinch), `_` or `.`; `column` is where it starts in the row's text."""

    words: tuple[str, ...]
    column: int


Column = tuple[Stroke, ...]
"""The strokes that share one step in equal parts."""


@lru_cache(maxsize=1)
def _parser() -> Lark:
    from lark import Lark

    return Lark(grammar("lick.lark"), parser="lalr", start=list(ROWS), maybe_placeholders=False)


_COLUMN = re.compile(r"[^ \t]+")


def _columns_of(*words: str) -> re.Pattern[str]:
    """A column whose strokes are one of these words, or several with + between them, or `_` or `.` alone."""
    word = "|".join(words)
    stroke = rf"(?:(?:{word})(?:\+(?:{word}))*|[_.])"
    return re.compile(rf"{stroke}(?:,{stroke})*")


# the grammar says what a row is; columns that it is sure to take are read without it, which is a hundred times faster
_SURE = {
    "strings": _columns_of("x?[1-9]"),
    "frets": _columns_of("[hps]?[0-9]{1,2}", r"c[0-9]{1,2}(?::[0-9](?:\.[0-9]+)?)?"),
    "picks": _columns_of(r"[TIM.]"),
    "fingers": _columns_of(r"[imrpt.]"),
}


def parse_row(kind: str, text: str) -> tuple[Column, ...] | tuple[int, str]:
    """The columns of a row, or the offset of the first character that does not fit and what is wanted there."""
    columns = []
    for match in _COLUMN.finditer(text):
        column = _column(kind, match[0], match.start())
        if not column:
            return _parsed(kind, text)
        columns.append(column)
    return tuple(columns) if columns else _parsed(kind, text)


@lru_cache(maxsize=8192)
def _column(kind: str, text: str, start: int) -> Column:
    """A column that begins at `start`; empty where only the grammar can tell what it is. Rows are made of the same few columns over
    and over: they are remembered."""
    if not _SURE[kind].fullmatch(text):
        return ()
    strokes = []
    for stroke in text.split(","):
        strokes.append(Stroke(tuple(stroke.split("+")), start))
        start += len(stroke) + 1
    return tuple(strokes)


def _parsed(kind: str, text: str) -> tuple[Column, ...] | tuple[int, str]:
    """The columns of a row by the grammar, or what is wrong with it."""
    from lark import Token, UnexpectedEOF, UnexpectedInput

    try:
        tree = _parser().parse(text, start=kind)
    except UnexpectedInput as error:
        at = len(text) if isinstance(error, UnexpectedEOF) else (error.pos_in_stream or 0)
        if isinstance(getattr(error, "token", None), Token) and error.token.type == "$END":  # type: ignore[attr-defined]
            at = len(text)
        return (min(at, max(0, len(text) - 1)), _WANTED[kind])
    columns = []
    for column in tree.children:
        strokes = []
        for stroke in column.children:  # type: ignore[union-attr]
            tokens = stroke.children  # type: ignore[union-attr]
            assert isinstance(tokens[0], Token)
            strokes.append(Stroke(tuple(str(t) for t in tokens), tokens[0].start_pos or 0))
        columns.append(tuple(strokes))
    return tuple(columns)


@dataclass(frozen=True, slots=True)
class RawNote:
    """A note as the rows say it: `fret` None in a roll, which takes frets from a chord shape. Ticks at 240 a step."""

    at: int
    ticks: int
    string: int
    fret: int | None
    pick: str | None
    finger: str | None
    how: str | None
    amount: float
    columns: tuple[int, ...]
    """Offset of the note in each row, in the order of ROWS; 0 in a row that is not there."""


STEP = 240
"""Ticks of one column, before scaling to the meter."""

_HOW = {"h": "hammer-on", "p": "pull-off", "s": "slide", "c": "choke"}


def read_rows(
    rows: dict[str, Leaf], found: list[Diagnostic], at: Span
) -> tuple[tuple[RawNote, ...], tuple[tuple[int, int], ...], int] | None:
    """Notes, rests (onset, length) and length in ticks; None where a row is wrong, with the reasons in `found`.

    `rows` has `strings`, `picks` and, except for rolls, `frets`; `fingers` may be left out.
    """
    parsed: dict[str, tuple[Column, ...]] = {}
    failed = False
    for kind, leaf in rows.items():
        if problem := _unreadable(leaf):
            found.append(
                Diagnostic(
                    "lick-row",
                    f"the row of {kind} {problem}",
                    leaf.span,
                    "write the whole row behind its name, on one line, with spaces between the columns",
                )
            )
            failed = True
            continue
        result = parse_row(kind, leaf.text)
        if result and isinstance(result[0], int):
            where = inside(leaf, result[0])
            found.append(
                Diagnostic(
                    "lick-row", f'"{where.text.strip()}" does not fit in the row of {kind}', where, f"write {result[1]}"
                )
            )
            failed = True
        else:
            parsed[kind] = result
    if failed or "strings" not in parsed:
        return None
    strings = parsed["strings"]
    for kind, columns in parsed.items():
        leaf = rows[kind]
        if len(columns) != len(strings):
            found.append(
                Diagnostic(
                    "lick-columns",
                    f"the row of {kind} has {len(columns)} columns, the row of strings has {len(strings)}",
                    leaf.span,
                    "give every row the same columns; write _ for a held and . for an empty one",
                    related=((rows["strings"].span, "the row of strings"),),
                )
            )
            failed = True
            continue
        for column, other in zip(strings, columns, strict=True):
            if not _alike(kind, column, other):
                where = inside(leaf, other[0].column)
                found.append(
                    Diagnostic(
                        "lick-columns",
                        f"this column of the row of {kind} does not match the string it stands under",
                        where,
                        "under a note write a note, under _ write _, under . write .; divide and join as the string's column does",
                        related=((inside(rows["strings"], column[0].column), "the column of strings"),),
                    )
                )
                failed = True
    if failed:
        return None
    return _notes(parsed, found, rows)


def _unreadable(leaf: Leaf) -> str:
    """Why a row cannot be read column by column; empty where it can."""
    if not leaf.text.strip():
        return "is empty"
    start = leaf.span.column - 1
    # every finding points at a column, so the row's text must stand in the file as it is read
    if leaf.span.source.line(leaf.span.line)[start : start + len(leaf.text)] != leaf.text:
        return "goes over more than one line or has signs that are written in another way"
    return ""


def _alike(kind: str, column: Column, other: Column) -> bool:
    if len(column) != len(other):
        return False
    for a, b in zip(column, other, strict=True):
        for sign in ("_", "."):
            if a.words == (sign,) and b.words != (sign,):
                return False
        sounding = a.words[0] not in "_."
        if sounding and (b.words == ("_",) or len(a.words) != len(b.words)):
            return False
        if sounding and kind == "frets" and "." in b.words:
            return False
    return True


def _notes(
    parsed: dict[str, tuple[Column, ...]], found: list[Diagnostic], rows: dict[str, Leaf]
) -> tuple[tuple[RawNote, ...], tuple[tuple[int, int], ...], int]:
    events: list[
        tuple[int, int, dict[str, Stroke] | None]
    ] = []  # onset, length, and the strokes by row or None for a rest
    strings = parsed["strings"]
    for n, column in enumerate(strings):
        for k, stroke in enumerate(column):
            start, end = n * STEP + k * STEP // len(column), n * STEP + (k + 1) * STEP // len(column)
            if stroke.words != ("_",):
                here = {kind: columns[n][k] for kind, columns in parsed.items()}
                events.append((start, end - start, None if stroke.words == (".",) else here))
            elif events:
                events[-1] = (events[-1][0], end - events[-1][0], events[-1][2])
            else:
                found.append(
                    Diagnostic(
                        "lick-row",
                        "a lick cannot begin by holding",
                        inside(rows["strings"], stroke.column),
                        "begin with a note, or with . for a rest",
                    )
                )
    notes: list[RawNote] = []
    rests: list[tuple[int, int]] = []
    for at, ticks, strokes in events:
        if strokes is None:
            rests.append((at, ticks))
            continue
        size = len(strokes["strings"].words)
        for j in range(size):
            word = strokes["strings"].words[j]
            fret, how, amount = None, "damped" if word[0] == "x" else None, 0.0
            if "frets" in strokes:
                text = strokes["frets"].words[j]
                if text[0] in _HOW:
                    how, text = _HOW[text[0]], text[1:]
                body, _, rise = text.partition(":")
                fret = int(body)
                amount = float(rise) if rise else (1.0 if how == "choke" else 0.0)
            pick = strokes["picks"].words[j] if "picks" in strokes else "."
            finger = strokes["fingers"].words[j] if "fingers" in strokes else "."
            notes.append(
                RawNote(
                    at,
                    ticks,
                    int(word[-1]),
                    fret,
                    None if pick == "." else pick,
                    None if finger == "." else finger,
                    how,
                    amount,
                    tuple(strokes[kind].column if kind in strokes else 0 for kind in ROWS),
                )
            )
    return tuple(notes), tuple(rests), len(strings) * STEP


def inside(leaf: Leaf, offset: int) -> Span:
    """The word at an offset of a row's text, as a place in the file."""
    text = leaf.text
    end = offset
    while end < len(text) and not text[end].isspace():
        end += 1
    start = leaf.span.column + offset
    return leaf.span.source.span(leaf.span.line, start, start + max(1, end - offset))
