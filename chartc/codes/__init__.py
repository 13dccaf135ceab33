"""Every code that the program can say, with its meaning: `chartc explain` reads it here."""

from __future__ import annotations

from chartc.chart.codes import CODES as CHART
from chartc.codes.books import BOOKS
from chartc.codes.files import FILES
from chartc.codes.licks import LICKS
from chartc.codes.practice import PRACTICE
from chartc.codes.settings import CHOICE, SETTINGS
from chartc.text.explanation import Explanation

EXPLAINED: dict[str, Explanation] = dict(
    sorted({**CHART, **FILES, **LICKS, **SETTINGS, **CHOICE, **BOOKS, **PRACTICE}.items())
)
"""Each code with its explanation, in order of name."""
