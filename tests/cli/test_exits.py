"""Exit codes and streams: scripts act on them. 0 fine, 1 findings in a chart, 2 could not run; the highest wins."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.running import WRONG, Command, alone, chart

Write = Callable[..., Path]


def test_fine_is_0_and_silent(run: Command, write: Write, tmp_path: Path) -> None:
    """A good chart says nothing on either stream, so that scripts can pass output on and people see only what matters."""
    good = write("pail.chartc")
    assert run("check", good) == run("build", good, "--out", tmp_path / "out")
    ran = run("check", good)
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    planned = run("plan", good)
    assert (planned.code, planned.err) == (0, "")


def test_a_warning_is_shown_and_is_0(run: Command, write: Write) -> None:
    """A chart without a tempo can be printed: the warning is on standard error, and a script goes on."""
    ran = run("check", write("pail.chartc", chart().replace("tempo    quarter = 120\n", "")))
    assert ran.code == 0
    assert "warning" in ran.err
    assert ran.out == ""


@pytest.mark.parametrize("command", ["check", "build", "plan"])
def test_findings_are_1_on_standard_error(command: str, run: Command, write: Write, tmp_path: Path) -> None:
    """A finding names file, line and column, shows the line, says what to do, and never mixes with results."""
    wrong = write("pail.chartc", WRONG)
    more = ["--out", str(tmp_path / "out")] if command == "build" else []
    ran = run(command, wrong, *more)
    assert ran.code == 1
    assert ran.out == ""
    assert f"{wrong}:5:" in ran.err
    assert "section verse, 4 measures" in ran.err
    assert not (tmp_path / "out").exists() or not list((tmp_path / "out").glob("*.pdf"))


@pytest.mark.parametrize(
    "args",
    [
        ["check", "missing.chartc"],
        ["check", "empty-folder"],
        ["check"],
        ["play", "pail.chartc"],
        [],
        ["build", "pail.chartc", "--keys", "H"],
        ["build", "pail.chartc", "--keys", ""],
        ["build", "pail.chartc", "--keys", "G, Q#"],
        ["build", "pail.chartc", "--paper", "a5"],
        ["build", "pail.chartc", "--sheet", "poster"],
        ["build", "pail.chartc", "--sheet", "backup, poster"],
        ["build", "pail.chartc", "--colour"],
        ["build", "pail.chartc", "--format", "xml"],
        ["check", "pail.chartc", "--player", "nobody.yaml"],
        ["check", "pail.chartc", "--player", "empty-folder"],
        ["plan", "folder"],
    ],
    ids=" ".join,
)
def test_could_not_run_is_2(
    args: list[str], run: Command, write: Write, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What cannot be run at all (no such file, no chart in the folder, a wrong word for an option) is told apart from a chart
    with an error, and says why."""
    write("pail.chartc")
    (tmp_path / "empty-folder").mkdir()
    write("folder/one.chartc")
    write("folder/two.chartc")
    monkeypatch.chdir(tmp_path)
    ran = run(*args)
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.strip()


def test_yaml_of_another_kind_is_refused(run: Command, write: Write) -> None:
    """A YAML file that is no set list and no songbook is named, never passed over in silence."""
    path = write("set.yaml", "list-of-nothing: 1\n")
    ran = run("check", path)
    assert ran.code in (1, 2)
    assert str(path) in ran.err


@pytest.mark.parametrize("order", [0, 1])
def test_highest_wins(order: int, run: Command, write: Write, tmp_path: Path) -> None:
    """One run over charts that are right, wrong and missing is 2, whichever comes first, and says both things."""
    paths = [write("right.chartc"), write("wrong.chartc", WRONG), tmp_path / "missing.chartc"]
    ran = run("check", *(reversed(paths) if order else paths))
    assert ran.code == 2
    assert "wrong.chartc:5:" in ran.err
    assert "missing.chartc" in ran.err


def test_a_wrong_chart_does_not_stop_the_others(run: Command, write: Write, tmp_path: Path) -> None:
    """Half of a songbook is better than none: every right chart is built, before and behind the wrong one."""
    write("set/a.chartc")
    write("set/b.chartc", WRONG)
    write("set/c.chartc")
    ran = run("build", tmp_path / "set", "--out", tmp_path / "out")
    assert ran.code == 1
    assert sorted(p.name for p in (tmp_path / "out").glob("*.pdf")) == ["a-G-backup.pdf", "c-G-backup.pdf"]


def test_all_errors_in_one_run(run: Command, write: Write) -> None:
    """A player mends a chart once, not error by error, and file by file."""
    one = write("one.chartc", chart(chords="G | Hm | D | G").replace("quarter = 120", "brisk"))
    two = write("two.chartc", WRONG)
    ran = run("check", one, two)
    assert f"{one}:4:" in ran.err
    assert f"{one}:6:" in ran.err
    assert f"{two}:5:" in ran.err


@pytest.mark.parametrize("text", [chart(), WRONG], ids=["right", "wrong"])
def test_json_of_check_and_build(text: str, run: Command, write: Write, tmp_path: Path) -> None:
    """Programs get one JSON value on standard output, with every finding's code, place and words, and the files that were written."""
    path = write("pail.chartc", text)
    checked = run("check", path, "--format", "json")
    found = json.loads(checked.out)["diagnostics"]
    assert len(found) == (text == WRONG) == checked.code
    for one in found:
        assert {"code", "severity", "message", "file", "line", "column"} <= set(one)
        assert (one["file"], one["line"]) == (str(path), 5)
    built = run("build", path, "--out", tmp_path / "out", "--keys", "G, A", "--format", "json")
    result = json.loads(built.out)
    written = [] if found else [str(tmp_path / "out" / f"pail-{k}-backup.pdf") for k in "GA"]
    assert result["files"] == written
    assert all(Path(p).read_bytes().startswith(b"%PDF") for p in written)


@pytest.mark.parametrize(
    "args", [["--help"], ["build", "--help"], ["check", "--help"], ["plan", "--help"], ["--version"]], ids=" ".join
)
def test_help(args: list[str], run: Command) -> None:
    """Help is there for each command, on standard output, and names what can be given."""
    ran = run(*args)
    assert (ran.code, ran.err) == (0, "")
    if "--version" in args:
        assert ran.out.startswith("chartc ")
        return
    assert ran.out.startswith(f"usage: chartc{' ' + args[0] if len(args) == 2 else ''}")
    wanted = {
        "--help": ["build", "check", "plan", "Exit codes"],
        "build": ["--keys", "--out", "--paper", "--sheet", "--together", "--player", "--format", "PATH"],
        "check": ["--player", "--format", "PATH"],
        "plan": ["--keys", "--player", "CHART"],
    }
    for word in wanted[args[0]]:
        assert word in ran.out


def test_as_a_process(write: Write, tmp_path: Path) -> None:
    """What a shell sees is what the tests in one process see: exit code, and UTF-8 whatever the terminal's language."""
    ran = alone("plan", write("pail.chartc", chart().replace("Pail by", "Pâil bý")))
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert json.loads(ran.stdout.decode("utf-8"))["title"] == "Pâil bý the Door"
    assert alone("check", tmp_path / "nothing.chartc").returncode == 2
