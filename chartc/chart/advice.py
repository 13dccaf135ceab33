"""Warnings about a song that can be read: what is probably not meant. They stop nothing.

What is usual here is common practice in songs of this kind, no source; each rule is wide, so that what it doubts is rare.
"""

from __future__ import annotations

from collections.abc import Iterator

from chartc.chart.findings import Findings, count, listed
from chartc.chart.group import Block
from chartc.chart.song import Section, Song, Stretch
from chartc.chart.syntax import Line, Placed
from chartc.theory.chord import Chord
from chartc.theory.key import Key
from chartc.theory.meter import NOTE_WORDS, Meter, Tempo

SLOWEST, FASTEST = 40, 400
"""Quarter notes a minute between which songs lie."""

MOST = 20
"""Chords that are doubted in one song: where there are more, the key is."""


def advise(song: Song, blocks: list[Block], tempo: tuple[Line, Placed] | None, found: Findings) -> None:
    """Adds the warnings about a song. `blocks` are its sections as written; `tempo` is where the tempo stands, None where
    there is none."""
    if tempo is not None:
        _tempo(song.tempo, song.meter, *tempo, found)
    _chords(song, found)
    for block in blocks:
        _phrases(block, found)


# --- tempo ---------------------------------------------------------------------------------------------------------------


def usual_notes(meter: Meter) -> tuple[str, ...]:
    """The notes that are counted in a meter: its beat, and the notes twice as long and half as long, where the beat is not
    divided in three; then the beat, the note that divides it, and the whole measure."""
    lengths = {meter.beat, meter.ticks}
    if meter.compound:
        lengths.add(meter.beat // 3)
    else:
        lengths |= {meter.beat * 2, meter.beat // 2}
    return tuple(word for word, ticks in NOTE_WORDS.items() if ticks in lengths)


def _tempo(tempo: Tempo, meter: Meter, line: Line, word: Placed, found: Findings) -> None:
    usual = usual_notes(meter)
    if tempo.note not in usual:
        message = f"{tempo.note} notes are not counted in {meter.label}"
        help = f"the note is usually one of: {listed(usual)}"
        found.add("tempo-unlikely", message, line.span(word), help, severity="warning")
    elif not SLOWEST <= tempo.quarters <= FASTEST:
        slow = tempo.quarters < SLOWEST
        message = f"{tempo.note} = {tempo.count} is {'slower' if slow else 'faster'} than any song"
        help = f"that is quarter = {tempo.quarters:.0f}; is the note right?"
        found.add("tempo-unlikely", message, line.span(word), help, severity="warning")


# --- chords --------------------------------------------------------------------------------------------------------------

# semitones above the tonic; a major chord or seventh is usual on each degree of any of the four modes and on those that lead to
# one, a minor chord on the degrees of the major scale (with its own kind of fourth, fifth and tonic) and before a dominant
_USUAL_MAJOR = frozenset({0, 2, 3, 4, 5, 7, 8, 9, 10, 11})
_USUAL_MINOR = frozenset({0, 2, 4, 5, 7, 9, 11})


def unusual(chord: Chord, key: Key) -> bool:
    """Whether a chord has no usual reading in a key: it belongs to no mode on the tonic, and leads to no chord that does."""
    above = (chord.root - key.tonic) * 7 % 12
    family = chord.quality.family
    if family in ("diminished", "half-diminished", "augmented", "power"):
        return False
    return above not in (_USUAL_MINOR if family == "minor" else _USUAL_MAJOR)


def _chords(song: Song, found: Findings) -> None:
    doubted: list[Stretch] = []
    seen = set()
    for section in song.sections:
        for before, stretch, after in _neighbours(section):
            chord = stretch.chord
            if chord is None or stretch.span in seen or not unusual(chord, song.key):
                continue
            seen.add(stretch.span)
            if not any(n is not None and _slides(chord, n) for n in (before, after)):
                doubted.append(stretch)
    if len(doubted) > MOST:
        first = doubted[0]
        message = f"{len(doubted)} chords have no usual reading in {song.key.label}, this one first"
        found.add("chord-unusual", message, first.span, "is the key right?", severity="warning")
        return
    for stretch in doubted:
        assert stretch.chord is not None
        message = f"{stretch.chord.label} has no usual reading in {song.key.label}"
        found.add("chord-unusual", message, stretch.span, "look whether it is what you meant", severity="warning")


def _neighbours(section: Section) -> Iterator[tuple[Chord | None, Stretch, Chord | None]]:
    """Each stretch of a section that is not written as the measure before once more, with the chords beside it."""
    all_of = [s for m in section.measures if not m.again for s in m.stretches]
    chords = [s.chord for s in all_of]
    return zip([None, *chords], all_of, [*chords[1:], None], strict=False)


def _slides(a: Chord, b: Chord) -> bool:
    """Whether one chord slides into the other: the same kind a half step away."""
    return (a.root_class - b.root_class) % 12 in (1, 11) and a.quality.family == b.quality.family


# --- phrases -------------------------------------------------------------------------------------------------------------


def odd_row(block: Block) -> int | None:
    """The index of the one row that has a measure more or less than all others of its section, which have equally many; None
    where there is no such row, or fewer than three rows. Pickups do not count."""
    sizes = [sum(not (c.length and c.length.pickup) for c in row.cells or ()) for row in block.rows]
    if len(sizes) < 3:
        return None
    for size in set(sizes):
        unlike = [n for n, other in enumerate(sizes) if other != size]
        if len(unlike) == 1 and abs(sizes[unlike[0]] - size) == 1:
            return unlike[0]
    return None


def _phrases(block: Block, found: Findings) -> None:
    index = odd_row(block)
    # a measure of another length, a repeat or an ending tells that the line is crooked on purpose
    if index is None or len(block.items) > len(block.rows):
        return
    rows = block.rows
    if any(cell.length is not None and not cell.length.pickup for row in rows for cell in row.cells or ()):
        return
    row, other = rows[index], rows[1 if index == 0 else 0]
    here = len([c for c in row.cells or () if not (c.length and c.length.pickup)])
    there = len([c for c in other.cells or () if not (c.length and c.length.pickup)])
    found.add(
        "phrase-length",
        f"this row has {count(here, 'measure')}, every other row of the section has {there}",
        row.line.span(),
        f"a measure may be {'missing' if here < there else 'too many'}; leave it where the tune is crooked",
        [(other.line.span(), f"{count(there, 'measure')} here")],
        "warning",
    )
