"""What of a part is printed: the words and the voice of a section are the singer's own, and a pickup begins the song."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Ending, Passage, Repeat, Section, Song
from chartc.slots.part import Part


def printed(song: Song) -> Song:
    """The song without cue words and voice where an instrument plays another section's measures: nobody sings there."""
    seen: set[tuple[int, int]] = set()
    sections: list[Section] = []
    for s in song.sections:
        places = {(m.span.line, m.span.column) for m in s.measures}
        borrowed = bool(places & seen)
        seen |= places
        if borrowed and s.lead not in ("", "voice"):
            silent = [replace(m, words="", voice=()) if m.words or m.voice else m for m in s.measures]
            s = replace(s, measures=tuple(silent))
        sections.append(s)
    return replace(song, sections=tuple(sections))


def printed_part(part: Part) -> Part:
    """The part of the printed song, without a pickup that is never played, because its section does not open the song, and in which nobody
    sings: it were a rest in the middle of the song."""
    song = printed(part.song)
    opening = song.order[0].section if song.order else 0
    idle = {n for n, s in enumerate(song.sections) if n != opening and _idle(s)}
    if not idle:
        return replace(part, song=song)
    sections = tuple([_without_pickup(s) if n in idle else s for n, s in enumerate(song.sections)])
    order = tuple([_moved(p) if p.section in idle else p for p in song.order])
    slots = tuple([s[1:] if n in idle else s for n, s in enumerate(part.slots)])
    return replace(part, song=replace(song, sections=sections, order=order), slots=slots)


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
