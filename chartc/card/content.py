"""What stands on the card. Lists come from the program's own tables, so that the card cannot say what the program does not do."""

from __future__ import annotations

from dataclasses import dataclass

from chartc.chart.headers import LOWEST, USUAL_TEMPO
from chartc.chart.repeats import MOST_TIMES
from chartc.chart.sides import HIGHEST_FRET
from chartc.chart.song import PLACES, SECTION_KINDS, VOICE_STATES
from chartc.licks.lick import REST, ROLES
from chartc.theory import pitch
from chartc.theory.key import MODES
from chartc.theory.meter import NOTE_WORDS


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the card: its heading, an example (lines of a chart, with remarks behind semicolons), pairs of what is written
    and what it means, and lines of text."""

    heading: str
    example: str = ""
    pairs: tuple[tuple[str, str], ...] = ()
    text: tuple[str, ...] = ()


WHOLE = """\
title    Ladder to the Ferry
credit   written for this card
key      G
meter    4/4
tempo    half = 100
melody   D4 to B4
form     kickoff, verse, break as verse, verse, tag

section kickoff, 4 measures
  lead banjo, chop mandolin
| pickup 1/4: D | G | C | D7 | G |

section verse, 8 measures
  lead voice, fills banjo, chop mandolin
| G | % | C | G / / D |
voice | sung | sung | held | silent |
ask | roll | | high | fill |
words | Up the long | ladder and | down to the | ferry |
| C | G | D7 | G |

section break as verse
  lead fiddle, chop banjo

section tag, 2 measures
| D7 | G |
"""

REPEATS = """\
section chorus, 8 measures
repeat
| C | G |
ending 1
| D | D7 |
ending 2
| D7 | G |
end repeat
"""

MEASURES: tuple[tuple[str, str], ...] = (
    ("| G |", "one chord fills the measure"),
    ("| G C |", "half and half, where the beats are even"),
    ("| G C D G |", "one for each beat"),
    ("| G / / D |", "/ holds the chord before it one beat more"),
    ("| G | % |", "% is the measure before once more"),
    ("| NC |", "no chord"),
    ("| in 2/4: G |", "a measure of another length"),
    ("| pickup 1/4: D |", "a pickup: first in its section, not counted"),
)

CHORDS: tuple[tuple[str, str], ...] = (
    ("G  Am  D7  Bbmaj7  F#m7b5", "by letter"),
    ("C/G", "with another bass note"),
    ("1  6m  b7  57  4/1", "by degree of the key; 57 is the seventh chord on 5"),
    ("I  vi  V7", "in Roman numerals, small ones for minor"),
)


def parts() -> tuple[Part, ...]:
    """The parts of the card, in reading order."""
    notes = [word for word in NOTE_WORDS if " " not in word]
    return (
        Part("A chart", WHOLE, text=("One line says one thing. A semicolon begins a remark; in a title or in words, ;; is a semicolon.",)),
        Part(
            "Headers",
            pairs=(
                ("title, key, meter", "must be there, above the first section"),
                ("key", f"a letter, b or #, and a mode: {', '.join(MODES)} (major if none)"),
                ("language", "of the words: cs, ga, pl"),
                ("tempo", f"{', '.join(notes)}; each also dotted. Without one: {USUAL_TEMPO.note} = {USUAL_TEMPO.count}"),
                ("melody", f"lowest and highest sung note; C4 is middle C, {pitch.note_name(LOWEST)} the lowest that can be written"),
                ("form", "the sections as played; break as verse borrows the measures of the verse"),
            ),
        ),
        Part("Measures", pairs=MEASURES),
        Part("Chords", pairs=CHORDS),
        Part(
            "Sections",
            pairs=(
                ("section verse, 8 measures", "measures as played once through"),
                ("lead, fills, chop", "who leads, who answers in the gaps, who chops"),
            ),
            text=(f"A word of the name says the kind: {', '.join(SECTION_KINDS)}.",),
        ),
        Part("Repeats", REPEATS, text=(f"repeat 3 times, up to {MOST_TIMES}. ending 1, 2 serves two times.",)),
        Part(
            "Rows beneath the chords",
            pairs=(
                ("voice", f"{', '.join(VOICE_STATES)}; / for one beat more"),
                ("ask", f"a role: {', '.join(sorted({*ROLES, REST}))}"),
                ("", f"a place: {', '.join(PLACES)}, or fret 1 to {HIGHEST_FRET}; or a lick by its name"),
                ("words", "the words that are sung, or the first of them"),
            ),
            text=("As many places as the chords have measures; a place may stay empty.",),
        ),
        Part(
            "Commands",
            pairs=(
                ("chartc check song.chartc", "what is wrong, where, and what to write"),
                ("chartc check --fix song.chartc", "puts right what is certain"),
                ("chartc explain measure-beats", "more about a message"),
                ("chartc tidy song.chartc", "bar lines in columns"),
                ('chartc build song.chartc --keys "G, A"', "the sheets in these keys"),
            ),
        ),
    )  # fmt: skip
