"""What of a part is printed: the words and the voice of a section are the singer's own, and a pickup begins the song."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Ending, Passage, Repeat, Section, Song, sung_only
from chartc.slots.part import Part


def printed(song: Song) -> Song:
    """The song as it is printed: without words and voice where nobody sings, and without a pickup that is never played, because its
    section does not open the song, and in which nobody sings: it were a rest in the middle of the song."""
    return _without_pickups(*_read(song))


def printed_part(part: Part) -> Part:
    """The part of the printed song."""
    song, idle = _read(part.song)
    slots = tuple([s[1:] if n in idle else s for n, s in enumerate(part.slots)]) if idle else part.slots
    return replace(part, song=_without_pickups(song, idle), slots=slots)


def _read(song: Song) -> tuple[Song, frozenset[int]]:
    """The song without words and voice where nobody sings, and the sections whose pickup is idle."""
    song = sung_only(song)
    if any(s.pickup for s in song.sections):
        song = replace(song, sections=tuple([_metered(s) for s in song.sections]))
    opening = song.order[0].section if song.order else 0
    return song, frozenset([n for n, s in enumerate(song.sections) if n != opening and _idle(s)])


def _without_pickups(song: Song, idle: frozenset[int]) -> Song:
    if not idle:
        return song
    sections = tuple([_without_pickup(s) if n in idle else s for n, s in enumerate(song.sections)])
    order = tuple([_moved(p) if p.section in idle else p for p in song.order])
    return replace(song, sections=sections, order=order)


def _metered(s: Section) -> Section:
    """The section with a pickup in the meter that it leads to: it is a part of such a measure, no measure of its own meter."""
    if not s.pickup or len(s.measures) < 2 or s.measures[0].ticks > s.measures[1].meter.ticks:
        return s
    return replace(s, measures=(replace(s.measures[0], meter=s.measures[1].meter), *s.measures[1:]))


def _idle(s: Section) -> bool:
    """Whether a section begins with a pickup in which nobody sings."""
    return s.pickup and not s.measures[0].words and all(v.state == "silent" for v in s.measures[0].voice)


def _without_pickup(s: Section) -> Section:
    repeats = tuple(
        [
            Repeat(
                r.first - 1, r.last - 1, r.times, tuple([Ending(e.times, e.first - 1, e.last - 1) for e in r.endings])
            )
            for r in s.repeats
        ]
    )
    return replace(s, measures=s.measures[1:], played=tuple([m - 1 for m in s.played]), repeats=repeats)


def _moved(p: Passage) -> Passage:
    return replace(p, measures=tuple([m - 1 for m in p.measures]))
