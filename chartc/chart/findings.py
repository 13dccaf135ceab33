"""Where the passes over a chart put what they find."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from chartc.text.diagnostic import Diagnostic, Severity, nearest
from chartc.text.source import Span

MOST = 1000
"""A text with more findings than these is no chart: reading stops."""


class Findings:
    """A growing list of diagnostics."""

    def __init__(self) -> None:
        """Begins with none."""
        self.all: list[Diagnostic] = []

    def add(
        self,
        code: str,
        message: str,
        span: Span,
        help: str = "",
        related: Iterable[tuple[Span, str]] = (),
        severity: Severity = "error",
    ) -> None:
        """Notes a finding."""
        self.all.append(Diagnostic(code, message, span, help, severity, tuple(related)))

    @property
    def full(self) -> bool:
        """Whether there are so many that reading on is useless."""
        return len(self.all) >= MOST


@lru_cache(maxsize=1024)
def similar(word: str, known: frozenset[str]) -> str:
    """`nearest` for words of a usual length, remembered: a word misspelled once is often misspelled everywhere."""
    return nearest(word, known) if len(word) <= 40 else ""


def closest(word: str, known: Iterable[str]) -> str:
    """The closest known word, empty where none is close."""
    said = similar(word, frozenset(known))
    return said.split('"')[1] if said else ""


def number(text: str, low: int, high: int) -> int | None:
    """The whole number written in `text`, None where it lies outside `low` to `high`; never fails on long digits."""
    digits = text.lstrip("0") or "0"
    if len(digits) > 6 or not digits.isascii() or not digits.isdigit():
        return None
    value = int(digits)
    return value if low <= value <= high else None


def listed(words: Iterable[str]) -> str:
    """`a, b, c`."""
    return ", ".join(words)


def count(number: int, noun: str) -> str:
    """`1 measure`, `2 measures`."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
