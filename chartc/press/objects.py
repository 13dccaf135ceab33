"""A PDF file in the making: numbered objects one after the other, then the table that says where each begins (ISO 32000-1, 7.5).

Written by hand, because a songbook has tens of thousands of objects and each of them is a line of bytes.
"""

from __future__ import annotations

import hashlib
import zlib
from functools import lru_cache


class Objects:
    """Collects the objects of a file. An object may be named by its number before it is put in; each number is put in once."""

    def __init__(self) -> None:
        # bytes above 127 tell whoever transports the file that it is no text
        head = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"
        self._parts = [head]
        self._size = len(head)
        # the table's first line stands for object 0, which no file has
        self._begins = [0]

    def numbers(self, count: int = 1) -> int:
        """The first of so many new numbers, which follow one another."""
        first = len(self._begins)
        self._begins += [0] * count
        return first

    def put(self, number: int, body: bytes) -> None:
        """Writes the object of that number."""
        whole = b"%d 0 obj\n%s\nendobj\n" % (number, body)
        self._begins[number] = self._size
        self._size += len(whole)
        self._parts.append(whole)

    def add(self, body: bytes) -> int:
        """Writes an object; its number."""
        number = self.numbers()
        self.put(number, body)
        return number

    def stream(self, compressed: bytes, more: bytes = b"") -> int:
        """Writes a stream that zlib has compressed, with `more` entries in its dictionary; its number."""
        own = self.numbers()
        head = b"%d 0 obj\n<< /Length %d /Filter /FlateDecode%s >>\nstream\n" % (own, len(compressed), more)
        end = b"\nendstream\nendobj\n"
        self._begins[own] = self._size
        self._size += len(head) + len(compressed) + len(end)
        self._parts += (head, compressed, end)
        return own

    def end(self, root: int, info: int) -> bytes:
        """The whole file; `root` and `info` are the numbers of its catalog and of what is said about it."""
        missing = [n for n, begin in enumerate(self._begins) if n and not begin]
        assert not missing, f"objects that were named but not written: {missing[:5]}"
        body = b"".join(self._parts)
        # the same file has the same name wherever and whenever it is made
        name = hashlib.sha256(body).hexdigest()[:32].encode()
        table = b"".join([b"%010d 00000 n \n" % begin for begin in self._begins[1:]])
        count = len(self._begins)
        trailer = b"<< /Size %d /Root %d 0 R /Info %d 0 R /ID [<%s> <%s>] >>" % (count, root, info, name, name)
        return b"%sxref\n0 %d\n0000000000 65535 f \n%strailer\n%s\nstartxref\n%d\n%%%%EOF\n" % (
            body, count, table, trailer, self._size,
        )  # fmt: skip


_ESCAPED = {n: f"\\{n:03o}" for n in (*range(32), 127)} | {ord(c): "\\" + c for c in "()\\"}


@lru_cache(maxsize=16_384)
def text(words: str) -> bytes:
    """Words that a reader shows, as a string object: plain where they are ASCII, else UTF-16 with its mark."""
    if words.isascii():
        return b"(%s)" % words.translate(_ESCAPED).encode("ascii")
    return b"<FEFF%s>" % words.encode("utf-16-be", "replace").hex().upper().encode()


def number(value: float) -> bytes:
    """A length in points, to a thousandth."""
    return f"{value:.3f}".rstrip("0").rstrip(".").encode()


def references(numbers: list[int]) -> bytes:
    """An array of references to objects."""
    return b"[%s]" % b" ".join([b"%d 0 R" % n for n in numbers])


def deflated(data: bytes) -> bytes:
    """Data as a stream holds it."""
    return zlib.compress(data)
