"""`chartc check`: how findings are shown, and what is put right."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from chartc.cli import main
from chartc.text.grammar import grammar

GOOD = "title A\nkey G\nmeter 4/4\ntempo quarter = 112\nsection verse, 2 measures\n| G | C |\n"
BAD = GOOD.replace("| G | C |", "| am | H |").replace("tempo", "tmepo")


@pytest.fixture
def chart(tmp_path: Path) -> Path:
    """A chart with two mistakes that can be put right and one that cannot."""
    path = tmp_path / "a.chartc"
    path.write_text(BAD)
    return path


def test_one_line_for_each_finding(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects scripts and editors: one line each, on standard output, nothing else there, exit 1."""
    assert main(["check", str(chart), "--format", "lines"]) == 1
    out, err = capsys.readouterr()
    assert [line.rsplit(" ", 1)[1] for line in out.splitlines()] == [
        "[line-unknown]",
        "[chord-unknown]",
        "[chord-unknown]",
    ]
    assert all(line.startswith(f"{chart}:") for line in out.splitlines()) and not err


def test_json_has_its_schema(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects programs: the data is what its published schema says (JSON Schema 2020-12, checked by another library), and the
    schema allows nothing else."""
    assert main(["check", str(chart), "--format", "json"]) == 1
    data = json.loads(capsys.readouterr().out)
    schema = json.loads(grammar("diagnostics.schema.json"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    validator.validate(data)
    assert len(data["diagnostics"]) == 3 and data["diagnostics"][1]["fix"] == [
        {"line": 6, "column": 3, "end": 5, "text": "Am"}
    ]
    for broken in ({**data, "more": 1}, {"diagnostics": [{**data["diagnostics"][0], "line": 0}]}, {}):
        assert not validator.is_valid(broken)


def test_fewer_are_shown_where_asked_for(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the limit: so many, and the total."""
    assert main(["check", str(chart), "--limit", "1"]) == 1
    err = capsys.readouterr().err
    assert err.count("error:") == 1 and "... and 2 more (3 in all)" in err
    with pytest.raises(SystemExit):
        main(["check", str(chart), "--limit", "-1"])


def test_colour_is_as_the_flag_says(
    chart: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects logs: no colour where the output is no terminal, colour where it is asked for."""
    monkeypatch.delenv("FORCE_COLOR", raising=False)
    main(["check", str(chart)])
    assert "\x1b" not in capsys.readouterr().err
    main(["check", str(chart), "--color", "always"])
    assert "\x1b[1;31merror\x1b[0m" in capsys.readouterr().err


def test_what_is_certain_is_fixed(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the fix: the file has what was meant, what was done is said, what is left is reported, exit 1."""
    assert main(["check", "--fix", str(chart)]) == 1
    assert chart.read_text() == BAD.replace("tmepo", "tempo").replace("am", "Am")
    err = capsys.readouterr().err
    assert "fixed: " in err and "the line is now: | Am | H |" in err and "2 fixed in 1 chart" in err
    assert err.count("error:") == 1 and "[chord-unknown]" in err


def test_what_was_fixed_is_data(chart: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects programs: the fixes that were made stand beside the findings that are left."""
    assert main(["check", "--fix", "--format", "json", str(chart)]) == 1
    data = json.loads(capsys.readouterr().out)
    jsonschema.validate(data, json.loads(grammar("diagnostics.schema.json")))
    assert [d["code"] for d in data["fixed"]] == ["line-unknown", "chord-unknown"]
    assert [d["code"] for d in data["diagnostics"]] == ["chord-unknown"]


def test_a_good_chart_is_not_touched(tmp_path: Path) -> None:
    """Protects files: where there is nothing to fix, nothing is written."""
    path = tmp_path / "a.chartc"
    path.write_text(GOOD)
    before = path.stat()
    assert main(["check", "--fix", str(path)]) == 0
    after = path.stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)


def test_a_chart_that_cannot_be_written_keeps_its_findings(
    chart: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Protects the report: where a file may not be written, its findings are all there and the run fails with 2."""
    import chartc.store.rewriting as rewriting

    def fail(path: Path, old: str, new: str) -> None:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(rewriting, "rewrite", fail)
    assert main(["check", "--fix", str(chart)]) == 2
    err = capsys.readouterr().err
    assert "Permission denied" in err and err.count("error:") == 3 and chart.read_text() == BAD


@pytest.mark.parametrize(
    ("asks", "codes", "exit_code"),
    [
        ("kickoff fret 19 | roll", ["request-unmet"], 0),
        ("push-off | bow-wave", ["join-unplayable"], 1),
        ("roll | fill", [], 0),
        ("rushlight | ", [], 0),
    ],
)
def test_requests_are_checked_as_a_build_would(
    asks: str, codes: list[str], exit_code: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects who asks for licks: what a build would say of the requests in the written key, a check says too."""
    path = tmp_path / "a.chartc"
    path.write_text(
        f"title A\nkey G\nmeter 4/4\ntempo half = 100\nsection verse, 2 measures\nlead banjo\n| G | G |\nask | {asks} |\n"
    )
    for command in (["check", str(path)], ["build", str(path), "--out", str(tmp_path / "out")]):
        assert main(command) == exit_code
        said = "".join(capsys.readouterr())
        assert [code for code in ("request-unmet", "join-unplayable") if f"[{code}]" in said] == codes


def test_requests_are_checked_where_the_form_brings_them_together(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects against a check that looks at the page only: two licks that no hand can join stand in the last section printed and in the
    first, and the form plays one after the other."""
    path = tmp_path / "a.chartc"
    path.write_text(
        "title A\nkey G\nmeter 4/4\ntempo half = 100\nform verse, chorus, break, verse\n"
        "section verse, 1 measure\nlead banjo\n| G |\nask | bow-wave |\n"
        "section chorus, 1 measure\nlead banjo\n| C |\n"
        "section break, 1 measure\nlead banjo\n| G |\nask | push-off |\n"
    )
    assert main(["check", str(path)]) == 1
    assert "[join-unplayable]" in "".join(capsys.readouterr())
