"""A user's own file rewritten in its place: the new text is there whole, or the old one stays."""

from __future__ import annotations

import codecs
import os
import stat
from pathlib import Path

from chartc.store.writing import write_whole


class ChangedError(OSError):
    """A file is no longer what it was when it was read."""


def rewrite(path: Path, old: str, new: str) -> None:
    """Puts the text `new` in the place of `old`, in one step.

    The file behind a symbolic link is rewritten, not the link; permissions and a byte-order mark stay. Raises ChangedError where
    the file does not hold `old` any more, and OSError where it cannot be written; then the file is as it was.
    """
    path = path.resolve(strict=True)
    data = path.read_bytes()
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    if data != mark + old.encode("utf-8"):
        raise ChangedError(None, "the file was changed in the meantime; nothing was written", str(path))
    # a file that may not be written is not replaced either, though its folder would allow it
    if not os.access(path, os.W_OK):
        raise PermissionError(None, "the file may not be written", str(path))
    write_whole(path, mark + new.encode("utf-8"), mode=stat.S_IMODE(path.stat().st_mode))
