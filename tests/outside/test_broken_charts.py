"""How well the program answers to the mistakes that players make.

The charts, the places and the corrections are our own: written from the language's reference before the program was asked (one correction
was itself wrong and has been put right since). No published source; the aims are the project's own.

At the first run, blind: right line 94 %, right word 84 %, 0.08 false reports a chart, help that works when applied 83 % (of the 124 charts
whose help can be applied). Messages and places have been mended with these charts at hand since, so that later figures are no longer blind.
Two of the misses are spellings that the program takes as chords (`Cmajor`, `Aminor`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import pytest

from chartc.chart import Vocabulary, read_chart
from chartc.licks.lick import REST, ROLES
from chartc.text.diagnostic import Diagnostic
from chartc.text.edit import apply
from chartc.text.source import Source
from tests.outside.broken_charts import BROKEN, Broken

WORDS = Vocabulary(frozenset(ROLES) | {REST}, frozenset())

RIGHT_LINE = 0.98
RIGHT_WORD = 0.90
FALSE_REPORTS = 0.1
HELP_APPLIED = 0.80

_ADVICE = re.compile(
    r'(?:write it like this: |write a line like this above the sections: |write )"?(?P<new>.*?)"?(?:   \(.*)?',
    re.DOTALL,
)


@dataclass(frozen=True)
class Answer:
    """What the program said about a broken chart; `helped` is None where nothing it said can be applied as it stands."""

    broken: Broken
    found: tuple[Diagnostic, ...]
    helped: bool | None

    @property
    def right_line(self) -> bool:
        """Whether the first finding is on the line at which a person would point."""
        return bool(self.found) and self.found[0].place[1] == self.broken.line

    @property
    def right_word(self) -> bool:
        """Whether the first finding begins within the word at which a person would point, or right behind it."""
        if not self.right_line:
            return False
        line = self.broken.text.split("\n")[self.broken.line - 1]
        word = re.match(r"\S*", line[self.broken.column - 1 :])
        assert word is not None
        return self.broken.column <= self.found[0].place[2] <= self.broken.column + len(word[0])

    @property
    def false_reports(self) -> int:
        """The errors beyond the mistakes that there are."""
        return max(0, len(_errors(self.found)) - self.broken.mistakes)


def _read(text: str) -> tuple[Diagnostic, ...]:
    return read_chart(Source("broken.chartc", text), WORDS)[1]


def _errors(found: tuple[Diagnostic, ...]) -> tuple[Diagnostic, ...]:
    return tuple(d for d in found if d.severity == "error")


def _mendings(text: str, d: Diagnostic) -> Iterator[str]:
    """The texts that a person who does as told could come to: the fix where there is one, else the words of the help put in
    place of what is marked, in place of its whole line, or above everything where a line is missing."""
    source = Source("broken.chartc", text)
    if d.fix:
        yield apply(source, d.fix)
        return
    advice = _ADVICE.fullmatch(d.help)
    if advice is None or d.span is None:
        return
    new, lines = advice["new"], text.split("\n")
    old = lines[d.span.line - 1]
    if "above the sections" in d.help:
        yield new + "\n" + text
    elif "write it like this" in d.help or " " not in new:
        for line in (old[: d.span.column - 1] + new + old[d.span.end - 1 :], new):
            yield "\n".join([*lines[: d.span.line - 1], line, *lines[d.span.line :]])


def _helped(broken: Broken) -> bool | None:
    """Whether the advice about the first error, followed once for each mistake, leaves a chart without errors."""
    texts, told = [broken.text], False
    for _ in range(broken.mistakes):
        after: list[str] = []
        for text in texts:
            errors = _errors(_read(text))
            after += _mendings(text, errors[0]) if errors else [text]
        texts, told = after, told or bool(after)
    return any(not _errors(_read(text)) for text in texts) if told else None


@cache
def _answers() -> tuple[Answer, ...]:
    return tuple(Answer(broken, _read(broken.text), _helped(broken)) for broken in BROKEN)


def _share(good: int, misses: list[Answer]) -> tuple[float, str]:
    names = "\n".join(f"  {a.broken.name}: {[(d.place[1:], d.message, d.help) for d in a.found]}" for a in misses)
    return good / (good + len(misses)), f"{good} of {good + len(misses)}; not:\n{names}"


def test_there_are_enough_charts_and_each_has_its_own_name() -> None:
    """Protects the measure itself: many different charts, each with a place in its text."""
    assert len({b.text for b in BROKEN}) == len({b.name for b in BROKEN}) == len(BROKEN) >= 150
    for b in BROKEN:
        assert b.column <= len(b.text.split("\n")[b.line - 1]) + 1
        assert b.text != b.fixed


@pytest.mark.parametrize("broken", BROKEN, ids=[b.name for b in BROKEN])
def test_a_chart_as_a_person_corrects_it_is_accepted(broken: Broken) -> None:
    """Protects against refusing good charts, and the measures below against charts with a second mistake."""
    assert not _errors(_read(broken.fixed))


def test_the_first_finding_is_on_the_line_at_which_a_person_would_point() -> None:
    """Protects that a player looks at the right line at once."""
    misses = [a for a in _answers() if not a.right_line]
    share, said = _share(len(BROKEN) - len(misses), misses)
    assert share >= RIGHT_LINE, said


def test_the_first_finding_is_at_the_word_at_which_a_person_would_point() -> None:
    """Protects that a player looks at the right word at once."""
    misses = [a for a in _answers() if not a.right_word]
    share, said = _share(len(BROKEN) - len(misses), misses)
    assert share >= RIGHT_WORD, said


def test_one_mistake_brings_one_error() -> None:
    """Protects against errors that follow from others and send a player to places where nothing is wrong."""
    loud = [a for a in _answers() if a.false_reports]
    rate = sum(a.false_reports for a in loud) / len(BROKEN)
    assert rate <= FALSE_REPORTS, _share(len(BROKEN) - len(loud), loud)[1]


def test_doing_as_the_help_says_makes_the_chart_right() -> None:
    """Protects that advice which can be followed to the letter is good advice."""
    told = [a for a in _answers() if a.helped is not None]
    assert len(told) >= len(BROKEN) // 2
    misses = [a for a in told if not a.helped]
    share, said = _share(len(told) - len(misses), misses)
    assert share >= HELP_APPLIED, said
