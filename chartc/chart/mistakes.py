"""Lines that the grammar does not take, explained in words: what was found, what may stand there, how the line is written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chartc.chart import syntax
from chartc.chart.findings import closest, slip
from chartc.chart.habits import usual_slip
from chartc.chart.lines import HEADERS, STARTS, Split
from chartc.chart.song import SECTION_KINDS
from chartc.theory.chord import read_chord
from chartc.theory.key import Key

if TYPE_CHECKING:
    from lark import UnexpectedInput


@dataclass(frozen=True, slots=True)
class Mistake:
    """What is wrong with one line, from `column` up to, not including, `end`."""

    code: str
    message: str
    column: int
    end: int
    help: str
    fix: tuple[tuple[int, int, str], ...] = ()
    """Edits of the line that may mend it: the first column, the first column after it, the text in its stead."""


FORMS: dict[str, str] = {
    "title": "title  Ladder to the Ferry",
    "credit": "credit  written for this project",
    "language": "language  cs",
    "key": "key  A minor",
    "meter": "meter  4/4",
    "tempo": "tempo  quarter = 112",
    "melody": "melody  D4 to B4",
    "form": "form  kickoff, verse, chorus, break as verse",
    "section": "section verse, 16 measures\nor, to borrow the measures of another section: section break as verse",
    "lead": "lead voice, fills banjo, chop mandolin",
    "fills": "lead voice, fills banjo, chop mandolin",
    "chop": "lead voice, fills banjo, chop mandolin",
    "chords": "| G | C / / D | in 2/4: G | D |",
    "voice": "voice | sung | held silent | sung | |",
    "ask": "ask | roll | | fill, high | fret 5 |",
    "words": "words | the first words | of the line | | |",
    "repeat": "repeat\nor: repeat 3 times",
    "ending": "ending 1\nor: ending 1, 2",
    "end": "end repeat",
}
"""How each kind of line is written."""

_SAID = {
    "NAME": "a name",
    "INT": "a number",
    "COMMA": "a comma",
    "AS": '"as"',
    "TO": '"to"',
    "AND": '"and"',
    "BAR": "a bar line",
    "WORD": "a word",
    "ASK_WORD": "a word",
    "TEXT": "a text",
    "CELL_TEXT": "a text",
    "EQUAL": '"="',
    "SLASH": '"/"',
    "COLON": '":"',
    "MEASURES": '"measures"',
    "TIMES": '"times"',
    "REPEAT": '"repeat"',
    "JOB": '"lead", "fills" or "chop"',
    "IN": '"in"',
    "PICKUP": '"pickup"',
    "$END": "the end of the line",
}


def explain(error: UnexpectedInput, kind: str, text: str, length: int) -> Mistake:
    """The parser's complaint about a line of `kind`, in our own words; `length` characters of the text stand in the line, the rest was put
    there."""
    from lark import UnexpectedCharacters, UnexpectedToken

    wanted: Iterable[str] = ()
    column, found = len(text) + 1, ""
    if isinstance(error, UnexpectedToken):
        wanted = error.accepts or ()
        if error.token.type != "$END":
            column = error.column
            found = error.token[: max(0, length + 1 - column)].rstrip(" ")
    elif isinstance(error, UnexpectedCharacters):
        wanted = error.allowed or ()
        column = error.column
        found = text[column - 1 : column]
    said = list(dict.fromkeys(_SAID[name] for name in sorted(wanted) if name in _SAID))
    expected = " or ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)
    after = f"; {expected} is expected here" if expected else ""
    help = f"write it like this: {FORMS[kind]}"
    fix = usual_slip(kind, text)
    place = _first_changed(text, fix) if fix and not found else None
    if place is not None:
        # the end of the line is where reading fails; what the line lacks, it lacks before this word
        message = f'"{text[place[0] - 1 : place[1] - 1]}" cannot stand here{after}'
        return Mistake("line-form", message, *place, help, fix)
    if not found:
        what = "row of chords" if kind == "chords" else f'line "{kind}"'
        return Mistake("line-form", f"the {what} ends too early{after}", column - 1, column, help, fix)
    if kind in ("form", "section") and found == "as":
        message = 'a section can borrow from one other section only: one "as"'
        return Mistake("line-form", message, column, column + 2, help)
    shown = found if len(found) <= 30 else found[:30] + "..."
    return Mistake("line-form", f'"{shown}" cannot stand here{after}', column, column + len(found), help, fix)


_PIECE = re.compile(r"\w+|[^\w\s]")


def _first_changed(text: str, fix: tuple[tuple[int, int, str], ...]) -> tuple[int, int] | None:
    """Where the first word begins and ends before which a fix changes something, spaces left aside; None at the end of the line."""
    new = text
    for column, end, words in fix:
        new = new[: column - 1] + words + new[end - 1 :]
    for old, better in zip(_PIECE.finditer(text), _PIECE.findall(new), strict=False):
        if old[0] != better:
            word = re.compile(r"\S+").match(text, old.start())
            return (old.start() + 1, word.end() + 1) if word else None
    return None


_WORDS = frozenset(STARTS)

OTHER_WORDS = {
    "time": "meter", "speed": "tempo", "bpm": "tempo", "order": "form", "arrangement": "form", "range": "melody",
    "author": "credit", "composer": "credit", "writer": "credit", "lyrics": "words", "lyric": "words",
    "vocals": "voice", "vocal": "voice", "singing": "voice", "part": "section",
}  # fmt: skip
"""Words that others use for the lines of a chart, with ours."""


def unknown_line(parts: Split) -> tuple[syntax.Broken, Mistake]:
    """A line whose first word is no keyword: what it may be meant to be, and what to write."""
    column = len(parts.text) - len(parts.text.lstrip(" ")) + 1
    end = column + len(parts.first)
    word = parts.first.rstrip(",:")
    shown = parts.first if len(parts.first) <= 40 else parts.first[:40] + "..."
    lower = word.lower()
    if lower == "section" and parts.first.endswith(","):
        rest = parts.text[end - 1 :].strip() or "16 measures"
        help = f"write it like this: section verse, {rest}"
        return syntax.Broken(lower), Mistake("line-unknown", "the section has no name", end - 1, end, help)
    if lower in STARTS:
        why = "is written in small letters" if word == parts.first else f'stands without "{parts.first[-1]}"'
        help = f"write it like this: {FORMS[lower]}"
        mistake = Mistake("line-unknown", f'the keyword "{lower}" {why}', column, end, help, ((column, end, lower),))
        return syntax.Broken(lower), mistake
    if lower in SECTION_KINDS:
        help = f"write it like this: section {lower}, 8 measures"
        message = f'a section begins with the word "section", not with "{shown}"'
        fix = ((column, column, "section "),)
        return syntax.Broken("section"), Mistake("line-unknown", message, column, end, help, fix)
    if "|" in parts.text and chordlike(word):
        message = "the row has no bar line at its start"
        fix = ((column, column, "| "),)
        return syntax.Broken("chords"), Mistake("row-bar", message, column, end, "begin the row with |", fix)
    ordinal = re.fullmatch(r"([1-9])(?:st|nd|rd|th|\.)? (?:time|ending):?", parts.text.strip())
    if ordinal:
        help = f"write it like this: ending {ordinal[1]}"
        end = len(parts.text) + 1
        fix = ((column, end, f"ending {ordinal[1]}"),)
        message = f'an ending begins with the word "ending", not with "{shown}"'
        return syntax.Broken("ending"), Mistake("line-unknown", message, column, end, help, fix)
    if lower in ("endrepeat", "end-repeat"):
        help = f"write it like this: {FORMS['end']}"
        message = f'"{shown}" is written in two words'
        return syntax.Broken("end"), Mistake("line-unknown", message, column, end, help, ((column, end, FORMS["end"]),))
    usual = OTHER_WORDS.get(lower)
    if usual:
        message = f'"{shown}" begins no line of a chart; the word here is "{usual}"'
        help = f"write it like this: {FORMS[usual]}"
        return syntax.Broken(usual), Mistake("line-unknown", message, column, end, help, ((column, end, usual),))
    guess = closest(word, _WORDS)
    if guess:
        message = f'"{shown}" begins no line of a chart; there is "{guess}", with a similar name'
        sure = ((column, end, guess),) if slip(word, _WORDS) == guess else ()
        help = f"write it like this: {FORMS[guess]}"
        return syntax.Broken(guess), Mistake("line-unknown", message, column, end, help, sure)
    help = (
        f"a line begins with {', '.join(HEADERS)}, section, lead, fills, chop, a bar line, voice, ask, words, repeat, ending "
        "or end repeat;\na remark begins with a semicolon"
    )
    return syntax.Broken(""), Mistake("line-unknown", f'"{shown}" begins no line of a chart', column, end, help)


def chordlike(word: str) -> bool:
    """Whether a word can stand for a chord, or a measure, in a row of chords."""
    return word in ("%", "NC", "N.C.") or (len(word) <= 16 and read_chord(word, Key(0)) is not None)
