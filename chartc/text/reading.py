"""From bytes to a source: encoding, size and emptiness are judged here, once, for every kind of file."""

from __future__ import annotations

import codecs
import errno
from pathlib import Path

from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source

ENTRIES = "a YAML file has entries, such as a player's: player: the name, a set list's: set-list: its name, or the list of the singers:"
"""What to write into an empty file of settings, whichever it is."""

MAX_BYTES = 2_000_000
"""The largest file that is read, in bytes: a thousand times a long chart."""


def read(path: Path, name: str | None = None) -> tuple[Source | None, tuple[Diagnostic, ...]]:
    """The file's text, or None and what is wrong with it. Raises OSError where the file cannot be read at all."""
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except ValueError:
        # a name with a zero byte in it
        raise OSError(errno.EINVAL, "no file has such a name", str(path)) from None
    return decode(data, name or str(path))


def decode(data: bytes, name: str) -> tuple[Source | None, tuple[Diagnostic, ...]]:
    """UTF-8 text, with or without a byte-order mark, to a source."""

    def bad(code: str, message: str, help: str) -> tuple[None, tuple[Diagnostic, ...]]:
        return None, (Diagnostic(code, message, file=name, help=help),)

    if len(data) > MAX_BYTES:
        return bad(
            "file-size",
            f"the file is larger than {MAX_BYTES // 1_000_000} MB",
            "a chart or a lick file is a few kilobytes; is this the right file?",
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return bad("file-encoding", "the file is written in UTF-16", "save it as UTF-8")
    if b"\0" in data:
        return bad(
            "file-binary",
            "this is not a text file: it has zero bytes in it",
            "give a plain text file in UTF-8",
        )
    data = data.removeprefix(codecs.BOM_UTF8)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        source = Source(name, data.decode("utf-8", "replace"))
        # what stands before the place is good UTF-8; the x keeps its last line when that is still empty
        before = Source(name, data[: error.start].decode("utf-8") + "x")
        line, column = len(before.lines), len(before.lines[-1])
        return None, (
            Diagnostic(
                "file-encoding",
                f"byte {data[error.start]:#04x} is not UTF-8",
                source.span(line, column, column + 1),
                "save the file as UTF-8",
            ),
        )
    if not text.strip():
        settings = name.lower().endswith((".yaml", ".yml"))
        return bad(
            "file-empty",
            "the file is empty",
            ENTRIES if settings else "a chart begins with a line like: title  Ladder to the Ferry",
        )
    return Source(name, text), ()
