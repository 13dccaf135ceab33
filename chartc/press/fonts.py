"""The used part of each face, embedded in a document (ISO 32000-1, 9.6 to 9.10)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from chartc.press.letters import code, font_name
from chartc.press.objects import Objects, deflated, number
from chartc.type import faces
from chartc.type.faces import FACES, Face

_BLOCK = 100
"""The most characters that one block of a map from codes to text may have."""


def embed(objects: Objects, used: Mapping[Face, set[str]]) -> int:
    """Writes each used face with our own codes, holding the used characters only. The number of the table of fonts."""
    entries: list[bytes] = []
    for face in FACES:
        # the space stands in every subset, whichever text wants it
        placed = {code(face, c): ord(c) for c in used[face] if c not in " \N{NO-BREAK SPACE}"}
        for n in range(max((subset for subset, _ in placed), default=0) + 1 if used[face] else 0):
            codes = {32: 32} | {at: char for (subset, at), char in placed.items() if subset == n}
            characters = tuple(codes.get(at, 0) for at in range(max(codes) + 1))
            entries.append(b"/%s+%d %d 0 R" % (font_name(face).encode(), n, _font(objects, face, n, characters)))
    return objects.add(b"<< %s >>" % b" ".join(entries))


def _font(objects: Objects, face: Face, subset: int, characters: tuple[int, ...]) -> int:
    """Writes a subset of a face; the number of its font."""
    own = faces.font(face).face
    # six capitals tell that it is a part of the face only, and which
    letters = "".join(chr(65 + subset // 26**k % 26) for k in range(5, -1, -1))
    name = f"{letters}+{own.name.decode()}".encode()
    program, size, words = _written(face, characters)
    file = objects.stream(program, b" /Length1 %d" % size)
    to_text = objects.stream(words)
    box = b" ".join(map(number, own.bbox))
    # its codes are our own, which the format calls symbolic
    descriptor = objects.add(
        b"<< /Type /FontDescriptor /FontName /%s /Flags %d /FontBBox [%s] /ItalicAngle %s /Ascent %s /Descent %s"
        b" /CapHeight %s /StemV %s /MissingWidth %s /FontFile2 %d 0 R >>"
        % (
            name, own.flags & ~32 | 4, box, number(own.italicAngle), number(own.ascent), number(own.descent),
            number(own.capHeight), number(own.stemV), number(own.defaultWidth), file,
        )
    )  # fmt: skip
    widths = b" ".join([number(own.getCharWidth(c)) if c else b"0" for c in characters])
    return objects.add(
        b"<< /Type /Font /Subtype /TrueType /BaseFont /%s /FirstChar 0 /LastChar %d /Widths [%s] /FontDescriptor %d 0 R"
        b" /ToUnicode %d 0 R >>" % (name, len(characters) - 1, widths, descriptor, to_text)
    )


@lru_cache(maxsize=64)
def _written(face: Face, characters: tuple[int, ...]) -> tuple[bytes, int, bytes]:
    """The face's program with these characters at their codes, how long it is, and the map from codes to text; both compressed."""
    program: bytes = faces.font(face).face.makeSubset(list(characters))
    return deflated(program), len(program), deflated(_to_text(characters))


def _to_text(characters: tuple[int, ...]) -> bytes:
    """The map by which a reader finds the text that was set in our codes."""
    lines = [f"<{at:02X}> <{chr(c).encode('utf-16-be').hex().upper()}>" for at, c in enumerate(characters) if c]
    blocks = [lines[k : k + _BLOCK] for k in range(0, len(lines), _BLOCK)]
    said = "\n".join("\n".join((f"{len(b)} beginbfchar", *b, "endbfchar")) for b in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<00> <FF>\nendcodespacerange\n"
        f"{said}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    ).encode("ascii")
