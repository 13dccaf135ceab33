"""Charts, singers and lists written for tests."""

from __future__ import annotations

from pathlib import Path

import pypdfium2

CHART = """\
title    {title}
key      {key}
meter    4/4
tempo    quarter = 120
{melody}section verse, {count} measures
{rows}
"""

ROWS = ("| G | C | D7 | G |", "| Em | C | G D | G |", "| G7 | C | A7 | D |")


def chart(title: str, key: str = "G", rows: int = 1, melody: str = "D4 to B4") -> str:
    """A chart of so many rows of four measures."""
    lines = "\n".join(ROWS[n % len(ROWS)] for n in range(rows))
    sung = f"melody   {melody}\n" if melody else ""
    return CHART.format(title=title, key=key, melody=sung, count=4 * rows, rows=lines)


SINGERS = """\
singers:
  - name: Ada Moss
    range: A3 to D5
    comfortable: C4 to B4
  - name: Jory Pell
    range: G2 to E4
    part: baritone
    keys: {one.chartc: E}
"""

SET_LIST = """\
set-list: At the Weir
date: 2027-05-01
place: the Weir
singers: singers.yaml
sets:
  - name: First set
    songs:
      - song: one.chartc
        sings: Ada Moss
        kickoff: fiddle
        ending: dead stop
        notes: softly
      - song: two.chartc
        key: A
        time: "3:30"
  - name: Second set
    songs:
      - song: three.chartc
        sings: Jory Pell
        more-keys: [D]
      - one.chartc
"""


def band(folder: Path, set_list: str = SET_LIST) -> Path:
    """Three charts (the second has several pages), singers and a set list; the path of the list."""
    for name, text in {
        "one.chartc": chart("Weir Song"),
        "two.chartc": chart("Long Barge", "C", rows=24),
        "three.chartc": chart("Alder Row", "D", melody="A3 to F#4"),
        "singers.yaml": SINGERS,
        "evening.yaml": set_list,
    }.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "evening.yaml"


def texts(path: Path) -> list[str]:
    """The text of each page of a PDF."""
    document = pypdfium2.PdfDocument(str(path))
    return [page.get_textpage().get_text_range() for page in document]
