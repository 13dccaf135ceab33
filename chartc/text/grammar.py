"""Where the grammars are: inside an installed package, or beside the package in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def grammar(name: str) -> str:
    """The text of the grammar file `name`, such as `chart.lark`. Raises FileNotFoundError where there is none."""
    for folder in (_PACKAGE / "grammar", _PACKAGE.parent / "grammar"):
        path = folder / name
        if path.is_file():
            return path.read_text(encoding="utf-8")
    raise FileNotFoundError(f"the grammar {name} is neither inside the package nor beside it")
