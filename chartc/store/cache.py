"""Results by the digest of all they were made from. Any damage is a miss; nothing here is needed, and all of it may be deleted."""

from __future__ import annotations

import hashlib
import os
import platform
import time
from pathlib import Path

from chartc.store.stamp import digest, read_stamped
from chartc.store.writing import PREFIX, write_whole

FOLDER = ".cache"
"""The cache's folder within the folder of outputs."""

KEPT_DAYS = 60
"""A result that no run has asked for in so many days is removed."""

_DAY = 86_400
_MAGIC = b"chartc-result-1 "


class Cache:
    """A folder of results. Every method is quiet: a cache that cannot be read or written makes a run slower, and nothing else."""

    def __init__(self, out: Path) -> None:
        self.folder = out / FOLDER
        # new files are named after machine and process, so that those of a run that was killed can be told from those of a live one
        machine = hashlib.sha256(platform.node().encode()).hexdigest()[:8]
        self._ours = f"{machine}-{os.getpid()}"
        self._machine = machine
        self._new: Path | None = None

    def new_files(self) -> Path | None:
        """The folder in which this run's files begin; None where none can be made."""
        if self._new is None:
            try:
                folder = self.folder / "new" / self._ours
                folder.mkdir(parents=True, exist_ok=True)
                self._new = folder
            except OSError:
                return None
        return self._new

    def _path(self, key: str) -> str:
        return os.path.join(self.folder, "results", key[:2], key)

    def get(self, key: str) -> bytes | None:
        """The result with that key; None where there is none or it is damaged."""
        try:
            data, found = read_stamped(self._path(key))
            size = len(_MAGIC) + 65
            body = data[size:]
            if data[:size] != _MAGIC + digest(body).encode() + b"\n":
                return None
            if time.time() - found.mtime_ns / 1e9 > _DAY:
                os.utime(self._path(key))
            return body
        except OSError:
            return None

    def put(self, key: str, body: bytes) -> None:
        """Keeps a result."""
        if (new := self.new_files()) is None:
            return
        try:
            write_whole(Path(self._path(key)), _MAGIC + digest(body).encode() + b"\n" + body, new, durable=False)
        except OSError:
            return

    def record(self, name: str) -> Path:
        """Where the record of a run with that name is kept."""
        return self.folder / "runs" / f"{name}.json"

    def tidy(self) -> None:
        """Removes what killed runs have left, and what nobody has asked for in a long time."""
        now = time.time()
        try:
            for folder in list(os.scandir(self.folder / "new")):
                if folder.name != self._ours and self._dead(folder, now):
                    _remove(Path(folder.path))
            # a day is soon enough for the rest
            mark = self.folder / "tidied"
            if mark.exists() and now - mark.stat().st_mtime < _DAY:
                return
            mark.touch()
            for part in ("results", "runs"):
                for root, _, names in os.walk(self.folder / part):
                    for name in names:
                        path = Path(root, name)
                        if now - path.stat().st_mtime > KEPT_DAYS * _DAY:
                            path.unlink()
        except OSError:
            return

    def end(self) -> None:
        """Ends the run: its own folder of new files goes."""
        if self._new is not None:
            _remove(self._new)
            self._new = None

    def _dead(self, folder: os.DirEntry[str], now: float) -> bool:
        """Whether the run that made the folder is no more: surely so on this machine, else after a day."""
        machine, _, process = folder.name.partition("-")
        if os.name == "posix" and machine == self._machine and process.isdecimal():
            try:
                os.kill(int(process), 0)
            except ProcessLookupError:
                return True
            except (OSError, OverflowError):
                return False
        return now - folder.stat().st_mtime > _DAY


def _remove(folder: Path) -> None:
    """Removes a folder of new files, and only such files."""
    try:
        for path in folder.iterdir():
            if path.name.startswith(PREFIX):
                path.unlink(missing_ok=True)
        folder.rmdir()
    except OSError:
        return
