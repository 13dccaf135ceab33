"""The JSON Schema of the plan, as other programs read it."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from chartc.text.grammar import grammar


@cache
def plan_schema() -> dict[str, Any]:
    """The schema (JSON Schema, draft 2020-12) that every plan is valid against."""
    found: dict[str, Any] = json.loads(grammar("plan.schema.json"))
    return found
