"""Atomic writing: a file is there whole, or stays as it was, and nothing half-written is left."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from chartc.store.writing import write_whole


def _names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_a_file_is_written_with_its_folders(tmp_path: Path) -> None:
    """Missing folders are made, every byte arrives, and no second file stays behind."""
    path = tmp_path / "out" / "deep" / "sheet.pdf"
    write_whole(path, b"\x00\r\n\xff" * 1000)
    assert path.read_bytes() == b"\x00\r\n\xff" * 1000
    assert _names(path.parent) == ["sheet.pdf"]


def test_an_older_file_is_replaced(tmp_path: Path) -> None:
    """A shorter text leaves no rest of the longer one before it, and an empty one is empty."""
    path = tmp_path / "a"
    for data in (b"long long", b"short", b""):
        write_whole(path, data)
        assert path.read_bytes() == data
    assert _names(tmp_path) == ["a"]


@pytest.mark.parametrize("step", ["fsync", "fdopen"])
def test_a_full_disk_leaves_the_older_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    """Where writing fails the older file is as it was and the new one is gone."""
    path = tmp_path / "a"
    write_whole(path, b"old")

    def fail(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, fail)
    with pytest.raises(OSError, match="No space"):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a"]


def test_a_failed_replacement_leaves_the_older_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the last step fails, a file held open by another program say, nothing has changed."""
    path = tmp_path / "a"
    write_whole(path, b"old")

    def fail(self: Path, target: Path) -> Path:
        raise PermissionError(13, "held by another program")

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(PermissionError):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a"]


def test_a_stop_from_the_keyboard_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopping the program in the middle of a file is as clean as an error."""
    path = tmp_path / "a"
    write_whole(path, b"old")

    def stop(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", stop)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert _names(tmp_path) == ["a"]


def test_a_reader_never_sees_half_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Until the last step the path has the older text whole."""
    path = tmp_path / "a"
    write_whole(path, b"old")
    seen = []
    sync = os.fsync

    def look(handle: int) -> None:
        sync(handle)
        seen.append(path.read_bytes())

    monkeypatch.setattr(os, "fsync", look)
    write_whole(path, b"new" * 100_000)
    assert seen == [b"old"]
    assert path.read_bytes() == b"new" * 100_000


def test_a_folder_in_the_way_is_an_error(tmp_path: Path) -> None:
    """A folder of the file's name, or a file where a folder should be, raises OSError and leaves nothing behind."""
    (tmp_path / "a").mkdir()
    (tmp_path / "b").write_bytes(b"x")
    with pytest.raises(OSError, match="a"):
        write_whole(tmp_path / "a", b"new")
    with pytest.raises(OSError, match="b"):
        write_whole(tmp_path / "b" / "c", b"new")
    assert _names(tmp_path) == ["a", "b"]
    assert (tmp_path / "b").read_bytes() == b"x"


def test_a_name_that_is_too_long_is_an_error(tmp_path: Path) -> None:
    """The system's refusal of a name comes out as OSError, and the temporary file is gone."""
    with pytest.raises(OSError, match="too long"):
        write_whole(tmp_path / ("a" * 300), b"new")
    assert _names(tmp_path) == []


@pytest.mark.skipif(os.name != "posix", reason="modes are POSIX")
def test_a_file_may_be_read_as_far_as_the_user_allows(tmp_path: Path) -> None:
    """A sheet is for sharing: its mode follows the user's mask and is not the private one of a temporary file."""
    old = os.umask(0o027)
    try:
        write_whole(tmp_path / "a", b"x")
        assert os.umask(0o027) == 0o027
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o640
