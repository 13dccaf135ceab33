"""The plan's JSON Schema: every plan is valid, and what is wrong is refused."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import jsonschema
import pytest

from chartc.export.plan import plan
from chartc.export.schema import plan_schema
from chartc.licks.lick import REST, ROLES
from tests.export.songs import CROOKED, chart, example

Json = dict[str, Any]


def _validator() -> Any:
    return jsonschema.Draft202012Validator(plan_schema())


def _plan() -> Json:
    found: Json = json.loads(json.dumps(plan(chart(CROOKED))))
    return found


def test_the_schema_is_one() -> None:
    """Protects its readers. Source: the meta-schema of JSON Schema, draft 2020-12, in the package jsonschema."""
    jsonschema.Draft202012Validator.check_schema(plan_schema())


@pytest.mark.parametrize("stem", ["wicker-gate-waltz", "hens-in-the-hold", "cold-kiln"])
def test_plans_are_valid(stem: str) -> None:
    """Protects other programs: what the program prints has the published form, in minor, waltz and 2/4 too."""
    _validator().validate(json.loads(json.dumps(plan(example(stem)))))
    _validator().validate(_plan())


def test_the_schema_names_every_role() -> None:
    """Protects the schema from falling behind the library: its roles are the program's."""
    assert set(plan_schema()["$defs"]["slot"]["properties"]["role"]["enum"]) == {*ROLES, REST}


def _first_note(p: Json) -> Json:
    slots = (s for m in p["keys"][0]["sections"][0]["measures"] for s in m["slots"] if s["notes"])
    note: Json = next(slots)["notes"][0]
    return note


WRONG: dict[str, Callable[[Json], object]] = {
    "another form": lambda p: p.update(schema=2),
    "no tempo": lambda p: p.update(tempo=None),
    "no keys": lambda p: p.update(keys=[]),
    "an unknown entry": lambda p: p.update(colour="red"),
    "a missing entry": lambda p: p.pop("division"),
    "a key that is none": lambda p: p["keys"][0].update(key="H"),
    "a note before the measure": lambda p: _first_note(p).update(at=-1),
    "a note without length": lambda p: _first_note(p).update(ticks=0),
    "an unknown finger": lambda p: _first_note(p).update(finger="x"),
    "a pick finger in small": lambda p: _first_note(p).update(pick="t"),
    "a picked hammer-on": lambda p: _first_note(p).update(how="hammer-on", pick="T"),
    "half a lick of three": lambda p: p["keys"][0]["sections"][0]["measures"][1]["slots"][0].update(part=[1, 3]),
    "a meter in words": lambda p: p["keys"][0]["sections"][0]["measures"][0].update(meter="four"),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_is_wrong_is_refused(what: str) -> None:
    """Protects the check itself: each kind of mistake makes a plan invalid."""
    right = _plan()
    wrong = copy.deepcopy(right)
    WRONG[what](wrong)
    assert wrong != right
    assert not _validator().is_valid(wrong)
