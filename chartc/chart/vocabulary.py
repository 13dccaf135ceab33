"""The words that a chart may use to ask for something of the banjo."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The roles of the rulebook and the names of the licks; a name may be several words."""

    roles: frozenset[str]
    licks: frozenset[str]
