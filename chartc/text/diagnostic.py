"""What the program says about a text: errors and warnings, each with its place and what to write instead."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from chartc.text.colour import Paint
from chartc.text.source import Span

Edit = tuple[Span, str]
"""A place, and the text that comes in its stead; an empty place is where something is put in."""

Severity = Literal["error", "warning"]
PLAIN = Paint()
"""No colour at all."""


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One finding.

    `code` is stable and lower-case (`measure-beats`); `span` is the place, None only where no line is to blame (then `file`
    names the file); `help` says what to write instead; `related` are further places, each with a few words; `fix` are the
    edits that certainly mend it, empty where only the writer can tell.
    """

    code: str
    message: str
    span: Span | None = None
    help: str = ""
    severity: Severity = "error"
    related: tuple[tuple[Span, str], ...] = ()
    file: str = ""
    fix: tuple[Edit, ...] = ()

    @property
    def place(self) -> tuple[str, int, int]:
        """File, line and column; line and column are 1 where the whole file is meant."""
        if self.span is None:
            return (self.file, 1, 1)
        return (self.span.source.name, self.span.line, self.span.column)


def has_errors(found: Iterable[Diagnostic]) -> bool:
    """Whether any of the findings is an error."""
    return any(d.severity == "error" for d in found)


def in_order(found: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """The findings sorted by place, each said once."""
    return tuple(sorted(dict.fromkeys(found), key=lambda d: (d.place, d.code)))


LIMIT = 50
"""How many findings of one file are shown; the rest are counted."""


def show(found: Sequence[Diagnostic], limit: int = LIMIT, paint: Paint = PLAIN) -> str:
    """The findings as text for a terminal, at most `limit` of them (0: all); the total is said when some are left out."""
    return _first(found, limit, lambda d: _show_one(d, paint))


def show_lines(found: Sequence[Diagnostic], limit: int = 0, paint: Paint = PLAIN) -> str:
    """The findings with one line each, as editors and scripts take them: `file:line:column: severity: message [code]`."""
    return _first(found, limit, lambda d: _headline(d, paint) + "\n")


def _first(found: Sequence[Diagnostic], limit: int, one: Callable[[Diagnostic], str]) -> str:
    shown = found[:limit] if limit else found
    blocks = [one(d) for d in shown]
    if len(found) > len(shown):
        blocks.append(f"... and {len(found) - len(shown)} more ({len(found)} in all)\n")
    return "".join(blocks)


def _headline(d: Diagnostic, paint: Paint) -> str:
    name, line, column = d.place
    word = paint.error("error") if d.severity == "error" else paint.warning("warning")
    message = paint.strong(printable(d.message))
    return f"{paint.strong(f'{printable(name)}:{line}:{column}')}: {word}: {message} {paint.quiet(f'[{d.code}]')}"


def _show_one(d: Diagnostic, paint: Paint) -> str:
    out = [_headline(d, paint)]
    if d.span is not None:
        out += _excerpt(d.span, "", paint, paint.error if d.severity == "error" else paint.warning)
    for span, words in d.related:
        out += _excerpt(span, words, paint, paint.second)
    if d.help:
        out += [f"      {paint.quiet('=')} {paint.help(printable(row))}" for row in d.help.split("\n")]
    return "\n".join(out) + "\n"


WIDTH = 120
"""Code points of a long line that are shown around the place."""


def _excerpt(span: Span, words: str, paint: Paint, mark: Callable[[str], str]) -> list[str]:
    text = span.source.line(span.line)
    first = max(0, span.column - 1 - WIDTH // 2) if len(text) > WIDTH else 0
    piece = text[first : first + WIDTH]
    start = span.column - 1 - first
    length = max(1, min(span.end - span.column, len(piece) - start))
    # a tab moves the caret as far as it moves the text
    pad = "".join("\t" if c == "\t" else " " * _cells(c) for c in piece[:start])
    marked = sum(_cells(c) for c in piece[start : start + length]) or 1
    caret = pad + mark("^" * marked + (f" {printable(words)}" if words else ""))
    return [f"{paint.quiet(f'{span.line:>5} |')} {printable(piece)}", f"{paint.quiet('      |')} {caret}"]


def _cells(char: str) -> int:
    import unicodedata

    if unicodedata.category(char) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def printable(text: str) -> str:
    """The text without characters that could steer a terminal."""
    return "".join(c if c == "\t" or (c.isprintable() or c == " ") else "\N{REPLACEMENT CHARACTER}" for c in text)


def as_json(d: Diagnostic) -> dict[str, object]:
    """The finding as plain data for `--format json`."""
    name, line, column = d.place
    return {
        "file": name,
        "line": line,
        "column": column,
        "end": d.span.end if d.span else column,
        "severity": d.severity,
        "code": d.code,
        "message": d.message,
        "text": d.span.source.line(line) if d.span else "",
        "help": d.help,
        "related": [
            {"file": s.source.name, "line": s.line, "column": s.column, "message": words} for s, words in d.related
        ],
        "fix": [{"line": s.line, "column": s.column, "end": s.end, "text": text} for s, text in d.fix],
    }


def nearest(word: str, known: Iterable[str]) -> str:
    """`; there is "x", with a similar name` for the closest known word, or nothing where none is close."""
    import difflib

    close = difflib.get_close_matches(word.lower(), sorted(known), n=1, cutoff=0.6)
    return f'; there is "{close[0]}", with a similar name' if close else ""
