"""A document's outline: what readers show beside the pages to leap by (ISO 32000-1, 12.3.3)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from chartc.press.objects import Objects, text


class Item(NamedTuple):
    """A line of the outline: its words, how deep it stands (no more than one step deeper than the one before), where it leads to
    as a destination of the document, and whether what is below it is shown at first."""

    words: str
    depth: int
    to: bytes
    opened: bool


def write_outline(objects: Objects, items: Sequence[Item]) -> int:
    """Writes the items in their order; the number of the outline, 0 where there are none."""
    if not items:
        return 0
    root = objects.numbers(len(items) + 1)
    kids: list[list[int]] = [[] for _ in range(len(items) + 1)]
    parents: list[int] = []
    above = [0]
    for n, item in enumerate(items, 1):
        del above[item.depth + 1 :]
        parents.append(above[-1])
        kids[above[-1]].append(n)
        above.append(n)
    # how many lines are shown below each when it is opened; those below come later, so backwards
    below = [0] * (len(items) + 1)
    for n in range(len(items), 0, -1):
        below[parents[n - 1]] += 1 + (below[n] if items[n - 1].opened else 0)
    beside: dict[int, bytes] = {}
    for row in kids:
        for k, n in enumerate(row):
            before = b" /Prev %d 0 R" % (root + row[k - 1]) if k else b""
            beside[n] = before + (b" /Next %d 0 R" % (root + row[k + 1]) if k + 1 < len(row) else b"")
    objects.put(root, b"<< /Type /Outlines%s >>" % _kids(kids[0], root, below[0]))
    for n, item in enumerate(items, 1):
        inside = _kids(kids[n], root, below[n] if item.opened else -below[n]) if kids[n] else b""
        where = (root + parents[n - 1], item.to, beside[n], inside)
        objects.put(root + n, b"<< /Title %s /Parent %d 0 R /Dest %s%s%s >>" % (text(item.words), *where))
    return root


def _kids(row: Sequence[int], root: int, count: int) -> bytes:
    return b" /First %d 0 R /Last %d 0 R /Count %d" % (root + row[0], root + row[-1], count)
