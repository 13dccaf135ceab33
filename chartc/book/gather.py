"""Which charts a command means, and what their outputs are called."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

SUFFIX = ".chartc"


@dataclass(frozen=True, slots=True)
class Entry:
    """A chart to be built: where it is, how the user named it, and the beginning of its outputs' names (with a folder where two
    charts have one name)."""

    path: Path
    name: str
    stem: str


@dataclass(frozen=True, slots=True)
class Gathered:
    """The charts in order, and what could not be used, in words."""

    entries: tuple[Entry, ...]
    problems: tuple[str, ...]


def gather(paths: Sequence[str]) -> Gathered:
    """All charts that the paths mean: a chart, or a folder with all charts below it, in order of name; each chart once."""
    found: dict[Path, str] = {}
    problems: list[str] = []
    for text in paths:
        path = Path(text)
        if path.is_dir():
            below = sorted(p for p in path.rglob(f"*{SUFFIX}") if p.is_file())
            if not below:
                problems.append(f"{text}: there is no chart (*{SUFFIX}) in this folder or below it")
            for p in below:
                found.setdefault(p.resolve(), str(p))
        elif not path.exists():
            problems.append(f"{text}: there is no such file or folder")
        elif path.suffix in (".yaml", ".yml"):
            problems.append(
                f"{text}: set lists and songbooks cannot be built yet; give charts (*{SUFFIX}) or a folder of them"
            )
        else:
            found.setdefault(path.resolve(), text)
    return Gathered(tuple(_named(found)), tuple(problems))


def _named(found: dict[Path, str]) -> list[Entry]:
    # names that differ only in case are one name on many disks
    count = Counter(p.stem.lower() for p in found)
    out = []
    for path, name in found.items():
        stem = path.stem
        if count[stem.lower()] > 1:
            others = [str(p.parent) for p in found if p.stem.lower() == stem.lower()]
            common = os.path.commonpath(others)
            stem = (path.parent.relative_to(common) / stem).as_posix()
        out.append(Entry(path, name, stem))
    return out
