"""The way from a chart's text to the song, as one function."""

from __future__ import annotations

from chartc.chart.build import build
from chartc.chart.findings import Findings
from chartc.chart.group import group
from chartc.chart.parse import parse
from chartc.chart.song import Song
from chartc.chart.vocabulary import Vocabulary
from chartc.text.diagnostic import Diagnostic, in_order
from chartc.text.source import Source


def read_chart(source: Source, vocabulary: Vocabulary) -> tuple[Song | None, tuple[Diagnostic, ...]]:
    """The song that a chart means, and what is wrong with the chart, in order of place.

    The song is None where there is any error; warnings do not prevent it. Never raises, whatever the text.
    """
    found = Findings()
    chart = parse(source, found)
    if not any(line.node is not None for line in chart.lines) and not found.all:
        found.add(
            "chart-empty",
            "there are only remarks in this chart" if chart.lines else "there is nothing in this chart",
            source.span(1, 1, max(2, len(source.line(1)) + 1)),
            "a chart begins with a line like this: title  Ladder to the Ferry",
        )
    song = None if found.full else build(group(chart, found), vocabulary, found)
    return song, in_order(found.all)
