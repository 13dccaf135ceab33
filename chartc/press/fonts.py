"""The used part of each face, embedded in a document (ISO 32000-1, 9.6 to 9.10)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache, lru_cache

from chartc.press.letters import code, font_name
from chartc.press.objects import Objects, deflated, number
from chartc.type import faces
from chartc.type.faces import FACES, Face

_BLOCK = 100
"""The most lines that one block of a map from codes to text may have."""

_SHORT = 16
"""A map of no more lines is short."""


def embed(objects: Objects, used: Mapping[Face, set[str]]) -> int:
    """Writes each used face with our own codes, holding the used characters only. The number of the table of fonts."""
    entries: list[bytes] = []
    # faces with the same characters share their map from codes to text
    maps: dict[bytes, int] = {}
    for face in FACES:
        # the space stands in every subset, whichever text wants it, and in the first one where no other character does
        placed = {code(face, c): ord(c) for c in used[face] if c not in " \N{NO-BREAK SPACE}"}
        for n in sorted({subset for subset, _ in placed} | {0}) if used[face] else ():
            codes = {32: 32} | {at: char for (subset, at), char in placed.items() if subset == n}
            characters = tuple(codes.get(at, 0) for at in range(max(codes) + 1))
            entries.append(b"/%s+%d %d 0 R" % (font_name(face).encode(), n, _font(objects, face, n, characters, maps)))
    return objects.add(b"<< %s >>" % b" ".join(entries))


def _font(objects: Objects, face: Face, subset: int, characters: tuple[int, ...], maps: dict[bytes, int]) -> int:
    """Writes a subset of a face; the number of its font. `maps` are the maps from codes to text written so far."""
    own = faces.font(face).face
    # six capitals tell that it is a part of the face only, and which
    letters = "".join(chr(65 + subset // 26**k % 26) for k in range(5, -1, -1))
    name = f"{letters}+{own.name.decode()}".encode()
    program, size, words = _written(face, subset, characters)
    file = objects.stream(program, b" /Length1 %d" % size)
    if words not in maps:
        maps[words] = objects.stream(words)
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
    widths = b" ".join([number(own.getCharWidth(c)) if c else b"0" for c in characters[32:]])
    return objects.add(
        b"<< /Type /Font /Subtype /TrueType /BaseFont /%s /FirstChar 32 /LastChar %d /Widths [%s] /FontDescriptor %d 0 R"
        b" /ToUnicode %d 0 R >>" % (name, len(characters) - 1, widths, descriptor, maps[words])
    )


@lru_cache(maxsize=64)
def _written(face: Face, subset: int, characters: tuple[int, ...]) -> tuple[bytes, int, bytes]:
    """The face's program with these characters at their codes, how long it is, and the map from codes to text; both compressed."""
    program: bytes = faces.font(face).face.makeSubset(list(characters))
    used = {at for at, character in enumerate(characters) if character}
    runs = _runs(face, subset)
    # a short map is written whole, so that it is the same for more faces
    said = runs if len(runs) <= _SHORT else [run for run in runs if used & run.keys()]
    return deflated(program), len(program), deflated(_to_text(said))


@cache
def _runs(face: Face, subset: int) -> list[dict[int, int]]:
    """A subset's characters by their codes, in runs in which both follow one another; in a run the last byte of the characters in
    UTF-16 does not begin anew."""
    out: list[dict[int, int]] = []
    places = {code(face, chr(c)): c for c in faces.widths(face) if c != 0xA0}
    for (own, at), c in sorted(places.items()):
        if own != subset:
            continue
        if not out or out[-1].get(at - 1) != c - 1 or c % 256 == 0:
            out.append({})
        out[-1][at] = c
    return out


def _to_text(runs: Sequence[Mapping[int, int]]) -> bytes:
    """The map by which a reader finds the text that was set in our codes."""
    lines = [f"<{min(r):02X}> <{max(r):02X}> <{chr(r[min(r)]).encode('utf-16-be').hex().upper()}>" for r in runs]
    blocks = [lines[k : k + _BLOCK] for k in range(0, len(lines), _BLOCK)]
    said = "\n".join("\n".join((f"{len(b)} beginbfrange", *b, "endbfrange")) for b in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<00> <FF>\nendcodespacerange\n"
        f"{said}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    ).encode("ascii")
