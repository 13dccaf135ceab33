"""Commands that read a set list take its players as a build does."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from chartc.cli import main
from tests.book.charts import ORLA, WEND, chart, pair, texts

SINGERS = "singers:\n  - {name: Ada Moss, range: A3 to D5}\n"


def run(capsys: pytest.CaptureFixture[str], *args: object) -> tuple[int, str, str]:
    """Runs a command; exit code, output and errors."""
    capsys.readouterr()
    code = main([str(a) for a in args])
    out, err = capsys.readouterr()
    return code, out, err


def practice(capsys: pytest.CaptureFixture[str], path: Path, *more: object) -> tuple[int, dict[str, Any], str]:
    """Plans a few days; exit code, data and errors."""
    days = ("--from", "2027-04-29", "--out", path.parent / "out", "--format", "json")
    code, out, err = run(capsys, "practice", path, *days, *more)
    return code, json.loads(out) if out else {}, err


def test_check_knows_what_any_player_of_the_list_knows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the bandleader's check: a lick of one player is a warning for the other, one of nobody an error, and a chart that is
    checked by itself knows of no players."""
    path = pair(tmp_path)
    code, _, err = run(capsys, "check", path)
    assert code == 0 and err.count("warning:") == 1
    assert '"wend-cellar" is a lick of Wend Askary: Orla Tennick\'s part does without it' in err
    assert run(capsys, "check", tmp_path / "pins.chartc")[0] == 1
    assert run(capsys, "check", tmp_path / "pins.chartc", path)[0] == 1
    pair(tmp_path, "wend-celler | | |")
    code, _, err = run(capsys, "check", path)
    assert code == 1 and err.count("[ask-word]") == 1


def test_check_says_whose_request_is_unmet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the players' limits in a check: what only one of them cannot play is told with the name."""
    code, _, err = run(capsys, "check", pair(tmp_path, "high fret 12 | | |"))
    assert code == 0
    assert "Orla Tennick's part: no lick that is asked for" in err and "Wend Askary's part" not in err


def test_check_mends_what_the_players_charts_mean(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects `--fix`: a player's lick is a word that is known, and is not mended into another."""
    path = pair(tmp_path)
    pins = tmp_path / "pins.chartc"
    pins.write_text(pins.read_text().replace("tempo ", "tmepo "), encoding="utf-8")
    code, _, err = run(capsys, "check", "--fix", path)
    assert code == 0 and "1 fixed in 1 chart" in err
    assert "tempo " in pins.read_text() and "wend-cellar" in pins.read_text()


@pytest.mark.parametrize("command", ["check", "build", "practice", "drill"])
def test_a_player_who_is_named_wins(command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects `--player`: it stands above the players of the list, with every command."""
    path = pair(tmp_path)
    out = [] if command == "check" else ["--out", tmp_path / "out"]
    day = ["--from", "2027-04-29"] if command == "practice" else []
    code, _, err = run(capsys, command, path, *out, *day, "--player", tmp_path / "wend.yaml")
    assert (code, err) == (0, "")
    assert not {p.name for p in tmp_path.glob("out/*") if "wend" in p.name or "orla" in p.name}
    code, _, err = run(capsys, command, path, *out, *day, "--player", tmp_path / "orla.yaml")
    assert code == 1 and "[ask-word]" in err


def test_a_wrong_player_of_a_list_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the report: what is wrong in a player's file is found by every command that reads the list."""
    path = pair(tmp_path, "| | |", orla=ORLA + "spike: [7]\n")
    for command in ("check", "keys", "drill"):
        out = ["--out", tmp_path / "out"] if command == "drill" else []
        code, _, err = run(capsys, command, path, *out)
        assert code == 1 and "orla.yaml:3:1: error:" in err


@pytest.mark.parametrize("command", ["check", "build"])
def test_a_wrong_singer_hides_no_other_mistake(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects the report: a singer who is not known, and a key that does not suit the song of another entry, are said in one run; nothing is
    made of such a list."""
    pair(tmp_path, "| | |")
    path = tmp_path / "weir.yaml"
    (tmp_path / "singers.yaml").write_text("singers:\n  - name: Ada Moss\n    range: C4 to B4\n", encoding="utf-8")
    path.write_text(
        "set-list: At the Weir\nsingers: singers.yaml\nsets:\n  - songs:\n"
        "      - {song: pins.chartc, sings: Nobody}\n      - {song: pins.chartc, key: E minor}\n",
        encoding="utf-8",
    )
    out = ["--out", tmp_path / "out"] if command == "build" else []
    code, _, err = run(capsys, command, path, *out)
    assert code == 1 and "[singer-unknown]" in err and "[key-mode]" in err
    assert not list(tmp_path.glob("out/*.pdf"))


def test_each_player_practises(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the weeks before the show: a plan for each player, of that player's licks, in a file of the player's name and with the name
    on the sheet; data says whose days they are."""
    path = pair(tmp_path)
    code, found, err = practice(capsys, path)
    assert code == 0 and not err
    names = [Path(f).name for f in found["files"]]
    assert names == ["practice-wend.pdf", "practice-orla.pdf"]
    wend, orla = ("\n".join(texts(tmp_path / "out" / n)) for n in names)
    assert "Practice for Wend Askary: Two at the Mill" in wend and "Practice for Orla Tennick" in orla
    assert "wend-cellar" in wend and "wend-cellar" not in orla
    assert [d["player"] for d in found["days"]] == ["Wend Askary"] * 2 + ["Orla Tennick"] * 2
    assert sum("does without it" in d["message"] for d in found["diagnostics"]) == 1


def test_each_player_practises_on_the_paper_of_the_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the printer: plans come on each player's paper."""
    code, found, _ = practice(capsys, pair(tmp_path, "| | |", orla=ORLA + "paper: letter\n"))
    sizes = [pypdfium2.PdfDocument(f)[0].get_size()[0] for f in found["files"]]
    assert code == 0 and sizes == pytest.approx([595.28, 612], abs=0.5)


def test_progress_is_one_players(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects a player from another's progress: with several it is not heeded, and that is said; with one it is."""
    path = pair(tmp_path)
    marks = tmp_path / "mine.txt"
    marks.write_text("known wend-cellar\n", encoding="utf-8")
    code, found, err = practice(capsys, path, "--progress", marks)
    assert code == 0 and "--progress does nothing here" in err
    assert any("wend-cellar over" in t["what"] for d in found["days"] for t in d["turns"])
    path.write_text(path.read_text().replace(", orla.yaml", ""), encoding="utf-8")
    code, found, err = practice(capsys, path, "--progress", marks)
    assert code == 0 and "does nothing here" not in err
    assert not any("wend-cellar over" in t["what"] for d in found["days"] for t in d["turns"])


def test_each_player_drills(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects drills of a list: each player's joins in files of the player's name."""
    code, out, _ = run(capsys, "drill", pair(tmp_path), "--kind", "flow", "--out", tmp_path / "out", "--format", "json")
    assert code == 0
    assert [Path(f).name for f in json.loads(out)["files"]] == ["pins-wend-G-flow.pdf", "pins-orla-G-flow.pdf"]


def test_keys_reckon_with_the_first_players_banjo(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the choice of a key: spikes and hands are those of the list's first player, whose name is said; a named player wins."""
    path = pair(tmp_path)
    sung = path.read_text().replace("sets:", "singers: singers.yaml\nsets:")
    sung = sung.replace("songs: [pins.chartc]", "songs:\n      - {song: pins.chartc, sings: Ada Moss}")
    path.write_text(sung, encoding="utf-8")
    (tmp_path / "singers.yaml").write_text(SINGERS, encoding="utf-8")
    (tmp_path / "wend.yaml").write_text(WEND + "spikes: [9]\n", encoding="utf-8")

    def keys(*more: object) -> dict[str, Any]:
        code, out, err = run(capsys, "keys", path, "--format", "json", *more)
        assert code == 0, err
        (song,) = json.loads(out)["songs"]
        return dict(song)

    first, named = keys(), keys("--player", tmp_path / "wend.yaml")
    assert first["player"] == "Wend Askary" and first == named
    assert {k["fifth_string"]["fret"] for k in first["keys"]} <= {0, 9}
    code, out, _ = run(capsys, "keys", path)
    assert code == 0 and "; the banjo is Wend Askary's\n" in out
    path.write_text(sung.replace("[wend.yaml, orla.yaml]", "[orla.yaml, wend.yaml]"), encoding="utf-8")
    assert keys()["player"] == "Orla Tennick"


def test_without_players_nothing_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects lists for one banjo: the plan has no player's name, in its file or on its sheet."""
    (tmp_path / "one.chartc").write_text(chart("Weir Song"), encoding="utf-8")
    path = tmp_path / "one.yaml"
    path.write_text("set-list: One\ndate: 2027-05-01\nsets:\n  - songs: [one.chartc]\n", encoding="utf-8")
    code, found, _ = practice(capsys, path)
    assert code == 0 and [Path(f).name for f in found["files"]] == ["practice.pdf"]
    assert "Practice: One" in texts(tmp_path / "out" / "practice.pdf")[0]
    assert all("player" not in d for d in found["days"])
