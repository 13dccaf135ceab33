"""The plan: the filled chart as data, for other programs. UTF-8 JSON; its form is the one that the developers' guide describes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from chartc.chart.song import Measure, Song
from chartc.slots.part import FilledSlot, Part
from chartc.theory.meter import DIVISION

SCHEMA = 1


def plan(parts: Sequence[Part]) -> dict[str, Any]:
    """The plan of one song, with one entry for each key and way; `parts` are of one song and instrument, at least one."""
    song = parts[0].song
    instrument = parts[0].instrument
    tempo = song.tempo.quarters
    return {
        "schema": SCHEMA,
        "title": song.title,
        "written_key": song.written_key.plain,
        "tempo": int(tempo) if tempo == int(tempo) else tempo,
        "division": DIVISION,
        "instrument": {
            "name": instrument.name,
            "scale_mm": instrument.scale_mm,
            "frets": instrument.frets,
            "strings": [{"open": s.open, "nut_fret": s.nut_fret} for s in instrument.strings],
        },
        "keys": [_key(part) for part in parts],
    }


def _key(part: Part) -> dict[str, Any]:
    song = part.song
    return {
        "key": song.key.plain,
        "way": part.way,
        "fifth_string": {"fret": part.fifth.fret, "pitch": part.fifth.pitch},
        "sections": [
            {
                "id": section.id,
                "label": section.label,
                "measures": [_measure(m, slots) for m, slots in zip(section.measures, part.slots[n], strict=True)],
            }
            for n, section in enumerate(song.sections)
        ],
        "order": _order(song),
    }


def _order(song: Song) -> list[dict[str, Any]]:
    return [{"section": song.sections[p.section].id, "measures": list(p.measures)} for p in song.order]


def _measure(m: Measure, slots: tuple[FilledSlot, ...]) -> dict[str, Any]:
    return {
        "number": m.number,
        "meter": m.meter.label,
        "ticks": m.ticks,
        "pickup": m.pickup,
        "chords": [
            {"at": s.at, "ticks": s.ticks, "symbol": None if s.chord is None else s.chord.symbol} for s in m.stretches
        ],
        "slots": [_slot(s) for s in slots],
    }


def _slot(s: FilledSlot) -> dict[str, Any]:
    return {
        "at": s.at,
        "ticks": s.ticks,
        "chord": s.chord.symbol,
        "lick": s.lick,
        "role": s.role,
        "part": list(s.part),
        "position": s.position,
        "notes": [
            {
                "at": n.at,
                "ticks": n.ticks,
                "string": n.string,
                "fret": n.fret,
                "pitch": n.pitch,
                "pick": n.pick,
                "finger": n.finger,
                "how": n.how,
            }
            for n in s.notes
        ],
        "rests": [{"at": at, "ticks": ticks} for at, ticks in s.rests],
    }
