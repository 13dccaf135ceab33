"""The short string: over which chords it is heard as right, and how it stands for a whole song."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

from chartc.chart.song import Song
from chartc.neck.instrument import FifthString, Instrument, String
from chartc.theory import pitch
from chartc.theory.chord import Chord

MAX_RETUNE = 2
"""Semitones by which the string may be tuned up (common practice, no source)."""

# How badly a drone suits, for each tick of a chord (ours): root and fifth vanish in it, the third is sweet, the rest is colour.
_ROOT_OR_FIFTH, _TONE, _COLOUR, _FIGHTS = 0, 1, 2, 6


@lru_cache(maxsize=8192)
def drone_suits(chord: Chord, midi: int) -> bool:
    """Whether an off-beat drone is heard as right: a chord tone or the fourth; the sixth and the ninth too, unless they lie a
    semitone from a chord tone (common practice, no source: G over D7 is the commonest sound of the style)."""
    above = (midi - chord.root_class) % 12
    if midi % 12 in chord.classes:
        return True
    tones = {(c - chord.root_class) % 12 for c in chord.classes}
    if above == 5:
        return 6 not in tones
    return above in (2, 9) and not tones & {(above - 1) % 12, (above + 1) % 12}


@lru_cache(maxsize=8192)
def _badness(chord: Chord, midi: int) -> int:
    if not drone_suits(chord, midi):
        return _FIGHTS
    above = (midi - chord.root_class) % 12
    if above in (0, 7):
        return _ROOT_OR_FIFTH
    return _TONE if midi % 12 in chord.classes else _COLOUR


def fifth_string(song: Song, instrument: Instrument, spikes: tuple[int, ...]) -> FifthString:
    """How the short string stands: as tuned, at one of the player's spikes, or tuned up by one or two semitones.

    The least sum over the song's chords, weighted by their length; the root or fifth of the key is preferred (banjo teachers'
    rule), and what is less work is preferred. An instrument without a short string gets fret 0 and pitch 0.
    """
    drone = instrument.drone
    if drone is None:
        return FifthString(0, 0, "none")
    string = instrument.strings[drone - 1]
    time: Counter[Chord] = Counter()
    for passage in song.order:
        for m in passage.measures:
            for stretch in song.sections[passage.section].measures[m].stretches:
                if stretch.chord is not None:
                    time[stretch.chord] += stretch.ticks
    total = sum(time.values()) or 1
    tonic = pitch.pitch_class(song.key.tonic)
    options = [(0, 0, string.open)]
    options += [(1, fret, string.open + fret - string.nut_fret) for fret in sorted(spikes) if fret > string.nut_fret]
    options += [(2, 0, string.open + up) for up in range(1, MAX_RETUNE + 1)]

    def cost(option: tuple[int, int, int]) -> tuple[float, int, int]:
        work, fret, midi = option
        over = sum(ticks * _badness(chord, midi) for chord, ticks in time.items()) / total
        outside = 0.0 if (midi - tonic) % 12 in (0, 7) else 0.8
        return (over + outside + 0.4 * work, fret, midi)

    work, fret, midi = min(options, key=cost)
    name = _letter(song, midi)
    if work == 0:
        words = f"{name}, as tuned"
    elif work == 1:
        words = f"spike at fret {fret}, {name}"
    else:
        half = midi - string.open
        words = f"tuned up to {name}, {'a half step' if half == 1 else 'a whole step'}"
    fights = [c for c in dict.fromkeys(time) if not drone_suits(c, midi)]
    if fights:
        words += "; left out over " + ", ".join(c.label for c in fights[:6]) + (" ..." if len(fights) > 6 else "")
    return FifthString(fret, midi, words)


def untouched(song: Song, string: String) -> FifthString:
    """How the short string stands where nothing is played on it: nobody tunes it for that."""
    return FifthString(0, string.open, f"{_letter(song, string.open)}, as tuned; not played")


def _letter(song: Song, midi: int) -> str:
    return pitch.note_name(midi, song.key.signature)[:-1]
