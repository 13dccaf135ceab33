"""Builds the examples once for all tests, on two processors."""

from __future__ import annotations

import json
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chartc.book.compile import compile_chart
from chartc.commands.shared import PAPER_NAMES, SHEET_NAMES
from chartc.export.plan import plan
from chartc.player import load_player
from chartc.press import pdf
from chartc.sheet import PAPERS, SHEETS
from chartc.text.diagnostic import show
from chartc.text.reading import read

FOLDER = Path(__file__).parents[2] / "examples"
CHARTS = sorted(FOLDER.glob("*.chartc"))
PLAYER = FOLDER / "players" / "hob-farrow.yaml"
FOUR_KEYS = ("C", "F#", "G", "B")
"""An open key, the two farthest from the tuning, and one without any open chord."""


@dataclass(frozen=True)
class Built:
    """What came of one chart: findings as shown (empty where there are none), the plan as another program reads it, and files."""

    findings: str
    plan: dict[str, Any]
    files: tuple[Path, ...]


@dataclass(frozen=True)
class Job:
    """One chart to build, in which keys, for whom (None: the usual player), and on which paper in which keys (`all`: every key)."""

    chart: Path
    keys: tuple[str, ...]
    player: Path | None
    papers: tuple[tuple[str, tuple[str, ...]], ...]
    out: Path


def build(job: Job) -> Built:
    """Fills a chart, writes its backup sheets, and gives the plan as it comes out of JSON."""
    player, found = load_player(job.player, SHEET_NAMES, PAPER_NAMES)
    source, errors = read(job.chart, job.chart.name)
    assert player is not None, show(found)
    assert source is not None, show(errors)
    *_, compiled = compile_chart(source, player, job.keys)
    files = []
    for paper, keys in job.papers:
        folder = job.out / paper / job.chart.stem
        folder.mkdir(parents=True)
        for part in compiled.parts:
            if "all" in keys or part.song.key.plain.split()[0] in keys:
                data = pdf(SHEETS["backup"](part, PAPERS[paper]), part.song.title, part.song.credit)
                file = folder / f"{part.song.key.file_word}.pdf"
                file.write_bytes(data)
                files.append(file)
    return Built(
        show(compiled.found) if compiled.found else "", json.loads(json.dumps(plan(compiled.parts))), tuple(files)
    )


def build_all(jobs: Sequence[Job]) -> list[Built]:
    """Every job, two at a time; the longest charts first would gain little, so they go as they come."""
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(build, jobs))
