"""A chart's text made tidy, or rewritten in another key or with other chord words: with proof that nothing else has changed."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from chartc.chart.findings import Findings
from chartc.chart.layout import laid_out
from chartc.chart.meaning import as_written, comments, meaning, simplified
from chartc.chart.parse import parse
from chartc.chart.read import read_chart
from chartc.chart.respell import Spelling, with_chords, with_key
from chartc.chart.song import Song, in_key
from chartc.chart.syntax import Chart
from chartc.chart.vocabulary import Vocabulary
from chartc.text.diagnostic import Diagnostic, has_errors
from chartc.text.source import Source
from chartc.theory.key import Key

Chords = Literal["as they are", "degrees", "letters"]


class UntidyError(Exception):
    """The tidy text would not say the same: a defect of the program. The text that it was given must stay as it is."""


def tidy(
    source: Source, vocabulary: Vocabulary, key: Key | None = None, chords: Chords = "as they are"
) -> tuple[str | None, tuple[Diagnostic, ...]]:
    """The tidy text of a chart, in `key` (of the song's mode) where one is given, and its findings; None where it has errors.

    The new text is read again: it must mean the same (in the other key), have the same comments, and be tidy. Raises
    UntidyError where it does not.
    """
    song, found = read_chart(source, vocabulary)
    if song is None:
        return None, found
    chart = parse(source, Findings())
    wanted = song
    if key is not None:
        wanted = replace(in_key(song, key), written_key=key)
    new, exact = _rewritten(chart, song, wanted, chords)
    text = laid_out(new)
    if "\r\n" in source.text:
        text = text.replace("\n", "\r\n")
    if key is not None and has_errors(_headers_of(source, text, vocabulary)):
        return None, (*found, _melody(chart, key))
    _prove(source, chart, new, text, wanted, exact, vocabulary)
    return text, found


def _rewritten(chart: Chart, song: Song, wanted: Song, chords: Chords) -> tuple[Chart, bool]:
    """The chart with the wanted key and chord words, and whether every chord could be spelled exactly."""
    spelling = Spelling(song.key, wanted.key)
    if wanted is not song:
        chart = with_key(with_chords(chart, spelling.letter), song.key, wanted)
    there = Spelling(wanted.key, wanted.key)
    if chords == "degrees":
        chart = with_chords(chart, there.degree)
    elif chords == "letters":
        chart = with_chords(chart, there.by_letter)
    return chart, not spelling.simplified


def _headers_of(source: Source, text: str, vocabulary: Vocabulary) -> tuple[Diagnostic, ...]:
    return tuple(d for d in read_chart(Source(source.name, text), vocabulary)[1] if d.code == "melody-value")


def _melody(chart: Chart, key: Key) -> Diagnostic:
    line = next(line for line in chart.lines if getattr(line.node, "keyword", "") == "melody")
    return Diagnostic(
        "key-melody",
        f"in {key.label} the melody would leave the range of voices",
        line.span(),
        "take another key, or give the melody an octave higher or lower",
    )


def _prove(
    source: Source, old: Chart, new: Chart, text: str, wanted: Song, exact: bool, vocabulary: Vocabulary
) -> None:
    written = Source(source.name, text)
    again, _ = read_chart(written, vocabulary)
    if again is None:
        raise UntidyError("the tidy text cannot be read")
    parsed = parse(written, Findings())
    if as_written(parsed) != as_written(new):
        raise UntidyError("the tidy text has other words")
    same = (lambda song: song) if exact else simplified
    if meaning(same(again)) != meaning(same(wanted)):
        raise UntidyError("the tidy text has another meaning")
    if comments(parsed) != comments(old):
        raise UntidyError("the tidy text has other comments")
    twice = laid_out(parsed)
    if (twice.replace("\n", "\r\n") if "\r\n" in text else twice) != text:
        raise UntidyError("the tidy text is not tidy")
