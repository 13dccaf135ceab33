"""What of a song is printed: the words and the voice of a section are the singer's own."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Section, Song


def printed(song: Song) -> Song:
    """The song without cue words and voice where an instrument plays another section's measures: nobody sings there."""
    seen: set[object] = set()
    sections: list[Section] = []
    for s in song.sections:
        places = {m.span for m in s.measures}
        borrowed = bool(places & seen)
        seen |= places
        if borrowed and s.lead not in ("", "voice"):
            silent = [replace(m, words="", voice=()) if m.words or m.voice else m for m in s.measures]
            s = replace(s, measures=tuple(silent))
        sections.append(s)
    return replace(song, sections=tuple(sections))
