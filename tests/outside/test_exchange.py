"""Play-along and notation against standards, and read back by other libraries: mido (MIT) and music21 (BSD)."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from chartc.export.midi import midi
from chartc.export.musicxml import musicxml
from chartc.export.plan import plan
from chartc.slots.part import Part
from chartc.theory import pitch
from tests.export.read_back import (
    played_by_plan,
    printed_by_plan,
    score,
    struck,
    struck_by_music21,
    symbols,
    tracks,
    unfolded,
    written,
)
from tests.export.songs import CROOKED, chart, example

PARTS = [
    chart(CROOKED)[0],
    *example("wicker-gate-waltz", ("E",)),
    *example("hens-in-the-hold"),
    *example("cold-kiln", ("F#",)),
]


def test_the_header_has_the_published_bytes() -> None:
    """Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association), header chunk: `MThd`, a length of 6, format, number of
    tracks and division as 16-bit numbers, high byte first; then a chunk `MTrk` for each track, each ended by FF 2F 00."""
    data = midi(PARTS[0])
    assert data[:14] == b"MThd" + bytes([0, 0, 0, 6, 0, 1, 0, 5, 480 >> 8, 480 & 255])
    at, ends = 14, 0
    while at < len(data):
        assert data[at : at + 4] == b"MTrk"
        length = int.from_bytes(data[at + 4 : at + 8], "big")
        at += 8 + length
        ends += data[at - 3 : at] == b"\xff\x2f\x00"
    assert (at, ends) == (len(data), 5)


def test_tempo_meter_and_key_have_the_published_bytes() -> None:
    """Source: Standard MIDI Files 1.0, meta events: tempo FF 51 03 in microseconds a quarter note, meter FF 58 04 with the unit
    as a power of two and MIDI clocks a click, key FF 59 02 with flats negative."""
    data = midi(PARTS[0])
    assert b"\xff\x51\x03" + (500_000).to_bytes(3, "big") in data
    assert b"\xff\x58\x04\x04\x02\x18\x08" in data
    assert b"\xff\x59\x02\xfe\x00" in data


def test_the_programs_are_those_of_general_midi() -> None:
    """Banjo is program 106, acoustic bass 33, steel guitar 26, counted from 1; drums have channel 10, wood blocks are 76 and 77.
    Source: General MIDI 1 sound set and percussion map (from memory)."""
    data = tracks(midi(PARTS[0]))
    programs = {name: {m.program + 1 for _, m in found if m.type == "program_change"} for name, found in data.items()}
    assert (programs["banjo"], programs["bass"], programs["chop"]) == ({106}, {33}, {26})
    assert {(m.channel + 1, m.note) for _, m in data["click"] if m.type == "note_on"} <= {(10, 76), (10, 77)}
    assert all(m.channel != 9 for name in ("banjo", "bass", "chop") for _, m in data[name] if m.type == "note_on")


@pytest.mark.parametrize("part", PARTS, ids=lambda p: p.song.title)
def test_play_along_read_back_is_the_plan(part: Part) -> None:
    """Two readers hear the notes of the plan at their ticks. Source: mido and music21, their readers of MIDI files."""
    data = midi(part, count_in=False)
    expected = played_by_plan(plan([part]))
    assert struck(tracks(data)["banjo"]) == expected
    assert struck_by_music21(data, "banjo") == expected


@pytest.mark.parametrize("part", PARTS, ids=lambda p: p.song.title)
def test_notation_read_back_is_the_plan(part: Part) -> None:
    """Pitches, onsets and chord symbols come back. Source: music21, its reader of MusicXML."""
    read = score(musicxml(part))
    assert written(read) == printed_by_plan(plan([part]))
    expected: list[tuple[int, int | None, int | None]] = []
    start = 0
    for section in part.song.sections:
        for m in section.measures:
            for s in m.stretches if not m.pickup else ():
                c = s.chord
                bass = None if c is None else pitch.pitch_class(c.root if c.bass is None else c.bass)
                expected.append((start + s.at, None if c is None else c.root_class, bass))
            start += m.ticks
    assert symbols(read) == expected


def test_repeats_and_endings_unfold_as_the_song_is_played() -> None:
    """Another program plays the printed measures in the song's order. Source: music21, repeat."""
    part = chart(CROOKED)[0]
    found = unfolded(score(musicxml(part)))
    # measure 1, then three times 2 3 with 4, 4 and 5, then what follows
    assert found[-13:] == [2, 3, 4, 2, 3, 4, 2, 3, 5, 6, 7, 8, 9, 10, 11][-13:]


@cache
def _schema() -> Any:
    """The W3C's schema of MusicXML 4.0 as a package of the tests brings it. The two schemas that it imports are fetched by no
    one: their few attributes are declared here."""
    found = find_spec("musicxml")
    if found is None or found.origin is None:
        pytest.skip("the package with the schema is not installed")
    path = Path(found.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    head = '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/'
    xml = f'{head}XML/1998/namespace"><xs:attribute name="lang" type="xs:language"/><xs:attribute name="space" type="xs:string"/></xs:schema>'
    names = ("href", "type", "role", "title", "show", "actuate")
    link = (
        f'{head}1999/xlink">' + "".join(f'<xs:attribute name="{n}" type="xs:string"/>' for n in names) + "</xs:schema>"
    )

    class Local(etree.Resolver):  # type: ignore[misc]
        def resolve(self, url: str, public: str, context: Any) -> Any:
            if url.endswith("/xml.xsd"):
                return self.resolve_string(xml, context)
            if url.endswith("/xlink.xsd"):
                return self.resolve_string(link, context)
            return None

    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(Local())
    return etree.XMLSchema(etree.parse(str(path), parser))


@pytest.mark.parametrize("part", PARTS, ids=lambda p: p.song.title)
def test_notation_is_valid(part: Part) -> None:
    """Source: the W3C's XML Schema of MusicXML 4.0."""
    schema = _schema()
    assert schema.validate(etree.fromstring(musicxml(part))), schema.error_log


def test_the_schema_refuses_what_is_wrong() -> None:
    """The check above can fail: a note without a duration, and a tuning without an octave, are not valid."""
    schema = _schema()
    data = musicxml(PARTS[0]).decode("utf-8")
    for wrong in ("<duration>240</duration>", "<tuning-octave>3</tuning-octave>"):
        assert wrong in data
        assert not schema.validate(etree.fromstring(data.replace(wrong, "", 1).encode("utf-8")))
