"""Open notation: a part as MusicXML 4.0 (W3C), partwise, as printed: each section once, with repeats and endings.

The staff is a tablature staff with a line for each string, the last string lowest. The standard has no word for a string that starts
at a later fret: the short string's staff-tuning is what it sounds when open, and its `fret` is the number as printed: 0 when open or at its
spike, else the neck's fret. `pitch` is always what sounds. A choke's pitch is the struck one; the bend says how far it rises.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.etree import ElementTree as ET
from xml.etree.ElementTree import Element, SubElement

from chartc.chart.song import Measure, Section, Song
from chartc.export.harmony import kind
from chartc.export.played import meter_of
from chartc.export.rhythm import Value, values
from chartc.slots.part import FilledSlot, Note, Part
from chartc.theory import pitch
from chartc.theory.chord import Chord
from chartc.theory.key import Key
from chartc.theory.meter import DIVISION, Meter

DOCTYPE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)

FINGERS = {"i": "1", "m": "2", "r": "3", "p": "4", "t": "t"}
"""Fretting fingers as the standard counts them, the thumb by its letter."""

_SLURS = {"hammer-on": "H", "pull-off": "P"}
_PROGRAM = "106"


def musicxml(part: Part) -> bytes:
    """The part as a MusicXML document. The same part gives the same bytes."""
    song = part.song
    root = Element("score-partwise", version="4.0")
    SubElement(SubElement(root, "work"), "work-title").text = song.title
    identification = SubElement(root, "identification")
    if song.credit:
        SubElement(identification, "creator", type="credit").text = song.credit
    SubElement(SubElement(identification, "encoding"), "software").text = "chartc"
    _part_list(root, part)
    out = SubElement(root, "part", id="P1")
    writer = _Writer(part)
    number = 0
    for s, section in enumerate(song.sections):
        writer.last_on.clear()
        for m, measure in enumerate(section.measures):
            number += not measure.pickup
            # the number of a measure is its name in the standard, so that it must not come twice
            name = str(number) if not measure.pickup else f"X{s}" if s else "0"
            element = SubElement(out, "measure", number=name)
            if measure.ticks != meter_of(section, m).ticks:
                element.set("implicit", "yes")
            writer.measure(element, section, m, part.slots[s][m])
    ET.indent(root, " ")
    text: str = ET.tostring(root, encoding="unicode")
    return (DOCTYPE + text + "\n").encode("utf-8")


def _part_list(root: Element, part: Part) -> None:
    score = SubElement(SubElement(root, "part-list"), "score-part", id="P1")
    SubElement(score, "part-name").text = part.instrument.name
    instrument = SubElement(score, "score-instrument", id="P1-I1")
    SubElement(instrument, "instrument-name").text = part.instrument.name
    if part.instrument.drone is not None:
        SubElement(instrument, "instrument-sound").text = "pluck.banjo"
        midi = SubElement(score, "midi-instrument", id="P1-I1")
        SubElement(midi, "midi-program").text = _PROGRAM


def spelled(midi: int, chord: Chord | None, key: Key) -> int:
    """A sounding pitch as a tone on the line of fifths: as the chord spells it, else near the key."""
    near = [pitch.simple(t) for t in chord.tones] if chord is not None else []
    for tone in near:
        if pitch.pitch_class(tone) == midi % 12:
            return tone
    centre = pitch.simple(key.signature) + 2
    return min((t for t in range(-6, 11) if pitch.pitch_class(t) == midi % 12), key=lambda t: (abs(t - centre), t))


def _pitch(parent: Element, midi: int, tone: int, prefix: str = "") -> None:
    """Step, alteration and octave of a tone that sounds as a MIDI number."""
    signs, letter = divmod(tone + 1, 7)
    SubElement(parent, f"{prefix}step").text = "FCGDAEB"[letter]
    if signs:
        SubElement(parent, f"{prefix}alter").text = str(signs)
    SubElement(parent, f"{prefix}octave").text = str((midi - signs) // 12 - 1)


@dataclass
class _Written:
    """A note as written: where later notes hang what begins at it."""

    notations: Element
    technical: Element


@dataclass
class _Writer:
    """Writes measure after measure, and remembers what the next one needs."""

    part: Part
    meter: Meter | None = None
    started: bool = False
    last_on: dict[int, _Written] = field(default_factory=dict)

    def measure(self, out: Element, section: Section, index: int, slots: tuple[FilledSlot, ...]) -> None:
        """One printed measure."""
        measure = section.measures[index]
        meter = meter_of(section, index)
        self._left(out, section, index)
        self._attributes(out, meter)
        if index == 0:
            _directions(out, self.part.song, section, not self.started)
        self.started = True
        events = _events(measure, slots)
        beams = _beams([(at, pieces, group is not None) for at, pieces, group, _, _ in events], meter.beat)
        for n, (_, pieces, group, chord, opening) in enumerate(events):
            if opening:
                _harmony(out, chord)
            if group is None:
                for value in pieces:
                    _length(_rest(out, value), value, ())
            else:
                self._notes(out, group, pieces, beams[n], chord)
        self._right(out, section, index)

    def _attributes(self, out: Element, meter: Meter) -> None:
        if self.started and self.meter == meter:
            return
        key = self.part.song.key
        attributes = SubElement(out, "attributes")
        if not self.started:
            SubElement(attributes, "divisions").text = str(DIVISION)
            signature = SubElement(attributes, "key")
            SubElement(signature, "fifths").text = str(key.signature)
            SubElement(signature, "mode").text = key.mode
        time = SubElement(attributes, "time")
        SubElement(time, "beats").text = str(meter.count)
        SubElement(time, "beat-type").text = str(meter.unit)
        self.meter = meter
        if self.started:
            return
        clef = SubElement(attributes, "clef")
        SubElement(clef, "sign").text = "TAB"
        SubElement(clef, "line").text = str(len(self.part.instrument.strings))
        details = SubElement(attributes, "staff-details")
        SubElement(details, "staff-lines").text = str(len(self.part.instrument.strings))
        for line, (midi, tone) in enumerate(self._tuning(), 1):
            _pitch(SubElement(details, "staff-tuning", line=str(line)), midi, tone, "tuning-")

    def _tuning(self) -> list[tuple[int, int]]:
        """Open pitches from the lowest line up: the last string first."""
        instrument = self.part.instrument
        out = []
        for n in range(len(instrument.strings), 0, -1):
            midi = self.part.fifth.pitch if n == instrument.drone else instrument.strings[n - 1].open
            out.append((midi, spelled(midi, None, self.part.song.key)))
        return out

    def _left(self, out: Element, section: Section, index: int) -> None:
        starts = [e for r in section.repeats for e in r.endings if e.first == index]
        forward = any(r.first == index for r in section.repeats)
        if not starts and not forward:
            return
        bar = SubElement(out, "barline", location="left")
        if forward:
            SubElement(bar, "bar-style").text = "heavy-light"
        for ending in starts:
            SubElement(bar, "ending", number=",".join(map(str, ending.times)), type="start")
        if forward:
            SubElement(bar, "repeat", direction="forward")

    def _right(self, out: Element, section: Section, index: int) -> None:
        backward = 0
        ends: list[tuple[str, str]] = []
        for r in section.repeats:
            if not r.endings and r.last == index:
                backward = r.times
            for e in r.endings:
                if e.last == index:
                    again = max(e.times) < r.times
                    ends.append((",".join(map(str, e.times)), "stop" if again else "discontinue"))
                    # each ending is left as often as it is played
                    backward = len(e.times) + 1 if again else backward
        last = index == len(section.measures) - 1
        if not backward and not ends and not last:
            return
        bar = SubElement(out, "barline", location="right")
        final = last and section is self.part.song.sections[-1]
        SubElement(bar, "bar-style").text = "light-heavy" if backward or final else "light-light" if last else "regular"
        for number, how in ends:
            SubElement(bar, "ending", number=number, type=how)
        if backward:
            repeat = SubElement(bar, "repeat", direction="backward")
            if backward != 2:
                repeat.set("times", str(backward))

    def _notes(
        self,
        out: Element,
        group: tuple[Note, ...],
        pieces: tuple[Value, ...],
        beams: tuple[str, ...],
        chord: Chord | None,
    ) -> None:
        for n, value in enumerate(pieces):
            first, last = n == 0, n == len(pieces) - 1
            for k, note in enumerate(group):
                element = SubElement(out, "note")
                if k:
                    SubElement(element, "chord")
                _pitch(SubElement(element, "pitch"), note.pitch, spelled(note.pitch, chord, self.part.song.key))
                SubElement(element, "duration").text = str(value.ticks)
                if not first:
                    SubElement(element, "tie", type="stop")
                if not last:
                    SubElement(element, "tie", type="start")
                _length(element, value, beams if k == 0 and len(pieces) == 1 else (), note.how == "damped")
                notations = SubElement(element, "notations")
                if not first:
                    SubElement(notations, "tied", type="stop")
                if not last:
                    SubElement(notations, "tied", type="start")
                technical = SubElement(notations, "technical")
                self._technical(note, notations, technical, first)
                if last:
                    self.last_on[note.string] = _Written(notations, technical)

    def _technical(self, note: Note, notations: Element, technical: Element, first: bool) -> None:
        before = self.last_on.get(note.string)
        if first and note.how in _SLURS:
            if before is not None:
                SubElement(before.technical, note.how, type="start", number="1").text = _SLURS[note.how]
            SubElement(technical, note.how, type="stop", number="1").text = _SLURS[note.how]
        if first and note.how == "slide":
            if before is not None:
                SubElement(before.notations, "slide", {"type": "start", "number": "1", "line-type": "solid"})
            SubElement(notations, "slide", {"type": "stop", "number": "1", "line-type": "solid"})
        if first and note.how == "choke" and note.amount:
            SubElement(SubElement(technical, "bend"), "bend-alter").text = f"{note.amount:g}"
        if first and note.finger is not None:
            SubElement(technical, "fingering").text = FINGERS[note.finger]
        if first and note.pick is not None:
            SubElement(technical, "pluck").text = note.pick
        SubElement(technical, "string").text = str(note.string)
        SubElement(technical, "fret").text = str(note.fret)


_Event = tuple[int, tuple[Value, ...], tuple[Note, ...] | None, Chord | None, bool]
"""Onset, values, notes (None: a rest), the chord, and whether the chord begins here."""


def _events(measure: Measure, slots: tuple[FilledSlot, ...]) -> list[_Event]:
    """Everything that is written in a measure, in order of time."""
    out: list[_Event] = []
    for stretch in measure.stretches:
        inside = [s for s in slots if stretch.at <= s.at < stretch.at + stretch.ticks]
        opening = not measure.pickup
        if not inside:
            out.append((stretch.at, tuple(values(stretch.ticks)), None, stretch.chord, opening))
        for slot in inside:
            groups: dict[int, list[Note]] = {}
            for note in slot.notes:
                groups.setdefault(note.at, []).append(note)
            found: list[tuple[int, int, tuple[Note, ...] | None]] = [
                (at, g[0].ticks, tuple(g)) for at, g in groups.items()
            ]
            found += [(at, ticks, None) for at, ticks in slot.rests]
            for at, ticks, group in sorted(found, key=lambda e: e[0]):
                out.append((at, tuple(values(ticks)), group, stretch.chord, opening))
                opening = False
    return out


def _beams(events: list[tuple[int, tuple[Value, ...], bool]], beat: int) -> list[tuple[str, ...]]:
    """For each event the words of its beams, the first level first: notes of one beat hang together."""
    flags = [p[0].flags if sounding and len(p) == 1 else 0 for _, p, sounding in events]
    groups = [at // beat for at, _, _ in events]

    def joined(a: int, b: int, level: int) -> bool:
        return a >= 0 and b < len(events) and groups[a] == groups[b] and flags[a] >= level and flags[b] >= level

    out: list[tuple[str, ...]] = []
    for n, count in enumerate(flags):
        words = []
        for level in range(1, count + 1):
            before, after = joined(n - 1, n, level), joined(n, n + 1, level)
            if before or after:
                words.append("continue" if before and after else "end" if before else "begin")
            elif level > 1 and words:
                words.append("backward hook" if joined(n - 1, n, 1) else "forward hook")
        out.append(tuple(words))
    return out


def _rest(out: Element, value: Value) -> Element:
    element = SubElement(out, "note")
    SubElement(element, "rest")
    SubElement(element, "duration").text = str(value.ticks)
    return element


def _length(element: Element, value: Value, beams: tuple[str, ...], damped: bool = False) -> None:
    """Voice, value, head and beams, in the order of the standard."""
    SubElement(element, "voice").text = "1"
    SubElement(element, "type").text = value.name
    if value.dotted:
        SubElement(element, "dot")
    if value.triplet:
        time = SubElement(element, "time-modification")
        SubElement(time, "actual-notes").text = "3"
        SubElement(time, "normal-notes").text = "2"
    if damped:
        SubElement(element, "notehead").text = "x"
    for level, word in enumerate(beams, 1):
        SubElement(element, "beam", number=str(level)).text = word


def _directions(out: Element, song: Song, section: Section, first: bool) -> None:
    """The section's name; where the song begins also its tempo and its form."""
    mark = SubElement(out, "direction", placement="above")
    SubElement(SubElement(mark, "direction-type"), "rehearsal").text = section.label
    if not first:
        return
    tempo = SubElement(out, "direction", placement="above")
    metronome = SubElement(SubElement(tempo, "direction-type"), "metronome")
    unit = song.tempo.note.removeprefix("dotted ")
    SubElement(metronome, "beat-unit").text = {"sixteenth": "16th"}.get(unit, unit)
    if unit != song.tempo.note:
        SubElement(metronome, "beat-unit-dot")
    SubElement(metronome, "per-minute").text = str(song.tempo.count)
    SubElement(tempo, "sound", tempo=f"{song.tempo.quarters:g}")
    form = SubElement(out, "direction", placement="above")
    SubElement(SubElement(form, "direction-type"), "words").text = "Form: " + ", ".join(song.form)


def _harmony(out: Element, chord: Chord | None) -> None:
    harmony = SubElement(out, "harmony")
    if chord is None:
        SubElement(SubElement(harmony, "root"), "root-step", text="").text = "C"
        SubElement(harmony, "kind", text="N.C.").text = "none"
        return
    _tone(SubElement(harmony, "root"), chord.root, "root-")
    name, degrees = kind(chord.quality)
    SubElement(harmony, "kind", text=chord.quality.suffix).text = name
    if chord.bass is not None:
        _tone(SubElement(harmony, "bass"), chord.bass, "bass-")
    for number, semitones, how in degrees:
        degree = SubElement(harmony, "degree", {"print-object": "no"})
        SubElement(degree, "degree-value").text = str(number)
        SubElement(degree, "degree-alter").text = str(semitones)
        SubElement(degree, "degree-type").text = how


def _tone(parent: Element, tone: int, prefix: str) -> None:
    signs, letter = divmod(pitch.simple(tone) + 1, 7)
    SubElement(parent, f"{prefix}step").text = "FCGDAEB"[letter]
    if signs:
        SubElement(parent, f"{prefix}alter").text = str(signs)
