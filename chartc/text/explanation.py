"""What a code of a diagnostic means: for a player who asks for more than the message."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Explanation:
    """`meaning` is a few sentences; `wrong` is a piece of a file that has the mistake, `right` the same without it. Both are
    empty where the mistake is not one of writing."""

    meaning: str
    wrong: str = ""
    right: str = ""
