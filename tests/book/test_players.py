"""Books for several players: what only one of them has, and whose part a finding is about."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartc.book.compile import read_song
from chartc.book.players import OF_ONE_PART, knowing_each_other, of_part
from chartc.cli import main
from chartc.codes import EXPLAINED
from chartc.player import Player, load_player
from chartc.text.diagnostic import Diagnostic
from chartc.text.reading import decode
from tests.book.charts import HIGH, LOW, ORLA, WEND, pair, texts


def build(path: Path, *more: str, code: int = 0) -> Path:
    """Builds a list and gives the folder of outputs."""
    out = path.parent / "out"
    assert main(["build", str(path), "--out", str(out), *more]) == code
    return out


def words(path: Path) -> str:
    """All text of a PDF."""
    return "\n".join(texts(path))


def test_a_lick_of_another_player_does_not_lose_the_song(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the evening of the player who lacks a lick: the song is in both books, a warning names the lick, its owner and the part
    that does without, and that part's sheet says where."""
    out = build(pair(tmp_path, "wend-cellar | | |"))
    said = capsys.readouterr().err
    assert '"wend-cellar" is a lick of Wend Askary: Orla Tennick\'s part does without it [request-unmet]' in said
    assert said.count("request-unmet") == 1 and "could not be built" not in said and " error" not in said
    wend, orla = words(out / "mill-wend.pdf"), words(out / "mill-orla.pdf")
    assert "Mill Race" in orla and "verse 1: without wend-cellar, which is a lick of Wend Askary" in orla
    assert "wend-cellar" in wend and "without wend-cellar" not in wend


def test_what_is_asked_for_beside_the_lick_stays(tmp_path: Path) -> None:
    """Protects the arrangement: who lacks the lick still plays the role that is asked for in its place, and is free where it stood alone."""
    path = pair(tmp_path, "vamp low wend-cellar | | wend-cellar |")
    wend, orla = knowing_each_other([_load(tmp_path / "wend.yaml"), _load(tmp_path / "orla.yaml")])
    source, _ = decode((path.parent / "pins.chartc").read_bytes(), "pins.chartc")
    assert source is not None
    for one, lick in ((wend, "wend-cellar"), (orla, None)):
        song, found = read_song(source, one)
        assert song is not None and len(found) == (0 if lick else 2)
        said = () if lick else ("verse 1, verse 3: without wend-cellar, which is a lick of Wend Askary",)
        assert song.remarks == said
        first, _, third, _ = [m.requests[0] for m in song.sections[0].measures]
        assert first is not None and (first.role, first.place, first.lick) == ("vamp", "low", lick)
        assert (third is None) == (lick is None)


def test_a_name_that_nobody_knows_stays_an_error(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects against slips of the pen: a lick of no player of the list is wrong for all of them."""
    build(pair(tmp_path, "wend-celler | | |"), code=1)
    said = capsys.readouterr().err
    assert said.count("[ask-word]") == 1 and 'there is "wend-cellar"' in said
    assert "2 of 2 could not be built" in said
    assert "pins.chartc for Wend Askary" in said and "pins.chartc for Orla Tennick" in said


def test_a_named_player_has_no_others_beside(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects `--player`: it stands above the list's players, and nobody else's licks are known."""
    path = pair(tmp_path, "wend-cellar | | |")
    build(path, "--player", str(tmp_path / "orla.yaml"), code=1)
    assert "[ask-word]" in capsys.readouterr().err


def test_sheets_without_the_banjo_need_no_lick(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects quiet runs: who gets chords alone is not told of a lick that is not on the sheet."""
    build(pair(tmp_path, "wend-cellar | | |", orla=ORLA + "sheet: chords\n"))
    assert not capsys.readouterr().err


def test_a_new_owner_makes_the_others_book_anew(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects against an old page from the cache: what another player's files say is part of what a book is made from."""
    path = pair(tmp_path, "wend-cellar | | |")
    out = build(path)
    (tmp_path / "wend.yaml").write_text(WEND.replace("Askary", "Pell"), encoding="utf-8")
    build(path)
    assert "which is a lick of Wend Pell" in words(out / "mill-orla.pdf")
    assert "is a lick of Wend Pell" in capsys.readouterr().err


def test_a_shared_lick_beyond_one_players_limits_is_left_out_for_that_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects players who share a lick file: what only one's limits forbid is a warning that names that player, all books are built, and a
    chart may pin the lick for the other."""
    path = pair(tmp_path, "wend-skylight | | |", HIGH, ORLA + "licks: wend-licks.yaml\n")
    out = build(path)
    said = capsys.readouterr().err
    assert "wend-licks.yaml:2:11: warning: wend-skylight lies beyond the limits of Orla Tennick" in said
    assert "it goes beyond fret 10" in said and "[lick-limits]" in said and "could not be built" not in said
    assert '"wend-skylight" lies beyond the limits of Orla Tennick: Orla Tennick\'s part does without it' in said
    assert "verse 1: without wend-skylight" in words(out / "mill-orla.pdf")
    assert "without wend-skylight" not in words(out / "mill-wend.pdf")


def test_a_lick_wrong_in_itself_stops_one_book_and_is_counted_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Protects the summary: the book of a player whose files are wrong is one thing that could not be built, beside the songs of the
    others, and says whose; and once the file is mended, the next run builds it."""
    wrong = LOW.replace("wend-cellar", "orla-attic").replace("strings: 3", "strings: 9")
    path = pair(tmp_path, "| | |", orla=ORLA + "licks: orla-licks.yaml\n")
    (tmp_path / "orla-licks.yaml").write_text(wrong, encoding="utf-8")
    out = build(path, code=1)
    said = capsys.readouterr().err
    assert "orla-licks.yaml:6:" in said and "[lick-string]" in said
    assert f"1 of 2 could not be built: {path} for {tmp_path / 'orla.yaml'}\n" in said
    assert (out / "mill-wend.pdf").exists() and not (out / "mill-orla.pdf").exists()
    (tmp_path / "orla-licks.yaml").write_text(wrong.replace("strings: 9", "strings: 3"), encoding="utf-8")
    build(path)
    assert (out / "mill-orla.pdf").exists()


def test_an_error_in_one_list_is_not_counted_for_the_next(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the summary of several lists: only what could not be built is named, and a list that is wrong is one more."""
    path = pair(tmp_path, "| | |")
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text("set-list: Wrong\nencore: yes\nsets: []\n", encoding="utf-8")
    out = tmp_path / "out"
    assert main(["build", str(wrong), str(path), "--out", str(out)]) == 1
    assert f"1 of 3 could not be built: {wrong}\n" in capsys.readouterr().err


def test_findings_about_a_part_say_whose(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects the bandleader who reads the warnings of a list: whose part it is stands in each; for one player alone it need not."""
    path = pair(tmp_path, "kickoff fret 12 | | |")
    build(path)
    said = capsys.readouterr().err
    assert "Orla Tennick's part: no lick that is asked for (kickoff fret 12) fits" in said
    build(path, "--player", str(tmp_path / "orla.yaml"))
    said = capsys.readouterr().err
    assert "no lick that is asked for (kickoff fret 12) fits" in said and "Orla" not in said


def player(folder: Path, name: str, text: str) -> Player:
    """A player of such a file."""
    (folder / name).write_text(text, encoding="utf-8")
    return _load(folder / name)


def _load(path: Path) -> Player:
    found, errors = load_player(path, (), ())
    assert found is not None and not errors
    return found


def test_players_know_what_the_others_have(tmp_path: Path) -> None:
    """Protects the words of the remark: a lick of several others is all of theirs, one's own is not lacking, the house's licks neither."""
    (tmp_path / "wend-licks.yaml").write_text(LOW, encoding="utf-8")
    wend, orla = player(tmp_path, "wend.yaml", WEND), player(tmp_path, "orla.yaml", ORLA)
    hob = player(tmp_path, "hob.yaml", WEND.replace("Wend Askary", "Hob Farrow"))
    first, second, third = knowing_each_other([wend, orla, hob])
    assert first.lacking == third.lacking == ()
    assert second.lacking == (("wend-cellar", "is a lick of Wend Askary and Hob Farrow"),)


def test_only_what_is_about_a_part_gets_a_name(tmp_path: Path) -> None:
    """Protects the findings of a chart, which are the same for all: they stay as they are, and no name is said twice."""
    wend = player(tmp_path, "wend.yaml", "player: Wend\n")
    of_chart, of_one = Diagnostic("measure-beats", "so many"), Diagnostic("slot-silent", "nothing")
    assert of_part(of_chart, wend) is of_chart
    once = of_part(of_one, wend)
    assert once.message == "Wend's part: nothing" and of_part(once, wend) == once
    assert set(EXPLAINED) >= OF_ONE_PART
