"""Files beside a book that its list no longer has: they go, and nothing else does."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from chartc.book.builder import Run
from chartc.cli import main
from chartc.store.cache import Cache
from chartc.store.record import Record, load
from chartc.store.stamp import digest
from tests.book.charts import chart

LIST = """\
set-list: Ebb
sets:
  - name: One
    songs:
      - {{song: one.chartc, key: {key}}}
      - two.chartc
"""

OLD, NEW, OTHER = "ebb-01-one-A-backup.mid", "ebb-01-one-G-backup.mid", "ebb-02-two-G-backup.mid"


@pytest.fixture
def ebb(tmp_path: Path) -> Path:
    """A list that was built with files to play along with, its first song in A; now that song is in G."""
    (tmp_path / "one.chartc").write_text(chart("Ebb One"), encoding="utf-8")
    (tmp_path / "two.chartc").write_text(chart("Ebb Two"), encoding="utf-8")
    path = tmp_path / "ebb.yaml"
    path.write_text(LIST.format(key="A"), encoding="utf-8")
    build(path)
    assert midi(path) == {OLD, OTHER}
    path.write_text(LIST.format(key="G"), encoding="utf-8")
    return path


def build(path: Path, *more: str, code: int = 0) -> None:
    """Builds the list with files to play along with."""
    assert main(["build", str(path), "--out", str(path.parent / "out"), "--midi", *more]) == code


def midi(path: Path) -> set[str]:
    """The files to play along with that there are."""
    return {p.name for p in (path.parent / "out").glob("*.mid")}


def test_a_song_in_its_old_key_goes(ebb: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects practice from the wrong key: the file of the key that the list has left goes, the run says so, the rest stays."""
    build(ebb)
    assert midi(ebb) == {NEW, OTHER}
    assert f"removed, as the list no longer has them: {ebb.parent / 'out' / OLD}\n" in capsys.readouterr().err
    build(ebb)
    assert not capsys.readouterr().err


def test_notation_goes_as_well(ebb: Path) -> None:
    """Protects the stand: an old key's notation goes as its play-along file does."""
    ebb.write_text(LIST.format(key="A"), encoding="utf-8")
    build(ebb, "--musicxml")
    ebb.write_text(LIST.format(key="G"), encoding="utf-8")
    build(ebb, "--musicxml")
    assert {p.name for p in (ebb.parent / "out").glob("*.musicxml")} == {
        n.replace(".mid", ".musicxml") for n in (NEW, OTHER)
    }


def test_a_file_that_was_changed_stays(ebb: Path) -> None:
    """Protects the player's own work: what is not byte for byte as it was written is nobody's to remove, now or later."""
    changed = ebb.parent / "out" / OLD
    changed.write_bytes(changed.read_bytes() + b"mine")
    build(ebb)
    assert changed.read_bytes().endswith(b"mine")
    ebb.write_text(LIST.format(key="D"), encoding="utf-8")
    build(ebb)
    assert changed.exists()


def test_a_link_in_its_place_stays(ebb: Path, tmp_path: Path) -> None:
    """Protects files elsewhere: a link with the same content is not what was written."""
    old = ebb.parent / "out" / OLD
    kept = tmp_path / "kept.mid"
    old.replace(kept)
    old.symlink_to(kept)
    build(ebb)
    assert old.is_symlink() and kept.exists()


def test_files_of_other_options_stay(ebb: Path) -> None:
    """Protects what another command wrote: only a run of the same list with the same options knows which files are its own."""
    build(ebb, "--tempos", "80")
    assert midi(ebb) == {OLD, NEW, OTHER}
    # and now it is not as the first run wrote it, or it is, and then it is removed by that run
    build(ebb)
    assert midi(ebb) == {NEW, OTHER}


def test_files_of_another_list_stay(ebb: Path, tmp_path: Path) -> None:
    """Protects another evening in the same folder: its files are its own, even of the same songs."""
    other = tmp_path / "flood.yaml"
    other.write_text(LIST.format(key="A"), encoding="utf-8")
    build(other)
    build(ebb)
    assert midi(ebb) == {NEW, OTHER, "flood-01-one-A-backup.mid", "flood-02-two-G-backup.mid"}


def test_books_and_sheets_of_charts_stay(ebb: Path, tmp_path: Path) -> None:
    """Protects every PDF and the files of charts: a chart that is gone from its folder leaves what was made of it."""
    out = tmp_path / "songs-out"
    songs = tmp_path / "songs"
    songs.mkdir()
    for name in ("one", "two"):
        (songs / f"{name}.chartc").write_text(chart(f"Ebb {name}"), encoding="utf-8")
    ebb.write_text(LIST.format(key="A").replace("ebb", "flow"), encoding="utf-8")
    command = ["build", str(songs), str(ebb), "--out", str(out), "--midi"]
    assert main(command) == 0
    (songs / "two.chartc").unlink()
    ebb.write_text(LIST.format(key="G"), encoding="utf-8")
    assert main(command) == 0
    names = {p.name for p in out.iterdir() if p.is_file()}
    assert {"two-G-backup.mid", "two-G-backup.pdf", "one-G-backup.mid", "ebb.pdf", NEW} <= names
    assert OLD not in names


def test_nothing_goes_while_a_song_is_wrong(ebb: Path) -> None:
    """Protects an evening from a slip of the pen: as long as the book lacks a song, its old files stay; they go when it is whole."""
    two = ebb.parent / "two.chartc"
    right = two.read_text(encoding="utf-8")
    two.write_text(right.replace("| D7 |", "|"), encoding="utf-8")
    build(ebb, code=1)
    assert midi(ebb) == {OLD, NEW, OTHER}
    build(ebb, code=1)
    two.write_text(right, encoding="utf-8")
    build(ebb)
    assert midi(ebb) == {NEW, OTHER}


def test_nothing_goes_without_a_record(ebb: Path) -> None:
    """Protects files that nobody remembers: without the last run's record nothing is known to be ours."""
    for record in (ebb.parent / "out" / ".cache" / "runs").iterdir():
        record.unlink()
    build(ebb)
    assert midi(ebb) == {OLD, NEW, OTHER}


def run_of(tmp_path: Path, old: Record) -> Run:
    """A run after another."""
    return Run(Cache(tmp_path), old, "")


def test_one_file_with_two_names_stays(tmp_path: Path) -> None:
    """Protects disks that know no capitals: an old name that is now another name of a new file is not removed."""
    new, old = tmp_path / "song.mid", tmp_path / "Song.mid"
    record = Record(beside={str(old): ["ebb.yaml", digest(b"notes")]})
    run = run_of(tmp_path, record)
    run.write(new, "origin", lambda: b"notes", beside="ebb.yaml")
    if not old.exists():
        os.link(new, old)
    assert run.clear() == [] and new.read_bytes() == b"notes"


def test_the_record_remembers_what_lies_beside(tmp_path: Path) -> None:
    """Protects the next run: names, lists and digests come back from the record as they were."""
    run = run_of(tmp_path, Record())
    run.write(tmp_path / "song.mid", "origin", lambda: b"notes", beside="ebb.yaml")
    run.write(tmp_path / "book.pdf", "origin", lambda: b"pages")
    (tmp_path / "record").write_bytes(run.record.as_bytes())
    again = load(tmp_path / "record")
    assert again is not None
    assert again.beside == {str(tmp_path / "song.mid"): ["ebb.yaml", digest(b"notes")]}
