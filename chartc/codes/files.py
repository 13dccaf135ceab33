"""Codes of any file, and of the files with settings, licks and rules (YAML)."""

from __future__ import annotations

from chartc.text.explanation import Explanation

FILES: dict[str, Explanation] = {
    "file-binary": Explanation(
        "The file has zero bytes in it, so that it is no text: a picture, a PDF or a word processor's own format. A chart is a "
        "plain text file."
    ),
    "file-empty": Explanation("There is nothing in the file but spaces, or, in a file of settings, no entry."),
    "file-encoding": Explanation(
        "A file is read as UTF-8, which every editor can write; look for the encoding where you save the file."
    ),
    "file-size": Explanation("A file of more than 2 MB is not read: a long chart has a few kilobytes."),
    "file-unreadable": Explanation(
        "A player's file names a file that is not there or may not be read. The path is counted from the folder of the file "
        "that names it.",
        "player: Hob Farrow\nlicks: /no/such/folder/licks.yaml",
        "player: Hob Farrow",
    ),
    "yaml-alias": Explanation(
        "Anchors (&), aliases (*) and merge keys (<<) are not read: what is said stands where it holds. A text that begins with "
        "one of these signs is put in quotes.",
        "player: Hob Farrow\nspikes: &mine [7, 9]",
        "player: Hob Farrow\nspikes: [7, 9]",
    ),
    "yaml-duplicate": Explanation(
        "An entry stands twice in one table, and nobody could say which of the two counts.",
        "player: Hob Farrow\npaper: a4\npaper: letter",
        "player: Hob Farrow\npaper: letter",
    ),
    "yaml-key": Explanation(
        "The name of an entry, before its colon, is one word.",
        "player: Hob Farrow\n[paper, sheet]: a4",
        "player: Hob Farrow\npaper: a4",
    ),
    "yaml-kind": Explanation(
        "An entry holds another kind of thing than it should: one value, a list (each entry with a dash, or in square "
        "brackets), or a table (names with colons).",
        "player: Hob Farrow\nlimits: 90",
        "player: Hob Farrow\nlimits: {comfortable-mm: 90}",
    ),
    "yaml-limit": Explanation(
        "The file is nested deeper, or has more entries, than any file of licks, rules or settings needs. It is not read."
    ),
    "yaml-missing": Explanation(
        "A table lacks an entry that it must have.",
        "licks:\n  - name: gate-latch\n    role: lick\n    chord: G\n    frets: 0 0 0 0\n    picks: T I M I",
        "licks:\n  - name: gate-latch\n    role: lick\n    chord: G\n    strings: 3 2 1 2\n    frets: 0 0 0 0\n    picks: T I M I",
    ),
    "yaml-number": Explanation(
        "The value is not a number, or lies outside what makes sense here; the message says what may be written.",
        "player: Hob Farrow\nweights: {region: much}",
        "player: Hob Farrow\nweights: {region: 3}",
    ),
    "yaml-syntax": Explanation(
        "The file cannot be read as YAML at all. Often the indent is not the same in all lines of a table, or a text with a "
        "colon or # in it is not in quotes.",
        "player: Hob: Farrow",
        'player: "Hob: Farrow"',
    ),
    "yaml-tag": Explanation(
        "Tags (words that begin with !) are not read: every value is plain text, and the program knows what it means.",
        "player: !name Hob Farrow",
        "player: Hob Farrow",
    ),
    "yaml-unknown": Explanation(
        "A table has an entry that means nothing here, perhaps a slip of the pen. It is refused, so that you do not wonder why "
        "a setting does nothing.",
        "player: Hob Farrow\npapers: a4",
        "player: Hob Farrow\npaper: a4",
    ),
    "yaml-word": Explanation(
        "The value is one of a few words, and this is none of them.",
        "player: Hob Farrow\npaper: a5",
        "player: Hob Farrow\npaper: a4",
    ),
}
"""Each code with its meaning."""
