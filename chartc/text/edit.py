"""Edits applied to a text, and findings mended by the edits that they bring along."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from chartc.text.diagnostic import Diagnostic, Edit
from chartc.text.source import Source

_END = re.compile(r"(\r\n|\r|\n)")


def apply(source: Source, edits: Iterable[Edit]) -> str:
    """The source's text with the edits made. Ends of lines stay as they are; edits must lie in the source and not overlap."""
    parts = _END.split(source.text)
    for span, new in sorted(edits, key=lambda e: (e[0].line, e[0].column, e[0].end), reverse=True):
        index = 2 * (span.line - 1)
        line = parts[index]
        parts[index] = line[: span.column - 1] + new + line[span.end - 1 :]
    return "".join(parts)


@dataclass(frozen=True, slots=True)
class Mended:
    """A text with its mistakes mended as far as is certain: the text, the findings that were mended (with places in the text as
    it was at that time), and those that are left."""

    source: Source
    mended: tuple[Diagnostic, ...]
    left: tuple[Diagnostic, ...]


ROUNDS = 20
"""Mending one mistake may bring another to light; so often at most."""

MOST_TRIED = 50
MOST_READ = 2_000_000
"""Fixes that are tried one by one, where several at once make things worse; in a long text fewer, so that no more than so many
characters are read again."""

MOST_FOUND = 1000
"""A text with more findings is not mended: it is something else than it seems."""


def mend(source: Source, check: Callable[[Source], Sequence[Diagnostic]]) -> Mended:
    """Applies the fixes of the findings of `check`, again and again until there is none left.

    Each time the text is checked anew: a fix that leaves its finding where it is, or adds to the errors, is not made.
    """
    found = tuple(check(source))
    mended: list[Diagnostic] = []
    tries = max(1, min(MOST_TRIED, MOST_READ // max(1, len(source.text))))
    refused: set[tuple[str, tuple[tuple[int, int, str], ...]]] = set()
    vain = 0
    for _ in range(min(ROUNDS, tries)):
        ready = _apart([d for d in found if d.fix and _key(d) not in refused])
        if not ready or len(found) > MOST_FOUND or vain >= tries:
            break
        for attempt in [ready] if len(ready) == 1 else [ready, *([d] for d in ready[:tries])]:
            trial = Source(source.name, apply(source, (edit for d in attempt for edit in d.fix)))
            after = tuple(check(trial))
            # several at once may hide that one of them adds an error; then each is tried by itself
            most = _errors(found) - (_errors(attempt) if len(attempt) > 1 else 0)
            if _errors(after) <= most and _gone(attempt, found, after):
                source, found = trial, after
                mended += attempt
                refused.clear()  # what made things worse may make them better now
                break
            if len(attempt) == 1:
                refused.add(_key(attempt[0]))
                vain += 1
    return Mended(source, tuple(mended), found)


def _key(d: Diagnostic) -> tuple[str, tuple[tuple[int, int, str], ...]]:
    return d.code, tuple((span.line, span.column, text) for span, text in d.fix)


def _apart(found: Iterable[Diagnostic]) -> list[Diagnostic]:
    """Findings whose fixes touch different places, the first of those that overlap."""
    out: list[Diagnostic] = []
    taken: dict[int, int] = {}
    for d in found:
        places = sorted((span.line, span.column, span.end) for span, _ in d.fix)
        # findings come in order of place, so that what begins behind all that is taken touches nothing
        if all(column > taken.get(line, 0) for line, column, _ in places):
            out.append(d)
            for line, _, end in places:
                taken[line] = max(end, taken.get(line, 0))
    return out


def _errors(found: Iterable[Diagnostic]) -> int:
    return sum(d.severity == "error" for d in found)


def _gone(attempt: Iterable[Diagnostic], before: Iterable[Diagnostic], after: Iterable[Diagnostic]) -> bool:
    """Whether each finding is said once less: the same words about the same line."""
    was, now, tried = (Counter((d.code, d.message, d.place[1]) for d in some) for some in (before, after, attempt))
    return all(now[key] <= was[key] - tried[key] for key in tried)


def mended_line(d: Diagnostic) -> str:
    """The line of a finding with its fix made, as far as the fix lies on that line."""
    if d.span is None:
        return ""
    line = d.span.source.line(d.span.line)
    for span, new in sorted(d.fix, key=lambda e: (e[0].column, e[0].end), reverse=True):
        if span.line == d.span.line:
            line = line[: span.column - 1] + new + line[span.end - 1 :]
    return line
