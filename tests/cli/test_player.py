"""A player's settings on the command line: taken everywhere, and as carefully read as a chart."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest

from tests.book.charts import HIGH
from tests.cli.running import Command, chart

Write = Callable[..., Path]

LICK = """\
licks:
  - name: pail-handle
    role: lick
    chord: G
    strings: 3  2  5  1  4  2  5  1
    frets:   0  0  0  0  0  0  0  0
    picks:   T  I  T  M  T  I  T  M
"""


def test_settings_are_taken(run: Command, write: Write, tmp_path: Path) -> None:
    """Sheet and paper come from the player's file, the command line overrides them, and limits and spikes bind the fill."""
    player = write(
        "wend.yaml", "player: Wend\nspikes: [9]\nlimits: {highest-fret: 7}\nsheet: [backup, chords]\npaper: letter\n"
    )
    pail = write("pail.chartc")
    ran = run("build", pail, "--player", player, "--out", tmp_path / "a")
    assert (ran.code, ran.err) == (0, "")
    assert {p.name for p in (tmp_path / "a").glob("*.pdf")} == {"pail-G-backup.pdf", "pail-G-chords.pdf"}
    (page,) = pypdfium2.PdfDocument(tmp_path / "a" / "pail-G-backup.pdf")
    assert page.get_size() == pytest.approx((612, 792))
    run("build", pail, "--player", player, "--out", tmp_path / "b", "--paper", "a4", "--sheet", "chords")
    assert {p.name for p in (tmp_path / "b").glob("*.pdf")} == {"pail-G-chords.pdf"}
    (page,) = pypdfium2.PdfDocument(tmp_path / "b" / "pail-G-chords.pdf")
    assert page.get_size() == pytest.approx((595.28, 841.89), abs=0.5)
    planned = json.loads(run("plan", pail, "--player", player, "--keys", "A, B, F#").out)
    assert {k["fifth_string"]["fret"] for k in planned["keys"]} <= {0, 9}
    notes = [
        n for k in planned["keys"] for s in k["sections"] for m in s["measures"] for x in m["slots"] for n in x["notes"]
    ]
    assert max(n["fret"] for n in notes) <= 7


@pytest.mark.parametrize("command", ["check", "build", "plan"])
def test_licks_can_be_asked_for(command: str, run: Command, write: Write, tmp_path: Path) -> None:
    """A chart may ask for a player's lick by name with every command; without that player it is an error of the chart."""
    write("licks.yaml", LICK)
    player = write("wend.yaml", "player: Wend\nlicks: licks.yaml\n")
    pail = write("pail.chartc")
    pail.write_text(pail.read_text() + "ask | pail-handle | | | |\n")
    more = ["--out", str(tmp_path / "out")] if command == "build" else []
    ran = run(command, pail, "--player", player, *more)
    assert (ran.code, ran.err) == (0, "")
    if command == "plan":
        first = json.loads(ran.out)["keys"][0]["sections"][0]["measures"][0]["slots"][0]
        assert first["lick"] == "pail-handle"
    without = run(command, pail, *more)
    assert without.code == 1
    assert f"{pail}:7:" in without.err


def test_files_are_sought_beside_the_players_file(
    run: Command, write: Write, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A settings folder can be carried about: its paths do not depend on where the command runs."""
    write("settings/own/licks.yaml", LICK)
    player = write("settings/wend.yaml", "player: Wend\nlicks: own/licks.yaml\n")
    pail = write("pail.chartc")
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.chdir(tmp_path / "elsewhere")
    assert run("check", pail, "--player", player).code == 0


WRONG: dict[str, tuple[str, int, str]] = {
    "no name": ("spikes: [7]\n", 1, "player"),
    "unknown entry": ("player: Wend\nspike: [7]\n", 2, "spike"),
    "misspelled instrument": ("player: Wend\ninstrument: five-string bonjo\n", 2, "five-string banjo"),
    "unknown tuning": ("player: Wend\ntuning: open Q\n", 2, "open G"),
    "text for a number": ("player: Wend\nlimits: {most-mm: wide}\n", 2, "most-mm"),
    "limits upside down": ("player: Wend\nlimits: {comfortable-mm: 120, most-mm: 90}\n", 2, "most-mm"),
    "list for a table": ("player: Wend\nlimits: [90]\n", 2, "limits"),
    "missing licks": ("player: Wend\nlicks: nowhere.yaml\n", 2, "nowhere.yaml"),
    "licks are a folder": ("player: Wend\nlicks: .\n", 2, "cannot be read"),
    "unknown weight": ("player: Wend\nweights: {drone: 2}\n", 2, "drone"),
    "unknown paper": ("player: Wend\npaper: napkin\n", 2, "a4"),
    "unknown sheet": ("player: Wend\nsheet: poster\n", 2, "backup"),
    "said twice": ("player: Wend\nspikes: [7]\nspikes: [9]\n", 3, "twice"),
    "alias": ("player: &me Wend\nrules: *me\n", 1, "anchor"),
    "tag": ("player: !!python/object:os.system Wend\n", 1, ""),
    "two documents": ("player: Wend\n---\nplayer: Orla\n", 2, "document"),
    "a list": ("- player\n", 1, "table"),
    "open bracket": ("player: Wend\nspikes: [7\n", 2, "YAML"),
    "a tab": ("player: Wend\nlimits:\n\tmost-mm: 120\n", 3, ""),
}


@pytest.mark.parametrize("name", WRONG)
@pytest.mark.parametrize("command", ["check", "build"])
def test_wrong_settings(name: str, command: str, run: Command, write: Write, tmp_path: Path) -> None:
    """A wrong setting is found at its place and named, and no sheet is printed by settings that were not meant."""
    text, line, word = WRONG[name]
    player = write("wend.yaml", text)
    more = ["--out", str(tmp_path / "out")] if command == "build" else []
    ran = run(command, write("pail.chartc"), "--player", player, *more)
    assert ran.code == 1
    assert f"{player}:{line}:" in ran.err
    assert word in ran.err
    assert not (tmp_path / "out").exists()


def test_settings_wrong_in_five_ways_are_told_in_one_run(run: Command, write: Write) -> None:
    """All that is wrong with a settings file comes at once, in the order of its lines."""
    player = write(
        "wend.yaml",
        "player: Wend\ninstrument: kazoo\ntuning: open Q\nspikes: [70]\nlimits: {shift-ms: fast}\npaper: napkin\n",
    )
    ran = run("check", write("pail.chartc"), "--player", player)
    assert ran.code == 1
    places = [ran.err.find(f"{player}:{line}:") for line in (2, 4, 5, 6)]
    assert -1 not in places
    assert places == sorted(places)


def test_one_mistake_is_told_once(run: Command, write: Write) -> None:
    """A misspelt instrument is one finding: its tuning, which only that instrument has, is not called unknown as well."""
    player = write("wend.yaml", "player: Wend\ninstrument: mandolyn\ntuning: fifths\n")
    ran = run("check", write("pail.chartc"), "--player", player)
    assert ran.code == 1
    assert "[instrument-unknown]" in ran.err
    assert ran.err.count(": error: ") == 1


LICKS: dict[str, tuple[str, int, str]] = {
    "a missing fret": (LICK.replace("frets:   0  0  0  0  0  0  0  0", "frets:   0  0  0  0  0  0  0"), 6, "column"),
    "a finger in two places": (
        LICK.replace("strings: 3 ", "strings: 3+4 ")
        .replace("frets:   0", "frets:   2+4")
        .replace("picks:   T", "picks:   T+I")
        + "    fingers: i+i .  .  .  .  .  .  .\n",
        8,
        "finger",
    ),
    "a string that is not there": (LICK.replace("strings: 3", "strings: 8"), 5, "string"),
    "a fret below the short string's": (LICK.replace("frets:   0  0  0", "frets:   0  0  3"), 6, ""),
    "no name": (LICK.replace("name: pail-handle\n    role", "role"), 2, "name"),
    "a name that means something else": (LICK.replace("pail-handle", "roll"), 2, "roll"),
    "unknown role": (LICK.replace("role: lick", "role: lack"), 3, "lick"),
    "no rows": ("licks:\n  - name: pail-handle\n    role: lick\n    chord: G\n", 2, "strings"),
    "empty": ("licks: []\n", 0, ""),
}


@pytest.mark.parametrize("name", LICKS)
def test_wrong_licks(name: str, run: Command, write: Write) -> None:
    """A slip in a player's own lick is found in the lick's file, at its line, before any chart is filled with it."""
    text, line, word = LICKS[name]
    licks = write("licks.yaml", text)
    player = write("wend.yaml", "player: Wend\nlicks: licks.yaml\n")
    ran = run("check", write("pail.chartc"), "--player", player)
    if not line:
        assert ran.code == 0
        return
    assert ran.code == 1
    assert f"{licks}:{line}:" in ran.err
    assert word in ran.err


def test_the_option_wins_over_the_files_level(run: Command, write: Write) -> None:
    """A student's file says easy for every chart; the command line says otherwise for once."""
    plain, easy = write("wend.yaml", "player: Wend\n"), write("easy.yaml", "player: Wend\nlevel: easy\n")
    pail = write("pail.chartc", chart("B", "B | E7 | A | F#").replace("measures\n", "measures\nlead banjo\n"))
    full = run("plan", pail, "--player", plain).out
    simple = run("plan", pail, "--player", plain, "--level", "easy").out
    assert full != simple
    assert run("plan", pail, "--player", easy).out == simple
    assert run("plan", pail, "--player", easy, "--level", "full").out == full


def test_a_pinned_lick_beyond_the_limits_is_a_warning(run: Command, write: Write) -> None:
    """A chart may pin a lick of the player's file that the player's limits forbid: the sheet is made without it, and it is said."""
    write("licks.yaml", HIGH)
    player = write("wend.yaml", "player: Wend\nlimits: {highest-fret: 10}\nlicks: licks.yaml\n")
    pail = write("pail.chartc")
    pail.write_text(pail.read_text() + "ask | wend-skylight | | | |\n")
    for command in ("check", "plan", "why"):
        ran = run(command, pail, "--player", player)
        assert ran.code == 0
        assert '"wend-skylight" lies beyond the limits of Wend: Wend\'s part does without it' in ran.err
