"""Whatever a file holds, the answer is words about the file: no traceback, no silence, no hanging."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.running import Command, chart

Write = Callable[..., Path]

FILES: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "empty"),
    "blank": (b" \n\t\n", "empty"),
    "only a remark": (b"; nothing here\n", "title"),
    "binary": (bytes(range(256)) * 40, "not a text file"),
    "UTF-16": (chart().encode("utf-16"), "UTF-16"),
    "Latin-1": (chart().replace("Pail", "P\xe4il").encode("latin-1"), "UTF-8"),
    "10 MB of bars": (b"| G " * 2_500_000, "larger"),
    "one long line": (b"|" * 400_000, ""),
    "many lines": (b"|\n" * 200_000, ""),
    "prose": (b"Dear Wend,\nbring the big kettle.\n", "title"),
    "only headers": (b"title Pail\nkey G\nmeter 4/4\n", "section"),
    "terminal codes": (chart(chords="G | \x1b[31mC | D | G").encode(), ""),
    "a very large number": (chart().replace("4 measures", "9" * 5000 + " measures").encode(), ""),
    "brackets": (b"[" * 20_000, "the line has 20000 characters"),
}


@pytest.mark.parametrize("command", ["check", "build", "plan"])
@pytest.mark.parametrize("name", FILES)
def test_any_file(name: str, command: str, run: Command, write: Write, tmp_path: Path) -> None:
    """A file of any content is answered at once with a finding that names it, and the terminal is left alone."""
    data, word = FILES[name]
    path = write("pail.chartc", data)
    start = time.monotonic()
    ran = run(command, path, *(["--out", str(tmp_path / "out")] if command == "build" else []))
    # generous: a busy machine must not fail it, a minute's parsing must
    assert time.monotonic() - start < 30
    assert ran.code == 1
    assert ran.out == ""
    assert f"{path}:" in ran.err
    assert word in ran.err
    assert "\x1b" not in ran.err
    assert len(ran.err) < 60_000


def test_a_folder_named_like_a_chart(run: Command, write: Write, tmp_path: Path) -> None:
    """A folder is a folder whatever it is called: the charts in it are built, and without any that is said."""
    (tmp_path / "x.chartc").mkdir()
    ran = run("check", tmp_path / "x.chartc")
    assert ran.code == 2
    assert "no chart" in ran.err
    write("book/x.chartc/pail.chartc")
    ran = run("build", tmp_path / "book", "--out", tmp_path / "out")
    assert (ran.code, ran.err) == (0, "")
    assert (tmp_path / "out" / "pail-G-backup.pdf").exists()


def test_a_link_to_nowhere(run: Command, write: Write, tmp_path: Path) -> None:
    """A chart that cannot be opened is named and does not stop the others."""
    good = write("pail.chartc")
    (tmp_path / "gone.chartc").symlink_to(tmp_path / "nowhere")
    ran = run("build", tmp_path / "gone.chartc", good, "--out", tmp_path / "out")
    assert ran.code == 2
    assert "gone.chartc" in ran.err
    assert (tmp_path / "out" / "pail-G-backup.pdf").exists()


def test_an_unreadable_file(run: Command, write: Write, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without permission to read is named with the system's own words, and the others are checked all the same."""
    bad, wrong = write("bad.chartc"), write("wrong.chartc", b"")
    original = Path.open

    def refusing(self: Path, *args: object, **more: object) -> object:
        # permissions do not hold for a superuser, who may be running the tests
        if self.name == "bad.chartc":
            raise PermissionError(13, "Permission denied", str(self))
        return original(self, *args, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refusing)
    ran = run("check", bad, wrong)
    assert ran.code == 2
    assert "bad.chartc: Permission denied" in ran.err
    assert f"{wrong}:" in ran.err


def test_odd_names(run: Command, write: Write, tmp_path: Path) -> None:
    """Blanks, accents, leading hyphens and quotes in a file's name are no reason to fail, and keep their place in the sheet's name."""
    for stem in ("pail by the door", "Pâil", "-pail", "o'pail", "pail.two"):
        write(f"book/{stem}.chartc")
    ran = run("build", tmp_path / "book", "--out", tmp_path / "out")
    assert (ran.code, ran.err) == (0, "")
    names = {p.name for p in (tmp_path / "out").iterdir() if p.is_file()}
    assert names == {f"{s}-G-backup.pdf" for s in ("pail by the door", "Pâil", "-pail", "o'pail", "pail.two")}
