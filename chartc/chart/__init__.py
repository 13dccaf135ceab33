"""From a chart's text to the song it means."""

from chartc.chart.read import read_chart
from chartc.chart.vocabulary import Vocabulary

__all__ = ["Vocabulary", "read_chart"]
