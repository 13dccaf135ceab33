"""The kinds of sheet by the names that a player writes. A new kind is one entry here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from chartc.sheet.backup import backup_pages
from chartc.sheet.chords import chord_pages, number_pages
from chartc.sheet.cues import cue_pages
from chartc.sheet.marks import Page
from chartc.sheet.paper import Paper
from chartc.sheet.scale import magnified, paper_for
from chartc.slots.part import Part

Kind = Callable[[Part, Paper], tuple[Page, ...]]
"""From a part and a paper to pages, in the paper's print size."""

ONE_FOR_ALL = frozenset({"numbers"})
"""Kinds that are the same in every key."""


def _sized(kind: Kind) -> Kind:
    def pages(part: Part, paper: Paper) -> tuple[Page, ...]:
        made = magnified(kind(part, paper_for(paper, paper.print_size)), paper, paper.print_size)
        language = part.song.language
        return tuple([replace(page, language=language) for page in made]) if language else made

    return pages


SHEETS: dict[str, Kind] = {
    "backup": _sized(backup_pages),
    "chords": _sized(lambda part, paper: chord_pages(part.song, paper)),
    "numbers": _sized(lambda part, paper: number_pages(part.song, paper)),
    "cues": _sized(cue_pages),
}
