"""What the tests of the command line share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.running import Command, chart


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Command:
    """The command."""
    return Command(capsys)


@pytest.fixture
def write(tmp_path: Path) -> Callable[..., Path]:
    """Writes a chart (or any text) below the test's folder and gives its path."""

    def put(name: str, text: str | bytes | None = None) -> Path:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        data = chart() if text is None else text
        path.write_bytes(data if isinstance(data, bytes) else data.encode())
        return path

    return put
