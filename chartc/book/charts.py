"""The sheets of charts, a file for each key, way and kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from chartc.book.builder import Band, Run, task_key
from chartc.book.gather import Entry
from chartc.book.make import Facts, Made, Task, Wanted
from chartc.book.pool import Failed
from chartc.press import Drawn, Leaf, bind
from chartc.sheet import ONE_FOR_ALL
from chartc.store.stamp import digest
from chartc.text.diagnostic import Diagnostic, has_errors

Step = Callable[[str, bool], None]
"""Told after each chart: its name, and whether it failed."""


@dataclass(slots=True)
class Outcome:
    """What came of a build beside files: findings, what could not be read or written (name and words), what a defect cut short, and the names of
    charts that were not built."""

    found: list[Diagnostic] = field(default_factory=list)
    trouble: list[tuple[str, str]] = field(default_factory=list)
    defects: list[tuple[str, str]] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)


def build_charts(
    run: Run,
    entries: Sequence[Entry],
    band: Band,
    wanted: Wanted,
    together: bool,
    out: Path,
    step: Step,
    png: bool = False,
) -> Outcome:
    """Builds every chart; one that is wrong writes nothing and does not stop the others."""
    outcome = Outcome()
    jobs: list[tuple[Band, Task]] = []
    places: list[Entry] = []
    for entry in entries:
        try:
            jobs.append((band, Task(entry.name, run.read(str(entry.path)), wanted)))
            places.append(entry)
        except OSError as error:
            outcome.trouble.append((entry.name, error.strerror or str(error)))
            outcome.failed.append(entry.name)
            step(entry.name, True)
    files: dict[int, list[str]] = {}
    for n, result in run.results(jobs):
        entry = places[n]
        before = len(run.files)
        bad = isinstance(result, Failed)
        if isinstance(result, Failed):
            outcome.defects.append((entry.name, result.words))
        else:
            outcome.found.extend(result.found)
            bad = has_errors(result.found)
            for path, origin, data in _documents(entry.stem, result, task_key(*jobs[n]), together, out, png):
                try:
                    run.write(path, origin, data)
                except OSError as error:
                    bad = True
                    outcome.trouble.append((str(path), error.strerror or str(error)))
        files[n] = run.files[before:]
        if bad:
            outcome.failed.append(entry.name)
        step(entry.name, bad)
    # as listed, whatever was ready first
    run.files[len(run.files) - sum(map(len, files.values())) :] = [f for n in sorted(files) for f in files[n]]
    order = {e.name: n for n, e in enumerate(entries)}
    outcome.failed.sort(key=lambda name: order[name])
    return outcome


Document = tuple[Path, str, Callable[[], bytes]]
"""Where a document goes, what it is made from, and how it is made."""


def _documents(stem: str, made: Made, origin: str, together: bool, out: Path, png: bool) -> Iterator[Document]:
    for kind in dict.fromkeys(s.kind for s in made.sheets):
        sheets = [s for s in made.sheets if s.kind == kind]
        for s in sheets:
            f = made.facts[s.part]
            way = f"-way-{f.way}" if f.way > 1 else ""
            name = f"{stem}-{f.file_word}{way}-{kind}.pdf"
            title = f.title if kind in ONE_FOR_ALL else f"{f.title} ({f.key})"
            yield _document(out / name, origin, s.pages, title, f)
            if png:
                yield from _pictures(out / name, origin, s.pages)
        if together:
            pages = tuple(page for s in sheets for page in s.pages)
            f = made.facts[0]
            yield _document(out / f"{stem}-all-{kind}.pdf", origin, pages, f.title, f)

    for file in made.files:
        f = made.facts[file.part]
        way = f"-way-{f.way}" if f.way > 1 else ""
        path = out / f"{stem}-{f.file_word}{way}-backup{file.ending}"
        yield path, _digest(origin, path), partial(bytes, file.data)


def _pictures(path: Path, origin: str, pages: Sequence[Drawn]) -> Iterator[Document]:
    """A picture of each page, beside the document that has them."""
    from chartc.press.picture import picture

    for number, page in enumerate(pages, 1):
        to = path.with_name(f"{path.stem}-{number}.png")
        yield to, _digest(origin, to), partial(_picture, picture, page)


def _picture(make: Callable[[bytes], bytes], page: Drawn) -> bytes:
    return make(bind([Leaf(page)], ""))


def _document(path: Path, origin: str, pages: Sequence[Drawn], title: str, facts: Facts) -> Document:
    return path, _digest(origin, path), lambda: bind([Leaf(p) for p in pages], title, facts.credit)


def _digest(origin: str, path: Path) -> str:
    """What a file is made from: the task, and which of its files it is; a name may hold bytes that are no UTF-8."""
    return digest(f"{origin} {path.name}".encode("utf-8", "surrogateescape"))
