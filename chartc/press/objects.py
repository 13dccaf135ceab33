"""A PDF file in the making: numbered objects, most of them packed together, then the table that says where each is (ISO 32000-1, 7.5).

Written by hand, because a songbook has tens of thousands of objects and each of them is a line of bytes.
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from functools import lru_cache

_NOWHERE = (-1, 0, 0)

TOGETHER = 250
"""The most objects that are packed into one stream: a reader that wants one of them unpacks the others too."""


class Objects:
    """Collects the objects of a file. An object may be named by its number before it is put in; each number is put in once."""

    def __init__(self) -> None:
        # bytes above 127 tell whoever transports the file that it is no text
        head = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"
        self._parts = [head]
        self._size = len(head)
        # by number: 1, where the object begins, 0; or 2, the number of the stream it is packed into, and its place there. Object 0,
        # which no file has, begins the list of those that are free
        self._places = [(0, 0, 65535)]
        self._waiting: list[tuple[int, bytes]] = []

    def numbers(self, count: int = 1) -> int:
        """The first of so many new numbers, which follow one another."""
        first = len(self._places)
        self._places += [_NOWHERE] * count
        return first

    def put(self, number: int, body: bytes) -> None:
        """Takes the object of that number, which is no stream."""
        self._waiting.append((number, body))
        if len(self._waiting) == TOGETHER:
            self._pack()

    def add(self, body: bytes) -> int:
        """Takes an object that is no stream; its number."""
        number = self.numbers()
        self.put(number, body)
        return number

    def stream(self, compressed: bytes, more: bytes = b"") -> int:
        """Writes a stream that zlib has compressed, with `more` entries in its dictionary; its number."""
        own = self.numbers()
        self._stream(own, compressed, more)
        return own

    def _stream(self, own: int, compressed: bytes, more: bytes) -> None:
        self._places[own] = (1, self._size, 0)
        head = b"%d 0 obj\n<< /Length %d /Filter /FlateDecode%s >>\nstream\n" % (own, len(compressed), more)
        end = b"\nendstream\nendobj\n"
        self._size += len(head) + len(compressed) + len(end)
        self._parts += (head, compressed, end)

    def _pack(self) -> None:
        """Writes the objects that wait as one stream (7.5.7): one object is much like the next, so they are compressed together."""
        if not self._waiting:
            return
        places: list[bytes] = []
        at = 0
        for number, body in self._waiting:
            places.append(b"%d %d" % (number, at))
            at += len(body) + 1
        head = b" ".join(places) + b"\n"
        inside = deflated(head + b"\n".join([body for _, body in self._waiting]))
        own = self.stream(inside, b" /Type /ObjStm /N %d /First %d" % (len(places), len(head)))
        for place, (number, _) in enumerate(self._waiting):
            self._places[number] = (2, own, place)
        self._waiting.clear()

    def end(self, root: int, info: int) -> bytes:
        """The whole file; `root` and `info` are the numbers of its catalog and of what is said about it."""
        self._pack()
        missing = [n for n, place in enumerate(self._places) if place is _NOWHERE]
        assert not missing, f"objects that were named but not written: {missing[:5]}"
        # the same file has the same name wherever and whenever it is made
        digest = hashlib.sha256()
        for part in self._parts:
            digest.update(part)
        name = digest.hexdigest()[:32].encode()
        begin, own = self._size, self.numbers()
        self._places[own] = (1, begin, 0)
        said = (len(self._places), _ROW.size, root, info, name, name)
        self._stream(
            own,
            _table(self._places),
            b" /Type /XRef /Size %d /W [1 4 2] /DecodeParms << /Predictor 12 /Columns %d >> /Root %d 0 R /Info %d 0 R /ID [<%s> <%s>]"
            % said,
        )
        self._parts.append(b"startxref\n%d\n%%%%EOF\n" % begin)
        return b"".join(self._parts)


_ROW = struct.Struct(">BIH")


def _table(places: list[tuple[int, int, int]]) -> bytes:
    """The table of all objects as a stream holds it (7.5.8): each row as what must be added to the bytes of the one before, as nearly
    all of them are alike (7.4.4.4; the first byte of a row says so)."""
    rows = b"".join([_ROW.pack(*place) for place in places])
    size = _ROW.size
    steps = bytes([(new - old) & 255 for new, old in zip(rows, bytes(size) + rows, strict=False)])
    return deflated(b"".join([b"\2" + steps[at : at + size] for at in range(0, len(steps), size)]))


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


def squeezed(compressed: bytes) -> bytes:
    """The same data as a stream holds it, in as few bytes as zlib can."""
    return zlib.compress(zlib.decompress(compressed), 9)
