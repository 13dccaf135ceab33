"""A document's structure for who cannot see it: title, facts, sections and chords in order, as PDF 1.7 (ISO 32000-1, 14.7) asks
for it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from chartc.press.draw import Tag
from chartc.press.objects import Objects, references, text


class Structure:
    """Collects the tags of the pages, and puts the tree into the file."""

    def __init__(self, objects: Objects) -> None:
        self._objects = objects
        self.root = objects.numbers(2)
        """The number of the tree."""
        self._all = self.root + 1
        self._kids: list[int] = []
        self._parents: list[bytes] = []

    def page(self, index: int, page: int, tags: Sequence[Tag]) -> None:
        """The tags of the page `index` (from 0), which is the object `page`."""
        first = self._objects.numbers(len(tags))
        parents: dict[int, int] = {}
        put, end = self._objects.put, b" /P %d 0 R /Pg %d 0 R >>" % (self._all, page)
        for own, tag in enumerate(tags, first):
            put(own, _begun(tag) + end)
            for number in tag[1]:
                parents[number] = own
        self._kids += range(first, first + len(tags))
        self._parents.append(b"%d %s" % (index, references([parents[n] for n in range(len(parents))])))

    def end(self) -> None:
        """Puts the tree into the file."""
        put, add = self._objects.put, self._objects.add
        put(self._all, b"<< /Type /StructElem /S /Document /P %d 0 R /K %s >>" % (self.root, references(self._kids)))
        parents = add(b"<< /Nums [%s] >>" % b"\n".join(self._parents))
        said = (self._all, parents, len(self._parents))
        put(self.root, b"<< /Type /StructTreeRoot /K %d 0 R /ParentTree %d 0 R /ParentTreeNextKey %d >>" % said)


@lru_cache(maxsize=1024)
def _begun(tag: Tag) -> bytes:
    """An element's role and contents: the pages of a book are tagged much alike."""
    role, numbers, language = tag
    kids = b" ".join([b"%d" % n for n in numbers])
    spoken = b" /Lang %s" % text(language) if language else b""
    return b"<< /S /%s%s /K %s" % (role.encode(), spoken, b"[%s]" % kids if len(numbers) > 1 else kids)
