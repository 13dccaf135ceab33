"""Results kept for the next run, stamps of files, and what killed runs leave behind."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from chartc.store.cache import KEPT_DAYS, Cache
from chartc.store.program import program
from chartc.store.record import Record, holds, load, save
from chartc.store.stamp import SETTLED_NS, Known, digest, read_stamped, same, stamp
from chartc.store.writing import write_whole

KEY = digest(b"key")


def test_what_is_kept_comes_back(tmp_path: Path) -> None:
    """Protects the second run: the same bytes, whatever they are, and nothing under another key."""
    cache = Cache(tmp_path)
    for data in (b"", b"a\nb\0", bytes(range(256)) * 100):
        cache.put(KEY, data)
        assert Cache(tmp_path).get(KEY) == data
    assert cache.get(digest(b"other")) is None
    cache.end()
    assert not list((tmp_path / ".cache" / "new").iterdir())


def test_every_flipped_bit_is_a_miss(tmp_path: Path) -> None:
    """Protects against damage: no byte of a kept result can change unnoticed."""
    cache = Cache(tmp_path)
    cache.put(KEY, b"some result")
    path = next(p for p in (tmp_path / ".cache" / "results").rglob("*") if p.is_file())
    whole = path.read_bytes()
    for n in range(len(whole)):
        path.write_bytes(whole[:n] + bytes([whole[n] ^ 4]) + whole[n + 1 :])
        assert cache.get(KEY) is None, n


def test_what_killed_runs_left_is_swept(tmp_path: Path) -> None:
    """Protects the disk: new files of a process that is no more go, those of one that lives stay."""
    dead = subprocess.Popen([sys.executable, "-c", "pass"])
    dead.wait()
    cache = Cache(tmp_path)
    ours = cache.new_files()
    assert ours is not None
    machine = ours.name.partition("-")[0]
    for process in (dead.pid, os.getppid()):
        folder = ours.parent / f"{machine}-{process}"
        folder.mkdir()
        (folder / ".chartc-half").write_bytes(b"half")
    (ours / ".chartc-ours").write_bytes(b"now")
    cache.tidy()
    assert {p.name for p in ours.parent.iterdir()} == {ours.name, f"{machine}-{os.getppid()}"}
    assert (ours / ".chartc-ours").exists()


def test_what_nobody_asks_for_goes(tmp_path: Path) -> None:
    """Protects the disk: old results go, and one that was asked for lately stays."""
    cache = Cache(tmp_path)
    for name in ("a", "b"):
        cache.put(digest(name.encode()), b"x")
    long_ago = time.time() - (KEPT_DAYS + 1) * 86_400
    for path in (tmp_path / ".cache" / "results").rglob("*"):
        if path.is_file():
            os.utime(path, (long_ago, long_ago))
    assert cache.get(digest(b"a")) == b"x"
    cache.tidy()
    assert (cache.get(digest(b"a")), cache.get(digest(b"b"))) == (b"x", None)


def known(path: Path, later_ns: int) -> Known:
    """What is known of a file if it was noted so long after it was written."""
    data, found = read_stamped(path)
    return Known(digest(data), found, max(found.mtime_ns, found.ctime_ns) + later_ns)


def test_a_settled_stamp_is_believed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects the blink: a file that had long been at rest when it was noted is not read again."""
    path = tmp_path / "a"
    path.write_bytes(b"one")
    seen = known(path, SETTLED_NS + 1)
    monkeypatch.setattr("builtins.open", lambda *_: pytest.fail("the file is read"))
    assert same(str(path), seen) is seen


def test_a_fresh_stamp_is_not_believed(tmp_path: Path) -> None:
    """Protects against a change within one tick of the clock: a file noted right after it was written is read again."""
    path = tmp_path / "a"
    path.write_bytes(b"one")
    seen = known(path, 5)
    anew = same(str(path), seen)
    assert anew is not None and anew is not seen and anew.content == seen.content
    assert same(str(path), seen._replace(content=digest(b"two"))) is None
    path.unlink()
    assert same(str(path), seen) is None
    assert same("a\0b", seen) is None


def test_another_run_that_writes_the_same_file_is_seen(tmp_path: Path) -> None:
    """Protects two runs at once: what another run put in a file's place is not taken for ours, even if it looks the same."""
    path = tmp_path / "a"
    path.write_bytes(b"one")
    seen = known(path, SETTLED_NS + 1)
    write_whole(path, b"two")
    assert seen.stamp is not None
    os.utime(path, ns=(seen.stamp.mtime_ns, seen.stamp.mtime_ns))
    assert same(str(path), seen) is None


def test_a_record_comes_back_and_damage_is_none(tmp_path: Path) -> None:
    """Protects what a run knows: all of it comes back; a damaged record is no record."""
    file = tmp_path / "chart"
    file.write_bytes(b"one")
    record = Record({str(file): known(file, 1)}, {}, {"x": "y"}, {"list": ["a"]}, {"code": 0})
    path = tmp_path / "record.json"
    save(record, path, tmp_path)
    assert load(path) == record
    fine, learned = holds(record, lambda name: ["a"])
    assert (fine, learned) == (True, True)
    assert holds(record, lambda name: ["a", "b"])[0] is False
    file.write_bytes(b"two")
    assert holds(record, lambda name: ["a"])[0] is False
    whole = path.read_bytes()
    for bad in (b"", b"\xff\xfe", whole[:-1], whole.replace(b"code", b"edoc"), b"{}"):
        path.write_bytes(bad)
        assert load(path) is None
    body = b"[1, 2]"
    path.write_bytes(digest(body).encode() + b"\n" + body)
    assert load(path) is None
    assert load(tmp_path / "nowhere") is None


def test_the_program_is_part_of_what_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects an update: another program, be it one byte in one file, has another digest; nothing heavy is imported for it."""
    import shutil

    import chartc.store.program as module

    package = Path(module.__file__).parent.parent
    shutil.copytree(package, tmp_path / "chartc", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(package.parent / "grammar", tmp_path / "grammar")
    monkeypatch.setattr(module, "_PACKAGE", tmp_path / "chartc")

    def now() -> str:
        program.cache_clear()
        return program()

    try:
        first = now()
        assert first == now()
        for path in ("chartc/licks/data/00-rolls.yaml", "grammar/chart.lark", "chartc/cli.py", "chartc/type/signs.ttf"):
            file = tmp_path / path
            if not file.exists():
                file = next((tmp_path / path).parent.iterdir())
            file.write_bytes(file.read_bytes() + b"\n")
            second = now()
            assert second != first, path
            first = second
    finally:
        program.cache_clear()


@pytest.mark.parametrize("size", [0, 1, 4095, 4096, 70_000])
def test_a_file_is_read_whole_or_so_far_as_is_asked(tmp_path: Path, size: int) -> None:
    """Protects reading: every byte of a file, or the first ones where there is a limit, with the stamp of what was read; files whose
    size the file system does not know are read too."""
    path = tmp_path / "file"
    data = bytes(n % 251 for n in range(size))
    path.write_bytes(data)
    assert read_stamped(path) == (data, stamp(path.stat()))
    for most in (0, 1, size - 1, size, size + 1):
        if most >= 0:
            assert read_stamped(str(path), most)[0] == data[:most]
    said = Path("/proc/self/status")
    if said.exists():
        assert said.stat().st_size == 0
        assert read_stamped(said)[0].startswith(b"Name:")
        assert len(read_stamped(said, 40)[0]) == 40
