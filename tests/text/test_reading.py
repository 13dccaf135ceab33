"""Bytes to text: encodings, sizes and places of bad bytes."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartc.text.diagnostic import Diagnostic, show
from chartc.text.reading import MAX_BYTES, decode, read


def _bad(data: bytes) -> Diagnostic:
    source, found = decode(data, "f")
    assert source is None
    assert len(found) == 1
    assert found[0].help
    assert found[0].severity == "error"
    return found[0]


def test_plain_text_is_read_as_it_stands() -> None:
    """UTF-8 comes through unchanged, flats and words of other scripts included."""
    source, found = decode("title  Ladder 歌 ♭\n".encode(), "f")
    assert found == ()
    assert source is not None
    assert source.text == "title  Ladder 歌 ♭\n"
    assert source.name == "f"


def test_a_byte_order_mark_is_no_part_of_the_text() -> None:
    """A mark that some editors write neither spoils the first word nor shifts its column."""
    source, found = decode(b"\xef\xbb\xbftitle x\n", "f")
    assert found == ()
    assert source is not None
    assert source.lines == ("title x",)


@pytest.mark.parametrize("codec", ["utf-16-le", "utf-16-be"])
def test_utf_16_is_named(codec: str) -> None:
    """A file saved in UTF-16 is told apart from a broken one, and the help says how to save it."""
    mark = "\N{ZERO WIDTH NO-BREAK SPACE}"
    found = _bad((mark + "title x\n").encode(codec))
    assert found.code == "file-encoding"
    assert "UTF-16" in found.message
    # without the mark it has zero bytes and is taken for what it looks like
    assert _bad("title x\n".encode(codec)).code == "file-binary"


def test_a_binary_file_is_refused() -> None:
    """A PDF or a picture given by mistake makes one finding, not thousands."""
    assert _bad(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR").code == "file-binary"


@pytest.mark.parametrize("data", [b"", b"\n", b" \t\r\n\n", b"\xef\xbb\xbf", b"\xef\xbb\xbf \n"])
def test_an_empty_file_is_named(data: bytes) -> None:
    """Nothing, blanks and a lone byte-order mark are all an empty file, with an example of a first line."""
    found = _bad(data)
    assert found.code == "file-empty"
    assert found.place == ("f", 1, 1)


def test_an_empty_file_of_settings_is_not_told_to_be_a_chart() -> None:
    """Protects the player who gives an empty player's file: what is advised belongs into a YAML file."""
    _, found = decode(b"", "hob.yaml")
    assert "player: the name" in found[0].help and "title" not in found[0].help


@pytest.mark.parametrize(
    ("data", "line", "column", "byte"),
    [
        (b"title \xe9t\xe9\n", 1, 7, "0xe9"),
        (b"one\ntwo\n\xff", 3, 1, "0xff"),
        ("♭♭ 歌".encode() + b"\x80", 1, 5, "0x80"),
        (b"one\r\ntwo \xc3\r\n", 2, 5, "0xc3"),
        (b"one\rtwo\rx\xa0\r", 3, 2, "0xa0"),
        (b"\xef\xbb\xbfab\xe9\n", 1, 3, "0xe9"),
        (b"\xef\xbb\xbfab\ncd\xe9", 2, 3, "0xe9"),
        (b"a\xe2\x99", 1, 2, "0xe2"),
        (b"a\xed\xa0\x80", 1, 2, "0xed"),
        (b"a\xc0\xaf", 1, 2, "0xc0"),
    ],
)
def test_a_bad_byte_has_its_exact_place(data: bytes, line: int, column: int, byte: str) -> None:
    """Line and column of the first byte that is not UTF-8 are right behind marks, wide characters and every line end."""
    found = _bad(data)
    assert found.code == "file-encoding"
    assert found.place == ("f", line, column)
    assert byte in found.message
    assert "\N{REPLACEMENT CHARACTER}" in show([found])


def test_a_file_that_is_too_large_is_not_read() -> None:
    """The limit itself is allowed, one byte more is not."""
    source, found = decode(b"a" * MAX_BYTES, "f")
    assert source is not None
    assert found == ()
    assert _bad(b"a" * (MAX_BYTES + 1)).code == "file-size"


def test_a_file_is_read_by_its_path(tmp_path: Path) -> None:
    """The source is named after the path, or as the caller says; an oversized file is stopped without reading it whole."""
    path = tmp_path / "a.chartc"
    path.write_bytes(b"title x\n")
    named, _ = read(path)
    renamed, _ = read(path, "songs/a.chartc")
    assert named is not None
    assert renamed is not None
    assert (named.name, renamed.name) == (str(path), "songs/a.chartc")
    with path.open("wb") as file:
        file.truncate(MAX_BYTES * 500)
    source, found = read(path, "a")
    assert source is None
    assert [d.code for d in found] == ["file-size"]


def test_a_file_that_cannot_be_opened_raises_oserror(tmp_path: Path) -> None:
    """A missing file and a folder are the caller's to report: they are no findings about a text."""
    with pytest.raises(FileNotFoundError):
        read(tmp_path / "none")
    with pytest.raises(IsADirectoryError):
        read(tmp_path)
