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


HIGH = """\
licks:
  - name: wend-skylight
    role: fill
    about: up the neck
    chord: G
    serves: [major, seventh]
    movable: yes
    lowest: 5
    highest: 15
    tensions: [6]
    strings: 1   2  1  2  3  2  2  _
    frets:   12  8  9  8  9  8  8  _
    picks:   M   I  M  I  T  M  I  _
    fingers: p   i  m  i  r  i  i  _
"""
"""A lick that a player who stays below fret 10 cannot play."""

LOW = """\
licks:
  - name: wend-cellar
    role: lick
    about: open strings
    chord: G
    strings: 3  2  5  1  4  2  5  1
    frets:   0  0  0  0  0  0  0  0
    picks:   T  I  T  M  T  I  T  M
"""
"""A lick that anybody can play."""

WEND = "player: Wend Askary\nlicks: wend-licks.yaml\n"
ORLA = "player: Orla Tennick\nlimits: {highest-fret: 10}\n"

PAIR = """\
set-list: Two at the Mill
date: 2027-05-01
players: [wend.yaml, orla.yaml]
sets:
  - name: All
    songs: [pins.chartc]
"""


def pair(folder: Path, ask: str = "wend-cellar | | |", licks: str = LOW, orla: str = ORLA) -> Path:
    """A set list for two players with one song; what it asks for over G, C, D7 and G, and the lick file of the first player."""
    for name, text in {
        "pins.chartc": chart("Mill Race") + f"ask | {ask} |\n",
        "wend.yaml": WEND,
        "wend-licks.yaml": licks,
        "orla.yaml": orla,
        "mill.yaml": PAIR,
    }.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "mill.yaml"
