"""Papers and their margins, in points (72 to an inch)."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper. Lengths in points; `left` leaves room for the measure numbers, the page
    number stands `foot` above the edge. What is printed on it is `print_size` times as
    large as usual; `large` tells that it is meant for who sees badly."""

    name: str
    width: float
    height: float
    left: float = 46.0
    right: float = 34.0
    top: float = 30.0
    bottom: float = 39.0
    foot: float = 18.0
    print_size: float = 1.0
    large: bool = False

    @property
    def room(self) -> float:
        """Width between the margins."""
        return self.width - self.left - self.right

    @property
    def edge(self) -> float:
        """The x of the right margin."""
        return self.width - self.right

    @property
    def floor(self) -> float:
        """The lowest y that music may reach; beneath it stands the foot of the page."""
        return self.height - self.bottom


PENCIL = 40.0
"""Points at the foot of a page that stay free for notes by hand, where they can: two lines of them."""

a4 = Paper("a4", 595.276, 841.890)
letter = Paper("letter", 612.0, 792.0)

LARGE = 1.3
"""Large print, over ordinary print."""


def wanted(name: str, landscape: bool = False, large: bool = False) -> str:
    """The name in `PAPERS` of a paper, lying on its side or with large print."""
    return name + ("-landscape" if landscape else "") + ("-large" if large else "")


def _all() -> dict[str, Paper]:
    out: dict[str, Paper] = {}
    for paper in (a4, letter):
        for landscape in (False, True):
            for large in (False, True):
                name = wanted(paper.name, landscape, large)
                width, height = (paper.height, paper.width) if landscape else (paper.width, paper.height)
                size = LARGE if large else 1.0
                out[name] = replace(paper, name=name, width=width, height=height, print_size=size, large=large)
    return out


PAPERS: dict[str, Paper] = _all()
"""The papers by name: `a4`, `letter`, and each of them with what `wanted` adds."""
