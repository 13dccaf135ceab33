"""Codes of set lists, songbooks and files of singers."""

from __future__ import annotations

from chartc.text.explanation import Explanation

_SINGER = "singers:\n  - name: Orla Tennick\n    range: {}\n"

BOOKS: dict[str, Explanation] = {
    "book-date": Explanation(
        "A date is written with its year first, as in ISO 8601, so that nobody takes the month for the day.",
        "set-list: Saturday\ndate: 1 May 2027\nsets: []",
        "set-list: Saturday\ndate: 2027-05-01\nsets: []",
    ),
    "book-empty": Explanation(
        "A songbook names a chart, a folder or a pattern with which no chart is found. Paths are counted from the folder of "
        "the songbook.",
        "songbook: The Ferry Book\ncharts: [no/such/folder]",
        "songbook: The Ferry Book\ncharts: []",
    ),
    "book-key": Explanation(
        "A list, or a singer's table of keys, has a word that is no key.",
        "songbook: The Ferry Book\nkeys: [G, H]\ncharts: []",
        "songbook: The Ferry Book\nkeys: [G, Bb]\ncharts: []",
    ),
    "book-kind": Explanation(
        "A YAML file that is to be built is a set list or a songbook, and its first entry says which. A player's file is given "
        "with --player, a file of singers is named by a set list.",
        "set: Saturday\nset-list: Saturday",
        "set-list: Saturday\nsets: []",
    ),
    "book-time": Explanation(
        "How long a song lasts is written in minutes and seconds, in quotes.",
        'set-list: Saturday\nsets:\n  - songs:\n      - song: ferry.chartc\n        time: "3"',
        'set-list: Saturday\nsets:\n  - songs:\n      - song: ferry.chartc\n        time: "3:00"',
    ),
    "singer-range": Explanation(
        "A range is two notes with their octaves, the lower one first; C4 is middle C. What is comfortable lies inside it.",
        _SINGER.format("D5 to A3"),
        _SINGER.format("A3 to D5"),
    ),
    "singer-twice": Explanation(
        "Two singers have one name, and a set list could not say which of them sings.",
        _SINGER.format("A3 to D5") + "  - name: Orla Tennick\n    range: G2 to D4",
        _SINGER.format("A3 to D5") + "  - name: Wend Askary\n    range: G2 to D4",
    ),
    "singer-unknown": Explanation("A set list names a singer who is not in its file of singers."),
    "song-range": Explanation(
        "In the key in which a song is to be played, its melody leaves the range of a singer. A key that the list fixes, or that a "
        "singer insists on, is kept all the same; where no key fits, the nearest one is taken."
    ),
}
"""Each code with its meaning."""
