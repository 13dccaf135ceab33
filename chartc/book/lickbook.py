"""Licks written out: each over a chord where it belongs in a key, as a section of its own, ready to be laid out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from chartc.book.licklist import HOME, degree_name, kind_of, meter_of, ticks_of
from chartc.chart.song import Measure, Passage, Section, Song, Stretch
from chartc.licks.lick import FAMILIES, ROLES, Lick
from chartc.neck.instrument import Instrument
from chartc.slots.candidate import Bench, Candidate, Maker, Need
from chartc.slots.fifth import fifth_string
from chartc.slots.part import FilledSlot, Note, Part
from chartc.slots.problem import Means
from chartc.slots.slot import step_of
from chartc.text.source import Source, Span
from chartc.theory import pitch
from chartc.theory.chord import Chord, pretty, read_chord
from chartc.theory.key import Key, Mode
from chartc.theory.meter import Meter, Tempo

_SPAN = Span(Source("", ""), 1, 1, 1)
_TEMPO = Tempo("quarter", 100)

# the chords of a plain song of each mode: they settle how the short string stands
_PLAIN: dict[Mode, tuple[str, ...]] = {
    "major": ("1", "4", "1", "57"),
    "mixolydian": ("1", "b7", "4", "1"),
    "dorian": ("1m", "b7", "4", "1m"),
    "minor": ("1m", "4m", "1m", "57"),
}

# over which chord of a key a movable lick or a roll is shown
_SHOWN_OVER: dict[bool, dict[str, str]] = {
    False: {
        "major": "1", "seventh": "17", "minor": "6m", "diminished": "#4dim", "half-diminished": "#4m7b5",
        "augmented": "5aug", "suspended": "5sus4", "power": "15",
    },
    True: {
        "minor": "1m", "seventh": "57", "major": "b3", "diminished": "#4dim", "half-diminished": "2m7b5",
        "augmented": "5aug", "suspended": "5sus4", "power": "15",
    },
}  # fmt: skip

# which chords make sense in a key, by semitones above its 1: a chord of the key, or one that players lead through
_SENSE: dict[Mode, dict[int, tuple[str, ...]]] = {
    "major": {
        0: ("major", "seventh"), 2: ("major", "seventh", "minor"), 4: ("minor", "seventh"), 5: ("major", "seventh", "minor"),
        7: ("major", "seventh"), 9: ("minor", "major", "seventh"), 10: ("major", "seventh"),
    },
    "mixolydian": {
        0: ("major", "seventh"), 2: ("minor",), 5: ("major", "seventh"), 7: ("minor", "major"), 9: ("minor",),
        10: ("major", "seventh"),
    },
    "dorian": {0: ("minor",), 2: ("minor",), 3: ("major",), 5: ("major", "seventh"), 7: ("minor",), 10: ("major", "seventh")},
    "minor": {
        0: ("minor",), 3: ("major",), 5: ("minor", "major", "seventh"), 7: ("major", "seventh", "minor"), 8: ("major",),
        10: ("major", "seventh"),
    },
}  # fmt: skip

_SOLID = ("major", "seventh", "minor")
"""Families by which a chord is looked for first; any other makes sense wherever its root does."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One lick written out: over `chords` (two for a lead-in), in a meter; `position` is its index finger's fret, None where
    all is open."""

    lick: Lick
    chords: tuple[Chord, ...]
    meter: Meter
    position: int | None

    @property
    def over(self) -> str:
        """Its chords in words."""
        return " to ".join(c.label for c in self.chords)

    @property
    def group(self) -> str:
        """The heading under which it stands: the meters in which it is at home."""
        return "In " + ", ".join(self.lick.meters)

    @property
    def serves(self) -> str:
        """What it may be played over, in words."""
        families = ", ".join(f for f in FAMILIES if f in self.lick.serves)
        every = len(self.lick.serves) == len(FAMILIES)
        if self.lick.target is not None:
            if self.lick.root >= 0:
                return (
                    "from " + " to ".join(c.label for c in self.chords) + (", in any key" if self.lick.movable else "")
                )
            return "from any chord to any" if self.lick.movable else f"from any chord to {self.chords[1].label}"
        if kind_of(self.lick) == "open":
            root = pitch.name(pitch.simple(self.chords[0].root))
            return "over " + ", ".join(root + pretty(FAMILIES[f]) for f in FAMILIES if f in self.lick.serves)
        return "any chord" if every else "any " + families.replace(", ", " or ") + " chord"


@dataclass(frozen=True)
class LickBook:
    """The licks of one key. `part` has a section for each of `shown`, in the same order; `part.fifth` is how the short string stands
    for a plain song in the key."""

    part: Part
    shown: tuple[Shown, ...]

    @property
    def key(self) -> Key:
        """The key."""
        return self.part.song.key


def write_out(means: Means, key: Key, roles: Sequence[str] = ()) -> LickBook:
    """Every lick that makes sense in a key and can be played on the instrument, by role (all roles where none is given), in each role
    by chord and meter. Movable licks and rolls stand over the key's own chords, open ones where they are written."""
    plain = _song(
        key, [_section("plain", Meter(4, 4), [(_chord(w, key), Meter(4, 4).ticks) for w in _PLAIN[key.mode]])]
    )
    fifth = fifth_string(plain, means.instrument, means.spikes)
    bench = Bench(means.instrument, fifth, means.limits, means.library)
    maker = Maker(bench)
    found: list[tuple[Shown, Section, tuple[tuple[FilledSlot, ...], ...]]] = []
    for role in ROLES:
        if roles and role not in roles:
            continue
        here = []
        for lick in means.library.licks:
            if lick.role == role and bench.usable(lick):
                one = _written(lick, key, maker, means.instrument)
                if one is not None:
                    here.append(one)
        here.sort(key=lambda w: _place(w[0], key))
        found += here
    song = _song(key, [section for _, section, _ in found])
    part = Part(song, means.instrument, fifth, tuple(slots for _, _, slots in found))
    return LickBook(part, tuple(shown for shown, _, _ in found))


def _place(shown: Shown, key: Key) -> tuple[object, ...]:
    """Where a lick stands in its role: simple meters first, the key's own chord first, short before long."""
    tonic = pitch.pitch_class(key.tonic)
    order = (0, 5, 7)
    chords = []
    for c in shown.chords:
        up = (c.root_class - tonic) % 12
        chords.append((order.index(up) if up in order else 3 + up, c.label))
    meter = (shown.meter.compound, shown.meter.count == 3, -shown.meter.ticks, shown.lick.meters)
    return (meter, chords, shown.lick.ticks, shown.lick.difficulty, shown.lick.order)


# --- chords ----------------------------------------------------------------------------------------------------------------


def _chord(word: str, key: Key) -> Chord:
    found = read_chord(word, key)
    assert found is not None, word
    return found


def _on(semitones: int, families: frozenset[str], key: Key) -> Chord | None:
    """The chord so many semitones above the 1 that makes sense in the key and is one of the families; None where there is none."""
    sense = _SENSE[key.mode].get(semitones % 12)
    if sense is None:
        return None
    choice = [f for f in sense if f in families] or [f for f in FAMILIES if f in families and f not in _SOLID]
    return _chord(degree_name(semitones) + FAMILIES[choice[0]], key) if choice else None


def _over(lick: Lick, key: Key) -> Chord | None:
    """The chord over which a lick is written out, None where it makes no sense in the key."""
    if kind_of(lick) == "open":
        return _on(lick.root - pitch.pitch_class(key.tonic), lick.serves, key)
    words = dict(_SHOWN_OVER[key.minor_third])
    if key.minor_third and lick.role in ("kickoff", "ending", "turnaround") and lick.serves & {"minor", "major"}:
        # nothing begins or comes to rest on the 5
        words.pop("seventh")
    return _chord(next(word for family, word in words.items() if family in lick.serves), key)


def _changes(lick: Lick, key: Key) -> tuple[tuple[Chord, Chord], ...]:
    """The pairs of chords over which a lead-in may be shown: where it is played, and where it leads."""
    tonic = pitch.pitch_class(key.tonic)
    assert lick.target is not None
    if lick.root >= 0:
        home = HOME if lick.movable else tonic
        pairs = [(lick.root - home, lick.target - home)]
    elif lick.movable:
        # from any chord to any: the commonest changes
        pairs = [(0, 5), (7, 0), (0, 7)]
    else:
        there = (lick.target - tonic) % 12
        pairs = [(0 if there else 7, there)]
    found = [(_on(a, lick.serves, key), _on(b, frozenset(FAMILIES), key)) for a, b in pairs]
    return tuple((a, b) for a, b in found if a is not None and b is not None and a != b)


# --- notes -----------------------------------------------------------------------------------------------------------------

_Written = tuple[Shown, Section, tuple[tuple[FilledSlot, ...], ...]]


def _written(lick: Lick, key: Key, maker: Maker, instrument: Instrument) -> _Written | None:
    meter = meter_of(lick)
    step = step_of(meter, meter.ticks)
    if lick.target is not None:
        found = [_lead_in(lick, c, meter, step, maker, instrument) for c in _changes(lick, key)]
        home = min((n.fret for n in lick.notes if n.fret), default=0)
        ready = [w for w in found if w is not None]
        return min(ready, key=lambda w: abs((w[0].position or 0) - home), default=None)
    chord = _over(lick, key)
    if chord is None:
        return None
    ticks = meter.ticks if lick.pattern else ticks_of(lick)
    if ticks == 2 * meter.ticks and not lick.pattern:
        need = Need(chord, meter.ticks, step, meter.compound)
        both = [c for c in maker.candidates(need, (), frozenset({1, 2})) if c.lick == lick.name and c.part[1] == 2]
        firsts = [c for c in both if c.part == (1, 2) and any(d.key == c.key and d.part == (2, 2) for d in both)]
        first = _nearest(firsts, lick)
        chosen = [] if first is None else [first, next(d for d in both if d.key == first.key and d.part == (2, 2))]
    else:
        need = Need(chord, ticks, step, meter.compound)
        fit = [c for c in maker.candidates(need) if c.lick == lick.name and c.part == (1, 1)]
        one = (fit[0] if fit else None) if lick.pattern else _nearest(fit, lick)
        chosen = [] if one is None else [one]
    if not chosen:
        return None
    shown = Shown(lick, (chord,), meter, chosen[0].position)
    slots = tuple((_filled(c, chord, need.ticks),) for c in chosen)
    return shown, _section(lick.name, meter, [(chord, need.ticks)] * len(chosen)), slots


def _nearest(fit: Sequence[Candidate], lick: Lick, tail: int = 0) -> Candidate | None:
    """The one that stands nearest to where the lick is written; of a lead-in the tail of so many ticks counts."""
    home = min((n.fret for n in lick.notes if n.fret), default=0)

    def away(c: Candidate) -> tuple[int, int]:
        end = max((n.at + n.ticks for n in c.notes), default=0)
        frets = [n.fret for n in c.notes if n.fret and n.at >= (end - tail if tail else 0)]
        place = min(frets, default=0)
        return (abs(place - home), place)

    return min(fit, key=away, default=None)


def _filled(c: Candidate, chord: Chord, ticks: int) -> FilledSlot:
    return FilledSlot(0, ticks, chord, c.lick, c.role, c.part, c.position, c.notes, c.rests)


def _lead_in(
    lick: Lick, change: tuple[Chord, Chord], meter: Meter, step: int, maker: Maker, instrument: Instrument
) -> _Written | None:
    """A roll, the tail, and the first note of the chord that it leads to."""
    here, there = change
    need = Need(here, meter.ticks, step, meter.compound)
    fit = [c for c in maker.candidates(need, (there.root_class,)) if c.lick == lick.name]
    chosen = _nearest(fit, lick, ticks_of(lick))
    if chosen is None:
        return None
    landing = next(_landings(chosen.notes, there, meter.ticks, instrument, lick.movable), None)
    if landing is None:
        return None
    place = landing.fret if landing.finger else None
    second = FilledSlot(0, meter.ticks, there, lick.name, lick.role, (1, 1), place, (landing,), ())
    shown = Shown(lick, change, meter, _tail_place(chosen, ticks_of(lick)))
    section = _section(lick.name, meter, [(here, meter.ticks), (there, meter.ticks)])
    return shown, section, ((_filled(chosen, here, meter.ticks),), (replace(second, position=shown.position),))


def _tail_place(c: Candidate, tail: int) -> int | None:
    """The lowest fret of a lead-in's tail."""
    end = max(n.at + n.ticks for n in c.notes)
    return min((n.fret for n in c.notes if n.fret and n.at >= end - tail), default=None)


def _landings(notes: Sequence[Note], chord: Chord, ticks: int, instrument: Instrument, closed: bool) -> Iterator[Note]:
    """First notes of a chord after a tail, the best first: root, third or fifth a step from the last note, where the hand is."""
    last = max(notes, key=lambda n: (n.at, -n.string))
    tones = list(chord.quality.classes[:3])
    options = []
    for up in (1, -1, 2, -2):
        midi = last.pitch + up
        tone = (midi - chord.root_class) % 12
        if tone not in tones:
            continue
        for string in instrument.long_strings:
            fret = midi - instrument.strings[string - 1].open
            if not 0 <= fret <= instrument.frets:
                continue
            far = abs(fret - last.fret) if fret else (9 if closed else 1)
            options.append((far > 4, tones.index(tone), far, string, fret, midi))
    for _, _, _, string, fret, midi in sorted(options):
        pick = next(p for p in {1: "MI", 2: "IM", 3: "TI"}.get(string, "TI") if p != last.pick)
        yield Note(0, ticks, string, fret, midi, pick, _finger(notes, last, fret))


def _finger(notes: Sequence[Note], last: Note, fret: int) -> str | None:
    """The finger that stands on a fret where the hand is after its last fretted note; None for an open string."""
    if not fret:
        return None
    held = next((n for n in sorted(notes, key=lambda n: -n.at) if n.finger in ("i", "m", "r", "p")), None)
    if held is None or held.finger is None:
        return "imrp"[min(3, fret - 1)]
    return "imrp"[min(3, max(0, "imrp".index(held.finger) + fret - held.fret))]


# --- measures ----------------------------------------------------------------------------------------------------------------


def _section(name: str, meter: Meter, measures: Sequence[tuple[Chord, int]]) -> Section:
    """A section of one chord a measure; the measures have no numbers, and may be shorter than the meter's."""
    made = tuple(
        Measure(meter, ticks, 0, (Stretch(0, ticks, chord, _SPAN),), (None,), _SPAN, crooked=ticks != meter.ticks)
        for chord, ticks in measures
    )
    return Section(name, name, "verse", made, tuple(range(len(made))), (), _SPAN)


def _song(key: Key, sections: Sequence[Section]) -> Song:
    order = tuple(Passage(n, s.played) for n, s in enumerate(sections))
    return Song("Licks", "", key, key, Meter(4, 4), _TEMPO, None, tuple(sections), order)
