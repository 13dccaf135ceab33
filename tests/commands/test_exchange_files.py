"""`chartc build --midi --musicxml`: the files beside the sheets."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartc.cli import main
from tests.export.read_back import struck, tracks
from tests.export.songs import EXAMPLES

CHART = str(next(p for p in EXAMPLES if p.stem == "pole-and-paddle"))


def test_each_key_has_its_files_beside_the_sheet(tmp_path: Path) -> None:
    """Protects scripts: the names are those of the sheets, with other endings; the tempo steps are in the file."""
    assert (
        main(["build", "--midi", CHART, "--keys", "G, Bb", "--musicxml", "--tempos", "50, 100", "--out", str(tmp_path)])
        == 0
    )
    names = {f"pole-and-paddle-{key}-backup.{end}" for key in ("G", "B-flat") for end in ("pdf", "mid", "musicxml")}
    assert {p.name for p in tmp_path.iterdir() if p.is_file()} == names
    found = tracks((tmp_path / "pole-and-paddle-G-backup.mid").read_bytes())
    assert len([m for ms in found.values() for _, m in ms if m.type == "set_tempo"]) == 2
    assert struck(found["banjo"])


def test_without_the_options_there_are_only_sheets(tmp_path: Path) -> None:
    """Protects folders from files that nobody asked for."""
    assert main(["build", CHART, "--keys", "G", "--out", str(tmp_path)]) == 0
    assert [p.name for p in tmp_path.iterdir() if p.is_file()] == ["pole-and-paddle-G-backup.pdf"]


@pytest.mark.parametrize("words", ["", "fast", "5", "60,,x", "1" * 400, ",".join(["60"] * 13)])
def test_tempos_that_are_none_are_refused(words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the player from a wrong file: what is no list of percents is refused with an example."""
    with pytest.raises(SystemExit) as stop:
        main(["build", CHART, "--tempos", words])
    assert stop.value.code == 2
    assert "60, 80, 100" in capsys.readouterr().err
