"""Runs the command in this process or in one of its own, and charts to run it on."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from chartc.cli import main

ROOT = Path(__file__).parents[2]

GOOD = """\
title    Pail by the Door
key      {key}
meter    4/4
tempo    quarter = 120
section verse, 4 measures
| {chords} |
"""


def chart(key: str = "G", chords: str = "G | C | D | G") -> str:
    """A small chart that is right."""
    return GOOD.format(key=key, chords=chords)


WRONG = chart(chords="G | C | D")
"""A small chart with an error: a measure is missing."""


@dataclass(frozen=True)
class Ran:
    """What a command gave back."""

    code: int
    out: str
    err: str


class Command:
    """The command in this process, its output caught."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def __call__(self, *args: str | Path) -> Ran:
        """Runs it; no run may ever show a traceback or call itself a defect."""
        self._capsys.readouterr()
        try:
            code = main([str(a) for a in args])
        except SystemExit as stop:  # wrong options, and --help
            code = stop.code if isinstance(stop.code, int) else 2
        out, err = self._capsys.readouterr()
        assert "Traceback" not in err, err
        assert "a defect in chartc" not in err, err
        return Ran(code, out, err)


def alone(*args: str | Path, cwd: Path | None = None, seed: str = "0") -> subprocess.CompletedProcess[bytes]:
    """Runs the command in a process of its own, with a seed for the order of sets."""
    env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-m", "chartc", *map(str, args)], capture_output=True, cwd=cwd or ROOT, env=env, timeout=120
    )


def files_below(folder: Path) -> set[str]:
    """Every file below a folder, hidden ones too, except the cache."""
    found = (p.relative_to(folder) for p in folder.rglob("*") if p.is_file())
    return {p.as_posix() for p in found if p.parts[0] != ".cache"}
