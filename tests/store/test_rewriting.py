"""A user's file rewritten in its place."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from chartc.store.rewriting import ChangedError, rewrite


def test_a_file_is_rewritten(tmp_path: Path) -> None:
    """The new text is there, permissions and the byte-order mark are kept, ends of lines are those of the text, and no other
    file is left."""
    path = tmp_path / "a.chartc"
    path.write_bytes(b"\xef\xbb\xbfone\r\n")
    path.chmod(0o640)
    rewrite(path, "one\r\n", "tw\u00f6\r\n")
    assert path.read_bytes() == b"\xef\xbb\xbftw\xc3\xb6\r\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert list(tmp_path.iterdir()) == [path]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    """The file behind a symbolic link is rewritten; the link is not replaced by a file."""
    path, link = tmp_path / "a.chartc", tmp_path / "link.chartc"
    path.write_text("one")
    link.symlink_to(path)
    rewrite(link, "one", "two")
    assert link.is_symlink() and path.read_text() == "two"


def test_a_file_changed_in_the_meantime_is_left(tmp_path: Path) -> None:
    """What somebody else has written since the file was read is not lost."""
    path = tmp_path / "a.chartc"
    path.write_text("other")
    with pytest.raises(ChangedError, match="changed in the meantime"):
        rewrite(path, "one", "two")
    assert path.read_text() == "other"


def test_a_file_that_may_not_be_written_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without permission to write stays, though its folder would allow to replace it."""
    path = tmp_path / "a.chartc"
    path.write_text("one")
    path.chmod(0o444)
    # whoever runs the tests as root may write everything
    monkeypatch.setattr(os, "access", lambda p, mode: not mode & os.W_OK)
    with pytest.raises(PermissionError):
        rewrite(path, "one", "two")
    assert path.read_text() == "one"


def test_nothing_half_written_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the last step fails, the old text is there and the new file is gone."""
    path = tmp_path / "a.chartc"
    path.write_text("one")

    def fail(self: Path, target: Path) -> Path:
        raise OSError("no")

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(OSError, match="no"):
        rewrite(path, "one", "two")
    assert path.read_text() == "one" and list(tmp_path.iterdir()) == [path]
