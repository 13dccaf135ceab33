"""The kinds of sheet by the names that a player writes. A new kind is one entry here."""

from __future__ import annotations

from collections.abc import Callable

from chartc.sheet.backup import backup_pages
from chartc.sheet.chords import chord_pages, number_pages
from chartc.sheet.cues import cue_pages
from chartc.sheet.marks import Page
from chartc.sheet.paper import Paper
from chartc.slots.part import Part

SHEETS: dict[str, Callable[[Part, Paper], tuple[Page, ...]]] = {
    "backup": backup_pages,
    "chords": lambda part, paper: chord_pages(part.song, paper),
    "cues": cue_pages,
    "numbers": lambda part, paper: number_pages(part.song, paper),
}
