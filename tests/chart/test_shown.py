"""How the findings of a chart with many mistakes are shown, whole."""

from __future__ import annotations

from pathlib import Path

from chartc.chart import read_chart
from chartc.text.diagnostic import show
from chartc.text.reading import read
from tests.chart.charts import VOCABULARY

HERE = Path(__file__).parent


def test_shown_text() -> None:
    """Protects what a player reads: places, words and help of many mistakes in one file, as one text to look at."""
    source, _ = read(HERE / "mistakes.chartc", "mistakes.chartc")
    assert source is not None
    song, found = read_chart(source, VOCABULARY)
    assert song is None
    assert show(found) == (HERE / "mistakes.txt").read_text(encoding="utf-8")
