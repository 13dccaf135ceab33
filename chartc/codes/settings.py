"""Codes of a player's settings and rules, of the choice of licks, and of what is printed."""

from __future__ import annotations

from chartc.text.explanation import Explanation

SETTINGS: dict[str, Explanation] = {
    "instrument-unknown": Explanation(
        "The instrument is none of those that the program knows. Another one can be described by a table: its name, its scale "
        "length, its frets and its tunings.",
        "player: Hob Farrow\ninstrument: six-string fiddle",
        "player: Hob Farrow\ninstrument: five-string banjo",
    ),
    "limits": Explanation(
        "The limits of the hand contradict each other: the comfortable stretch is not wider than the widest.",
        "player: Hob Farrow\nlimits: {comfortable-mm: 120, most-mm: 100}",
        "player: Hob Farrow\nlimits: {comfortable-mm: 100, most-mm: 120}",
    ),
    "rule-action": Explanation(
        "A rule does one thing: it forbids (never: yes), it has a price, or it prefers: then all other licks cost so much, where one of "
        "those may stand.",
        "rulebook: mine\nrules:\n  - rule: no chokes\n    of: {technique: [choke]}",
        "rulebook: mine\nrules:\n  - rule: no chokes\n    of: {technique: [choke]}\n    never: yes",
    ),
    "rule-condition": Explanation(
        "A condition of a rule lists nothing, so that the rule could never apply, or lists several numbers where one is the "
        "limit.",
        "rulebook: mine\nrules:\n  - rule: not too thin\n    of: {attacks-below: [4, 6]}\n    never: yes",
        "rulebook: mine\nrules:\n  - rule: not too thin\n    of: {attacks-below: 4}\n    never: yes",
    ),
    "rule-idle": Explanation(
        "No lick in the library is what the rule speaks of, so that it never does anything. Perhaps two of its conditions "
        "exclude each other."
    ),
    "rule-levels": Explanation(
        "The levels of a rulebook do not rise: a level allows only easier licks than the level before it.",
        "rulebook: mine\nlevels: {easy: 3, middle: 2, full: 5}",
        "rulebook: mine\nlevels: {easy: 2, middle: 3, full: 5}",
    ),
    "rule-lick": Explanation("A rule, or a list of licks, names a lick that is not in the library."),
    "rule-limit": Explanation("A rulebook has more rules than are read; the message says how many are."),
    "tuning-note": Explanation(
        "A tuning is written as notes with their octaves, the highest-numbered string first; C4 is middle C.",
        "player: Hob Farrow\ntuning: G4 D3 G3 B3 X4",
        "player: Hob Farrow\ntuning: G4 D3 G3 B3 D4",
    ),
    "tuning-strings": Explanation(
        "The tuning has another number of notes than the instrument has strings.",
        "player: Hob Farrow\ntuning: D3 G3 B3 D4",
        "player: Hob Farrow\ntuning: G4 D3 G3 B3 D4",
    ),
    "tuning-unknown": Explanation(
        "The tuning is none of those that the program knows by name for this instrument; write its notes.",
        "player: Hob Farrow\ntuning: mountain low",
        "player: Hob Farrow\ntuning: G4 D3 G3 B3 D4",
    ),
}
"""Each code of a player's files with its meaning."""

CHOICE: dict[str, Explanation] = {
    "character-missing": Explanation(
        "A title, a name or the words of a measure have a character that the printing type lacks; or the words of a set list or a "
        "songbook, the name of a singer or player, or what a lick is about, where they are printed. It would be a hole in the sheet."
    ),
    "join-unplayable": Explanation(
        "The chart asks for two licks one after the other that no hand can join at this tempo, whatever is chosen around them. "
        "Free one of the two places, or ask for a role instead of a lick by name."
    ),
    "key-melody": Explanation(
        "A chart is to be written in another key, in which the lowest or the highest note of its melody would lie where no "
        "voice sings."
    ),
    "key-mode": Explanation(
        "A song keeps its mode: a chart in A minor cannot be printed in C major. Ask for the tonic alone, as in: --keys D."
    ),
    "pin-repeat": Explanation(
        "The chart asks for one lick by name three times in a row as played. Rolls and vamps go on like that; a lick that "
        "speaks does not."
    ),
    "request-unmet": Explanation(
        "No lick that is asked for fits over this chord, in this length, in this key. The place was filled as if nothing had "
        "been asked for. Or a chart pins a lick that this player has not, because it belongs to another player of the list or lies "
        "beyond this player's limits: the place was filled without the lick, and the sheet says so."
    ),
    "slot-silent": Explanation(
        "Nothing in the library can be played over this chord in this length on this instrument, so that the banjo is silent "
        "there."
    ),
    "ways-fewer": Explanation(
        "There are not as many different ways through the song as were asked for, or the further ones would be much worse. "
        "Fewer are printed."
    ),
}
"""Each code of what is made from a chart, with its meaning."""
