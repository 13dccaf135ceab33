"""Folders and names that a file system allows and nobody expects: the command ends, finds every chart, and leaves the rest alone."""

from __future__ import annotations

import json
import os
import random
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from chartc.book.gather import charts_below, matching
from tests.cli.running import WRONG, Command, alone, chart, files_below

Write = Callable[..., Path]

NAMES = [
    b"a b.chartc",
    b"quo\"te's.chartc",
    b"new\nline.chartc",
    b"--out.chartc",
    b"bad\xff\xfe.chartc",
    b"\x1b[31mred.chartc",
    b"$(touch x) `y`;z|w&.chartc",
    b"star*[a]?.chartc",
    b".hidden.chartc",
    b"...chartc..chartc",
    b"%s%n{0}.chartc",
    "\u202epail.chartc".encode(),
    b"x" * 230 + b".chartc",
]
"""Names as the system has them: everything but a slash and a zero byte is allowed (POSIX.1-2017, 3.170), 255 bytes at most on
the usual file systems."""


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Writes a chart below the test's folder."""

    def put(name: str, text: str | None = None) -> Path:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(chart() if text is None else text, encoding="utf-8")
        return path

    return put


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Command:
    """The command."""
    return Command(capsys)


def named(folder: Path, text: str) -> list[bytes]:
    """Writes a chart under every odd name that this file system takes; the names."""
    folder.mkdir()
    done = []
    for name in NAMES:
        try:
            (folder / os.fsdecode(name)).write_text(text, encoding="utf-8")
            done.append(name)
        except OSError:
            continue
    return done


def test_odd_names_are_built(tmp_path: Path) -> None:
    """Protects the sheets: whatever a chart's file is called, its sheet has the same name, byte for byte; a second run finds all of them
    done, and no name does anything but name."""
    names = named(tmp_path / "book", chart())
    assert len(names) > 8
    for _ in range(2):
        ran = alone("build", tmp_path / "book", "--out", tmp_path / "out")
        assert (ran.returncode, ran.stdout, ran.stderr) == (0, b"", b"")
        got = {os.fsencode(p.name) for p in (tmp_path / "out").iterdir()} - {b".cache"}
        assert got == {name.removesuffix(b".chartc") + b"-G-backup.pdf" for name in names}
    assert sorted(p.name for p in tmp_path.iterdir()) == ["book", "out"]


def test_odd_names_in_what_is_said(tmp_path: Path) -> None:
    """Protects the terminal, and the lines that editors and scripts read: a name cannot colour, move the cursor or begin a line of
    its own, on either stream, and what is for machines is JSON in UTF-8."""
    names = named(tmp_path / "book", WRONG)
    for command in ("check", "build"):
        ran = alone(command, tmp_path / "book", *(["--out", str(tmp_path / "out")] if command == "build" else []))
        assert ran.returncode == 1
        said = (ran.stdout + ran.stderr).decode("utf-8")
        assert said.count("[measure-count]") == len(names)
        for char in "\x1b\x07\x9b\u202e\r":
            assert char not in said
        assert "\nline.chartc" not in said
    ran = alone("check", tmp_path / "book", "--format", "json")
    assert len(json.loads(ran.stdout.decode("utf-8"))["diagnostics"]) == len(names)
    assert b"\x1b" not in ran.stdout + ran.stderr


def test_a_name_that_is_too_long(run: Command, write: Write, tmp_path: Path) -> None:
    """Protects the others: where the sheet's name would be longer than the system allows, that is said, and the other charts are
    built."""
    write("book/pail.chartc")
    write(f"book/{'y' * 248}.chartc")
    ran = run("build", tmp_path / "book", "--out", tmp_path / "out")
    assert ran.code == 2
    assert "too long" in ran.err
    assert files_below(tmp_path / "out") == {"pail-G-backup.pdf"}


def test_links_in_a_circle(run: Command, write: Write, tmp_path: Path) -> None:
    """Protects from running without end, and every chart beside such a link from being passed over: folders that lead upwards are not
    entered, and a chart that is a link to itself is none."""
    for name in ("book/a.chartc", "book/z.chartc", "book/below/k.chartc"):
        write(name)
    book = tmp_path / "book"
    (book / "below" / "up").symlink_to(book)
    (book / "below" / "up too").symlink_to(book)
    (book / "m.chartc").symlink_to("m.chartc")
    (book / "n.chartc").symlink_to("o.chartc")
    (book / "o.chartc").symlink_to("n.chartc")
    (book / "gone.chartc").symlink_to("nowhere")
    assert charts_below(str(book)) == ["a.chartc", "below/k.chartc", "z.chartc"]
    ran = run("build", book, "--out", tmp_path / "out")
    assert (ran.code, ran.err) == (0, "")
    assert files_below(tmp_path / "out") == {f"{stem}-G-backup.pdf" for stem in "akz"}
    ran = run("check", book / "m.chartc")
    assert ran.code == 2
    assert "m.chartc" in ran.err


def test_links_in_a_circle_in_a_list(run: Command, write: Write, tmp_path: Path) -> None:
    """Protects from running without end where a songbook means all charts below: two links upwards would be 2^40 ways to each."""
    for name in ("a.chartc", "below/k.chartc"):
        write(name)
    for name in ("up", "up too"):
        (tmp_path / "below" / name).symlink_to(tmp_path)
    start = time.monotonic()
    assert matching(str(tmp_path), "**/*.chartc") == ["a.chartc", "below/k.chartc"]
    listed = write("barn.yaml", "songbook: Barn\ncharts: ['**/*.chartc']\n")
    ran = run("check", listed)
    assert (ran.code, ran.err) == (0, "")
    assert time.monotonic() - start < 20


def test_patterns_mean_what_they_mean_elsewhere(tmp_path: Path) -> None:
    """Protects lists: a pattern with `**` means the same files as for Python's own glob, where no folder is a link."""
    import glob

    chance = random.Random(1)
    for _ in range(60):
        folders = [chance.choice(["a", "b", ".h", "ab"]) for _ in range(chance.randint(0, 4))]
        path = tmp_path.joinpath(*folders, chance.choice(["a", "b", ".x", "ab"]) + chance.choice([".chartc", ".txt"]))
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("")
    seen = 0
    for _ in range(400):
        parts = [
            chance.choice(["**", "**", "*", "a", "a*", ".h", "?", "[ab]", ".*"]) for _ in range(chance.randint(0, 3))
        ]
        word = "/".join([*parts, chance.choice(["**", "*.chartc", "a.chartc", "?.chartc", ".x.chartc", "*"])])
        everything = glob.glob(word, root_dir=tmp_path, recursive=True)  # noqa: PTH207 (the one that is compared with)
        found = {p for p in everything if p.endswith(".chartc")}
        assert matching(str(tmp_path), word) == sorted(found), word
        seen += len(found)
    assert seen > 500


def test_a_link_out_of_the_folder(run: Command, write: Write, tmp_path: Path) -> None:
    """Protects what lies elsewhere: a link to a chart is read, and its sheet goes where all sheets go; a link to a folder is not entered;
    what tidying changes is the one file that is meant, and the link stays a link."""
    write("elsewhere/far.chartc", chart().replace("key      G", "key G"))
    write("elsewhere/other.chartc")
    (tmp_path / "book").mkdir()
    (tmp_path / "book" / "near.chartc").symlink_to(tmp_path / "elsewhere" / "far.chartc")
    (tmp_path / "book" / "more").symlink_to(tmp_path / "elsewhere")
    before = files_below(tmp_path / "elsewhere")
    ran = run("build", tmp_path / "book", "--out", tmp_path / "out")
    assert (ran.code, ran.err) == (0, "")
    assert len(files_below(tmp_path / "out")) == 1
    assert files_below(tmp_path / "elsewhere") == before
    run("tidy", tmp_path / "book")
    assert (tmp_path / "book" / "near.chartc").is_symlink()
    assert "key      G" in (tmp_path / "elsewhere" / "far.chartc").read_text()


def test_folders_very_deep_in_each_other(run: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects from folders that lie deeper in each other than Python calls: the chart at the bottom is found."""
    monkeypatch.chdir(tmp_path)
    for _ in range(1200):
        Path("d").mkdir()
        os.chdir("d")
    Path("x.chartc").write_text(chart())
    os.chdir(tmp_path)
    assert charts_below(str(tmp_path)) == ["d/" * 1200 + "x.chartc"]
    ran = run("check", tmp_path)
    assert (ran.code, ran.err) == (0, "")
    # from the bottom upwards, as whoever clears up may call himself
    chain = [tmp_path / "d"]
    for _ in range(1199):
        chain.append(chain[-1] / "d")
    (chain[-1] / "x.chartc").unlink()
    for folder in reversed(chain):
        folder.rmdir()


@pytest.mark.parametrize(
    "name", ["../evil", "../../evil", "/tmp/evil", "a/../../evil", "..", "C:\\evil", "evil\\..\\.."]
)
def test_a_chart_names_no_path(name: str, run: Command, write: Write, tmp_path: Path) -> None:
    """Protects the disk: whatever stands in a chart's texts, names and requests, its outputs lie in the output folder under the file's
    own name, and nothing else is read."""
    text = chart(chords="G | C | D | G").replace("Pail by the Door", name).replace("meter ", f"credit {name}\nmeter ")
    write("book/pail.chartc", text.replace("4 measures", "4 measures\n  lead voice") + f"words | {name} | | | |\n")
    out = tmp_path / "down" / "out"
    ran = run("build", tmp_path / "book", "--out", out, "--together", "--sheet", "backup, chords, numbers, cues")
    assert ran.code == 0, ran.err
    kinds = {f"pail-{key}-{kind}.pdf" for key in ("G", "all") for kind in ("backup", "chords", "cues")}
    assert kinds <= files_below(out)
    assert all("/" not in made and made.startswith("pail-") for made in files_below(out))
    assert sorted(p.name for p in (tmp_path / "down").iterdir()) == ["out"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["book", "down"]
    # where a name or a request is a path, it is a mistake
    for wrong in (text.replace("section verse", f"section {name}"), text + f"ask | {name} | | | |\n"):
        write("book/pail.chartc", wrong)
        assert run("check", tmp_path / "book").code == 1
