"""The examples: every chart fills in every key, what comes out is a plan that hands can play, and the sheets are sound PDF files."""

from __future__ import annotations

import copy
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from chartc.cli import main
from tests.examples.building import CHARTS, FOLDER, FOUR_KEYS, PLAYER, Built, Job, build_all
from tests.outside.plan_reader import Fault, Json, faults
from tests.press.reading import without_fonts

NAMES = [chart.stem for chart in CHARTS]

# ISO 216 and ANSI Y14.1, in points
SIZES = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}


def _all(out: Path, player: Path | None, papers: tuple[tuple[str, tuple[str, ...]], ...]) -> dict[str, Built]:
    jobs = [Job(chart, ("all",), player, papers, out) for chart in CHARTS]
    return dict(zip(NAMES, build_all(jobs), strict=True))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Built]:
    """Every example in every key; all on A4, four keys on letter."""
    return _all(tmp_path_factory.mktemp("examples"), None, (("a4", ("all",)), ("letter", FOUR_KEYS)))


@pytest.fixture(scope="module")
def built_for_player(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Built]:
    """Every example for the player whose settings are among the examples, in an open key and in a far one."""
    out = tmp_path_factory.mktemp("player")
    return dict(zip(NAMES, build_all([Job(chart, ("G", "B"), PLAYER, (), out) for chart in CHARTS]), strict=True))


def _text(name: str) -> str:
    return (FOLDER / f"{name}.chartc").read_text("utf-8")


def _lines(name: str) -> Iterator[str]:
    for line in _text(name).splitlines():
        if line.partition(";")[0].strip():
            yield line.partition(";")[0].strip()


def _declared(name: str) -> dict[str, int]:
    """How many measures each section says it has, read from the chart's text on its own; a borrowed section has its source's."""
    counts: dict[str, int] = {}
    borrowed: dict[str, str] = {}
    for line in _lines(name):
        word, _, rest = line.partition(" ")
        rest = rest.strip()
        if word == "section" and (found := re.fullmatch(r"(.+), (\d+) measures?", rest)):
            counts[found[1]] = int(found[2])
        if word in ("section", "form"):
            for entry in rest.split(","):
                if " as " in entry:
                    label, _, source = entry.strip().partition(" as ")
                    borrowed[label] = source
    return counts | {label: counts[source] for label, source in borrowed.items()}


# --- charts --------------------------------------------------------------------------------------------------------------


def test_examples_show_the_language() -> None:
    """The examples are where a player looks first: every meter and every way of writing that they promise is among them."""
    texts = {name: _text(name) for name in NAMES}
    whole = "\n".join("\n".join(_lines(name)) for name in NAMES)
    assert len(texts) >= 8
    meters = {m for m in ("4/4", "3/4", "6/8", "2/4", "2/2") if re.search(rf"^meter +{m}$", whole, re.M)}
    assert meters == {"4/4", "3/4", "6/8", "2/4", "2/2"}
    for sign in ("minor", "mixolydian", "pickup 1/4:", "ending 2", "in 2/4:", "repeat 3 times", "40 measures", "NC", "57", "IV",
                 "Bb/F", "%", "lead banjo", "fills fiddle", "chop banjo", "voice |", "ask   |", "words |", "melody"):  # fmt: skip
        assert sign in whole, sign
    for name, text in texts.items():
        assert text.startswith(";"), f"{name} does not say what it shows"
    titles = re.findall(r"^title +(.+)$", whole, re.M)
    assert len(set(titles)) == len(NAMES)


@pytest.mark.parametrize("player", [None, PLAYER], ids=["usual", "hob-farrow"])
def test_check_finds_nothing(player: Path | None, capsys: pytest.CaptureFixture[str]) -> None:
    """An example with a finding, even a warning, teaches a mistake."""
    more = ["--player", str(player)] if player else []
    assert main(["check", str(FOLDER), *more]) == 0
    assert capsys.readouterr() == ("", "")


# --- plans ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_plan_can_be_played(name: str, built: dict[str, Built]) -> None:
    """In all twelve keys another program, which knows only the plan's published form, finds nothing wrong: no gap or overlap in
    time, no wrong pitch, no finger in two places or too soon again, no lick without end, no chord out of step with its key."""
    plan = built[name].plan
    assert len(plan["keys"]) == 12
    assert built[name].findings == ""
    assert faults(plan) == []


@pytest.mark.parametrize("name", NAMES)
def test_measures_played_are_those_declared(name: str, built: dict[str, Built]) -> None:
    """A section is played for as many measures as its chart says, in every key, with repeats, endings and borrowed sections."""
    declared = _declared(name)
    for key in built[name].plan["keys"]:
        sections = {s["id"]: s for s in key["sections"]}
        for entry in key["order"]:
            section = sections[entry["section"]]
            played = [i for i in entry["measures"] if not section["measures"][i]["pickup"]]
            label = section["label"].partition(" as ")[0]
            assert len(played) == declared[label], f"{key['key']} {label}"


@pytest.mark.parametrize("name", NAMES)
def test_written_symbols_come_back(name: str, built: dict[str, Built]) -> None:
    """In the written key the plan has the chords that the chart writes by letter, in order of first appearance."""
    plan = built[name].plan
    written = [
        w
        for line in _lines(name)
        if line.startswith("|")
        for w in re.findall(r"(?<![\w/])[A-G][#b]?m?7?(?:/[A-G])?(?![\w/])", line)
    ]
    home = next(k for k in plan["keys"] if k["key"] == plan["written_key"])
    planned = {c["symbol"] for s in home["sections"] for m in s["measures"] for c in m["chords"]}
    assert set(written) <= planned


@pytest.mark.parametrize("name", NAMES)
def test_player_keeps_to_the_settings(name: str, built_for_player: dict[str, Built]) -> None:
    """A player's file holds wherever the player plays: spikes only where they are, nothing above the highest fret, the stretch a
    hand has (fret distances by the rule of equal temperament, any handbook), and still a plan that can be played."""
    assert built_for_player[name].findings == ""
    _keeps_to_the_settings(built_for_player[name].plan)


def _keeps_to_the_settings(plan: Json) -> None:
    assert faults(plan) == []
    scale = plan["instrument"]["scale_mm"]
    for key in plan["keys"]:
        assert key["fifth_string"]["fret"] in (0, 7, 9)
        for note in _notes(key):
            assert note["fret"] <= 17
        for section in key["sections"]:
            for measure in section["measures"]:
                for slot in measure["slots"]:
                    for at in {n["at"] for n in slot["notes"]}:
                        frets = [n["fret"] for n in slot["notes"] if n["at"] == at and n["fret"] and n["string"] != 5]
                        if frets:
                            low, high = (scale * (1 - 2 ** (-f / 12)) for f in (min(frets), max(frets)))
                            assert high - low <= 125


def test_player_licks_are_played(built: dict[str, Built], built_for_player: dict[str, Built]) -> None:
    """A player writes licks to hear them: over the examples some of the player's own come up, and without the player none does."""
    own = set(re.findall(r"name: (hob-[a-z-]+)", (PLAYER.parent / "hob-farrow-licks.yaml").read_text("utf-8")))
    assert len(own) >= 4

    def played(outputs: dict[str, Built]) -> set[str]:
        return {slot["lick"] for out in outputs.values() for key in out.plan["keys"] for slot in _slots(key)}

    assert len(own & played(built_for_player)) >= 2
    assert not own & played(built)


def _slots(key: Json) -> Iterator[Json]:
    for section in key["sections"]:
        for measure in section["measures"]:
            yield from measure["slots"]


def _notes(key: Json) -> Iterator[Json]:
    for slot in _slots(key):
        yield from slot["notes"]


# --- files ---------------------------------------------------------------------------------------------------------------


def _sound(files: tuple[Path, ...], paper: str) -> None:
    for file in files:
        document = pypdfium2.PdfDocument(file)
        assert len(document) >= 1
        for page in document:
            assert page.get_size() == pytest.approx(SIZES[paper], abs=0.5), file
        document.close()
    if shutil.which("qpdf"):
        for file in files:
            checked = subprocess.run(["qpdf", "--check", str(file)], capture_output=True, text=True)
            assert checked.returncode == 0, checked.stdout + checked.stderr


@pytest.mark.parametrize("name", NAMES)
def test_sheets_are_sound(name: str, built: dict[str, Built]) -> None:
    """Every printer takes the sheets: each file opens, has the size of its paper, and holds against a checker of PDF files."""
    files = built[name].files
    a4 = tuple(f for f in files if "a4" in f.parts)
    letter = tuple(f for f in files if "letter" in f.parts)
    assert (len(a4), len(letter)) == (12, 4)
    _sound(a4, "a4")
    _sound(letter, "letter")


@pytest.mark.parametrize("name", NAMES)
def test_sheets_are_small(name: str, built: dict[str, Built]) -> None:
    """Sheets are quick to send and to keep: a song in whatever key, on either paper, takes no more than 20 KB without its fonts, and where
    sections had to be printed several times, so that there are more than three pages, no more than 6 KB a page."""
    for file in built[name].files:
        with pypdfium2.PdfDocument(file) as document:
            pages = len(document)
        assert without_fonts(file.read_bytes()) <= max(20, 6 * pages) * 1024, file


@pytest.mark.slow
@pytest.mark.parametrize("player", [None, PLAYER], ids=["usual", "hob-farrow"])
def test_everything_is_sound(player: Path | None, tmp_path: Path) -> None:
    """The whole of it: every example in every key on both papers, with and without a player's settings."""
    for out in _all(tmp_path, player, (("a4", ("all",)), ("letter", ("all",)))).values():
        assert out.findings == ""
        assert faults(out.plan) == []
        if player:
            _keeps_to_the_settings(out.plan)
        for paper in SIZES:
            files = tuple(f for f in out.files if paper in f.parts)
            assert len(files) == 12
            _sound(files, paper)


# --- the reader itself ---------------------------------------------------------------------------------------------------


def _slot(plan: Json, wanted: Callable[[Json], bool] = lambda s: len(s["notes"]) > 4) -> Json:
    return next(s for key in plan["keys"] for s in _slots(key) if wanted(s))


def _note(plan: Json, wanted: Callable[[Json], bool]) -> Json:
    return next(n for key in plan["keys"] for n in _notes(key) if wanted(n))


def _lost_slot(plan: Json) -> None:
    plan["keys"][0]["sections"][1]["measures"][0]["slots"].clear()


def _lost_note(plan: Json) -> None:
    _slot(plan)["notes"].pop(2)


def _long_note(plan: Json) -> None:
    _slot(plan)["notes"][0]["ticks"] += 60


def _wrong_pitch(plan: Json) -> None:
    _slot(plan)["notes"][0]["pitch"] += 1


def _octave_of_short_string(plan: Json) -> None:
    note = _note(plan, lambda n: n["string"] == 5)
    note["fret"], note["finger"], note["pitch"] = 3, "t", 65


def _beyond_the_neck(plan: Json) -> None:
    note = _note(plan, lambda n: n["string"] == 1)
    note["fret"], note["finger"], note["pitch"] = 23, "p", 85


def _finger_twice(plan: Json) -> None:
    # two notes of one onset, one finger, two frets
    one, other = _slot(plan)["notes"][:2]
    one.update(string=4, fret=2, pitch=52, finger="i")
    other.update(string=3, fret=4, pitch=59, finger="i", at=one["at"], ticks=one["ticks"])


def _stroke_too_soon(plan: Json) -> None:
    one, other = _slot(plan, lambda s: len(s["notes"]) > 4 and s["notes"][1]["pick"] and s["notes"][0]["pick"])[
        "notes"
    ][:2]
    other["pick"] = one["pick"]


def _picked_hammer(plan: Json) -> None:
    _note(plan, lambda n: n["how"] == "hammer-on")["pick"] = "T"


def _unpicked(plan: Json) -> None:
    _note(plan, lambda n: n["how"] is None)["pick"] = None


def _hammer_down(plan: Json) -> None:
    slot = _slot(plan, lambda s: any(n["how"] == "hammer-on" for n in s["notes"]))
    next(n for n in slot["notes"] if n["how"] == "hammer-on")["how"] = "pull-off"


def _other_chord(plan: Json) -> None:
    measure = plan["keys"][5]["sections"][1]["measures"][2]
    for thing, name in [(measure["chords"][0], "symbol"), (measure["slots"][0], "chord")]:
        thing[name] = "F#m" if thing[name] != "F#m" else "G"


def _without_end(plan: Json) -> None:
    section = plan["keys"][0]["sections"][1]
    for measure in section["measures"][4:7]:
        for slot in measure["slots"]:
            slot["lick"], slot["role"] = "bow-wave", "fill"


def _half_alone(plan: Json) -> None:
    _slot(plan)["part"] = [1, 2]


def _half_across(plan: Json) -> None:
    # the last slot of a section and the first of the next
    order = plan["keys"][0]["order"]
    sections = {s["id"]: s for s in plan["keys"][0]["sections"]}
    last = sections[order[0]["section"]]["measures"][order[0]["measures"][-1]]["slots"][-1]
    first = sections[order[1]["section"]]["measures"][order[1]["measures"][0]]["slots"][0]
    last.update(part=[1, 2], lick="x")
    first.update(part=[2, 2], lick="x")


def _wrong_number(plan: Json) -> None:
    plan["keys"][0]["sections"][0]["measures"][1]["number"] = 7


def _wrong_ticks(plan: Json) -> None:
    plan["keys"][0]["sections"][0]["measures"][1]["ticks"] = 1900


def _wrong_index(plan: Json) -> None:
    plan["keys"][0]["order"][0]["measures"].append(99)


def _lost_position(plan: Json) -> None:
    _slot(plan, lambda s: s["position"] is not None)["position"] = None


def _no_tempo(plan: Json) -> None:
    plan["tempo"] = None


def _unknown_entry(plan: Json) -> None:
    _slot(plan)["fingers"] = []


MUTATIONS: list[tuple[str, Callable[[Json], None]]] = [
    ("slots", _lost_slot),
    ("onsets", _lost_note),
    ("onsets", _long_note),
    ("pitch", _wrong_pitch),
    ("neck", _octave_of_short_string),
    ("neck", _beyond_the_neck),
    ("finger", _finger_twice),
    ("stroke", _stroke_too_soon),
    ("pick", _picked_hammer),
    ("pick", _unpicked),
    ("how", _hammer_down),
    ("interval", _other_chord),
    ("repetition", _without_end),
    ("halves", _half_alone),
    ("halves", _half_across),
    ("number", _wrong_number),
    ("ticks", _wrong_ticks),
    ("order", _wrong_index),
    ("position", _lost_position),
    ("tempo", _no_tempo),
    ("form", _unknown_entry),
]


@pytest.mark.parametrize(("kind", "change"), MUTATIONS, ids=[c.__name__.strip("_") for _, c in MUTATIONS])
def test_the_reader_finds_planted_faults(kind: str, change: Callable[[Json], None], built: dict[str, Built]) -> None:
    """A reader that never complains proves nothing: each kind of fault, planted in a good plan, is found and named."""
    plan: dict[str, Any] = copy.deepcopy(built["lantern-on-the-lock"].plan)
    assert faults(plan) == []
    change(plan)
    found: list[Fault] = faults(plan)
    assert kind in {f.kind for f in found}, found[:5]
