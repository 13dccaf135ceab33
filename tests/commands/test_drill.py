"""`chartc drill` and `chartc practice` from end to end: files, exit codes, and what is said of mistakes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from chartc.cli import main
from chartc.practice.cautions import CAUTIONS
from tests.export.read_back import struck, tracks
from tests.export.songs import CROOKED, EXAMPLES, player

CHART = str(next(p for p in EXAMPLES if p.stem == "pole-and-paddle"))
HENS = str(next(p for p in EXAMPLES if p.stem == "hens-in-the-hold"))


def data(capsys: pytest.CaptureFixture[str], *args: str) -> tuple[int, dict[str, Any]]:
    """The exit code and the results of a command."""
    code = main([*args, "--format", "json"])
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return code, found


def words(path: Path) -> str:
    """The text of a PDF's first page, spaces and line ends alike."""
    document = pypdfium2.PdfDocument(path)
    text = " ".join(document[0].get_textpage().get_text_range().split())
    document.close()
    return text


def test_a_chart_gives_its_drills(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the usual way: for each key a sheet of each kind, with the cautions on it, and with --midi a file to play along."""
    code, found = data(capsys, "drill", HENS, "--keys", "G, A", "--out", str(tmp_path), "--midi", "--tempos", "60,100")
    assert code == 0
    names = {f"hens-in-the-hold-{key}-{kind}" for key in "GA" for kind in ("slow-joins", "song-joins", "flow")}
    assert {p.name for p in tmp_path.iterdir()} == {f"{n}.{end}" for n in names for end in ("pdf", "mid")}
    assert len(found["drills"]) == 6
    assert sorted(found["files"]) == sorted(f for d in found["drills"] for f in d["files"])
    for name in names:
        assert " ".join(CAUTIONS.split()) in words(tmp_path / f"{name}.pdf")
        assert struck(tracks((tmp_path / f"{name}.mid").read_bytes())["banjo"])


def test_drills_are_the_same_every_time(tmp_path: Path) -> None:
    """Protects builds that can be repeated: the same command writes the same bytes."""
    for folder in ("a", "b"):
        assert (
            main(["drill", HENS, "--kind", "all-joins,flow", "--seed", "7", "--out", str(tmp_path / folder), "--midi"])
            == 0
        )
    first = {p.name: p.read_bytes() for p in (tmp_path / "a").iterdir()}
    assert first == {p.name: p.read_bytes() for p in (tmp_path / "b").iterdir()}
    assert len(first) == 4


def test_licks_by_name_and_by_word(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the library's drills: named licks give every join; one lick goes round and through the keys."""
    rolls = [x.name for x in player().means.library.licks if x.role == "roll" and "4/4" in x.meters][:3]
    code, found = data(capsys, "drill", "--licks", ",".join(rolls), "--out", str(tmp_path), "--tempo", "100")
    assert code == 0
    assert next((d["kind"], d["joins"]) for d in found["drills"]) == ("all-joins", 9)
    code, found = data(
        capsys, "drill", "--licks", rolls[0], "--keys", "all", "--kind", "progression", "--out", str(tmp_path)
    )
    assert code == 0
    (drill,) = found["drills"]
    assert drill["kind"] == f"progression-{rolls[0]}"
    document = pypdfium2.PdfDocument(drill["files"][0])
    assert len(document) >= 12
    document.close()


def test_marked_licks_are_drilled_and_resting_ones_are_not(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the progress file's use: --licks learning means the marked ones; a resting lick is in no drill of a song."""
    code, found = data(capsys, "drill", HENS, "--kind", "round", "--out", str(tmp_path))
    used = [lick.name for lick in player().means.library.licks if lick.role not in ("roll", "vamp")]
    file = tmp_path / "mine.txt"
    assert main(["progress", str(file), "--learning", ", ".join(used[:2]), "--resting", used[2]]) == 0
    capsys.readouterr()
    code, found = data(
        capsys, "drill", "--licks", "learning", "--progress", str(file), "--kind", "round", "--out", str(tmp_path)
    )
    assert code == 0
    assert found["drills"][0]["title"].startswith(f"{used[0]} and {used[1]}")
    assert main(["drill", "--licks", "known", "--progress", str(file), "--out", str(tmp_path)]) == 2
    assert 'no lick is meant by "known"' in capsys.readouterr().err


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ([], "give either charts or --licks"),
        ([CHART, "--licks", "forward"], "give either charts or --licks"),
        (["--licks", "forwrad"], 'there is no lick "forwrad"; there is "forward"'),
        (["--licks", "all"], "at most 40 can be drilled: name them, such as: --licks"),
        (["--licks", "forward", "--kind", "progression", "--progression", "1 H"], "--progression 1 H"),
        (["no-such.chartc"], "no-such.chartc"),
        ([CHART, "--progress", "no-such.txt"], "no-such.txt"),
    ],
)
def test_what_cannot_be_done_is_said(
    args: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects the player from silence: one line that says what to write, exit code 2, and nothing is written."""
    code = main(["drill", *args, "--out", str(tmp_path / "out")])
    assert said in capsys.readouterr().err
    assert code == 2 or "--progression" in said
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "args",
    [
        ["--seed", "x"],
        ["--measures", "0"],
        ["--tempo", "9999"],
        ["--kind", "fast"],
        ["--meter", "5/4"],
        ["--licks", ","],
    ],
)
def test_options_are_checked(args: list[str]) -> None:
    """Protects the options: what is no such value is refused before any work."""
    with pytest.raises(SystemExit) as stop:
        main(["drill", CHART, *args])
    assert stop.value.code == 2


def test_a_wrong_chart_does_not_stop_the_others(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects a folder of charts: the wrong one is reported with exit code 1, the other has its drills."""
    wrong = tmp_path / "wrong.chartc"
    wrong.write_text(CROOKED.replace("key      Bb", "key      H"))
    assert main(["drill", str(wrong), HENS, "--kind", "flow", "--out", str(tmp_path / "out")]) == 1
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["hens-in-the-hold-G-flow.pdf"]
    assert "wrong.chartc:" in capsys.readouterr().err


def test_a_practice_plan_is_printed_and_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the plan: its page has cautions and sources, its data every day with its minutes."""
    code, found = data(
        capsys,
        "practice",
        HENS,
        CHART,
        "--from",
        "2027-05-03",
        "--until",
        "2027-05-15",
        "--minutes",
        "20",
        "--out",
        str(tmp_path),
    )
    assert code == 0
    assert found["files"] == [str(tmp_path / "practice.pdf")]
    assert [d["day"] for d in found["days"]] == [f"2027-05-{n:02}" for n in range(3, 15)]
    assert {sum(t["minutes"] for t in d["turns"] if t["kind"] != "rest") for d in found["days"]} == {20}
    text = words(tmp_path / "practice.pdf")
    for said in (
        "British Association for Performing Arts Medicine",
        "small and mixed",
        "Shea and Morgan 1979",
        "Monday 3 May",
    ):
        assert said in text
    document = pypdfium2.PdfDocument(tmp_path / "practice.pdf")
    assert len(document) == 2
    document.close()


@pytest.mark.parametrize(
    "args", [["--until", "soon"], ["--until", "2027-02-30"], ["--until", "2027-05-03", "--minutes", "5"]]
)
def test_plans_without_sense_are_refused(args: list[str]) -> None:
    """Protects the plan's options: a date that is none, too few minutes, or no date at all."""
    with pytest.raises(SystemExit) as stop:
        main(["practice", CHART, *args])
    assert stop.value.code == 2


def test_a_set_list_brings_its_songs_keys_name_and_date(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the way from a set list to its weeks: the songs in their keys, the list's name, the day before its date as last."""
    (tmp_path / "hens.chartc").write_bytes(Path(HENS).read_bytes())
    (tmp_path / "pole.chartc").write_bytes(Path(CHART).read_bytes())
    listed = tmp_path / "evening.yaml"
    listed.write_text(
        "set-list: An Evening\ndate: 2027-05-15\nsets:\n  - name: First\n    songs:\n      - song: pole.chartc\n        key: D\n"
        "      - hens.chartc\n"
    )
    out = tmp_path / "out"
    code, found = data(capsys, "practice", str(listed), "--from", "2027-05-10", "--out", str(out))
    assert code == 0, found
    assert [d["day"] for d in found["days"]][-1] == "2027-05-14"
    songs = list(dict.fromkeys(t["what"] for t in found["days"][-1]["turns"] if t["kind"] == "song"))
    assert songs == ["Pole and Paddle in D", "Hens in the Hold in G"]
    assert "Practice: An Evening" in words(out / "practice.pdf")
    code, found = data(capsys, "drill", str(listed), "--kind", "flow", "--out", str(out))
    assert code == 0
    assert [Path(f).name for f in found["files"]] == ["pole-D-flow.pdf", "hens-G-flow.pdf"]


def test_without_a_date_a_plan_asks_for_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the player from a guess: charts alone have no date, and the plan says what to write."""
    assert main(["practice", CHART, "--from", "2027-05-03", "--out", str(tmp_path)]) == 2
    assert "--until 2027-05-08" in capsys.readouterr().err


def test_a_show_in_the_past_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects against an empty plan: a show before the first day is an error in words."""
    assert main(["practice", CHART, "--from", "2027-05-03", "--until", "2027-05-01", "--out", str(tmp_path)]) == 2
    assert "before the first day" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_plan_is_not_made_around_a_wrong_chart(tmp_path: Path) -> None:
    """Protects the set: a song that cannot be read is not silently left out of the weeks before the show."""
    wrong = tmp_path / "wrong.chartc"
    wrong.write_text(CROOKED.replace("key      Bb", "key      H"))
    out = tmp_path / "out"
    assert main(["practice", str(wrong), HENS, "--until", "2027-05-09", "--from", "2027-05-03", "--out", str(out)]) == 1
    assert not out.exists()


def test_songs_together_are_one_drill_for_each_meter(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects a set's drill: with --together there is one sheet for each meter, over the licks of all songs of it."""
    code, found = data(
        capsys, "drill", HENS, CHART, "--keys", "G", "--together", "--kind", "flow", "--out", str(tmp_path)
    )
    assert code == 0
    assert sorted(Path(f).name for f in found["files"]) == ["together-2-4-flow.pdf", "together-6-8-flow.pdf"]
