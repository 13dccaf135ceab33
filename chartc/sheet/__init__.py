"""Layout: from a part or a song to pages of marks with coordinates."""

from chartc.sheet.backup import backup_pages
from chartc.sheet.chords import chord_pages
from chartc.sheet.kinds import ONE_FOR_ALL, SHEETS
from chartc.sheet.marks import Page
from chartc.sheet.paper import PAPERS, Paper, a4, letter, wanted

__all__ = ["ONE_FOR_ALL", "PAPERS", "SHEETS", "Page", "Paper", "a4", "backup_pages", "chord_pages", "letter", "wanted"]
