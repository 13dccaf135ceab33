"""Repeats and numbered endings of one section: which measures are played, in which order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from chartc.chart import syntax
from chartc.chart.findings import Findings, count, listed, number
from chartc.chart.song import Ending, Repeat
from chartc.chart.syntax import Line
from chartc.text.diagnostic import Edit

MOST_TIMES = 12


@dataclass(slots=True)
class _Open:
    """A repeat that has begun: `times` is None where it cannot be read. Each ending has its line, its numbers and its first
    measure."""

    line: Line
    times: int | None
    first: int
    endings: list[tuple[Line, tuple[int, ...], int]] = field(default_factory=list)


@dataclass(slots=True)
class Repeats:
    """Follows the lines of a section. `broken` tells that its structure is in doubt: an error has been reported, and nothing
    more is said about it."""

    found: Findings
    broken: bool
    done: list[Repeat] = field(default_factory=list)
    open: _Open | None = None

    def step(self, line: Line, here: int) -> None:
        """Takes a line of a repeat; `here` is the index of the measure that comes next."""
        match line.node:
            case syntax.RepeatLine(times):
                self._begin(line, times, here)
            case syntax.EndingLine(numbers):
                self._ending(line, numbers, here)
            case syntax.EndRepeat():
                self._end(line, here)
            case _:
                raise AssertionError(line)

    @property
    def later_ending(self) -> bool:
        """Whether an ending after the first is open."""
        return self.open is not None and len(self.open.endings) > 1

    def finish(self) -> None:
        """The section ends here."""
        if self.open is not None and not self.broken:
            self._error("repeat-open", "this repeat does not end", self.open.line, "write a line beneath its rows: end repeat")  # fmt: skip
        self.open = None

    def _error(
        self,
        code: str,
        message: str,
        line: Line,
        help: str,
        related: Line | None = None,
        fix: Iterable[Edit] = (),
        word: syntax.Word | None = None,
    ) -> None:
        if not self.broken:
            more = [(related.span(), "the repeat begins here")] if related else []
            span = line.span() if word is None else line.span(word)
            self.found.add(code, message, span, help, more, fix=fix)
        self.broken = True

    def _begin(self, line: Line, times: syntax.Word | None, here: int) -> None:
        if self.open is not None:
            help = 'end the first repeat with "end repeat" before the next begins'
            self._error("repeat-nested", "a repeat inside a repeat", line, help, self.open.line)
        often = 2
        if times is not None:
            read = number(times.text, 2, MOST_TIMES)
            if read is None:
                help = f"a repeat is played 2 to {MOST_TIMES} times"
                self.found.add("repeat-times", f"{times.text[:10]} times is no repeat", line.span(times), help)
                self.broken = True
            often = read or 2
        self.open = _Open(line, often, here)

    def _ending(self, line: Line, words: tuple[syntax.Word, ...], here: int) -> None:
        if self.open is None:
            help = 'write "repeat" on a line above the rows that are played again, and "end repeat" beneath the last ending'
            self._error("ending-outside", "an ending without a repeat", line, help)
            return
        if here == self.open.first:
            help = "the rows that are played each time come first, then the endings"
            self._error("repeat-empty", "there are no measures before this ending", line, help, self.open.line)
        self._close_ending(here)
        numbers = tuple(number(w.text, 1, MOST_TIMES) or 0 for w in words)
        self.open.endings.append((line, numbers, here))

    def _close_ending(self, here: int) -> None:
        if self.open is not None and self.open.endings and self.open.endings[-1][2] == here:
            help = "write the rows of the ending beneath this line"
            self._error("ending-empty", "this ending has no measures", self.open.endings[-1][0], help)

    def _end(self, line: Line, here: int) -> None:
        opened, self.open = self.open, None
        if opened is None:
            help = 'write "repeat" on a line above the rows that are played again'
            self._error("repeat-outside", "this repeat ends but has not begun", line, help)
            return
        if here == opened.first:
            help = "write the rows that are played again between the two lines"
            self._error("repeat-empty", "this repeat has no measures", opened.line, help)
            return
        self.open = opened
        self._close_ending(here)
        self.open = None
        if opened.endings:
            self._check_numbers(opened)
        if self.broken:
            return
        starts = [first for _, _, first in opened.endings]
        lasts = [n - 1 for n in [*starts[1:], here]]
        endings = tuple(
            Ending(numbers, first, last)
            for (_, numbers, first), last in zip(opened.endings, lasts, strict=bool(opened.endings))
        )
        self.done.append(Repeat(opened.first, here - 1, opened.times or 2, endings))

    def _check_numbers(self, opened: _Open) -> None:
        times = opened.times or 2
        said = [n for _, numbers, _ in opened.endings for n in numbers]
        missing = [str(n) for n in range(1, times + 1) if n not in said]
        doubled = sorted({n for n in said if said.count(n) > 1})
        beyond = [n for n in said if not 1 <= n <= times]
        line = opened.endings[-1][0]
        played = f"the repeat is played {count(times, 'time')}"
        if doubled:
            line = [where for where, numbers, _ in opened.endings if doubled[0] in numbers][-1]
            self._error("ending-numbers", f"ending {doubled[0]} is there twice", line, "give each time one ending", opened.line, word=_said(line, doubled[0]))  # fmt: skip
        elif beyond:
            line = next(where for where, numbers, _ in opened.endings if beyond[0] in numbers)
            most = max(said)
            help = f"write: repeat {most} times" if times < most <= MOST_TIMES else "number the endings from 1"
            text = str(beyond[0]) if beyond[0] else "with this number"
            whole = sorted(said) == list(range(1, most + 1)) and times == 2 < most <= MOST_TIMES
            plain = isinstance(opened.line.node, syntax.RepeatLine) and opened.line.node.times is None
            fix = [(opened.line.span(), f"repeat {most} times")] if whole and plain else []
            self._error(
                "ending-numbers",
                f"there is no ending {text}: {played}",
                line,
                help,
                opened.line,
                fix,
                _said(line, beyond[0]),
            )
        elif missing:
            help = f"write a line and the rows of it: ending {missing[0]}"
            self._error("ending-numbers", f"there is no ending for time {listed(missing)}: {played}", line, help, opened.line)  # fmt: skip


def _said(line: Line, time: int) -> syntax.Word | None:
    """The last word of an ending's line that says this time."""
    numbers = line.node.numbers if isinstance(line.node, syntax.EndingLine) else ()
    return next((w for w in reversed(numbers) if number(w.text, 0, MOST_TIMES) == time), None)


def played(measures: int, repeats: tuple[Repeat, ...], pickup: bool) -> tuple[int, ...]:
    """The indexes of so many measures in the order in which they are played once through, without the pickup."""
    out: list[int] = []
    index = 1 if pickup else 0
    starts = {r.first: r for r in repeats}
    while index < measures:
        repeat = starts.get(index)
        if repeat is None:
            out.append(index)
            index += 1
            continue
        body = range(repeat.first, repeat.endings[0].first if repeat.endings else repeat.last + 1)
        for time in range(1, repeat.times + 1):
            out += body
            for ending in repeat.endings:
                if time in ending.times:
                    out += range(ending.first, ending.last + 1)
        index = repeat.last + 1
    return tuple(out)
