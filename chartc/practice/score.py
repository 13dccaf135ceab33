"""A drill as a song with its part, so that the same layout, play-along and notation serve it as any song."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from chartc.chart.song import Measure, Passage, Repeat, Section, Song, Stretch
from chartc.neck.follow import grip
from chartc.neck.joint import problem
from chartc.practice.items import Item, Material
from chartc.slots.part import FilledSlot, Note, Part
from chartc.text.source import Source, Span
from chartc.theory.chord import Chord
from chartc.theory.meter import WHOLE, Meter, Tempo

_SPAN = Span(Source("drill", ""), 1, 1, 1)


@dataclass(frozen=True)
class Bar:
    """One measure of a drill: a chord, and the lick (empty where the banjo rests). `words` stand beneath it."""

    chord: Chord
    ticks: int
    notes: tuple[Note, ...]
    rests: tuple[tuple[int, int], ...]
    lick: str = ""
    role: str = "rest"
    part: tuple[int, int] = (1, 1)
    position: int | None = None
    words: str = ""


@dataclass(frozen=True)
class Piece:
    """A section of a drill: its heading, its measures, and how often they are played."""

    label: str
    bars: tuple[Bar, ...]
    times: int = 1


def bars(item: Item, words: str = "") -> tuple[Bar, ...]:
    """The measures of a lick; `words` beneath the first."""
    return tuple(
        Bar(item.chord, item.ticks, c.notes, c.rests, c.lick, c.role, c.part, c.position, "" if n else words)
        for n, c in enumerate(item.halves)
    )


def end_of(item: Item, ticks: int) -> Bar:
    """The last so many ticks of a lick. What cannot begin there (a note that is held, or slurred from one before) is a rest."""
    return _piece(item, item.halves[-1].notes, item.halves[-1].rests, max(0, item.ticks - ticks), item.ticks, -1)


def start_of(item: Item, ticks: int) -> Bar:
    """The first so many ticks of a lick."""
    return _piece(item, item.halves[0].notes, item.halves[0].rests, 0, min(ticks, item.ticks), 0)


def _piece(item: Item, notes: Sequence[Note], rests: Sequence[tuple[int, int]], start: int, end: int, half: int) -> Bar:
    kept = [n for n in notes if start <= n.at < end]
    slurred = ("hammer-on", "pull-off", "slide")
    while kept and kept[0].how in slurred and not any(n.at < kept[0].at for n in kept):
        kept = [n for n in kept if n.at > kept[0].at]
    moved = tuple(replace(n, at=n.at - start, ticks=min(n.ticks, end - n.at)) for n in kept)
    quiet = [(max(at, start) - start, min(at + ticks, end) - max(at, start)) for at, ticks in rests]
    quiet = [(at, ticks) for at, ticks in quiet if ticks > 0]
    first = min([n.at for n in moved] + [at for at, _ in quiet], default=end - start)
    if first:
        quiet.insert(0, (0, first))
    c = item.halves[half]
    fretted = next((p for at, p in reversed(c.grip.positions) if at < end), c.position) if moved else None
    return Bar(item.chord, end - start, moved, tuple(quiet), c.lick, c.role, (1, 1), fretted)


def rest(chord: Chord, ticks: int) -> Bar:
    """A measure in which the banjo is silent."""
    return Bar(chord, ticks, (), ((0, ticks),))


def comes_round(last: Bar, first: Bar, material: Material, percent: int) -> bool:
    """Whether both hands get from one measure back to another at so many percent of the tempo."""
    bench = material.bench
    before, after = (grip(bar.notes, bench.instrument, bench.limits) for bar in (last, first))
    speed = material.ms_per_tick * 100 / percent
    return not problem(before, after, last.ticks, 0, bench.instrument, bench.limits, speed)


def part(title: str, note: str, pieces: Iterable[Piece], material: Material, percent: int = 100) -> Part:
    """The pieces as a song in the material's key, meter and instrument, at so many percent of its tempo. `note` stands beneath
    the title."""
    song = material.song
    sections: list[Section] = []
    slots: list[tuple[tuple[FilledSlot, ...], ...]] = []
    for n, piece in enumerate(pieces):
        measures = tuple(_measure(song.meter, bar, k) for k, bar in enumerate(piece.bars, 1))
        last = len(measures) - 1
        repeats = (Repeat(0, last, piece.times),) if piece.times > 1 else ()
        played = tuple(range(last + 1)) * piece.times
        sections.append(Section(f"{n + 1}", piece.label, "interlude", measures, played, repeats, _SPAN))
        slots.append(tuple((_slot(bar),) for bar in piece.bars))
    order = tuple(Passage(n, s.played) for n, s in enumerate(sections))
    tempo = slower(song.tempo, percent)
    made = Song(title, note, song.key, song.key, song.meter, tempo, None, tuple(sections), order)
    return Part(made, material.bench.instrument, material.bench.fifth, tuple(slots))


def slower(tempo: Tempo, percent: int) -> Tempo:
    """The tempo at so many percent, in whole beats a minute, at least one."""
    return Tempo(tempo.note, max(1, round(tempo.count * percent / 100)))


def for_print(drill: Part) -> Part:
    """A drill without the list of its sections in the head: there are many, and they are played from first to last."""
    return replace(drill, song=replace(drill.song, order=()))


def _measure(meter: Meter, bar: Bar, number: int) -> Measure:
    here = meter if bar.ticks == meter.ticks else _short(bar.ticks, meter.unit)
    stretch = Stretch(0, bar.ticks, bar.chord, _SPAN)
    return Measure(
        here,
        bar.ticks,
        number,
        (stretch,),
        (None,),
        _SPAN,
        crooked=here != meter,
        words=bar.words,
        line=(number - 1) // 4,
    )


def _short(ticks: int, unit: int) -> Meter:
    """The meter of a measure of so many ticks, in the song's unit or the next smaller one that it is made of."""
    while ticks * unit % WHOLE and unit < 64:
        unit *= 2
    return Meter(max(1, ticks * unit // WHOLE), unit)


def _slot(bar: Bar) -> FilledSlot:
    return FilledSlot(
        0, bar.ticks, bar.chord, bar.lick or "rest", bar.role, bar.part, bar.position, bar.notes, bar.rests
    )
