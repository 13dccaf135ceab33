"""From pages of marks to PDF: drawing decides nothing."""

from chartc.press.pdf import pdf

__all__ = ["pdf"]
