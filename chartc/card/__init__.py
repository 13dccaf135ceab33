"""The language on one page, made by the program itself."""

from chartc.card.content import parts
from chartc.card.page import card_page

__all__ = ["card_page", "parts"]
