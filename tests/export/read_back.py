"""Reads play-along and notation back with other libraries (mido, music21), and says from the plan's JSON what must be in them."""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO
from typing import Any

import mido
from music21 import chord as m_chord
from music21 import converter, harmony, midi, note, repeat, stream

Json = dict[str, Any]
Sound = tuple[int, int]
"""Tick from the start, and MIDI number."""


def played_by_plan(plan: Json, key: int = 0) -> list[Sound]:
    """Every note of the form as played, from the plan alone, in order of time and pitch."""
    found: list[Sound] = []
    start = 0
    entry = plan["keys"][key]
    sections = {s["id"]: s["measures"] for s in entry["sections"]}
    for passage in entry["order"]:
        for index in passage["measures"]:
            measure = sections[passage["section"]][index]
            found += [(start + n["at"], n["pitch"]) for s in measure["slots"] for n in s["notes"]]
            start += measure["ticks"]
    return sorted(found)


def printed_by_plan(plan: Json, key: int = 0) -> list[Sound]:
    """Every note as printed, each section once, from the plan alone."""
    found: list[Sound] = []
    start = 0
    for section in plan["keys"][key]["sections"]:
        for measure in section["measures"]:
            found += [(start + n["at"], n["pitch"]) for s in measure["slots"] for n in s["notes"]]
            start += measure["ticks"]
    return sorted(found)


def tracks(data: bytes) -> dict[str, list[tuple[int, Any]]]:
    """Each track's messages by its name, with their ticks from the start."""
    out = {}
    for track in mido.MidiFile(file=BytesIO(data), charset="utf-8").tracks:
        now, messages = 0, []
        for message in track:
            now += message.time
            messages.append((now, message))
        out[track.name] = messages
    return out


def struck(messages: list[tuple[int, Any]]) -> list[Sound]:
    """The beginnings of notes in a track."""
    return sorted((at, m.note) for at, m in messages if m.type == "note_on" and m.velocity)


def struck_by_music21(data: bytes, name: str) -> list[Sound]:
    """The beginnings of notes in a track, read by music21's reader of MIDI files."""
    file = midi.MidiFile()
    file.readstr(data)
    for track in file.tracks:
        if not any(e.type == midi.MetaEvents.SEQUENCE_TRACK_NAME and e.data == name.encode() for e in track.events):
            continue
        now = 0
        found: list[Sound] = []
        for event in track.events:
            if event.isDeltaTime():
                now += event.time
            elif event.isNoteOn() and event.pitch is not None:
                found.append((now, event.pitch))
        return sorted(found)
    raise AssertionError(f"no track {name}")


def score(data: bytes) -> Any:
    """A MusicXML document as music21 reads it, tied notes as one."""
    return converter.parse(data.decode("utf-8"), format="musicxml").stripTies()


def written(read: Any) -> list[Sound]:
    """Every note of a score with its tick from the start."""
    found = []
    flat = read.parts[0].flatten()
    for element in flat.notes:
        if isinstance(element, harmony.Harmony):
            continue
        at = ticks(element.getOffsetInHierarchy(read.parts[0]) if element.activeSite is None else element.offset)
        pitches = element.pitches if isinstance(element, m_chord.Chord) else (element.pitch,)
        found += [(at, p.midi) for p in pitches]
    return sorted(found)


def ticks(quarters: Any) -> int:
    """Quarter notes as ticks; exact, or the test fails."""
    exact = Fraction(quarters).limit_denominator(960) * 480
    assert exact.denominator == 1, quarters
    return int(exact)


def symbols(read: Any) -> list[tuple[int, int | None, int | None]]:
    """Every chord symbol of a score: its tick, the pitch class of its root and of its bass; None for no chord."""
    out: list[tuple[int, int | None, int | None]] = []
    for h in read.parts[0].flatten().getElementsByClass(harmony.Harmony):
        if isinstance(h, harmony.NoChord):
            out.append((ticks(h.offset), None, None))
        else:
            out.append((ticks(h.offset), h.root().pitchClass, h.bass().pitchClass))
    return out


def unfolded(read: Any) -> list[int]:
    """The numbers of the measures in the order in which music21 plays repeats and endings."""
    part = read.parts[0]
    order = repeat.Expander(part).process()
    return [int(m.number) for m in order.getElementsByClass(stream.Measure)]


__all__ = [
    "note",
    "played_by_plan",
    "printed_by_plan",
    "score",
    "struck",
    "struck_by_music21",
    "symbols",
    "tracks",
    "unfolded",
    "written",
]
