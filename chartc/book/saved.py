"""What a task made as bytes, and back: for the cache. Plain data only: nothing in it can run."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

from chartc.book.make import Facts, File, Made, Sheet, Task
from chartc.press import Drawn
from chartc.sheet.marks import Entry
from chartc.text.kept import keep, restore


def to_bytes(made: Made, task: Task) -> bytes:
    """What a task made: a line of JSON, then the pages' contents."""
    blobs: list[bytes] = []

    def blob(data: bytes) -> int:
        blobs.append(data)
        return len(data)

    def drawn(page: Drawn) -> list[Any]:
        entries = [[e.words, e.depth, e.y] for e in page.entries]
        return [page.width, page.height, blob(page.content), page.used, page.label, entries, page.tags]

    head = [
        [dataclasses.astuple(f) for f in made.facts],
        [[s.part, s.kind, [drawn(p) for p in s.pages]] for s in made.sheets],
        keep(made.found),
        task.name,
        [[f.part, f.ending, blob(f.data)] for f in made.files],
    ]
    # the name of a file may hold bytes that are no UTF-8; they pass as Python keeps them
    line = json.dumps(head, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")
    return line + b"\n" + b"".join(blobs)


def from_bytes(data: bytes, task: Task) -> Made:
    """What the task made when it was done before. Raises ValueError where the bytes are none of this program's."""
    try:
        end = data.index(b"\n")
        facts, sheets, kept, name, files = json.loads(data[:end])
        place = end + 1

        def blob(size: int) -> bytes:
            nonlocal place
            place += size
            return data[place - size : place]

        def drawn(page: list[Any]) -> Drawn:
            width, height, size, used, label, entries, tags = page
            content = blob(size)
            pairs = tuple((face, characters) for face, characters in used)
            read = tuple((role, tuple(numbers), language) for role, numbers, language in tags)
            return Drawn(width, height, content, pairs, label, tuple(Entry(*e) for e in entries), read)

        made = Made(
            tuple(Facts(*f) for f in facts),
            tuple(Sheet(part, kind, tuple(drawn(p) for p in pages)) for part, kind, pages in sheets),
            restore(kept, {name: task.name}),
            tuple(File(part, ending, blob(size)) for part, ending, size in files),
        )
    except (TypeError, KeyError, AttributeError) as error:
        raise ValueError(str(error)) from None
    if place != len(data):
        raise ValueError("bytes are missing or too many")
    return made
