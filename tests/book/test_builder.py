"""Building like a build system: what is out of date is made again, whatever happened in between."""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from chartc.book import pool
from chartc.book.make import Made, Task, Wanted, make
from chartc.cli import main
from chartc.player import Player, load_player
from chartc.store.cache import FOLDER
from tests.book.charts import band, chart, texts

ROOT = Path(__file__).parents[2]
OLD_NS = 10_000_000_000
"""So long ago, in nanoseconds, that a file's stamp is believed."""


def contents(out: Path) -> dict[str, bytes]:
    """Every output below a folder; the cache is none."""
    found = (p for p in sorted(out.rglob("*")) if p.is_file() and FOLDER not in p.parts)
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in found}


def aged(*folders: Path) -> None:
    """Makes all files in folders look as if they had been written a while ago."""
    for folder in folders:
        for path in folder.rglob("*"):
            if path.is_file() and FOLDER not in path.parts:
                then = path.stat().st_mtime_ns - OLD_NS
                os.utime(path, ns=(then, then))


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the charts that are compiled, as they are."""
    names: list[str] = []

    def counting(task: Task, player: Player) -> Made:
        names.append(Path(task.name).name)
        return make(task, player)

    monkeypatch.setattr(pool, "make", counting)
    return names


@pytest.fixture
def songs(tmp_path: Path) -> Path:
    """A folder of four charts."""
    folder = tmp_path / "songs"
    folder.mkdir()
    for n, key in enumerate(("G", "C", "D", "A")):
        (folder / f"song-{n}.chartc").write_text(chart(f"Song {n}", key), encoding="utf-8")
    return folder


def build(songs: Path, out: Path, *more: str, code: int = 0) -> dict[str, bytes]:
    """Builds a folder and gives its outputs."""
    assert main(["build", str(songs), "--out", str(out), *more]) == code
    return contents(out)


def test_nothing_changed_makes_nothing(songs: Path, tmp_path: Path, made: list[str]) -> None:
    """Protects the player's time: a second run compiles nothing and writes nothing, and a file that only looks newer changes nothing."""
    first = build(songs, tmp_path / "out")
    assert sorted(made) == [f"song-{n}.chartc" for n in range(4)]
    stamps = {p: p.stat().st_mtime_ns for p in (tmp_path / "out").glob("*.pdf")}
    made.clear()
    assert build(songs, tmp_path / "out") == first
    (songs / "song-0.chartc").touch()
    assert build(songs, tmp_path / "out") == first
    assert made == []
    assert stamps == {p: p.stat().st_mtime_ns for p in stamps}


def test_only_what_changed_is_compiled(songs: Path, tmp_path: Path, made: list[str]) -> None:
    """Protects the blink after an edit: one chart of four is compiled, one file written; what the edit takes back comes from the cache."""
    first = build(songs, tmp_path / "out")
    path = songs / "song-2.chartc"
    text = path.read_text(encoding="utf-8")
    made.clear()
    path.write_text(text.replace("| G | C |", "| G | F |"), encoding="utf-8")
    second = build(songs, tmp_path / "out")
    assert made == ["song-2.chartc"]
    assert [n for n in first if first[n] != second[n]] == ["song-2-D-backup.pdf"]
    path.write_text(text, encoding="utf-8")
    made.clear()
    assert build(songs, tmp_path / "out") == first
    assert made == []


def test_how_a_path_is_written_changes_nothing(
    songs: Path, tmp_path: Path, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects the player's time: charts that were built by one path are not compiled again by another, from another folder, or when
    the same pages are wanted in one file too; a new option on which they depend does compile them."""
    out = tmp_path / "out"
    (tmp_path / "all.yaml").write_text("songbook: All\ncharts: songs\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    first = build(Path("songs"), Path("out"))
    assert len(made) == 4
    made.clear()
    assert build(songs, out) == first
    monkeypatch.chdir(songs)
    assert build(Path(), out) == first
    assert build(Path("../songs"), Path("../out")) == first
    assert build(songs, out, "--together") != first
    assert made == []
    book = build(tmp_path / "all.yaml", out)["all.pdf"]
    # as pages of a book the songs are in their own keys too: nothing is compiled
    monkeypatch.chdir(tmp_path)
    (out / "all.pdf").unlink()
    assert build(Path("all.yaml"), Path("out"))["all.pdf"] == book
    assert made == []
    build(songs, out, "--level", "easy")
    assert len(made) == 4


def test_an_edit_of_the_same_size_and_time_is_seen(songs: Path, tmp_path: Path) -> None:
    """Protects against stale sheets: an edit that keeps size and time of change is still an edit."""
    path = songs / "song-1.chartc"
    first = build(songs, tmp_path / "out")
    about = path.stat()
    path.write_text(path.read_text(encoding="utf-8").replace("| G | C |", "| G | F |"), encoding="utf-8")
    os.utime(path, ns=(about.st_atime_ns, about.st_mtime_ns))
    assert path.stat().st_size == about.st_size
    assert build(songs, tmp_path / "out") != first


def test_charts_that_come_and_go(songs: Path, tmp_path: Path) -> None:
    """Protects a folder that grows: a new chart is built though no old one changed."""
    build(songs, tmp_path / "out")
    (songs / "deep").mkdir()
    (songs / "deep" / "new.chartc").write_text(chart("New"), encoding="utf-8")
    assert "new-G-backup.pdf" in build(songs, tmp_path / "out")


DAMAGES: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda data: b"",
    "cut": lambda data: data[: len(data) // 2],
    "one bit": lambda data: data[:-9] + bytes([data[-9] ^ 1]) + data[-8:],
    "noise": lambda data: random.Random(1).randbytes(len(data)),
    "longer": lambda data: data + b"x",
}


@pytest.mark.parametrize("damage", DAMAGES)
@pytest.mark.parametrize("where", ["outputs", "results", "runs"])
def test_any_damage_is_a_miss(
    songs: Path, tmp_path: Path, damage: str, where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects the stand from a broken sheet: whatever is damaged, outputs or cache, the next run puts it right without a word."""
    out = tmp_path / "out"
    clean = build(songs, out)
    folder = out if where == "outputs" else out / FOLDER / where
    hit = [p for p in folder.rglob("*") if p.is_file() and (where != "outputs" or FOLDER not in p.parts)]
    assert hit
    for path in hit:
        path.write_bytes(DAMAGES[damage](path.read_bytes()))
    if where != "outputs":
        for name in clean:
            (out / name).unlink()
    capsys.readouterr()
    assert build(songs, out) == clean
    assert capsys.readouterr().err == ""


def test_a_cache_that_cannot_be_written_is_done_without(songs: Path, tmp_path: Path) -> None:
    """Protects a build on a strange disk: a file stands where the cache should be, and everything is built all the same."""
    clean = build(songs, tmp_path / "clean")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / FOLDER).write_text("no folder", encoding="utf-8")
    assert build(songs, tmp_path / "out") == clean


@pytest.mark.parametrize("what", ["licks", "settings", "keys", "paper"])
def test_what_a_sheet_depends_on(songs: Path, tmp_path: Path, made: list[str], what: str) -> None:
    """Protects against stale sheets: licks, settings and options are part of what a sheet is made from."""
    player = tmp_path / "player.yaml"
    rules = tmp_path / "rules.yaml"
    rules.write_text("rulebook: mine\nrules: []\n", encoding="utf-8")
    player.write_text("player: Ann\nrules: rules.yaml\n", encoding="utf-8")
    options = ["--player", str(player)]
    build(songs, tmp_path / "out", *options)
    made.clear()
    build(songs, tmp_path / "out", *options)
    assert made == []
    if what == "licks":
        rules.write_text("rulebook: mine\nrules:\n  - {rule: none, of: {role: [fill]}, never: yes}\n", encoding="utf-8")
    elif what == "settings":
        player.write_text("player: Ann\nrules: rules.yaml\nspikes: [7]\n", encoding="utf-8")
    else:
        options += {"keys": ["--keys", "E"], "paper": ["--paper", "letter"]}[what]
    build(songs, tmp_path / "out", *options)
    assert len(made) == 4


def test_settings_edited_while_they_are_read(
    songs: Path, tmp_path: Path, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects against a sheet of older settings that passes for one of the newer: an edit between reading and noting is not kept."""
    from chartc.commands import shared

    player = tmp_path / "player.yaml"
    player.write_text("player: Ann\nspikes: [7]\n", encoding="utf-8")
    real = shared.read_player

    def edited(args: argparse.Namespace) -> Any:
        found = real(args)
        player.write_text("player: Ann\nspikes: [9]\n", encoding="utf-8")
        later = time.time_ns() + 1_000_000
        os.utime(player, ns=(later, later))
        return found

    monkeypatch.setattr(shared, "read_player", edited)
    build(songs, tmp_path / "out", "--player", str(player), "--keys", "A")
    monkeypatch.setattr(shared, "read_player", real)
    made.clear()
    found = build(songs, tmp_path / "out", "--player", str(player), "--keys", "A")
    assert len(made) == 4
    assert found == build(songs, tmp_path / "clean", "--player", str(player), "--keys", "A")


def test_warnings_are_said_each_time(songs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects who reads messages: a run that has nothing to do says what the first one said, in the same words, with the same exit."""
    (songs / "song-3.chartc").write_text(chart("Song 3", rows=2).replace("| Em |", "|"), encoding="utf-8")
    build(songs, tmp_path / "out", code=1)
    first = capsys.readouterr().err
    assert "song-3.chartc:" in first and "1 of 4 could not be built" in first
    build(songs, tmp_path / "out", code=1)
    assert [
        line for line in first.splitlines() if not line.startswith("chartc: ")
    ] == capsys.readouterr().err.splitlines()


def test_nothing_to_do_imports_nothing_heavy(songs: Path, tmp_path: Path) -> None:
    """Protects the blink: a run with nothing to do reads no chart, sets no sheet and draws nothing."""
    out = tmp_path / "out"
    build(songs, out)
    code = (
        "import sys; from chartc.cli import main; "
        f"code = main(['build', {str(songs)!r}, '--out', {str(out)!r}]); "
        "print(code, *[m for m in ('lark', 'reportlab', 'yaml', 'numpy', 'chartc.slots.choose') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    # the folder is the test's own, so that the record is another one; the second run of this kind has nothing to do
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.split() == ["0"]


def test_processes_make_the_same_bytes(songs: Path, tmp_path: Path) -> None:
    """Protects `--jobs`: the same files with the same bytes, and the findings in the same order."""
    one = build(songs, tmp_path / "one", "--keys", "G, Bb")
    assert build(songs, tmp_path / "two", "--keys", "G, Bb", "--jobs", "3") == one
    assert len(one) == 8


def test_any_executor_will_do(songs: Path) -> None:
    """Protects who brings an engine of their own: threads of the standard library do the same work."""
    player, _ = load_player(None, ("backup",), ("a4",))
    assert player is not None
    packed = pool.settings(player)
    jobs = [
        (packed, Task(p.name, p.read_bytes(), Wanted((), 1, ("backup",), "a4"))) for p in sorted(songs.iterdir())
    ] * 3
    here = dict(pool.do(jobs))
    with ThreadPoolExecutor(2) as threads:
        assert dict(pool.do(jobs, threads, 2)) == here
    assert len(here) == 12


def test_two_runs_at_once_do_not_harm_each_other(songs: Path, tmp_path: Path) -> None:
    """Protects a folder that two people build: both runs are fine, and so are the files."""
    clean = build(songs, tmp_path / "clean")
    command = [sys.executable, "-m", "chartc", "build", str(songs), "--out", str(tmp_path / "out")]
    runs = [subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE) for _ in range(3)]
    for run in runs:
        _, err = run.communicate(timeout=120)
        assert (run.returncode, err) == (0, b"")
    assert contents(tmp_path / "out") == clean


def kill_at_random(source: Path, out: Path, times: int, seed: int, longest: float) -> None:
    """Kills a build so many times at random instants within `longest` seconds, with whatever it has written left as it is."""
    rng = random.Random(seed)
    command = [sys.executable, "-m", "chartc", "build", str(source), "--out", str(out), "--jobs", "2"]
    for n in range(times):
        if n % 3 == 0:
            shutil.rmtree(out, ignore_errors=True)
        run = subprocess.Popen(command, cwd=ROOT, stderr=subprocess.DEVNULL, start_new_session=True)
        time.sleep(rng.uniform(0.02, longest))
        os.killpg(run.pid, signal.SIGKILL)
        run.wait()


def test_a_killed_build_leaves_nothing_half_written(tmp_path: Path) -> None:
    """Protects the evening from a flat battery: whenever a build is killed, what stands is whole, and the next run's bytes are those
    of a clean build. (`tests/bench/kills.py` does it 200 times.)"""
    path = band(tmp_path)
    out = tmp_path / "out"
    clean = build(path, tmp_path / "clean")
    for seed in range(2):
        kill_at_random(path, out, 2, seed, 2.5)
        assert all(clean[name] == data for name, data in contents(out).items())
        assert build(path, out) == clean
    build(path, out, "--paper", "letter")
    # what killed runs began is swept away
    assert not list((out / FOLDER / "new").iterdir())


def test_one_engine_for_many_machines(songs: Path, tmp_path: Path) -> None:
    """Protects the publisher who outgrows a machine: an existing engine's workers make the same bytes."""
    distributed = pytest.importorskip("distributed")
    clean = build(songs, tmp_path / "clean")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as local:
        assert build(songs, tmp_path / "out", "--cluster", local.scheduler_address) == clean


def test_chord_sheets_print_a_section_once(tmp_path: Path) -> None:
    """Protects the band's sheet: sections that the backup sheet prints for each time they are played stand once on the chord sheet made with it."""
    path = tmp_path / "twice.chartc"
    text = chart("Twice", rows=2).replace("section verse", "form verse, verse\nsection verse")
    path.write_text(text, encoding="utf-8")
    assert main(["build", str(path), "--vary-returns", "--sheet", "backup,chords", "--out", str(tmp_path / "out")]) == 0
    backup, chords = ("\n".join(texts(tmp_path / "out" / f"twice-G-{kind}.pdf")) for kind in ("backup", "chords"))
    assert "Verse (time 2)" in backup
    assert "(time" not in chords and chords.count("Verse") == 1
