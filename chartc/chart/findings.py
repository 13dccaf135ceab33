"""Where the passes over a chart put what they find."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from chartc.text.diagnostic import Diagnostic, Edit, Severity, nearest
from chartc.text.source import Span

MOST = 1000
"""A text with more findings than these is no chart: reading stops, and no more are noted."""


class Findings:
    """A growing list of diagnostics."""

    def __init__(self) -> None:
        """Begins with none."""
        self.all: list[Diagnostic] = []
        self.failed = False

    def add(
        self,
        code: str,
        message: str,
        span: Span,
        help: str = "",
        related: Iterable[tuple[Span, str]] = (),
        severity: Severity = "error",
        fix: Iterable[Edit] = (),
    ) -> None:
        """Notes a finding; beyond the most only the first error."""
        if self.full and (self.failed or severity == "warning"):
            return
        self.failed |= severity == "error"
        self.all.append(Diagnostic(code, message, span, help, severity, tuple(related), fix=tuple(fix)))

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


SHORTEST_SLIP = 4
"""Letters that a word has at least where one wrong letter leaves no doubt what was meant."""


def slip(text: str, known: Iterable[str]) -> str:
    """The one known word that `text` is with a single slip of the pen (a letter missing, too many, another, or two swapped) in
    one of its longer words; empty where there is none or more than one."""
    return _slips(text, frozenset(known))


@lru_cache(maxsize=1024)
def _slips(text: str, known: frozenset[str]) -> str:
    # remembered as `similar` is
    words = text.casefold().split()
    found = [name for name in known if _one_slip(words, name.casefold().split())]
    return found[0] if len(found) == 1 else ""


def _one_slip(a: list[str], b: list[str]) -> bool:
    if len(a) != len(b):
        return False
    unlike = [(x, y) for x, y in zip(a, b, strict=True) if x != y]
    if len(unlike) != 1:
        return False
    x, y = sorted(unlike[0], key=len)
    if len(x) < SHORTEST_SLIP or len(y) - len(x) > 1 or any(c.isdigit() for c in x + y):
        return False
    start = next((n for n, (c, d) in enumerate(zip(x, y, strict=False)) if c != d), len(x))
    rest, other = x[start:], y[start:]
    if len(x) < len(y):
        return rest == other[1:]
    return rest[1:] == other[1:] or (rest[:2] == other[1::-1] and rest[2:] == other[2:])


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
