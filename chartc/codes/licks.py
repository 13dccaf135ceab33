"""Codes of lick files."""

from __future__ import annotations

from chartc.text.explanation import Explanation


def _lick(strings: str, frets: str, picks: str, *more: str) -> str:
    """A lick file with one lick of an invented name."""
    entries = ["role: lick", "chord: G", *more, f"strings: {strings}", f"frets:   {frets}", f"picks:   {picks}"]
    return "licks:\n  - name: gate-latch\n    " + "\n    ".join(entries)


_LEAD = (
    "licks:\n  - name: gang-plank\n    role: lead-in\n    chord: any\n    to: G\n    strings: 4 4\n    frets:   2 4\n"
    "    picks:   T I\n    fingers: i r"
)
_GOOD = _lick("3 2 1 2", "0 0 0 0", "T I M I")

LICKS: dict[str, Explanation] = {
    "lick-columns": Explanation(
        "The rows of a lick stand beneath one another column by column. Under a note stands a note, under _ (held) stands _, "
        "under . (rest) stands . as well.",
        _lick("3 2 1 2", "0 0 0", "T I M I"),
        _GOOD,
    ),
    "lick-empty": Explanation(
        "A lick has at least one note. Where the banjo should be silent, a chart asks for: rest.",
        _lick(". . . .", ". . . .", ". . . ."),
        _GOOD,
    ),
    "lick-finger": Explanation(
        "Each fretted note has one fretting finger: i, m, r, p, and t for the thumb on the short string. An open string has "
        "none, and one finger lies on one fret at a time.",
        _lick("3 2 1 2", "2 0 0 0", "T I M I") + "\n    fingers: . . . .",
        _lick("3 2 1 2", "0 0 0 0", "T I M I") + "\n    fingers: . . . .",
    ),
    "lick-fret": Explanation(
        "The fret is not on the neck, or, on the short string, lies below the place where that string begins.",
        _lick("3 2 5 2", "0 0 3 0", "T I T I"),
        _lick("3 2 5 2", "0 0 0 0", "T I T I"),
    ),
    "lick-hand": Explanation(
        "No hand can play the lick as it is fingered, even slowly: the stretch is too wide, or a finger would have to be in two "
        "places.",
        _lick("3 2 1 2", "4 13 5 3", "T I M I") + "\n    fingers: i p m i",
        _GOOD,
    ),
    "lick-how": Explanation(
        "A hammer-on goes up from a note before it on the same string, a pull-off goes down, a slide leads from one fret to "
        "another. A choke bends a fretted string by a quarter to three semitones.",
        _lick("3,3 2 1 2", "0,p2 0 0 0", "T,. I M I"),
        _lick("3,3 2 1 2", "0,h2 0 0 0", "T,. I M I"),
    ),
    "lick-landing": Explanation(
        "A lead-in ends one or two semitones from the root, the third or the fifth of the chord that it leads to.",
        _LEAD.replace("frets:   2 4", "frets:   4 5"),
        _LEAD,
    ),
    "lick-length": Explanation(
        "A lick fills half a measure, one measure or two; a lead-in has two to four notes' time.",
        _lick("3 2 1 2 3", "0 0 0 0 0", "T I M I T"),
        _GOOD,
    ),
    "lick-limits": Explanation(
        "A lick of the player's files is right in itself, but the player's own limits (the highest fret, the widest stretch, no little "
        "finger ...) forbid it. It is left out for this player, and everything else is made; players of one band can so share a lick file."
    ),
    "lick-limit": Explanation("A library has more licks than are read; the message says how many are."),
    "lick-meter": Explanation(
        "A column is an eighth note, and beats of two eighths and of three are grouped in another way: one lick serves one kind "
        "of meter.",
        _lick("3 2 1 2 3 1", "0 0 0 0 0 0", "T I M I T M", "meter: [3/4, 6/8]"),
        _lick("3 2 1 2 3 1", "0 0 0 0 0 0", "T I M I T M", "meter: [3/4]"),
    ),
    "lick-movable": Explanation(
        "A movable lick goes up and down the neck with its chord, so that none of its long strings is open; only a movable "
        "lick has a lowest and a highest place.",
        _lick("3 2 1 2", "0 0 0 0", "T I M I", "movable: yes"),
        _GOOD,
    ),
    "lick-name": Explanation(
        "A lick's name is small letters, digits and hyphens, begins with a letter, is no word that a chart uses for something "
        "else (a role, a place), and is there once in a file.",
        _GOOD.replace("gate-latch", "Gate Latch"),
        _GOOD,
    ),
    "lick-pick": Explanation(
        "Each struck note has a pick finger: T, I or M, in a pinch one for each string. A note made by the fretting hand has "
        "none.",
        _lick("3 2 1 2", "0 0 0 0", "T I . I"),
        _GOOD,
    ),
    "lick-role": Explanation(
        "Rolls and vamps take their frets from the shape of any chord: they have no chord, no frets and no fingers of their "
        "own, and are never movable.",
        "licks:\n  - name: water-wheel\n    role: roll\n    chord: G\n    strings: 2 1 5 1\n    picks:   I M T M",
        "licks:\n  - name: water-wheel\n    role: roll\n    strings: 2 1 5 1\n    picks:   I M T M",
    ),
    "lick-row": Explanation(
        "A row has a sign that does not belong in it, or is not written on one line behind its name.",
        _lick("3 2 1 G", "0 0 0 0", "T I M I"),
        _GOOD,
    ),
    "lick-string": Explanation(
        "The string is not on the instrument, or is struck twice at once.",
        _lick("3 2 6 2", "0 0 0 0", "T I M I"),
        _GOOD,
    ),
    "lick-tone": Explanation(
        "On strong beats a lick has tones of its chord, for every kind of chord that it serves. Another note that is meant to "
        "rub is named as a tension.",
        _lick("4 2 1 2", "2 0 0 0", "T I M I"),
        _lick("4 2 1 2", "2 0 0 0", "T I M I", "tensions: [6]"),
    ),
}  # fmt: skip
"""Each code with its meaning."""
