"""Findings as plain data that can be kept in a file, and back, with the texts in which they are shown."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from typing import Any

from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source, Span

_FIELDS = [f.name for f in dataclasses.fields(Diagnostic)]


def keep(found: Iterable[Diagnostic]) -> dict[str, Any]:
    """The findings as what JSON can hold."""
    texts: list[Source] = []

    def plain(value: object) -> Any:
        if isinstance(value, Span):
            if value.source not in texts:
                texts.append(value.source)
            return {"at": [texts.index(value.source), value.line, value.column, value.end]}
        return [plain(v) for v in value] if isinstance(value, tuple) else value

    rows = [{name: plain(getattr(d, name)) for name in _FIELDS} for d in found]
    return {"found": rows, "texts": [[s.name, s.text] for s in texts]}


def restore(kept: Mapping[str, Any], renamed: Mapping[str, str] | None = None) -> tuple[Diagnostic, ...]:
    """The findings again; files that have another name now are `renamed`. Raises ValueError where it is no kept finding."""
    names = renamed or {}
    try:
        texts = [Source(names.get(name, name), text) for name, text in kept["texts"]]

        def back(value: Any) -> Any:
            if isinstance(value, dict):
                number, line, column, end = value["at"]
                return Span(texts[number], line, column, end)
            return tuple(back(v) for v in value) if isinstance(value, list) else value

        rows = [{name: back(value) for name, value in row.items()} for row in kept["found"]]
        return tuple(Diagnostic(**{**row, "file": names.get(row["file"], row["file"])}) for row in rows)
    except (TypeError, KeyError, AttributeError, IndexError) as error:
        raise ValueError(f"this is no kept finding: {error}") from None
