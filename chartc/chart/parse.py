"""From a text to the chart as written. Every line is parsed by itself with the grammar; what cannot be read becomes a
`Broken` node and one diagnostic. Nothing here raises for any text."""

from __future__ import annotations

import unicodedata
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from chartc.chart import syntax
from chartc.chart.findings import Findings
from chartc.chart.lines import Split, character, split
from chartc.chart.mistakes import Mistake, chordlike, explain, unknown_line
from chartc.text.grammar import grammar
from chartc.text.source import Source

if TYPE_CHECKING:
    from lark import Lark, Token

STARTS = (
    "title_line", "credit_line", "language_line", "key_line", "meter_line", "tempo_line", "melody_line", "form_line", "section_line", "job_line",
    "chord_row", "voice_row", "ask_row", "words_row", "repeat_line", "ending_line", "end_line",
)  # fmt: skip
"""The grammar's start rules."""


LONGEST_LINE = 10_000
"""Characters of a line that is read: more than any page is wide."""


def parse(source: Source, found: Findings) -> syntax.Chart:
    """The chart as written; what is wrong with single lines goes to `found`."""
    lines: list[syntax.Line] = []
    for number, raw in enumerate(source.lines, 1):
        if found.full:
            break
        parts = split(raw, number)
        if not parts.first and not parts.comment and not parts.bad:
            continue
        lines.append(_line(source, number, raw, parts, found))
    return syntax.Chart(source, tuple(lines))


def _line(source: Source, number: int, raw: str, parts: Split, found: Findings) -> syntax.Line:
    comment = syntax.Word(raw[parts.comment - 1 :], parts.comment, len(raw) + 1) if parts.comment else None
    column = len(parts.text) - len(parts.text.lstrip(" ")) + 1
    node: syntax.Node | None = None
    mistake: Mistake | None = None
    if len(raw) > LONGEST_LINE:
        node = syntax.Broken(_kind(parts))
        message = f"the line has {len(raw)} characters; {LONGEST_LINE} are the most"
        found.add(
            "limit-line", message, source.span(number, LONGEST_LINE + 1, LONGEST_LINE + 2), "write it in several lines"
        )
    elif parts.bad:
        node = syntax.Broken(_kind(parts))
        for at in parts.bad:
            found.add(
                "character",
                f"there is a character that does not show: {character(raw[at - 1])}",
                source.span(number, at, at + 1),
                "delete it; it often comes along when text is copied from a web page",
                # a control character may have been meant to end the line; the others mean nothing at all
                fix=[(source.span(number, at, at + 1), "")] if unicodedata.category(raw[at - 1]) == "Cf" else [],
            )
    elif parts.first:
        if parts.start:
            node, mistake = _parse(parts.start, parts.text)
        else:
            node, mistake = unknown_line(parts)
        if mistake is not None:
            span = source.span(number, mistake.column, mistake.end)
            better, whole = _mended(mistake, parts.text)
            fix = [(source.span(number, a, b), text) for a, b, text in mistake.fix if better]
            help = mistake.help
            if whole and help.startswith("write it like this: ") and len(better) <= 200:
                help = f"write it like this: {better}"
            found.add(mistake.code, mistake.message, span, help, fix=fix)
    return syntax.Line(source, number, node, comment, column, max(column + 1, len(parts.text) + 1))


def _mended(mistake: Mistake, text: str) -> tuple[str, bool]:
    """The line with the edits of a mistake made, empty where they do not mend it; and whether nothing else is wrong with the line."""
    for column, end, new in mistake.fix:
        text = text[: column - 1] + new + text[end - 1 :]
    again = split(text, 0)
    if not mistake.fix or not again.start:
        return "", False
    left = _parse(again.start, again.text)[1]
    return text.strip(" ") if left is None or left.message != mistake.message else "", left is None


def _kind(parts: Split) -> str:
    return "chords" if parts.start == "chord_row" else parts.first if parts.start else ""


@lru_cache(maxsize=8192)
def _parse(start: str, text: str) -> tuple[syntax.Node, Mistake | None]:
    # the text of a line decides its node, so that the many equal rows of a songbook are parsed once
    from lark import UnexpectedInput

    is_row = start.endswith("_row")
    bare = text.strip(" ")
    length = len(text)
    mistake: Mistake | None = None
    if is_row and not bare.endswith("|") and "|" in bare:
        # the row is read as if its last bar line stood there, so that its other mistakes are found too; it is put there unasked only where
        # what stands behind the last one is a measure
        last = bare.rpartition("|")[2].split()
        sure = start != "chord_row" or all(chordlike(word) or word == "/" for word in last)
        fix = ((length + 1, length + 1, " |"),) if sure else ()
        message = "the row has no bar line at its end"
        mistake = Mistake("row-bar", message, length, length + 1, "end the row with |", fix)
        text += " |"
    try:
        node: Any = parser().parse(text, start=start)
    except UnexpectedInput as error:
        kind = "chords" if start == "chord_row" else split(text, 0).first
        worse = explain(error, kind, text, length)
        # where reading fails only at the bar line that was put there, its lack is the mistake
        return syntax.Broken(kind), mistake if mistake is not None and worse.column > mistake.column else worse
    return node, mistake


@cache
def parser() -> Lark:
    """The parser, built once a process; it makes the nodes itself."""
    from lark import Lark, Transformer

    class Build(Transformer[Any, Any]):
        """A method for each rule of the grammar."""

        def title_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("title", (_text(items[0]),))

        def credit_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("credit", (_text(items[0]),))

        def language_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("language", (_joined(items),))

        def key_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("key", tuple(map(_word, items)))

        def meter_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("meter", tuple(map(_word, items)))

        def tempo_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("tempo", (_joined(items[:-1]), _word(items[-1])))

        def melody_line(self, items: list[Token]) -> syntax.Header:
            return syntax.Header("melody", tuple(map(_word, items)))

        def form_line(self, items: list[syntax.Use]) -> syntax.Form:
            return syntax.Form(tuple(items))

        def use(self, items: list[syntax.Word]) -> syntax.Use:
            return syntax.Use(*items)

        def name(self, items: list[Token]) -> syntax.Word:
            return _joined(items)

        def section_own(self, items: list[Any]) -> syntax.SectionLine:
            return syntax.SectionLine(syntax.Use(items[0]), _word(items[1]))

        def section_borrowed(self, items: list[syntax.Word]) -> syntax.SectionLine:
            return syntax.SectionLine(syntax.Use(*items), None)

        def section_line(self, items: list[syntax.SectionLine]) -> syntax.SectionLine:
            return items[0]

        def job_line(self, items: list[syntax.Job]) -> syntax.Jobs:
            return syntax.Jobs(tuple(items))

        def job(self, items: list[Any]) -> syntax.Job:
            return syntax.Job(_word(items[0]), items[1])

        def chord_row(self, items: list[Any]) -> syntax.ChordRow:
            return syntax.ChordRow(tuple(syntax.Cell(n, words, *_place(items, 2 * i + 1, (n, *words))) for i, (n, words) in enumerate(items[1::2])))  # fmt: skip

        def cell(self, items: list[Any]) -> tuple[syntax.Length | None, tuple[syntax.Word, ...]]:
            if items and isinstance(items[0], syntax.Length):
                return items[0], tuple(map(_word, items[1:]))
            return None, tuple(map(_word, items))

        def length(self, items: list[Token]) -> syntax.Length:
            mark, count, unit = map(_word, items)
            return syntax.Length(mark.text == "pickup", count, unit, mark.column, unit.end)

        def voice_row(self, items: list[Any]) -> syntax.SideRow:
            return _side("voice", items)

        def ask_row(self, items: list[Any]) -> syntax.SideRow:
            return _side("ask", items)

        def words_row(self, items: list[Any]) -> syntax.SideRow:
            return _side("words", items)

        def voice_cell(self, items: list[Token]) -> tuple[tuple[syntax.Word, ...], ...]:
            return (tuple(map(_word, items)),)

        def ask_cell(self, items: list[tuple[syntax.Word, ...]]) -> tuple[tuple[syntax.Word, ...], ...]:
            return tuple(items)

        def part(self, items: list[Token]) -> tuple[syntax.Word, ...]:
            return tuple(map(_word, items))

        def words_cell(self, items: list[Token]) -> tuple[tuple[syntax.Word, ...], ...]:
            return (tuple(map(_text, items)),)

        def repeat_line(self, items: list[Token]) -> syntax.RepeatLine:
            return syntax.RepeatLine(_word(items[0]) if items else None)

        def ending_line(self, items: list[Token]) -> syntax.EndingLine:
            return syntax.EndingLine(tuple(map(_word, items)))

        def end_line(self, _: list[Token]) -> syntax.EndRepeat:
            return syntax.EndRepeat()

    return Lark(
        grammar("chart.lark"),
        parser="lalr",
        lexer="contextual",
        start=list(STARTS),
        maybe_placeholders=False,
        transformer=Build(),
    )


def _word(token: Token) -> syntax.Word:
    column = token.column or 1
    return syntax.Word(str(token), column, column + len(token))


def _text(token: Token) -> syntax.Word:
    """A free text: spaces folded, accents composed, a doubled semicolon read as one."""
    bare = token.rstrip(" ")
    column = token.column or 1
    return syntax.Word(_folded(bare.replace(";;", ";")), column, column + len(bare))


def _joined(tokens: list[Token]) -> syntax.Word:
    """A name of several words."""
    first, last = _word(tokens[0]), _word(tokens[-1])
    return syntax.Word(_folded(" ".join(tokens)), first.column, last.end)


def _folded(text: str) -> str:
    return unicodedata.normalize("NFC", " ".join(text.split()))


def _place(items: list[Any], index: int, parts: tuple[syntax.Placed | None, ...]) -> tuple[int, int]:
    """The columns of a cell: those of its words, or the whole room between its bar lines where it has none."""
    placed = [p for p in parts if p is not None]
    if placed:
        return placed[0].column, placed[-1].end
    column, end = items[index - 1].column + 1, items[index + 1].column
    return (column, end) if end > column else (column - 1, end + 1)


def _side(kind: str, items: list[Any]) -> syntax.SideRow:
    cells = []
    for index in range(1, len(items), 2):
        parts: tuple[tuple[syntax.Word, ...], ...] = items[index]
        cells.append(syntax.SideCell(parts, *_place(items, index, tuple(w for part in parts for w in part))))
    return syntax.SideRow(kind, tuple(cells))
