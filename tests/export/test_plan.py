"""The plan's exact form, which other programs rely on: every entry of every object, for one small chart."""

from __future__ import annotations

import json
from typing import Any

import pytest

from chartc.book.compile import compile_chart
from chartc.export.plan import plan
from chartc.player import load_player
from chartc.text.source import Source

CHART = """\
title    Kettle Stair
key      Bb
meter    4/4
tempo    half = 53
form     verse, tag, verse
section verse, 4 measures
| pickup 1/4: F7 | Bb | NC / Eb / |
repeat
| in 2/4: F7 |
end repeat
section tag, 1 measure
| Bb |
"""


@pytest.fixture(scope="module")
def made() -> dict[str, Any]:
    """The plan as another program reads it."""
    player, _ = load_player(None, ("backup",), ("a4",))
    assert player is not None
    *_, compiled = compile_chart(Source("kettle.chartc", CHART), player, ("Bb", "C"))
    assert compiled.found == []
    out: dict[str, Any] = json.loads(json.dumps(plan(compiled.parts), allow_nan=False))
    return out


def test_head(made: dict[str, Any]) -> None:
    """What a program reads first: the schema's number, the song, the tempo in quarter notes, and the instrument, string 1 first
    (open G tuning, D4 B3 G3 D3 G4: common practice, no source)."""
    head = {k: v for k, v in made.items() if k != "keys"}
    assert head == {
        "schema": 1,
        "title": "Kettle Stair",
        "written_key": "Bb",
        "tempo": 106,
        "division": 480,
        "instrument": {
            "name": "five-string banjo",
            "scale_mm": 666.75,
            "frets": 22,
            "strings": [
                {"open": 62, "nut_fret": 0},
                {"open": 59, "nut_fret": 0},
                {"open": 55, "nut_fret": 0},
                {"open": 50, "nut_fret": 0},
                {"open": 67, "nut_fret": 5},
            ],
        },
    }
    assert [k["key"] for k in made["keys"]] == ["Bb", "C"]


def test_sections_and_measures(made: dict[str, Any]) -> None:
    """Measures stand once as printed, with their numbers (0 for a pickup), meters and ticks; chords tile them, and `symbol` is
    null where there is none."""
    key = made["keys"][0]
    assert set(key) == {"key", "way", "fifth_string", "sections", "order"}
    assert key["way"] == 1
    assert set(key["fifth_string"]) == {"fret", "pitch"}
    assert [(s["id"], s["label"]) for s in key["sections"]] == [("verse", "verse"), ("tag", "tag")]
    measures = [{k: v for k, v in m.items() if k != "slots"} for m in key["sections"][0]["measures"]]
    assert measures == [
        {
            "number": 0,
            "meter": "1/4",
            "ticks": 480,
            "pickup": True,
            "chords": [{"at": 0, "ticks": 480, "symbol": "F7"}],
        },
        {
            "number": 1,
            "meter": "4/4",
            "ticks": 1920,
            "pickup": False,
            "chords": [{"at": 0, "ticks": 1920, "symbol": "Bb"}],
        },
        {
            "number": 2,
            "meter": "4/4",
            "ticks": 1920,
            "pickup": False,
            "chords": [{"at": 0, "ticks": 960, "symbol": None}, {"at": 960, "ticks": 960, "symbol": "Eb"}],
        },
        {
            "number": 3,
            "meter": "2/4",
            "ticks": 960,
            "pickup": False,
            "chords": [{"at": 0, "ticks": 960, "symbol": "F7"}],
        },
    ]
    assert [len(m["slots"]) for m in key["sections"][0]["measures"]] == [0, 1, 1, 1]


def test_order(made: dict[str, Any]) -> None:
    """The form as played, by indexes: a pickup only where it opens the song, a repeat played out."""
    assert made["keys"][0]["order"] == [
        {"section": "verse", "measures": [0, 1, 2, 3, 3]},
        {"section": "tag", "measures": [0]},
        {"section": "verse", "measures": [1, 2, 3, 3]},
    ]


def test_slots_notes_and_rests(made: dict[str, Any]) -> None:
    """Every slot, note and rest has exactly the entries that are published, in their types."""
    slots = [s for k in made["keys"] for x in k["sections"] for m in x["measures"] for s in m["slots"]]
    assert len(slots) == 8
    for slot in slots:
        assert list(slot) == ["at", "ticks", "chord", "lick", "role", "part", "position", "notes", "rests"]
        assert isinstance(slot["at"], int)
        assert isinstance(slot["ticks"], int)
        assert slot["position"] is None or isinstance(slot["position"], int)
        assert slot["part"] in ([1, 1], [1, 2], [2, 2])
        for note in slot["notes"]:
            assert list(note) == ["at", "ticks", "string", "fret", "pitch", "pick", "finger", "how"]
            assert all(isinstance(note[k], int) for k in ("at", "ticks", "string", "fret", "pitch"))
        for rest in slot["rests"]:
            assert list(rest) == ["at", "ticks"]


def test_slots_at_their_place(made: dict[str, Any]) -> None:
    """`at` counts from the start of the measure, in slots and in notes alike."""
    slot = made["keys"][0]["sections"][0]["measures"][2]["slots"][0]
    assert (slot["at"], slot["ticks"], slot["chord"]) == (960, 960, "Eb")
    assert min(n["at"] for n in slot["notes"] + slot["rests"]) == 960
