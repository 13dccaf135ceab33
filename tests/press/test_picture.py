"""Pictures of pages."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import pytest

from chartc.cli import main
from chartc.press import pdf
from chartc.press.picture import DPI, page_count, picture, png
from chartc.sheet import a4
from chartc.sheet.marks import Block, Page

EXAMPLE = Path(__file__).parents[2] / "examples" / "pole-and-paddle.chartc"


def read(data: bytes) -> tuple[int, int, list[bytes]]:
    """Width, height and rows of a grey PNG as ISO/IEC 15948 defines it, checksums checked."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    place = 8
    chunks: dict[bytes, bytes] = {}
    while place < len(data):
        (size,) = struct.unpack(">I", data[place : place + 4])
        name, body = data[place + 4 : place + 8], data[place + 8 : place + 8 + size]
        assert struct.unpack(">I", data[place + 8 + size : place + 12 + size])[0] == zlib.crc32(name + body)
        chunks[name] = body
        place += 12 + size
    width, height, depth, color, *rest = struct.unpack(">IIBBBBB", chunks[b"IHDR"])
    assert (depth, color, rest) == (8, 0, [0, 0, 0])
    raw = zlib.decompress(chunks[b"IDAT"])
    rows: list[bytes] = []
    above = bytes(width)
    for n in range(height):
        line = raw[n * (width + 1) : (n + 1) * (width + 1)]
        assert line[0] == 2
        above = bytes((a + b) & 255 for a, b in zip(line[1:], above, strict=True))
        rows.append(above)
    return width, height, rows


def test_rows_come_out_as_they_went_in() -> None:
    """Protects the file's form, with rows that are padded: read back by a reader of the standard, the greys are the same."""
    grey = bytes(range(0, 200, 2))
    assert read(png(7, 10, 10, grey)) == (7, 10, [grey[n * 10 : n * 10 + 7] for n in range(10)])


def test_the_picture_shows_the_page() -> None:
    """Protects what is seen: the size of the paper at the resolution, black where a block is, white elsewhere."""
    page = Page(a4, (Block(72, 144, 72, 72, "bar"),), "1")
    width, height, rows = read(picture(pdf([page], "x")))
    assert (width, height) == (round(a4.width * DPI / 72), round(a4.height * DPI / 72))
    scale = DPI // 72
    assert rows[180 * scale][108 * scale] == 0
    assert rows[100 * scale][108 * scale] == 255


def test_build_puts_a_picture_of_every_page_beside_the_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects `--png`, with `--large` and `--landscape`: one picture a page, lying, numbered; without the library it says what to
    install and writes nothing."""
    options = ["--out", str(tmp_path), "--sheet", "chords,numbers", "--keys", "F, G", "--png", "--landscape", "--large"]
    assert main(["build", str(EXAMPLE), *options]) == 0
    names = sorted(p.name for p in tmp_path.glob("*.p*"))
    pictures = [n for n in names if n.endswith(".png")]
    assert {n for n in names if n.endswith(".pdf")} == {
        "pole-and-paddle-F-chords.pdf", "pole-and-paddle-G-chords.pdf", "pole-and-paddle-F-numbers.pdf",
    }  # fmt: skip
    assert "pole-and-paddle-F-numbers-1.png" in pictures
    width, height, _ = read((tmp_path / "pole-and-paddle-G-chords-1.png").read_bytes())
    assert width > height
    other = tmp_path / "other"
    monkeypatch.setattr("chartc.press.picture.NEEDED", "no_such_library_anywhere")
    assert main(["build", str(EXAMPLE), "--out", str(other), "--png"]) == 2
    assert "chartc[preview]" in capsys.readouterr().err
    assert not list(other.glob("*.pdf"))


def test_a_book_has_pictures_too(tmp_path: Path) -> None:
    """Protects the phone on the stand: every page of a book has its picture beside it, also where only the pictures are new, and
    one that was lost comes back."""
    (tmp_path / "list.yaml").write_text(f"songbook: One\ncharts: [{EXAMPLE}]\n", encoding="utf-8")
    command = ["build", str(tmp_path / "list.yaml"), "--out", str(tmp_path / "out")]
    assert main(command) == 0
    assert not list((tmp_path / "out").glob("*.png"))
    assert main([*command, "--png"]) == 0
    pages = page_count((tmp_path / "out" / "list.pdf").read_bytes())
    pictures = {p.name: p.read_bytes() for p in (tmp_path / "out").glob("*.png")}
    assert set(pictures) == {f"list-{n}.png" for n in range(1, pages + 1)}
    assert len(set(pictures.values())) == pages > 2
    (tmp_path / "out" / "list-2.png").unlink()
    assert main([*command, "--png"]) == 0
    assert (tmp_path / "out" / "list-2.png").read_bytes() == pictures["list-2.png"]
