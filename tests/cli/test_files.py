"""What is written: names, places, and that a file is there whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest

from tests.cli.running import WRONG, Command, alone, chart, files_below

Write = Callable[..., Path]

MINOR = chart("A minor", "Am | Dm | E7 | Am")


@pytest.mark.parametrize(
    ("text", "keys", "words"),
    [
        (chart(), "", ["G"]),
        (chart(), "G, A, Bb", ["G", "A", "B-flat"]),
        (chart(), "F#, Gb", ["F-sharp"]),
        (chart(), "Db", ["D-flat"]),
        (chart(), "C#", ["D-flat"]),
        (chart("Db", "Db | Gb | Ab7 | Db"), "", ["D-flat"]),
        (MINOR, "", ["A-minor"]),
        (MINOR, "C#, Em", ["C-sharp-minor", "E-minor"]),
        (MINOR, "Db", ["C-sharp-minor"]),
        (MINOR, "A minor, A", ["A-minor"]),
        (chart("A mixolydian", "A | G | D | A"), "Bb", ["B-flat-mixolydian"]),
    ],
)
def test_names_of_files(text: str, keys: str, words: list[str], run: Command, write: Write, tmp_path: Path) -> None:
    """Scripts and folders count on the names: STEM-KEY-SHEET.pdf, signs in words, each key once, a tonic in the song's own mode."""
    out = tmp_path / "out"
    ran = run("build", write("pail.chartc", text), "--out", out, *(["--keys", keys] if keys else []))
    assert (ran.code, ran.err) == (0, "")
    assert files_below(out) == {f"pail-{word}-backup.pdf" for word in words}


def test_all_keys(run: Command, write: Write, tmp_path: Path) -> None:
    """`all` is twelve keys, spelled as charts are, and joins with keys named beside it."""
    ran = run("build", write("pail.chartc"), "--keys", "all, G", "--out", tmp_path / "out", "--sheet", "chords")
    assert ran.code == 0
    words = ["C", "D-flat", "D", "E-flat", "E", "F", "F-sharp", "G", "A-flat", "A", "B-flat", "B"]
    assert files_below(tmp_path / "out") == {f"pail-{word}-chords.pdf" for word in words}


@pytest.mark.parametrize(("text", "keys"), [(MINOR, "A major"), (chart(), "Em"), (chart(), "G, E minor")])
def test_contrary_mode_is_an_error(text: str, keys: str, run: Command, write: Write, tmp_path: Path) -> None:
    """A song in major is not played in minor by asking for the key: that is said, and what to write."""
    ran = run("build", write("pail.chartc", text), "--keys", keys, "--out", tmp_path / "out")
    assert ran.code == 1
    assert "minor" in ran.err
    assert "major" in ran.err
    assert "ask for the tonic alone" in ran.err


def test_sheets_and_together(run: Command, write: Write, tmp_path: Path) -> None:
    """Several kinds of sheet are files of their own, and `--together` adds one file for each kind with every key's pages in order."""
    out = tmp_path / "out"
    ran = run(
        "build", write("pail.chartc"), "--out", out, "--keys", "G, Bb, F#", "--sheet", "backup, chords", "--together"
    )
    assert ran.code == 0
    keys = ("G", "B-flat", "F-sharp", "all")
    assert files_below(out) == {f"pail-{key}-{kind}.pdf" for key in keys for kind in ("backup", "chords")}
    single = [len(pypdfium2.PdfDocument(out / f"pail-{key}-backup.pdf")) for key in keys[:3]]
    together = pypdfium2.PdfDocument(out / "pail-all-backup.pdf")
    assert len(together) == sum(single)
    first = together[0].get_textpage().get_text_range()
    assert "Pail by the Door" in first


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_paper(paper: str, size: tuple[float, float], run: Command, write: Write, tmp_path: Path) -> None:
    """The paper is the one asked for (ISO 216, ANSI Y14.1), or the printer scales the sheet."""
    run("build", write("pail.chartc"), "--out", tmp_path / "out", "--paper", paper)
    (page,) = pypdfium2.PdfDocument(tmp_path / "out" / "pail-G-backup.pdf")
    assert page.get_size() == pytest.approx(size, abs=0.5)


def test_equal_stems_keep_their_folders(run: Command, write: Write, tmp_path: Path) -> None:
    """Two songs of one name in two folders do not overwrite each other; capitals make no difference, as on many disks."""
    for name in ("book/jam/pail.chartc", "book/show/Pail.chartc", "book/other.chartc"):
        write(name)
    ran = run("build", tmp_path / "book", "--out", tmp_path / "out")
    assert ran.code == 0
    assert files_below(tmp_path / "out") == {"jam/pail-G-backup.pdf", "show/Pail-G-backup.pdf", "other-G-backup.pdf"}


def test_a_chart_named_twice_is_built_once(run: Command, write: Write, tmp_path: Path) -> None:
    """A folder and a chart in it name the chart twice; it is one song all the same."""
    path = write("book/pail.chartc")
    ran = run("build", tmp_path / "book", path, "--out", tmp_path / "out", "--format", "json")
    assert json.loads(ran.out)["files"] == [str(tmp_path / "out" / "pail-G-backup.pdf")]


def test_default_folder(write: Write, tmp_path: Path, run: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without --out, sheets go to build/ where one stands."""
    write("pail.chartc")
    monkeypatch.chdir(tmp_path)
    assert run("build", "pail.chartc").code == 0
    assert files_below(tmp_path / "build") == {"pail-G-backup.pdf"}


def test_an_older_sheet_stays_when_the_chart_becomes_wrong(run: Command, write: Write, tmp_path: Path) -> None:
    """The evening's sheet must survive a slip of the pen: a chart with an error writes nothing over what is there."""
    path = write("pail.chartc")
    out = tmp_path / "out"
    run("build", path, "--out", out)
    before = (out / "pail-G-backup.pdf").read_bytes()
    write("pail.chartc", WRONG)
    assert run("build", path, "--out", out).code == 1
    assert (out / "pail-G-backup.pdf").read_bytes() == before
    assert files_below(out) == {"pail-G-backup.pdf"}


@pytest.mark.parametrize("blocked", ["out", "out/below"])
def test_a_file_where_the_folder_should_be(blocked: str, run: Command, write: Write, tmp_path: Path) -> None:
    """Where sheets cannot be written that is said with the path, nothing else is touched, and nothing half-written stays."""
    path = write("pail.chartc")
    write("out", "I am a file\n")
    before = files_below(tmp_path)
    ran = run("build", path, "--out", tmp_path / blocked)
    assert ran.code == 2
    assert str(tmp_path / blocked) in ran.err
    assert files_below(tmp_path) == before
    assert (tmp_path / "out").read_text() == "I am a file\n"


def test_a_folder_where_a_sheet_should_be(run: Command, write: Write, tmp_path: Path) -> None:
    """One sheet that cannot be put in its place does not keep the others from theirs, and leaves no remains."""
    path = write("pail.chartc")
    (tmp_path / "out" / "pail-G-backup.pdf").mkdir(parents=True)
    ran = run("build", path, "--out", tmp_path / "out", "--keys", "G, A")
    assert ran.code == 2
    assert "pail-G-backup.pdf" in ran.err
    assert files_below(tmp_path / "out") == {"pail-A-backup.pdf"}


def test_the_same_bytes_always(write: Write, tmp_path: Path) -> None:
    """A second run gives the same bytes, in another process, in another folder and with sets in another order: a sheet under
    version control changes only when its song does."""
    path = write("pail.chartc", chart(chords="G | Em C | D7 | G"))
    seen = []
    for seed in ("1", "4242"):
        out = tmp_path / f"out-{seed}"
        plan = alone("plan", path, "--keys", "G, Eb", seed=seed)
        built = alone("build", path, "--keys", "G, Eb", "--sheet", "backup, chords", "--out", out, seed=seed)
        assert (plan.returncode, built.returncode) == (0, 0), plan.stderr + built.stderr
        seen.append((plan.stdout, {name: (out / name).read_bytes() for name in files_below(out)}))
    assert len(seen[0][1]) == 4
    assert seen[0] == seen[1]


@pytest.mark.parametrize("below", ["", "sheets"])
def test_an_output_folder_that_is_a_file_is_said_at_once(
    below: str, run: Command, write: Write, tmp_path: Path
) -> None:
    """Protects whoever mistypes --out: the message names what is in the way and what to give, and nothing is worked out before."""
    (tmp_path / "taken").write_text("mine")
    ran = run("build", write("pail.chartc"), "--out", tmp_path / "taken" / below)
    assert ran.code == 2
    assert "is none; name another" in ran.err and "File exists" not in ran.err
    assert (tmp_path / "taken").read_text() == "mine"
