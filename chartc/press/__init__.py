"""From pages of marks to PDF: drawing decides nothing."""

from chartc.press.bind import Leaf, Link, bind
from chartc.press.draw import Drawn, draw
from chartc.press.pdf import pdf

__all__ = ["Drawn", "Leaf", "Link", "bind", "draw", "pdf"]
