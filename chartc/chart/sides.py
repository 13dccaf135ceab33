"""The rows beneath the chords: where the voice is, what is asked of the banjo, cue words."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import cast

from chartc.chart.cells import HOLD, Setting, fit
from chartc.chart.findings import Findings, closest, count, listed, number, slip
from chartc.chart.group import Row
from chartc.chart.headers import check_length
from chartc.chart.song import PLACES, VOICE_STATES, Measure, Place, Request, VoiceState, VoiceStretch
from chartc.chart.syntax import Line, SideCell, SideRow, Word
from chartc.chart.vocabulary import Vocabulary

HIGHEST_FRET = 24


def beneath(
    row: Row, measures: list[Measure | None], at: Setting, vocabulary: Vocabulary, found: Findings
) -> list[Measure | None]:
    """The measures of a row with what the rows beneath say about them. `measures` is empty, or shorter than the rows
    beneath, where the chords could not be read; the words of the rows are judged all the same."""
    out = list(measures)
    for kind, line in row.sides.items():
        if not isinstance(line.node, SideRow):
            continue
        fits = len(line.node.cells) == len(measures)
        for index, cell in enumerate(line.node.cells):
            here = out[index] if fits else None
            if kind == "voice":
                voice = _voice(cell, line, here, at, found)
                here = here and replace(here, voice=voice)
            elif kind == "ask":
                requests = _requests(cell, line, here, vocabulary, found)
                here = here and replace(here, requests=requests)
            else:
                words = cell.parts[0]
                if words:
                    check_length(line, words[0], "measure", found)
                here = here and replace(here, words=words[0].text if words else "")
            if fits:
                out[index] = here
    return out


def _voice(cell: SideCell, line: Line, measure: Measure | None, at: Setting, found: Findings) -> tuple[VoiceStretch, ...]:  # fmt: skip
    words = cell.parts[0]
    if not words:
        return ()
    good = True
    for word in words:
        if word.text not in VOICE_STATES and (word.text != HOLD or word is words[0]):
            good = False
            near = closest(word.text, VOICE_STATES)
            after = f'; there is "{near}", with a similar name' if near else ""
            message = (
                "a measure of the voice cannot begin with /: there is nothing to hold"
                if word.text == HOLD
                else f'"{word.text[:30]}" says nothing about the voice{after}'
            )
            help = "the voice is sung, held or silent, or / for one beat more; an empty place says nothing"
            meant = slip(word.text, VOICE_STATES)
            found.add("voice-word", message, line.span(word), help, fix=[(line.span(word), meant)] if meant else [])
    if measure is None or not good:
        return ()
    ticks = fit(words, line, measure.meter, at, "voice", found)
    if ticks is None:
        return ()
    out: list[VoiceStretch] = []
    start = 0
    for word, length in zip(words, ticks, strict=True):
        state = out[-1].state if word.text == HOLD else cast(VoiceState, word.text)
        if out and out[-1].state == state:
            out[-1] = VoiceStretch(out[-1].at, out[-1].ticks + length, state)
        else:
            out.append(VoiceStretch(start, length, state))
        start += length
    return tuple(out)


def _requests(
    cell: SideCell, line: Line, measure: Measure | None, vocabulary: Vocabulary, found: Findings
) -> tuple[Request | None, ...]:
    parts = [request(words, line, vocabulary, found) if words else None for words in cell.parts]
    if measure is None:
        return ()
    stretches = measure.stretches
    if len(parts) not in (1, len(stretches)):
        beyond = [w for part in cell.parts[len(stretches) :] for w in part]
        place = line.span(beyond[0]).to(line.span(beyond[-1])) if beyond else line.span(cell)
        found.add(
            "ask-parts",
            f"{count(len(parts), 'request')} for {count(len(stretches), 'chord')}",
            place,
            "write one request for the whole measure, or one for each chord with commas between; a place may stay empty",
            [(measure.span, f"{count(len(stretches), 'chord')} here")],
        )
        return measure.requests
    asked = parts * len(stretches) if len(parts) == 1 else parts
    # nothing is played where there is no chord, and a pickup belongs to the measure that it leads out of
    plays = [s.chord is not None and not measure.pickup for s in stretches]
    if any(parts) and not any(p and a is not None for p, a in zip(plays, asked, strict=True)):
        why = "a pickup" if measure.pickup else "no chord"
        message = f"nothing is filled here: the measure has {why}" if why == "no chord" else "a pickup is not filled"
        found.add("ask-nothing", message, line.span(cell), "leave this place empty", severity="warning")
    return tuple(a if p else None for p, a in zip(plays, asked, strict=True))


LONGEST = 6
"""Words in a name."""


def request(words: tuple[Word, ...], line: Line, vocabulary: Vocabulary, found: Findings) -> Request | None:
    """The request that some words make: a role, a place, a fret, a lick's name, each at most once."""
    taken: dict[str, tuple[str | int, Word]] = {}
    index = 0
    while index < len(words):
        kind, value, used = _one(words[index : index + LONGEST], line, vocabulary, found)
        word = words[index]
        if kind in taken:
            found.add(
                "ask-twice",
                f"there are two words for the {kind}",
                line.span(word),
                "keep one of the two; a comma divides the requests for two chords",
                [(line.span(taken[kind][1]), "the first one")],
            )
        elif kind:
            taken[kind] = value, word
        index += used
    span = line.span(words[0]).to(line.span(words[-1]))
    got = {kind: value for kind, (value, _) in taken.items()}
    return Request(
        span,
        cast("str | None", got.get("role")),
        cast("Place | None", got.get("place")),
        cast("int | None", got.get("fret")),
        cast("str | None", got.get("lick")),
    )


@lru_cache(maxsize=4)
def _known(vocabulary: Vocabulary) -> frozenset[str]:
    """All words with which a request may begin."""
    return vocabulary.roles | vocabulary.licks | {*PLACES, "fret"}


def _one(words: tuple[Word, ...], line: Line, vocabulary: Vocabulary, found: Findings) -> tuple[str, str | int, int]:
    """What the first of at most LONGEST words asks for: its kind (empty where it is not known), the value, the number of words used."""
    first = words[0]
    if first.text == "fret":
        fret = number(words[1].text, 1, HIGHEST_FRET) if len(words) > 1 else None
        if fret is None:
            span = line.span(words[min(1, len(words) - 1)])
            help = "write the fret of the index finger, for example: fret 5"
            found.add("ask-fret", f"fret wants a number from 1 to {HIGHEST_FRET}", span, help)
        return "fret", fret or 0, min(2, len(words))
    if first.text in PLACES:
        return "place", first.text, 1
    # names may be several words: the longest that is known counts
    for used in range(len(words), 0, -1):
        name = " ".join(w.text for w in words[:used])
        if name in vocabulary.roles:
            return "role", name, used
        if name in vocabulary.licks:
            return "lick", name, used
    known = _known(vocabulary)
    near, meant = closest(first.text, known), slip(first.text, known)
    found.add(
        "ask-word",
        f'"{first.text[:40]}" is no role, no place on the neck and no lick'
        + (f'; there is "{near}", with a similar name' if near else ""),
        line.span(first),
        f"roles: {listed(sorted(vocabulary.roles))}\nplaces: {listed(PLACES)}, or fret and a number; or a lick by its name",
        fix=[(line.span(first), meant)] if meant else [],
    )
    return "", "", 1
