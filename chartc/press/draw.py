"""A page of marks as PDF content. Nothing is decided here: every mark says where it stands and how it looks.

Marks that stand apart may be drawn in any order, so they are drawn by kind, each state said once: what lies beneath, the white
patches, lines, areas, and at last the text, what a screen reader reads before what it passes over.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from chartc.press.letters import Letters, tenths
from chartc.press.stamped import at_places
from chartc.sheet.marks import GROUND, Block, Entry, Line, Mark, Page, Path, Text
from chartc.sheet.stamp import Marks
from chartc.type.faces import FACES, Face

Tag = tuple[str, tuple[int, ...], str]
"""A piece of the page's structure: its role, the numbers of its marked contents, and the tag of its language where that is not the
document's."""

ROLES: dict[str, str] = {
    "title": "H1", "credit": "P", "key": "P", "facts": "P", "form": "P", "remark": "P", "section": "H2", "leads": "P",
    "chord": "P", "words": "P", "cue": "P", "ending-word": "P", "times": "P",
}  # fmt: skip
"""What a screen reader reads, by kind of mark; everything else it passes over."""

FROM_CHART = frozenset({"title", "credit", "words"})
"""Kinds of marks whose text is the chart's own, in the language of the song."""


@cache
def _number(value: float) -> str:
    """A width or a grey, to a hundredth."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


Stroke = tuple[float, float, tuple[float, ...]]
"""Grey, width, dash."""


class _Pen:
    """Collects one page's content; the state is said only where it changes."""

    def __init__(self, height: float, used: dict[Face, set[str]], artifact: bool, language: str) -> None:
        self.height = height
        self.language = language
        self.used = used
        self.artifact = artifact
        self.out: list[str] = []
        self.tags: list[Tag] = []
        self.fill = self.stroke = 0.0
        self.width = 1.0
        self.dash: tuple[float, ...] = ()

    def draw(self, marks: Sequence[Mark]) -> str:
        """The content of all marks: stamps as such, the others one by one."""
        placed = list(marks.standing) if isinstance(marks, Marks) else []
        self.out = ["1 j", "/Artifact BMC"]
        self.out += at_places([p for p in placed if p[0].ground], self.height, self.used)
        self._loose(marks.loose if isinstance(marks, Marks) else marks)
        if placed:
            self._ink(0.0)
            # other strokes may have left their own state
            self.out.append("/Artifact BMC\n0 G [] 0 d")
            self.out += at_places([p for p in placed if not p[0].ground], self.height, self.used)
            self.out.append("EMC")
        return "\n".join(self.out)

    def _loose(self, marks: Sequence[Mark]) -> None:
        ground: dict[Stroke, list[str]] = {}
        patches: list[str] = []
        strokes: dict[Stroke, list[str]] = {}
        areas: dict[float, list[str]] = {}
        texts: list[Text] = []
        h, t = self.height, tenths()
        for m in marks:
            kind = type(m)
            if kind is Text:
                texts.append(m)  # type: ignore[arg-type]
            elif kind is Line:
                state = (m.grey, m.width, m.dash)  # type: ignore[union-attr]
                lines = (ground if m.kind in GROUND else strokes).setdefault(state, [])
                start = f"{t[round(m.x1 * 10)]} {t[round((h - m.y1) * 10)]}"  # type: ignore[union-attr]
                lines.append(f"{start} m {t[round(m.x2 * 10)]} {t[round((h - m.y2) * 10)]} l")  # type: ignore[union-attr]
            elif kind is Block:
                x, wide, tall = m.x, m.width, m.height  # type: ignore[union-attr]
                into = patches if m.grey == 1.0 else areas.setdefault(m.grey, [])
                corner = f"{t[round(x * 10)]} {t[round((h - m.y - tall) * 10)]}"  # type: ignore[union-attr]
                into.append(f"{corner} {t[round(wide * 10)]} {t[round(tall * 10)]} re")
            else:
                assert isinstance(m, Path)
                if m.width:
                    strokes.setdefault((m.grey, m.width, ()), []).append(self._path(m))
                else:
                    areas.setdefault(m.grey, []).append(self._path(m))
        self._strokes(ground)
        if patches:
            self._areas({1.0: patches})
        self._strokes(strokes)
        self._areas(areas)
        self.out.append("EMC")
        self._texts(texts)

    def _strokes(self, groups: dict[Stroke, list[str]]) -> None:
        for (grey, width, dash), paths in groups.items():
            if grey != self.stroke:
                self.stroke = grey
                self.out.append(f"{_number(grey)} G")
            if width != self.width:
                self.width = width
                self.out.append(f"{_number(width)} w")
            if dash != self.dash:
                self.dash = dash
                self.out.append(f"[{' '.join(map(_number, dash))}] 0 d")
            self.out += paths
            self.out.append("S")

    def _areas(self, groups: dict[float, list[str]]) -> None:
        for grey, paths in groups.items():
            self._ink(grey)
            self.out += paths
            self.out.append("f")

    def _ink(self, grey: float) -> None:
        if grey != self.fill:
            self.fill = grey
            self.out.append(f"{_number(grey)} g")

    def _path(self, m: Path) -> str:
        h, known = self.height, tenths()

        def t(value: float) -> str:
            return known[round(value * 10)]

        out = [f"{t(m.start[0])} {t(h - m.start[1])} m"]
        for step in m.steps:
            if isinstance(step[0], tuple):
                (a, b), (c, d), (e, f) = step
                out.append(f"{t(a)} {t(h - b)} {t(c)} {t(h - d)} {t(e)} {t(h - f)} c")
            else:
                x, y = step
                out.append(f"{t(x)} {t(h - y)} l")
        return " ".join(out)

    def _texts(self, texts: list[Text]) -> None:
        letters = Letters(self.height, self.used, self.out)
        # chords, or words, of one row are one piece of the structure
        read: list[list[Text]] = []
        passed: dict[tuple[float, Face, float], list[Text]] = {}
        kind, y, grey = "", 0.0, 0.0
        for m in texts:
            if self.artifact or m.kind not in ROLES:
                passed.setdefault((m.grey, m.face, m.size), []).append(m)
            elif m.y == y and m.kind == kind and m.grey == grey:
                read[-1].append(m)
            else:
                kind, y, grey = m.kind, m.y, m.grey
                read.append([m])
        for number, row in enumerate(read):
            kind = row[0].kind
            role = ROLES[kind]
            self.tags.append((role, (number,), self.language if kind in FROM_CHART else ""))
            self.out.append(f"/{role}<</MCID {number}>>BDC")
            self._ink(row[0].grey)
            letters.write(row, spaced=True)
            self.out.append("EMC")
        self.out.append("/Artifact BMC")
        for (grey, _, _), group in passed.items():
            self._ink(grey)
            letters.write(group)
        self.out.append("EMC")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A page as it will stand in any document: `content` is its compressed content stream, which leaves the state as it found it;
    `used` the characters of each face; `label` and `entries` are the page's own; `tags` its structure in order. Lengths in points."""

    width: float
    height: float
    content: bytes
    used: tuple[tuple[Face, str], ...]
    label: str
    entries: tuple[Entry, ...]
    tags: tuple[Tag, ...] = ()


LEVEL = 4
"""Of compression: the next higher one saves a twentieth of the bytes and costs a tenth of a millisecond a page."""


def draw(page: Page, artifact: bool = False) -> Drawn:
    """Draws a page: the same bytes for the same marks, whatever else a document holds. `artifact`: nothing on it is read to who
    cannot see it, as in a second layer."""
    used: dict[Face, set[str]] = {face: set() for face in FACES}
    pen = _Pen(page.paper.height, used, artifact, page.language)
    content = f"q\n{pen.draw(page.marks)}\nQ\n"
    return Drawn(
        page.paper.width,
        page.paper.height,
        zlib.compress(content.encode("latin-1"), LEVEL),
        tuple((face, "".join(sorted(used[face]))) for face in FACES if used[face]),
        page.label,
        page.entries,
        tuple(pen.tags),
    )
