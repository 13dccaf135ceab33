"""Which charts and books a command means, and what their outputs are called. Nothing heavy is imported: a build that has nothing to
do comes no further than this."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

SUFFIX = ".chartc"
BOOK_SUFFIXES = (".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class Entry:
    """A chart to be built: where it is, how the user named it, and the beginning of its outputs' names (with a folder where two
    charts have one name)."""

    path: Path
    name: str
    stem: str


@dataclass(frozen=True, slots=True)
class Gathered:
    """The charts in order, the files of set lists and songbooks as the user named them, and what could not be used, in words."""

    entries: tuple[Entry, ...]
    problems: tuple[str, ...]
    books: tuple[str, ...] = ()


def gather(paths: Sequence[str]) -> Gathered:
    """All charts that the paths mean: a chart, or a folder with all charts below it, in order of name; each chart once. A YAML file is
    taken for a set list or a songbook; whoever reads it will see."""
    found: dict[str, str] = {}
    problems: list[str] = []
    books: dict[str, str] = {}
    for text in paths:
        if os.path.isdir(text):
            below = charts_below(text)
            if not below:
                problems.append(f"{text}: there is no chart (*{SUFFIX}) in this folder or below it")
            root = os.path.realpath(text)
            for name in below:
                real = os.path.join(root, name)
                # only a link leads elsewhere than its name says; folders that are links are not entered
                found.setdefault(os.path.realpath(real) if os.path.islink(real) else real, os.path.join(text, name))
        elif not os.path.exists(text):
            problems.append(f"{text}: there is no such file or folder")
        elif text.endswith(BOOK_SUFFIXES):
            books.setdefault(os.path.realpath(text), text)
        else:
            found.setdefault(os.path.realpath(text), text)
    return Gathered(tuple(_named(found)), tuple(problems), tuple(books.values()))


def charts_below(folder: str) -> list[str]:
    """The charts in a folder and below it, relative to it, folder by folder in order of name. Folders that are links are not entered."""
    return ["/".join(parts) for parts in sorted(_below(folder))]


def _below(folder: str) -> Iterator[tuple[str, ...]]:
    # a list of what is left to do, not a function that calls itself: folders may lie deeper in each other than Python calls
    waiting: list[tuple[str, tuple[str, ...]]] = [(folder, ())]
    while waiting:
        path, above = waiting.pop()
        try:
            with os.scandir(path) as entries:
                for e in entries:
                    if e.is_dir(follow_symlinks=False):
                        waiting.append((e.path, (*above, e.name)))
                    elif e.name.endswith(SUFFIX) and _is_file(e):
                        yield (*above, e.name)
        except OSError:
            continue


def _is_file(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_file()
    except OSError:
        # a link that leads to itself must not hide its neighbours
        return False


def matching(base: str, word: str) -> list[str]:
    """The charts that a word in a file means, as paths from the folder `base` of the file: a chart, a folder with all charts below it, or a
    pattern such as `songs/*.chartc`; empty where there is none."""
    place = os.path.join(base, word)
    if os.path.isdir(place):
        return [os.path.join(word, name) for name in charts_below(place)]
    if os.path.isfile(place):
        return [word]
    if not any(c in word for c in "*?["):
        return []
    if "**" in word.split("/"):
        return _matching_below(base, word)
    import glob

    found = glob.glob(word, root_dir=base, recursive=True)
    return sorted(p for p in found if p.endswith(SUFFIX) and os.path.isfile(os.path.join(base, p)))


def _matching_below(base: str, word: str) -> list[str]:
    """The charts that a pattern with `**` (any number of folders) means. Links to folders are not entered: two that lead upwards would be
    without end."""
    parts = word.split("/")
    fixed = next(n for n, part in enumerate(parts) if any(c in part for c in "*?["))
    start, rest = "/".join(parts[:fixed]) or ("/" if fixed else ""), parts[fixed:]
    if rest[-1] == "**":
        # what lies in the folders is meant
        rest.append("*")
    names = charts_below(os.path.join(base, start) if start else base)
    return sorted(os.path.join(start, name) for name in names if _fits(name.split("/"), rest))


def _fits(names: Sequence[str], pattern: Sequence[str]) -> bool:
    """Whether a path, taken apart, is one that a pattern means; a wildcard means no name that begins with a dot."""
    from fnmatch import fnmatch

    def reached(places: set[int]) -> set[int]:
        """Adds where one comes by folders that need not be there."""
        for n, part in enumerate(pattern):
            if n in places and part == "**":
                places.add(n + 1)
        return places

    places = reached({0})
    for name in names:
        step: set[int] = set()
        for n in places:
            if n < len(pattern) and (pattern[n][:1] == "." or name[:1] != ".") and fnmatch(name, pattern[n]):
                step.add(n if pattern[n] == "**" else n + 1)
        places = reached(step)
    return len(pattern) in places


def relist(name: str) -> list[str]:
    """A listing again by its name: `charts`, a base and a word, or `paths` and the paths of a command, parted by zero bytes."""
    kind, *rest = name.split("\0")
    if kind == "charts":
        return matching(rest[0], rest[1])
    gathered = gather(rest)
    return [f"{e.name}\0{e.stem}" for e in gathered.entries] + list(gathered.problems) + list(gathered.books)


def _named(found: dict[str, str]) -> list[Entry]:
    # names that differ only in case are one name on many disks
    stems = {path: os.path.splitext(os.path.basename(path))[0] for path in found}
    count = Counter(s.lower() for s in stems.values())
    out = []
    for path, name in found.items():
        stem = stems[path]
        if count[stem.lower()] > 1:
            others = [os.path.dirname(p) for p in found if stems[p].lower() == stem.lower()]
            common = os.path.commonpath(others)
            stem = (Path(path).parent.relative_to(common) / stem).as_posix()
        out.append(Entry(Path(path), name, stem))
    return out
