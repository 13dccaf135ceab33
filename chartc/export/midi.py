"""Play-along: a Standard MIDI File (format 1) with a track each for click, banjo, bass and chop, so that each can be muted.

Numbers of programs and drums are those of General MIDI 1, counted from 0 (from memory; banjo is program 106 counted from 1).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

from chartc.export.band import strokes
from chartc.export.played import Played, length, played
from chartc.slots.part import Note, Part
from chartc.theory.key import Key
from chartc.theory.meter import DIVISION, Meter

BANJO, BASS, GUITAR = 105, 32, 25
HIGH_CLICK, LOW_CLICK = 76, 77
"""Wood blocks."""

BASS_CHANNEL, CHOP_CHANNEL, DRUM_CHANNEL = 10, 11, 9
"""Counted from 0; string n of the banjo has channel n - 1, so that a choke bends no other string."""

BEND_RANGE = 12
"""Semitones that a full pitch bend means: set by registered parameter 0, as the standard allows."""

_PICKED, _SLURRED, _DAMPED_PART = 96, 74, 4

_Event = tuple[int, int, Any]
"""Tick, rank among events of one tick, message."""


def midi(part: Part, steps: Sequence[int] = (100,), count_in: bool = True) -> bytes:
    """The part as played, once for each of `steps` (percent of the song's tempo), each with a measure of clicks before it.

    A pickup is counted in with the beats that its measure lacks. The same part gives the same bytes. Raises ValueError where
    there is no step, or one below 1.
    """
    import mido

    if not steps or min(steps) < 1:
        raise ValueError("tempo steps are percents, from 1")
    measures = list(played(part))
    first = measures[0].measure if measures else None
    meter = measures[0].meter if measures else part.song.meter
    lead = meter.ticks + (meter.ticks - first.ticks if first and first.pickup else 0) if count_in else 0
    whole = length(part)
    out = mido.MidiFile(type=1, ticks_per_beat=DIVISION, charset="utf-8")
    tracks: dict[str, list[_Event]] = {"song": [], "click": [], "banjo": [], "bass": [], "chop": []}
    _settings(mido, part, tracks)
    for n, percent in enumerate(steps):
        start = n * (lead + whole)
        tempo = round(60_000_000 * 100 / (part.song.tempo.quarters * percent))
        tracks["song"].append((start, 1, mido.MetaMessage("set_tempo", tempo=min(tempo, 0xFFFFFF))))
        if lead:
            words = "count-in" if len(steps) == 1 else f"count-in, {percent} percent"
            tracks["song"].append((start, 2, mido.MetaMessage("marker", text=words)))
        _meters(mido, tracks["song"], measures, start, start + lead, meter)
        _clicks(mido, tracks["click"], measures, start, lead, meter)
        for p in measures:
            at = start + lead + p.at
            if p.opens:
                tracks["song"].append((at, 3, mido.MetaMessage("marker", text=p.section.label)))
            for slot in p.slots:
                for note in slot.notes:
                    tracks["banjo"] += _plucked(mido, note, at)
            for s in strokes(p.measure):
                channel = BASS_CHANNEL if s.bass else CHOP_CHANNEL
                sounding = s.ticks * 7 // 8 if s.bass else max(1, s.ticks // 4)
                for pitch in s.notes:
                    tracks["bass" if s.bass else "chop"] += _sound(
                        mido, channel, pitch, at + s.at, sounding, 88 if s.bass else 70
                    )
    end = len(steps) * (lead + whole)
    for name, events in tracks.items():
        out.tracks.append(_track(mido, name if name != "song" else part.song.title, events, end))
    file = BytesIO()
    out.save(file=file)
    return file.getvalue()


def _settings(mido: Any, part: Part, tracks: dict[str, list[_Event]]) -> None:
    """What stands at tick 0: key, programs, and how far the banjo's pitch bends."""
    tracks["song"].append((0, 0, mido.MetaMessage("key_signature", key=signature_name(part.song.key))))
    for string in range(len(part.instrument.strings)):
        events = tracks["banjo"]
        events.append((0, 0, mido.Message("program_change", channel=string, program=BANJO)))
        for control, value in ((101, 0), (100, 0), (6, BEND_RANGE), (38, 0)):
            events.append((0, 0, mido.Message("control_change", channel=string, control=control, value=value)))
    tracks["bass"].append((0, 0, mido.Message("program_change", channel=BASS_CHANNEL, program=BASS)))
    tracks["chop"].append((0, 0, mido.Message("program_change", channel=CHOP_CHANNEL, program=GUITAR)))


def signature_name(key: Key) -> str:
    """The key signature by the name of the major or minor key that has it, in ASCII; signatures beyond seven signs are respelled."""
    signs = key.signature
    while signs > 7:
        signs -= 12
    while signs < -7:
        signs += 12
    names = (
        "Cb Gb Db Ab Eb Bb F C G D A E B F# C#"
        if not key.minor_third
        else ("Abm Ebm Bbm Fm Cm Gm Dm Am Em Bm F#m C#m G#m D#m A#m")
    )
    return names.split()[signs + 7]


def _meters(
    mido: Any, events: list[_Event], measures: Sequence[Played], start: int, music: int, opening: Meter
) -> None:
    """A meter wherever it changes. A short measure of the same meter needs none."""
    meter: Meter | None = None
    for at, here in [(start, opening), *((music + p.at, p.meter) for p in measures)]:
        if here == meter:
            continue
        meter = here
        # MIDI clocks (24 to a quarter note) from one click to the next
        clocks = here.beat * 24 // DIVISION
        events.append(
            (at, 1, mido.MetaMessage("time_signature", numerator=here.count, denominator=here.unit,
                                     clocks_per_click=max(1, clocks), notated_32nd_notes_per_beat=8))
        )  # fmt: skip


def _clicks(mido: Any, events: list[_Event], measures: Sequence[Played], start: int, lead: int, opening: Meter) -> None:
    """The count-in, then a click on every beat, the first of a measure higher."""
    for at in range(0, lead, opening.beat):
        events += _click(mido, start + at, at % opening.ticks == 0)
    for p in measures:
        meter = p.meter
        # a pickup's beats are the last ones of its measure
        first = -(meter.ticks - p.measure.ticks) % meter.beat if p.measure.pickup else 0
        for at in range(first, p.measure.ticks, meter.beat):
            events += _click(mido, start + lead + p.at + at, at == 0 and not p.measure.pickup)


def _click(mido: Any, at: int, first: bool) -> list[_Event]:
    return _sound(mido, DRUM_CHANNEL, HIGH_CLICK if first else LOW_CLICK, at, 60, 100 if first else 72)


def _sound(mido: Any, channel: int, note: int, at: int, ticks: int, velocity: int) -> list[_Event]:
    return [
        (at, 5, mido.Message("note_on", channel=channel, note=note, velocity=velocity)),
        (at + ticks, 4, mido.Message("note_off", channel=channel, note=note, velocity=0)),
    ]


def _plucked(mido: Any, note: Note, measure: int) -> list[_Event]:
    """A note of the banjo. One that the fretting hand makes is softer, a damped one short, a choke rises over the first half."""
    at, channel = measure + note.at, note.string - 1
    ticks = max(1, note.ticks // _DAMPED_PART) if note.how == "damped" else note.ticks
    out = _sound(mido, channel, note.pitch, at, ticks, _SLURRED if note.pick is None else _PICKED)
    if note.how == "choke" and note.amount:
        steps = 8
        for n in range(steps + 1):
            bend = round(note.amount * n / steps * 8191 / BEND_RANGE)
            out.append((at + ticks * n // (2 * steps), 6, mido.Message("pitchwheel", channel=channel, pitch=bend)))
        out.append((at + ticks, 4, mido.Message("pitchwheel", channel=channel, pitch=0)))
    return out


def _track(mido: Any, name: str, events: Iterable[_Event], end: int) -> Any:
    """Events as a track: times from one to the next, ends of notes before beginnings."""
    track = mido.MidiTrack()
    track.append(mido.MetaMessage("track_name", name=name, time=0))
    now = 0
    for at, _, message in sorted(events, key=lambda e: (e[0], e[1])):
        message.time = at - now
        track.append(message)
        now = at
    track.append(mido.MetaMessage("end_of_track", time=max(0, end - now)))
    return track
