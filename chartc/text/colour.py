"""Colour in a terminal: whether it is wanted, and how a piece of text is coloured.

What decides, in this order: the flag; NO_COLOR, where it is set and not empty (no-color.org); FORCE_COLOR, likewise
(force-color.org); whether the output is a terminal that takes more than plain text (TERM is not `dumb`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Choice = Literal["auto", "always", "never"]
CHOICES: tuple[Choice, ...] = ("auto", "always", "never")


def wanted(choice: Choice, environment: Mapping[str, str], terminal: bool) -> bool:
    """Whether to colour, by the flag, the environment's variables, and whether the output is a terminal."""
    if choice != "auto":
        return choice == "always"
    if environment.get("NO_COLOR"):
        return False
    if environment.get("FORCE_COLOR"):
        return True
    return terminal and environment.get("TERM") != "dumb"


@dataclass(frozen=True, slots=True)
class Paint:
    """Colours pieces of text, or leaves them as they are. The codes are those of ECMA-48 (SGR), the eight basic colours
    only, so that a terminal's own theme decides how they look."""

    on: bool = False

    def error(self, text: str) -> str:
        """What is wrong."""
        return self._with("1;31", text)

    def warning(self, text: str) -> str:
        """What may be wrong."""
        return self._with("1;33", text)

    def strong(self, text: str) -> str:
        """What the eye should find first."""
        return self._with("1", text)

    def second(self, text: str) -> str:
        """A second place."""
        return self._with("36", text)

    def help(self, text: str) -> str:
        """What to write instead."""
        return self._with("32", text)

    def quiet(self, text: str) -> str:
        """Line numbers and rules."""
        return self._with("2", text)

    def _with(self, code: str, text: str) -> str:
        return f"\x1b[{code}m{text}\x1b[0m" if self.on and text else text
