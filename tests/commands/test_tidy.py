"""`chartc tidy`: what is written, what is refused, and the exit codes."""

from __future__ import annotations

import io
import json
import os
import sys
from pathlib import Path

import pytest

from chartc.chart import layout
from chartc.cli import main

GOOD = "title A\nkey G\nmeter 4/4\ntempo quarter = 112\nsection verse, 2 measures\n| G | C |\n"
TIDY = "title    A\nkey      G\nmeter    4/4\ntempo    quarter = 112\n\nsection verse, 2 measures\n| G    | C    |\n"


@pytest.fixture
def chart(tmp_path: Path) -> Path:
    """An untidy chart."""
    path = tmp_path / "a.chartc"
    path.write_text(GOOD)
    return path


def test_charts_are_made_tidy_in_their_place(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the files: a whole folder is made tidy, a chart with errors stays and does not stop the others, a tidy one is
    not written again."""
    bad, done = chart.with_name("b.chartc"), chart.with_name("c.chartc")
    bad.write_text(GOOD.replace("C", "H"))
    done.write_text(TIDY)
    before = done.stat()
    assert main(["tidy", str(chart.parent)]) == 1
    assert chart.read_text() == TIDY and bad.read_text() == GOOD.replace("C", "H")
    assert done.stat().st_mtime_ns == before.st_mtime_ns and done.stat().st_ino == before.st_ino
    err = capsys.readouterr().err
    assert "a.chartc: tidy now" in err and "[chord-unknown]" in err and "c.chartc" not in err


def test_only_checked(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects scripts: --check changes nothing, exits 1 where something would change and 0 where nothing would."""
    assert main(["tidy", "--check", "--format", "json", str(chart)]) == 1
    assert chart.read_text() == GOOD
    assert json.loads(capsys.readouterr().out)["changed"] == [str(chart)]
    chart.write_text(TIDY)
    assert main(["tidy", "--check", str(chart)]) == 0


def piped(monkeypatch: pytest.MonkeyPatch, text: str, *options: str) -> int:
    """Runs the command with a text on standard input."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
    return main(["tidy", "-", *options])


def test_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects editors: text in, tidy text out; with errors nothing is printed, so that nothing is lost."""
    assert piped(monkeypatch, GOOD) == 0
    assert capsys.readouterr().out == TIDY
    assert piped(monkeypatch, GOOD.replace("C", "H")) == 1
    out, err = capsys.readouterr()
    assert out == "" and "standard input:6:7: error:" in err
    assert piped(monkeypatch, GOOD, "--check") == 1
    assert piped(monkeypatch, TIDY, "--check") == 0
    assert piped(monkeypatch, GOOD, "more.chartc") == 2


def test_in_another_key_and_in_degrees(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects a chart in another key: its words are those of that key; a key of another mode is refused."""
    assert piped(monkeypatch, GOOD, "--key", "Bb") == 0
    assert capsys.readouterr().out == TIDY.replace("G ", "Bb").replace("C ", "Eb").replace("key      G", "key      Bb")
    assert piped(monkeypatch, GOOD, "--degrees") == 0
    assert capsys.readouterr().out == TIDY.replace("| G    | C ", "| 1    | 4 ")
    assert piped(monkeypatch, GOOD, "--key", "A", "--degrees") == 0
    assert capsys.readouterr().out == TIDY.replace("| G    | C ", "| 1    | 4 ").replace("key      G", "key      A")
    assert piped(monkeypatch, GOOD.replace("| G | C |", "| 1 | 4 |"), "--letters") == 0
    assert capsys.readouterr().out == TIDY
    assert piped(monkeypatch, GOOD, "--key", "Am") == 1
    assert "[key-mode]" in capsys.readouterr().err
    with pytest.raises(SystemExit):
        piped(monkeypatch, GOOD, "--key", "H")


def test_a_defect_leaves_the_file(
    chart: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects the file from the program itself: a text that does not say the same is not written, exit 2, no traceback."""
    monkeypatch.delenv("CHARTC_DEBUG", raising=False)
    monkeypatch.setattr(layout, "_chords", lambda cell: "G")
    assert main(["tidy", str(chart)]) == 2
    assert chart.read_text() == GOOD
    assert "defect" in capsys.readouterr().err


def test_a_chart_that_cannot_be_written(
    chart: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects the run: a file without permission is named, exit 2."""
    monkeypatch.setattr(os, "access", lambda path, mode: not mode & os.W_OK)
    assert main(["tidy", str(chart)]) == 2
    assert chart.read_text() == GOOD and "may not be written" in capsys.readouterr().err
