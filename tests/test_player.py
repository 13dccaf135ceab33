"""A player's settings: every entry right and wrong, and what comes of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from chartc.licks.library import load_library, own_sources
from chartc.neck.hand import Limits
from chartc.neck.instruments import five_string_banjo
from chartc.player import SPIKES, Player, load_player
from chartc.slots.choose import fill
from chartc.slots.rulebook import load_rulebook, own_rules
from chartc.text.diagnostic import Diagnostic, show
from tests.book.charts import HIGH, LOW
from tests.slots.small import flat, song

FIVE_STRING_BANJO = five_string_banjo()

SHEETS, PAPERS = ("backup", "chords"), ("a4", "letter")

LICK = """licks:
  - name: {name}
    role: roll
    strings: 3 2 1 2 3 2 1 2
    picks: T I M I T I M I
"""


def load(folder: Path, text: str, **files: str) -> tuple[Player | None, tuple[Diagnostic, ...]]:
    """The player of such a settings file, with other files beside it; `__` in a name stands for a folder, `_yaml` for the end."""
    for name, content in files.items():
        file = folder / (name.replace("__", "/") + ".yaml")
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(content, "utf-8")
    path = folder / "hob.yaml"
    path.write_text(text, "utf-8")
    return load_player(path, SHEETS, PAPERS)


def good(folder: Path, text: str, **files: str) -> Player:
    """The same, where nothing may be wrong."""
    player, found = load(folder, text, **files)
    assert player is not None and not found, show(found)
    return player


def test_without_a_file() -> None:
    """Protects players who set nothing: the usual banjo in open G, the usual spikes and hands, all licks and the house's rules."""
    player, found = load_player(None, SHEETS, PAPERS)
    assert player is not None and not found
    means = player.means
    assert means.instrument == FIVE_STRING_BANJO and means.spikes == SPIKES == (7, 9, 10) and means.limits == Limits()
    assert set(means.library.by_name) == set(load_library(own_sources())[0].by_name)
    assert means.rulebook.weight == load_rulebook([own_rules()])[0].weight
    assert (player.name, player.sheets, player.paper) == ("", (), "")


def test_a_name_alone(tmp_path: Path) -> None:
    """Protects short files: one line is enough, and everything else is as without a file."""
    player, usual = good(tmp_path, "player: Hob Farrow\n"), load_player(None, SHEETS, PAPERS)[0]
    assert usual is not None and player.name == "Hob Farrow"
    assert (player.means.instrument, player.means.limits) == (usual.means.instrument, usual.means.limits)
    assert [x.name for x in player.means.library.licks] == [x.name for x in usual.means.library.licks]


def test_every_entry(tmp_path: Path) -> None:
    """Protects each setting from being read and forgotten: all of them at once, each found again where it acts."""
    player = good(
        tmp_path,
        """
player: Hob Farrow
instrument: resonator-scale banjo
spikes: [10, 7, 7]
limits:
  comfortable-mm: 80.5
  most-mm: 110
  shift-ms: 90
  guided-shift-ms: 40
  release-ms: 60
  pick-ms: 170
  even-ms: 220
  highest-fret: 17
  little-finger: no
weights: {voice: 9, strain: 0}
licks: own.yaml
rules: [one.yaml, two.yaml]
sheet: [chords, backup]
paper: letter
""",
        own=LICK.format(name="skiff-wheel"),
        one="rulebook: one\nrules:\n  - {rule: one, price: 2}\n",
        two="rulebook: two\nweights: {voice: 4, fill: 6}\nrules:\n  - {rule: two, price: 2}\n",
    )
    means = player.means
    assert (means.instrument.name, means.instrument.scale_mm) == ("resonator-scale banjo", 673.1)
    assert means.spikes == (7, 10)
    limits = means.limits
    assert (limits.comfortable_mm, limits.most_mm, limits.shift_ms, limits.guided_ms) == (80.5, 110, 90, 40)
    assert (limits.release_ms, limits.pick_ms, limits.even_ms) == (60, 170, 220)
    assert (limits.highest_fret, limits.little_finger) == (17, False)
    # the player's own weights stand above those of the rule files
    assert (means.rulebook.weight["voice"], means.rulebook.weight["strain"], means.rulebook.weight["fill"]) == (9, 0, 6)
    assert [rule.name for rule in means.rulebook.rules][-2:] == ["one", "two"]
    assert "skiff-wheel" in means.library.by_name
    assert (player.sheets, player.paper) == (("chords", "backup"), "letter")


def test_the_fastest_tempo(tmp_path: Path) -> None:
    """Protects a slower player: a fastest tempo is the least time between two eighth notes, whatever note it counts."""
    for tempo, ms in (("half = 100", 150.0), ("quarter = 100", 300.0), ("dotted quarter = 100", 200.0)):
        limits = good(tmp_path, f"player: Hob\nlimits: {{fastest: {tempo}}}\n").means.limits
        assert limits.run_ms == pytest.approx(ms)
    assert good(tmp_path, "player: Hob\n").means.limits.run_ms == 0


@pytest.mark.parametrize(
    ("text", "tuning"),
    [
        ("tuning: double C", "G4 C3 G3 C4 D4"),
        ("tuning: DOUBLE C", "G4 C3 G3 C4 D4"),
        ("tuning: open D", "F♯4 D3 F♯3 A3 D4"),
        ("tuning: G4 D3 G3 Bb3 D4", "G4 D3 G3 B♭3 D4"),
        ("tuning: G#4 D#3 G#3 C4 D#4", "A♭4 E♭3 A♭3 C4 E♭4"),
        ("instrument: guitar", "E2 A2 D3 G3 B3 E4"),
        ("instrument: guitar\ntuning: D2 A2 D3 G3 B3 E4", "D2 A2 D3 G3 B3 E4"),
        ("instrument: mandolin\ntuning: fifths", "G3 D4 A4 E5"),
    ],
)
def test_tunings_by_name_and_by_notes(tmp_path: Path, text: str, tuning: str) -> None:
    """Protects players of other tunings and instruments: a tuning is named, or written as notes, the highest-numbered string first;
    the names of the tunings: common practice, no source."""
    instrument = good(tmp_path, f"player: Hob\n{text}\n").means.instrument
    assert instrument.tuning == tuning
    assert (instrument.drone == 5) == ("guitar" not in text and "mandolin" not in text)


OWN_TABLE = """
player: Hob
instrument:
  name: four-string plank
  scale-mm: 584.2
  frets: 19
  tunings: {fifths: C3 G3 D4 A4, plain: D3 G3 B3 D4}
"""


def test_an_instrument_of_ones_own(tmp_path: Path) -> None:
    """Protects builders: an instrument can be described by its table, takes its first tuning or the one that is named, and a
    song can be filled for it."""
    player = good(tmp_path, OWN_TABLE)
    assert player.means.instrument.tuning == "C3 G3 D4 A4" and player.means.instrument.drone is None
    assert [s.open for s in player.means.instrument.strings] == [69, 62, 55, 48]
    player = good(tmp_path, OWN_TABLE + "tuning: plain\n")
    assert player.means.instrument.tuning == "D3 G3 B3 D4" and player.means.instrument.frets == 19
    filled, found = fill(song("| G | C |"), player.means)
    assert filled is not None and not found
    assert all(slot.role in ("roll", "vamp") for slot in flat(filled))


def test_a_short_string_of_ones_own(tmp_path: Path) -> None:
    """Protects banjos of another build: the short string and the fret where it begins are settings too."""
    text = OWN_TABLE.replace("C3 G3 D4 A4", "A4 C3 G3 D4").replace(
        "  frets: 19", "  frets: 19\n  short: {string: 4, fret: 7}"
    )
    strings = good(tmp_path, text.replace("plain: D3 G3 B3 D4", "other: G4 C3 G3 D4")).means.instrument.strings
    assert [s.nut_fret for s in strings] == [0, 0, 0, 7]


def test_a_players_lick_replaces_one_of_ours(tmp_path: Path) -> None:
    """Protects a player's own way with a lick: by the same name it takes our lick's place; others are added behind ours."""
    ours = load_library(own_sources())[0]
    name = next(x.name for x in ours.licks if x.role == "roll" and x.meters[0] == "4/4")
    text = LICK.format(name=name) + LICK.format(name="skiff-wheel").removeprefix("licks:\n")
    library = good(tmp_path, "player: Hob\nlicks: own.yaml\n", own=text).means.library
    assert len(library.licks) == len(ours.licks) + 1
    assert library.by_name[name].span.source.name.endswith("own.yaml")
    assert [x.name for x in library.licks][-2:] == [name, "skiff-wheel"]
    assert len({x.order for x in library.licks}) == len(library.licks)


def test_paths_are_relative_to_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects moving a folder as a whole: files are looked for beside the settings file, wherever the program was started."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    player = good(tmp_path, "player: Hob\nlicks: shed/own.yaml\n", shed__own=LICK.format(name="skiff-wheel"))
    assert "skiff-wheel" in player.means.library.by_name


BAD: list[tuple[str, str, str]] = [
    ("- Hob\n", "yaml-kind", "- Hob"),
    ("instrument: guitar\n", "yaml-missing", "instrument: guitar"),
    ("player: [a, b]\n", "yaml-kind", "[a, b]"),
    ("player: Hob\nplayer: Meg\n", "yaml-duplicate", "player"),
    ("player: Hob\nbanjo: yes\n", "yaml-unknown", "banjo"),
    ("player: Hob\ninstrument: bango\n", "instrument-unknown", "bango"),
    ("player: Hob\ninstrument: bango\ntuning: fifths\n", "instrument-unknown", "bango"),
    ("player: Hob\ninstrument: [guitar]\ntuning: fifths\n", "yaml-kind", "[guitar]"),
    ("player: Hob\ninstrument: [guitar]\n", "yaml-kind", "[guitar]"),
    ("player: Hob\ntuning: mountain low\n", "tuning-unknown", "mountain low"),
    ("player: Hob\ntuning: D3 G3 B3 D4\n", "tuning-strings", "D3 G3 B3 D4"),
    ("player: Hob\ntuning: G4 D3 G3 B3 X4\n", "tuning-note", "G4 D3 G3 B3 X4"),
    ("player: Hob\ntuning: [a, b]\n", "yaml-kind", "[a, b]"),
    ("player: Hob\nspikes: seven\n", "yaml-number", "seven"),
    ("player: Hob\nspikes: [7, 23]\n", "yaml-number", "23"),
    ("player: Hob\nlimits: small\n", "yaml-kind", "small"),
    ("player: Hob\nlimits: {reach: 80}\n", "yaml-unknown", "reach"),
    ("player: Hob\nlimits: {comfortable-mm: 0}\n", "yaml-number", "0"),
    ("player: Hob\nlimits: {most-mm: wide}\n", "yaml-number", "wide"),
    ("player: Hob\nlimits: {shift-ms: -1}\n", "yaml-number", "-1"),
    ("player: Hob\nlimits: {guided-shift-ms: 2001}\n", "yaml-number", "2001"),
    ("player: Hob\nlimits: {release-ms: 1e3}\n", "yaml-number", "1e3"),
    ("player: Hob\nlimits: {pick-ms: 0}\n", "yaml-number", "0"),
    ("player: Hob\nlimits: {even-ms: nan}\n", "yaml-number", "nan"),
    ("player: Hob\nlimits: {highest-fret: 37}\n", "yaml-number", "37"),
    ("player: Hob\nlimits: {little-finger: never}\n", "yaml-word", "never"),
    ("player: Hob\nlimits: {fastest: quick}\n", "limits", "quick"),
    ("player: Hob\nlimits: {fastest: half = 0}\n", "limits", "half = 0"),
    ("player: Hob\nlimits:\n  comfortable-mm: 120\n  most-mm: 100\n", "limits", "comfortable-mm: 120"),
    ("player: Hob\nweights: much\n", "yaml-kind", "much"),
    ("player: Hob\nweights: {loudness: 2}\n", "yaml-unknown", "loudness"),
    ("player: Hob\nweights: {voice: loud}\n", "yaml-number", "loud"),
    ("player: Hob\nlicks: none.yaml\n", "file-unreadable", "none.yaml"),
    ("player: Hob\nlicks: .\n", "file-unreadable", "."),
    ("player: Hob\nlicks: {a: b}\n", "yaml-kind", "{a: b}"),
    ('player: Hob\nlicks: "a\\0b"\n', "file-unreadable", "a\\0b"),
    ("player: Hob\nrules: [none.yaml]\n", "file-unreadable", "none.yaml"),
    ("player: Hob\nsheet: poster\n", "yaml-word", "poster"),
    ("player: Hob\npaper: a3\n", "yaml-word", "a3"),
    ("player: Hob\ninstrument: {name: x, frets: 20, tunings: {a: D3 G3}}\n", "yaml-missing", "{name: x, frets: 20, tunings: {a: D3 G3}}"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "code", "marked"), BAD)
def test_each_mistake_has_its_place(tmp_path: Path, text: str, code: str, marked: str) -> None:
    """Protects the player who writes settings: one finding for each mistake, with the words marked, and no player with half of
    the settings."""
    player, found = load(tmp_path, text)
    assert player is None
    assert [d.code for d in found] == [code], show(found)
    assert found[0].span is not None and found[0].span.text == marked
    assert found[0].place[0] == str(tmp_path / "hob.yaml") and found[0].severity == "error"


def test_all_mistakes_in_one_run(tmp_path: Path) -> None:
    """Protects the player's patience: every mistake of the file is told at once."""
    text = "player: Hob\nspikes: x\nlimits: {pick-ms: y}\nweights: {voice: z}\nlicks: none.yaml\npaper: a3\nbanjo: q\n"
    _, found = load(tmp_path, text)
    assert sorted(d.place[1] for d in found) == [2, 3, 4, 5, 6, 7]


def test_every_entry_is_named_to_whoever_misses_one(tmp_path: Path) -> None:
    """Protects the player who writes `spike` for `spikes`: what is known is all that is known."""
    _, found = load(tmp_path, "player: Hob\nspike: [7]\n")
    assert '"spikes", with a similar name' in found[0].message and "spikes" in found[0].help


def test_mistakes_in_the_files_that_are_named(tmp_path: Path) -> None:
    """Protects licks and rules: what is wrong in them is told with their own place, both files in one run."""
    player, found = load(
        tmp_path,
        "player: Hob\nlicks: own.yaml\nrules: one.yaml\n",
        own=LICK.format(name="roll"),
        one="rulebook: one\nrules:\n  - {rule: one}\n",
    )
    assert player is None
    assert sorted((Path(d.place[0]).name, d.place[1], d.code) for d in found) == [
        ("one.yaml", 3, "rule-action"),
        ("own.yaml", 2, "lick-name"),
    ]


def test_a_rule_that_can_never_apply_is_only_a_warning(tmp_path: Path) -> None:
    """Protects against silent rules: the player is told, and everything else still works."""
    rules = "rulebook: one\nrules:\n  - {rule: one, of: {role: kickoff, difficulty-above: 900}, never: yes}\n"
    player, found = load(tmp_path, "player: Hob\nrules: one.yaml\n", one=rules)
    assert player is not None and [(d.code, d.severity) for d in found] == [("rule-idle", "warning")]


def test_licks_are_proven_on_the_players_instrument(tmp_path: Path) -> None:
    """Protects other tunings: a lick with strings or tones that the player's instrument does not have is refused, and our own
    licks, which are written for another tuning, are not used on it."""
    guitar = "player: Hob\ninstrument: guitar\nlicks: own.yaml\n"
    text = LICK.format(name="six-planks").replace("3 2 1 2 3 2 1 2", "6 5 4 3 6 5 4 3")
    player = good(tmp_path, guitar, own=text)
    filled, found = fill(song("| Am | E |"), player.means)
    assert filled is not None and not found
    assert all(slot.role in ("roll", "vamp") for slot in flat(filled))
    _, found = load(tmp_path, guitar.replace("guitar", "mandolin"), own=text)
    assert {d.code for d in found} == {"lick-string"} and len(found) == 4


def test_the_limits_are_felt_in_the_choice(tmp_path: Path) -> None:
    """Protects the hands: a player without the little finger, who does not go beyond fret 7, gets neither."""
    player = good(tmp_path, "player: Hob\nlimits: {little-finger: no, highest-fret: 7}\n")
    filled, _ = fill(song("| G | C | D7 | Em |\n| F | Am | D7 | G |", tempo="half = 80"), player.means)
    assert filled is not None
    notes = [n for slot in flat(filled) for n in slot.notes]
    assert notes and all(n.finger != "p" and n.fret <= 7 for n in notes)


def test_the_level_of_the_file(tmp_path: Path) -> None:
    """Protects a student's file: it may say how difficult parts may be; full is usual, and a slip is told with the words that are known."""
    assert good(tmp_path, "player: Hob\n").means.level == "full"
    for level, hardest in (("easy", 2), ("middle", 3), ("full", 5)):
        means = good(tmp_path, f"player: Hob\nlevel: {level}\n").means
        assert (means.level, means.hardest) == (level, hardest)
    player, found = load(tmp_path, "player: Hob\nlevel: easier\n")
    assert player is None and [d.code for d in found] == ["yaml-word"] and "easy, middle, full" in found[0].help


def test_a_lick_beyond_the_limits_is_left_out(tmp_path: Path) -> None:
    """Protects a player with a shared lick file: what only the player's own limits forbid is a warning that names the player, the other
    licks are there, and rules may still speak of the one that is not."""
    low = LOW.removeprefix("licks:\n")
    rules = "rulebook: one\nrules:\n  - {rule: one, of: {lick: [wend-skylight]}, price: 0}\n"
    text = "player: Hob\nlimits: {highest-fret: 10}\nlicks: own.yaml\nrules: one.yaml\n"
    player, found = load(tmp_path, text, own=HIGH + low, one=rules)
    assert player is not None
    assert [(d.code, d.severity) for d in found] == [("lick-limits", "warning")]
    assert "wend-skylight lies beyond the limits of Hob (it goes beyond fret 10)" in found[0].message
    names = player.means.library.by_name
    assert "wend-cellar" in names and "wend-skylight" not in names
    assert player.lacking == (("wend-skylight", "lies beyond the limits of Hob"),)


def test_each_limit_may_leave_a_lick_out(tmp_path: Path) -> None:
    """Protects hands: the little finger counts as the highest fret does."""
    for limits in ("{little-finger: no}", "{highest-fret: 11}"):
        player, found = load(tmp_path, f"player: Hob\nlimits: {limits}\nlicks: own.yaml\n", own=HIGH)
        assert player is not None and [d.code for d in found] == ["lick-limits"], limits
    assert not good(tmp_path, "player: Hob\nlimits: {highest-fret: 12}\nlicks: own.yaml\n", own=HIGH).lacking


def test_a_lick_that_no_usual_hand_can_play_stays_an_error(tmp_path: Path) -> None:
    """Protects against slips in a row: narrow limits do not make a warning of a lick that is wrong in itself."""
    wide = LOW.replace("0  0  0  0  0  0  0  0", "4 13 0 5 0 0 0 0") + "    fingers: i  p . m . . . .\n"
    wrong = HIGH.replace("strings: 1 ", "strings: 7 ")
    for own, code in ((wide, "lick-hand"), (wrong, "lick-string")):
        for limits in ("{}", "{highest-fret: 10}"):
            player, found = load(tmp_path, f"player: Hob\nlimits: {limits}\nlicks: own.yaml\n", own=own)
            assert player is None and [(d.code, d.severity) for d in found] == [(code, "error")], limits
