"""What the player has learnt, in a plain file of lines that only the player or a command adds to; a later line overrules an earlier one.

; a comment
known     ferry-plank, lock-gate
learning  gravel-bar
resting   weed-hook
clean     ferry-plank into lock-gate
unclean   gravel-bar into lock-gate
forget    weed-hook
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from chartc.slots.problem import Means
from chartc.text.diagnostic import Diagnostic, in_order, nearest
from chartc.text.source import Source, Span
from chartc.text.tree import Leaf

LICK_WORDS = ("known", "learning", "resting")
JOIN_WORDS = ("clean", "unclean")
FORGET = "forget"
WORDS = (*LICK_WORDS, *JOIN_WORDS, FORGET)

_INTO = re.compile(r"(?P<before>\S+) +into +(?P<after>\S+)")

UNCLEAN, CLEAN = 60, -60
"""What a mark adds to the hardness of a join."""
_LEARNING = 15


@dataclass(frozen=True)
class Progress:
    """Marks of licks and of joins, each with the place of the line that says so."""

    licks: Mapping[str, tuple[str, Span]]
    joins: Mapping[tuple[str, str], tuple[str, Span]]

    def marked(self, *words: str) -> tuple[str, ...]:
        """The licks with one of these marks, in the order of the file."""
        return tuple(lick for lick, (word, _) in self.licks.items() if word in words)

    def weigh(self, before: str, after: str, hardness: int) -> int:
        """How much a join wants practice: its hardness, more where it is unclean or has a lick that is being learnt, less where it
        is clean; never below 0."""
        mark = self.joins.get((before, after), ("", None))[0]
        more = {"unclean": UNCLEAN, "clean": CLEAN}.get(mark, 0)
        more += _LEARNING * sum(self.licks.get(lick, ("", None))[0] == "learning" for lick in (before, after))
        return max(0, hardness + more)


NOTHING = Progress({}, {})
"""A player who has marked nothing."""


def read_progress(source: Source, licks: Sequence[str] | None = None) -> tuple[Progress, tuple[Diagnostic, ...]]:
    """The marks of a file and what is wrong in it. A name that is not among `licks` (None: any) is warned of and kept: the lick
    may be in another file."""
    marks: dict[str, tuple[str, Span]] = {}
    joins: dict[tuple[str, str], tuple[str, Span]] = {}
    found: list[Diagnostic] = []
    known = None if licks is None else set(licks)
    for number, line in enumerate(source.lines, 1):
        body = line.partition(";")[0]
        if not body.strip():
            continue
        word = body.split()[0]
        column = body.index(word) + 1
        if word not in WORDS:
            found.append(
                Diagnostic("progress-word", f'"{word}" is no mark{nearest(word, WORDS)}', source.span(number, column, column + len(word)),
                           f"begin the line with one of: {', '.join(WORDS)}")
            )  # fmt: skip
            continue
        rest = body[column - 1 + len(word) :]
        offset = column + len(word)
        entries = list(re.finditer(r"[^,\s](?:[^,]*[^,\s])?", rest))
        if not entries:
            found.append(Diagnostic("progress-empty", f'nothing stands after "{word}"', source.span(number, column, column + len(word)),
                                    "write names of licks with commas, or joins: ferry-plank into lock-gate"))  # fmt: skip
        for entry in entries:
            span = source.span(number, offset + entry.start(), offset + entry.end())
            _entry(word, entry.group(), span, marks, joins, known, found)
    return Progress(marks, joins), in_order(found)


def _entry(
    word: str,
    text: str,
    span: Span,
    marks: dict[str, tuple[str, Span]],
    joins: dict[tuple[str, str], tuple[str, Span]],
    known: set[str] | None,
    found: list[Diagnostic],
) -> None:
    join = _INTO.fullmatch(text)
    names = [join["before"], join["after"]] if join else [text]
    if (
        (word in JOIN_WORDS and join is None)
        or (word in LICK_WORDS and join is not None)
        or any(" " in n for n in names)
    ):
        help = (
            "a join is written: ferry-plank into lock-gate"
            if word in JOIN_WORDS
            else "names of licks stand with commas between them"
        )
        found.append(
            Diagnostic("progress-entry", f'"{text}" is no {"join" if word in JOIN_WORDS else "lick"}', span, help)
        )
        return
    for name in names:
        if known is not None and name not in known:
            found.append(Diagnostic("progress-lick", f'there is no lick "{name}"{nearest(name, known)}', span,
                                    "the mark is kept, but nothing uses it; chartc licks lists the names", "warning"))  # fmt: skip
    if word == FORGET:
        if join:
            joins.pop((names[0], names[1]), None)
        else:
            marks.pop(text, None)
    elif join:
        joins.pop((names[0], names[1]), None)
        joins[names[0], names[1]] = (word, span)
    else:
        marks.pop(text, None)
        marks[text] = (word, span)


def added(before: str, lines: Sequence[tuple[str, Sequence[str]]]) -> str:
    """The file's text with more lines at its end; nothing of what stood there changes. Each line is a word and its entries."""
    start = before if not before or before.endswith(("\n", "\r")) else before + "\n"
    return start + "".join(f"{word:<9} {', '.join(entries)}\n" for word, entries in lines)


def with_progress(means: Means, progress: Progress) -> Means:
    """What a player brings, with the marks heeded: licks that are known or being learnt are the ones a song may use, beside the few new
    ones that the rulebook allows; resting ones are left alone. Where nothing is known the choice is free."""
    book = means.rulebook

    def leaves(*words: str) -> tuple[Leaf, ...]:
        return tuple(Leaf(lick, progress.licks[lick][1]) for lick in progress.marked(*words))

    rested = set(progress.marked("resting"))
    known = book.known
    if progress.marked("known"):
        known = (*(book.known or ()), *leaves("known", "learning"))
    if known is not None:
        known = tuple(leaf for leaf in known if leaf.text not in rested)
    # what the player has taken up again in the file is no longer resting, whatever the rules say
    awake = set(progress.marked("known", "learning"))
    resting = (*(leaf for leaf in book.resting if leaf.text not in awake), *leaves("resting"))
    return replace(means, rulebook=replace(book, known=known, resting=resting))
