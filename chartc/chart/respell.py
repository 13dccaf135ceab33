"""A chart as written, in another key, or with its chords as degrees or by letter."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from chartc.chart import syntax
from chartc.chart.cells import AGAIN, HOLD, NO_CHORD
from chartc.chart.song import Song
from chartc.chart.syntax import Chart, Line, Word
from chartc.theory import pitch
from chartc.theory.chord import Chord, degree_tone, read_chord
from chartc.theory.key import Key

_ROOT = r"[A-G](?:[b♭]{1,2}|[#♯]{0,2})"
_LETTERS = re.compile(rf"({_ROOT})(.*?)(?:/({_ROOT}))?")
MOST_SIGNS = 2
"""Flats or sharps that a chart can write before a name."""


@dataclass(slots=True)
class Spelling:
    """Chords of one key written in another. `simplified` tells afterwards whether a spelling had to be simplified, because it
    would have had more than two signs."""

    old: Key
    new: Key
    simplified: bool = False

    def letter(self, word: str) -> str:
        """A chord word in the new key; a word by degree stays as it is."""
        chord, match = self._chord(word), _LETTERS.fullmatch(word)
        if chord is None or match is None:
            return word
        fifths = self.new.tonic - self.old.tonic
        root, suffix, bass = match.groups()
        tones = [pitch.tone(name) + fifths for name in (root, bass) if name]
        if any(abs((tone + 1) // 7) > MOST_SIGNS for tone in tones):
            self.simplified = True
            tones = [pitch.simple(tone) for tone in tones]
            return self._written(tones, chord.quality.suffix)
        kept = self._written(tones, suffix)
        return kept if read_chord(kept, self.new) == chord.moved(fifths) else self._written(tones, chord.quality.suffix)

    def degree(self, word: str) -> str:
        """A chord word as a degree of the old key; a word that is one already, or can be none, stays as it is."""
        chord, match = self._chord(word), _LETTERS.fullmatch(word)
        if chord is None or match is None:
            return word
        root, suffix, bass = match.groups()
        names = [_degree(pitch.tone(name), self.old) for name in (root, bass) if name]
        if not all(names):
            return word
        for end in (suffix, chord.quality.suffix):
            new = "/".join([names[0] + end, *names[1:]])
            if read_chord(new, self.old) == chord:
                return new
        return word

    def by_letter(self, word: str) -> str:
        """A chord word by letter, in the old key; a word that is so already stays as it is."""
        chord = self._chord(word)
        if chord is None or _LETTERS.fullmatch(word):
            return word
        tones = [chord.root, *([] if chord.bass is None else [chord.bass])]
        new = self._written(tones, chord.quality.suffix)
        return new if read_chord(new, self.old) == chord else word

    def _chord(self, word: str) -> Chord | None:
        return None if word in (HOLD, AGAIN, *NO_CHORD) else read_chord(word, self.old)

    @staticmethod
    def _written(tones: list[int], suffix: str) -> str:
        root, *bass = [pitch.plain(pitch.name(tone)) for tone in tones]
        return "/".join([root + suffix, *bass])


def _degree(tone: int, key: Key) -> str:
    """The degree of a tone as a chart writes it, the plain one before a flat and a flat before a sharp; empty where it has
    none."""
    for sign in ("", "b", "#"):
        for number in range(1, 8):
            if degree_tone(f"{sign}{number}", key) == tone:
                return f"{sign}{number}"
    return ""


def with_chords(chart: Chart, change: Callable[[str], str]) -> Chart:
    """The chart with every word of its chord rows changed."""

    def word(w: Word) -> Word:
        return replace(w, text=change(w.text))

    def line(one: Line) -> Line:
        if not isinstance(one.node, syntax.ChordRow):
            return one
        cells = tuple(replace(cell, words=tuple(map(word, cell.words))) for cell in one.node.cells)
        return replace(one, node=syntax.ChordRow(cells))

    return replace(chart, lines=tuple(map(line, chart.lines)))


def _note(written: str, old: Key, new: Key, number: int) -> str:
    """A note of the old key as the new one spells it, with the octave in which it has the MIDI number `number`."""
    tone = pitch.tone(written.rstrip("0123456789-")) + new.tonic - old.tonic
    if abs((tone + 1) // 7) > 1:
        tone = pitch.simple(tone)
    name = pitch.plain(pitch.name(tone))
    # the octave is that of the letter: B#3 sounds as C4
    return f"{name}{(number - pitch.midi(f'{name}0')) // 12}"


def with_key(chart: Chart, old: Key, song: Song) -> Chart:
    """The chart with the key and the melody of a song, from the key `old`; its chords stay as they are."""

    def line(one: Line) -> Line:
        if not isinstance(one.node, syntax.Header):
            return one
        keyword, words = one.node.keyword, one.node.words
        texts = song.key.plain.split()
        if keyword == "melody" and song.melody is not None:
            texts = [
                _note(w.text, old, song.key, n) for w, n in zip(words, (song.melody.low, song.melody.high), strict=True)
            ]
        elif keyword != "key":
            return one
        return replace(one, node=syntax.Header(keyword, tuple(replace(words[0], text=text) for text in texts)))

    return replace(chart, lines=tuple(map(line, chart.lines)))
