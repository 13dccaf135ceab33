"""A PDF file's objects, read as a reader does: from the end, by the table, without any code of the program."""

from __future__ import annotations

import re
import zlib


def objects(data: bytes) -> dict[int, bytes]:
    """Every object of a file by its number: all between `obj` and `endobj`, or what a stream of objects has of it. Form of the table:
    ISO 32000-1, 7.5.8; of the streams of objects: 7.5.7."""
    end = re.search(rb"startxref\n(\d+)\n%%EOF\n\Z", data)
    assert end is not None
    table = _whole(data, int(end[1]))[1]
    assert b"/Type /XRef" in table
    rows = _rows(table)
    assert len(rows) == _entry(table, b"Size")
    assert rows[0] == (0, 0, 65535)
    out: dict[int, bytes] = {}
    packed: dict[int, list[tuple[int, bytes]]] = {}
    for number, (kind, where, place) in enumerate(rows[1:], 1):
        if kind == 1:
            own, out[number] = _whole(data, where)
            assert (own, place) == (number, 0)
        else:
            assert kind == 2
            if where not in packed:
                packed[where] = _packed(_whole(data, rows[where][1])[1])
            own, out[number] = packed[where][place]
            assert own == number
    assert sum(map(len, packed.values())) == sum(kind == 2 for kind, _, _ in rows)
    return out


def inside(thing: bytes) -> bytes:
    """What a stream holds."""
    begin = thing.index(b"stream\n") + len(b"stream\n")
    assert thing[begin + _entry(thing, b"Length") :] == b"\nendstream"
    return zlib.decompress(thing[begin : -len(b"\nendstream")])


def without_fonts(data: bytes) -> int:
    """A file's size in bytes, but for what its fonts' programs take."""
    things = objects(data)
    programs = {int(m[1]) for thing in things.values() for m in re.finditer(rb"/FontFile2 (\d+) 0 R", thing)}
    assert programs
    return len(data) - sum(_entry(things[number], b"Length") for number in programs)


def _entry(thing: bytes, name: bytes) -> int:
    found = re.search(rb"/%s (\d+)" % name, thing)
    assert found is not None
    return int(found[1])


def _whole(data: bytes, begin: int) -> tuple[int, bytes]:
    """The object that begins there: its number, and what stands in it. A stream says itself how long it is."""
    head = re.compile(rb"(\d+) 0 obj\n").match(data, begin)
    assert head is not None
    stream = re.compile(rb"<<[^\n]*>>\nstream\n").match(data, head.end())
    end = data.index(b"\nendobj\n", stream.end() + _entry(stream[0], b"Length") if stream else head.end())
    return int(head[1]), data[head.end() : end]


def _rows(table: bytes) -> list[tuple[int, int, int]]:
    widths = re.search(rb"/W \[(\d+) (\d+) (\d+)\]", table)
    assert widths is not None
    a, b, c = (int(w) for w in widths.groups())
    wide = a + b + c
    assert b"/Predictor 12 /Columns %d " % wide in table
    raw = inside(table)
    before = bytes(wide)
    out = []
    for at in range(0, len(raw), wide + 1):
        assert raw[at] == 2
        before = bytes((x + y) % 256 for x, y in zip(before, raw[at + 1 : at + 1 + wide], strict=True))
        out.append(tuple(int.from_bytes(before[i:k]) for i, k in ((0, a), (a, a + b), (a + b, wide))))
    return [(kind, where, place) for kind, where, place in out]


def _packed(thing: bytes) -> list[tuple[int, bytes]]:
    """The objects of a stream of objects, with their numbers, in order."""
    assert b"/Type /ObjStm" in thing
    content, first = inside(thing), _entry(thing, b"First")
    numbers = [int(word) for word in content[:first].split()]
    assert len(numbers) == 2 * _entry(thing, b"N")
    begins = numbers[1::2]
    ends = [*begins[1:], len(content) - first]
    return [
        (number, content[first + begin : first + end].rstrip(b"\n"))
        for number, begin, end in zip(numbers[::2], begins, ends, strict=True)
    ]
