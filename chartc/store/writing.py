"""Atomic writing: a file is there whole, or stays as it was."""

from __future__ import annotations

import os
from pathlib import Path


def write_whole(
    path: Path, data: bytes, by_way_of: Path | None = None, durable: bool = True, mode: int | None = None
) -> os.stat_result | None:
    """Writes a new file, then puts it in the place of `path` in one step. What the file system says of the file then; None where
    another run has already put its own there.

    Missing folders are made. The new file begins in the same folder, or in `by_way_of`, a folder of the same file system that is
    there already. `durable` waits until the disk has it; `mode` are the new file's permissions (default: as the user's umask allows). Raises OSError; then `path` is as it was, and nothing half-written is left.
    """
    import tempfile

    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=PREFIX, dir=path.parent if by_way_of is None else by_way_of)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            if durable:
                os.fsync(file.fileno())
            ours = os.fstat(file.fileno()).st_ino
        if mode is None:
            # mkstemp makes private files; a sheet is for sharing, as far as the user's umask allows
            mask = os.umask(0)
            os.umask(mask)
            mode = 0o666 & ~mask
        Path(name).chmod(mode)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    try:
        now = path.stat()
    except OSError:
        return None
    return now if now.st_ino == ours else None


PREFIX = ".chartc-"
"""How the names of new files begin until they stand in their places."""
