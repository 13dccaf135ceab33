"""Half the widths, in points, of what stands in the columns of tablature and above them, and the widths of measure numbers: asked for
hundreds of times on each page."""

from __future__ import annotations

from chartc.sheet import style
from chartc.type.faces import Face, width


class Halves(dict[str, float]):
    """Half the width of each text in one face and size, measured where it is first asked for."""

    def __init__(self, face: Face, size: float) -> None:
        super().__init__()
        self.face, self.size = face, size

    def __missing__(self, text: str) -> float:
        if len(self) >= 1024:
            self.clear()
        made = self[text] = width(text, self.face, self.size) / 2
        return made


class Numbers(dict[int, float]):
    """The width of each number in one face and size, times a factor."""

    def __init__(self, face: Face, size: float, factor: float) -> None:
        super().__init__()
        self.face, self.size, self.factor = face, size, factor

    def __missing__(self, number: int) -> float:
        if len(self) >= 1024:
            self.clear()
        made = self[number] = width(str(number), self.face, self.size) * self.factor
        return made


fret = Numbers("bold", style.FRET, 0.5)
number = Numbers("regular", style.NUMBER, 1.0)
pick = Halves("regular", style.PICK)
finger = Halves("italic", style.FINGER)
technique = Halves("regular", style.TECHNIQUE)
rise = Halves("regular", style.TECHNIQUE)
move = Halves("bold", style.MOVE)
name = Halves("regular", style.NAME)
triplet = Halves("italic", style.TRIPLET)
