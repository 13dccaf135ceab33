"""A measure's cell of a chord row: its length, how its words share the beats, and its chords."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from chartc.chart import syntax
from chartc.chart.chordword import TIMES, certainly, not_a_chord
from chartc.chart.findings import Findings, closest, count
from chartc.chart.headers import bad_meter, read_meter
from chartc.chart.song import Measure, Stretch
from chartc.chart.syntax import Line, Word
from chartc.theory.chord import Chord, read_chord
from chartc.theory.key import Key
from chartc.theory.meter import Meter

NO_CHORD = ("NC", "N.C.")
HOLD = "/"
AGAIN = "%"


@dataclass(frozen=True, slots=True)
class Setting:
    """What a measure is read against. `key` and `meter` are None where their headers could not be read."""

    key: Key | None
    meter: Meter | None
    meter_line: Line | None = None


MOST_WORDS = 48
"""Words of a measure for which it is worth saying how they could be shared."""


@lru_cache(maxsize=1024)
def shares(words: int, meter: Meter) -> tuple[int, ...] | None:
    """The ticks of each of so many words in a measure; None where the number of words does not fit.

    One word fills the measure, as many as beats are one each, two in an even number of beats are half and half. Compound
    meters also take a word for each note of the lower number, meters of half notes a word for each quarter.
    """
    if words == 1 or words == meter.beats or (words == 2 and meter.beats % 2 == 0):
        return (meter.ticks // words,) * words
    if meter.compound and words == meter.count:
        return (meter.ticks // words,) * words
    if meter.unit == 2 and words == 2 * meter.count:
        return (meter.ticks // words,) * words
    return None


def corrected(words: tuple[str, ...], meter: Meter) -> str:
    """A cell that fits the meter, with the chords of `words`: the first is held, or holds are left out. Where there are
    more chords than beats, the cell gives the measure a length of its own; empty where that cannot be."""
    beats = meter.beats
    if len(words) > MOST_WORDS:
        return ""
    if len(words) < beats:
        return " ".join([words[0], *[HOLD] * (beats - len(words)), *words[1:]])
    kept = list(words)
    while len(kept) > beats and HOLD in kept:
        del kept[len(kept) - 1 - kept[::-1].index(HOLD)]
    if len(kept) == beats:
        return " ".join(kept)
    if not meter.compound and len(words) <= 24:
        return f"in {len(words)}/{meter.unit}: {' '.join(words)}"
    return ""


def cell_length(cell: syntax.Cell, line: Line, first: bool, at: Setting, found: Findings) -> tuple[Meter | None, bool]:
    """The cell's meter (None where it is not known), and whether all is well with it."""
    length = cell.length
    if length is None:
        return at.meter, at.meter is not None
    meter = read_meter(length.count, length.unit)
    if meter is None:
        bad_meter(line, length.count, length.unit, found)
        return None, False
    if not length.pickup:
        return meter, True
    if not first:
        help = f"give a shorter measure its length instead: in {meter.label}: ..."
        found.add("pickup-place", "a pickup can only be the first measure of a section", line.span(length), help)
        return meter, False
    if at.meter is not None and meter.ticks >= at.meter.ticks:
        related = [(at.meter_line.span(), "the meter is set here")] if at.meter_line else []
        found.add(
            "pickup-length",
            f"a pickup of {meter.label} is as long as a measure, or longer",
            line.span(length.count).to(line.span(length.unit)),
            "leave out the word pickup, or make it shorter: pickup 1/4: is one quarter note",
            related,
        )
        return meter, False
    return meter, True


_LIKE_A_BAR = re.compile(r"[!:¦‖│\\]+|pickup:?")


def strange(cell: syntax.Cell) -> bool:
    """Whether a word of a cell is no chord but a sign that was probably meant for a bar line, a number of times or a pickup's word,
    so that the number of the cell's words says nothing."""
    return misspelt_pickup(cell) or repeated(cell) or any(_LIKE_A_BAR.fullmatch(w.text) for w in cell.words)


def repeated(cell: syntax.Cell) -> bool:
    """Whether a cell has a repeat's dots or a number of times in it, which the language does not know."""
    return any(not w.text.strip(":") or TIMES.fullmatch(w.text) for w in cell.words)


def misspelt_pickup(cell: syntax.Cell) -> bool:
    """Whether the cell begins like a pickup with its length, but with the word misspelt."""
    words = cell.words
    return (
        len(words) > 1
        and re.fullmatch(r"\d+/\d+:?", words[1].text) is not None
        and bool(closest(words[0].text, ("pickup",)))
    )


def measure(
    cell: syntax.Cell, line: Line, first: bool, before: Measure | str, at: Setting, found: Findings
) -> Measure | None:
    """The measure of a cell with `number` and `line` still 0; None where it cannot be read (errors are reported).

    `first` tells that it is the first of its section. `before` is the measure before; or, where there is none to repeat,
    words that say why not; or an empty text where the one before could not be read.
    """
    meter, good = cell_length(cell, line, first, at, found)
    pickup = cell.length is not None and cell.length.pickup
    words = cell.words
    if not words and not pickup:
        help = "write a chord, % for the measure before once more, or NC for no chord"
        if line.span(cell).text == "||":
            help += ";\na bar line is one |, at the end of a section too"
        found.add("measure-empty", "there is nothing between these bar lines", line.span(cell), help)
        return None
    if misspelt_pickup(cell):
        word = words[0]
        message = f'"{word.text[:24]}" is no chord; there is "pickup", with a similar name'
        help = "a pickup is written like this: pickup 1/4: D"
        found.add("chord-unknown", message, line.span(word), help, fix=[(line.span(word), "pickup")])
        return None
    if any(w.text == AGAIN for w in words):
        return _again(cell, line, before, meter if good else None, at, found)
    chords = _chords(words, line, at.key, found)
    if meter is None or not good:
        return None
    if not words:
        stretches: tuple[Stretch, ...] = (Stretch(0, meter.ticks, None, line.span(cell)),)
    else:
        # where a hold comes first, the number of words says nothing yet
        ticks = None if words[0].text == HOLD or strange(cell) else fit(words, line, meter, at, "chord", found)
        if chords is None or ticks is None:
            return None
        stretches = _merged(words, chords, ticks, line)
    crooked = not pickup and meter != at.meter
    return Measure(meter, meter.ticks, 0, stretches, (None,) * len(stretches), line.span(cell), pickup, crooked=crooked)


def fit(
    words: tuple[Word, ...], line: Line, meter: Meter, at: Setting, noun: str, found: Findings
) -> tuple[int, ...] | None:
    """The ticks of each word, None and an error where they do not fit."""
    ticks = shares(len(words), meter)
    if ticks is not None:
        return ticks
    better = corrected(tuple(w.text for w in words), meter)
    if noun != "chord" and better.startswith("in "):
        better = ""
    help = f"write it like this: {better}" if better else "write one word for the measure, or one for each beat"
    if noun == "chord" and better.startswith("in "):
        help = f"share the chords between two measures, or give this one its own length: {better}"
    elif HOLD in better:
        help += "   (/ holds what stands before it one beat more)"
    related = [(at.meter_line.span(), "the meter is set here")] if at.meter_line and meter == at.meter else []
    found.add(
        "measure-beats" if noun == "chord" else "voice-beats",
        f"{count(len(words), 'word')} for {count(meter.beats, 'beat')} ({meter.label})",
        line.span(words[0]).to(line.span(words[-1])),
        help,
        related,
    )
    return None


def _again(
    cell: syntax.Cell, line: Line, before: Measure | str, meter: Meter | None, at: Setting, found: Findings
) -> Measure | None:
    if len(cell.words) > 1:
        found.add(
            "measure-again",
            "% stands for a whole measure and can have no other word beside it",
            line.span(cell),
            "write the chords out, or % alone",
        )
        return None
    if isinstance(before, str):
        if before:
            found.add("measure-again", before, line.span(cell.words[0]), "write the chords out")
        return None
    if meter is None:
        return None
    if cell.length is not None and cell.length.pickup:
        found.add(
            "measure-again", "a pickup has no measure before it", line.span(cell.words[0]), "write the chords out"
        )
        return None
    if before.ticks != meter.ticks or before.pickup:
        what = "pickup" if before.pickup else "measure"
        found.add(
            "measure-length",
            f"the measure before has another length ({before.meter.label}) than this one ({meter.label})",
            line.span(cell.words[0]),
            "write the chords out",
            [(before.span, f"the {what} before")],
        )
        return None
    span = line.span(cell)
    crooked = meter != at.meter
    nothing = (None,) * len(before.stretches)
    return Measure(meter, meter.ticks, 0, before.stretches, nothing, span, again=True, crooked=crooked)


def _chords(words: tuple[Word, ...], line: Line, key: Key | None, found: Findings) -> list[Chord | None] | None:
    """The chord of each word, holds resolved; None where one of them is no chord."""
    chords: list[Chord | None] = []
    good = True
    for word in words:
        if word.text == HOLD:
            if word is words[0]:
                help = "write the chord itself, or % for the measure before once more"
                found.add("measure-hold", "a measure cannot begin with /: there is nothing to hold", line.span(word), help)  # fmt: skip
                good = False
            elif chords:
                chords.append(chords[-1])
        elif word.text in NO_CHORD:
            chords.append(None)
        else:
            # a chord word is right or wrong in every key alike
            chord = read_chord(word.text, key or Key(0)) if len(word.text) <= 24 else None
            if chord is None:
                message, help = not_a_chord(word.text)
                meant = certainly(word.text)
                fix = [(line.span(word), meant)] if meant else []
                found.add("chord-unknown", message, line.span(word), help, fix=fix)
                good = False
            chords.append(chord)
    return chords if good else None


def _merged(words: tuple[Word, ...], chords: list[Chord | None], ticks: tuple[int, ...], line: Line) -> tuple[Stretch, ...]:  # fmt: skip
    out: list[Stretch] = []
    at = 0
    for word, chord, length in zip(words, chords, ticks, strict=True):
        span = line.span(word)
        if out and out[-1].chord == chord:
            last = out.pop()
            out.append(Stretch(last.at, last.ticks + length, chord, last.span.to(span)))
        else:
            out.append(Stretch(at, length, chord, span))
        at += length
    return tuple(out)
