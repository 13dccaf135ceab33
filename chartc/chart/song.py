"""The song as meant: beats counted, repeats and form resolved, chords understood. Times are ticks (480 to a quarter note)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from chartc.text.source import Span
from chartc.theory import pitch
from chartc.theory.chord import Chord
from chartc.theory.key import Key
from chartc.theory.meter import Meter, Tempo

VoiceState = Literal["sung", "held", "silent"]
VOICE_STATES: tuple[VoiceState, ...] = ("sung", "held", "silent")

Place = Literal["low", "middle", "high"]
PLACES: tuple[Place, ...] = ("low", "middle", "high")

SECTION_KINDS = (
    "kickoff",
    "verse",
    "chorus",
    "bridge",
    "break",
    "turnaround",
    "interlude",
    "tag",
    "ending",
    "intro",
)
"""The first of these words in a section's name, or of `CALLED`, says its kind; any other name makes a section of the kind `verse`."""

CALLED = {"solo": "break", "instrumental": "break", "refrain": "chorus", "outro": "ending"}
"""Other words for some of them."""

UNSUNG = {"break": "another", "interlude": "another", "kickoff": "banjo", "turnaround": "banjo", "intro": "banjo"}
"""Kinds in which nobody sings, unless the chart says so, and who leads there: the banjo, or another instrument."""


def own_words(label: str) -> list[str]:
    """The words of a section's name, but for what it borrows (`fiddle break as verse`)."""
    words = label.casefold().split()
    return words[: words.index("as", 1)] if "as" in words[1:] else words


@dataclass(frozen=True, slots=True)
class Stretch:
    """One chord's stay in a measure, from `at` for `ticks`; `chord` None where the chart says that there is none."""

    at: int
    ticks: int
    chord: Chord | None
    span: Span


@dataclass(frozen=True, slots=True)
class VoiceStretch:
    """What the voice does from `at` for `ticks`."""

    at: int
    ticks: int
    state: VoiceState


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked of the banjo over one stretch: a role, a place on the neck (in words, or the index finger's fret), or one
    lick by name. Several may be given together."""

    span: Span
    role: str | None = None
    place: Place | None = None
    fret: int | None = None
    lick: str | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure as printed.

    `stretches` tile the measure (neighbours of the same chord are one stretch); `requests` has one entry for each stretch;
    `voice` tiles the measure or is empty where the chart does not say; `number` counts the section's printed measures from 1, pickups are 0;
    `again` tells that the chart wrote the measure-once-more sign; `crooked` that its meter differs from the song's.
    """

    meter: Meter
    ticks: int
    number: int
    stretches: tuple[Stretch, ...]
    requests: tuple[Request | None, ...]
    span: Span
    pickup: bool = False
    again: bool = False
    crooked: bool = False
    voice: tuple[VoiceStretch, ...] = ()
    words: str = ""
    line: int = 0
    """The chart's row that the measure stands in, counted from 0 within the section: rows are the player's phrases."""


@dataclass(frozen=True, slots=True)
class Ending:
    """A numbered ending: measures `first` to `last` (indexes, both included), played the `times` given (from 1)."""

    times: tuple[int, ...]
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Repeat:
    """Measures `first` to `last` (indexes, endings included), played `times` times."""

    first: int
    last: int
    times: int
    endings: tuple[Ending, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A section as printed once.

    `id` is unique in the song (`verse`, `break-as-verse`); `label` is the name as written; `played` are the indexes of
    `measures` in the order in which they are played once through, without the pickup. `lead`, `fills` and `chop` name who
    leads, who answers in the gaps and who chops: `voice`, `banjo` or another instrument; empty where the chart does not say. `borrowed`
    tells that the measures were written for another section.
    """

    id: str
    label: str
    kind: str
    measures: tuple[Measure, ...]
    played: tuple[int, ...]
    repeats: tuple[Repeat, ...]
    span: Span
    lead: str = ""
    fills: str = ""
    chop: str = ""
    borrowed: bool = False

    @property
    def pickup(self) -> bool:
        """Whether the section begins with a pickup."""
        return bool(self.measures) and self.measures[0].pickup


@dataclass(frozen=True, slots=True)
class Passage:
    """One entry of the form: the index of its section, and the indexes of the measures as played."""

    section: int
    measures: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Melody:
    """The lowest and the highest sung note, as MIDI numbers."""

    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Song:
    """The whole song.

    `sections` are those that are played, in the order in which they are first met. `order` is the form as played; a pickup
    is played only where its section opens the song (anywhere else it lies in the last measure of what went before). `remarks` are lines
    that a filled sheet says of what the chart asks for and its player has not. `language` is the tag of the language of title, credit
    and words; empty where the chart does not say.
    """

    title: str
    credit: str
    written_key: Key
    key: Key
    meter: Meter
    tempo: Tempo
    melody: Melody | None
    sections: tuple[Section, ...]
    order: tuple[Passage, ...]
    remarks: tuple[str, ...] = ()
    language: str = ""

    @property
    def form(self) -> tuple[str, ...]:
        """The labels of the sections as played."""
        return tuple(self.sections[p.section].label for p in self.order)

    @property
    def closing(self) -> int:
        """The index of the section with which the song ends."""
        if self.order:
            return self.order[-1].section
        return max((n for n, section in enumerate(self.sections) if section.measures), default=0)


def with_requests(song: Song, each: Callable[[Section, Measure, Request], Request | None]) -> Song:
    """The song with every request as `each` would have it; one that asks for nothing any more is none."""

    def measure(s: Section, m: Measure) -> Measure:
        asked = (None if r is None else each(s, m, r) for r in m.requests)
        return replace(m, requests=tuple(r if r and (r.role or r.place or r.fret or r.lick) else None for r in asked))

    return replace(
        song, sections=tuple(replace(s, measures=tuple(measure(s, m) for m in s.measures)) for s in song.sections)
    )


def in_key(song: Song, key: Key) -> Song:
    """The same song spelled in another key of the same mode; the melody moves to the nearer octave.

    Every tone moves by the same interval on the line of fifths, so that there and back is the identity.
    """
    if key.mode != song.key.mode:
        raise ValueError(f"{key.label} has another mode than {song.key.label}")
    fifths = key.tonic - song.key.tonic
    if not fifths:
        return song

    def measure(m: Measure) -> Measure:
        return replace(m, stretches=tuple(replace(s, chord=s.chord and s.chord.moved(fifths)) for s in m.stretches))

    sections = tuple(replace(s, measures=tuple(measure(m) for m in s.measures)) for s in song.sections)
    return replace(song, key=key, sections=sections, melody=_moved(song, key))


def _moved(song: Song, key: Key) -> Melody | None:
    if song.melody is None or song.key.tonic == key.tonic:
        return song.melody
    # from the written key, so that the way back finds the octave it came from
    home = pitch.pitch_class(song.written_key.tonic)

    def shift(k: Key) -> int:
        # half an octave is up from the lower letter and down from the other, so that the way back is the same
        up = pitch.pitch_class(k.tonic) - home
        return up - 12 if up > 6 else up + 12 if up < -6 else up

    step = shift(key) - shift(song.key)
    return Melody(song.melody.low + step, song.melody.high + step)


SINGING = frozenset({"voice", "voices", "vocal", "vocals", "singer", "singers", "harmony", "harmonies"})
"""Words for who sings."""
TOGETHER = frozenset({"duet", "trio", "quartet", "all", "everybody", "everyone"})
"""The same, where nothing else is said: a fiddle duet does not sing."""


INSTRUMENTS = frozenset(
    [
        "accordion", "autoharp", "band", "banjo", "bass", "bouzouki", "cello", "clarinet", "concertina", "dobro", "drums", "dulcimer",
        "fiddle", "fiddles", "flute", "guitar", "guitars", "harmonica", "harp", "instrument", "instruments", "jug", "mandola",
        "mandolin", "mandolins", "melodeon", "nobody", "piano", "pipes", "resonator", "saw", "saxophone", "spoons", "steel", "trumpet",
        "ukulele", "viola", "violin", "violins", "washboard", "whistle",
    ]
)  # fmt: skip
"""Words for who plays: another name is a person's."""
NO_ONE = frozenset({"band", "instrument", "instruments", "nobody"})
"""Those of them that mean no single instrument."""


def named_leader(label: str, kind: str, others: Sequence[str]) -> str:
    """The instrument in the name of a break, a kickoff or the like, as in `fiddle break`: it leads there, unless it is one of the `others`
    that have another job. The banjo comes first; empty where there is none."""
    if kind not in UNSUNG:
        return ""
    words = [w for w in own_words(label) if w in INSTRUMENTS - NO_ONE and w not in others]
    return "banjo" if "banjo" in words else words[0] if words else ""


def sung(section: Section) -> bool:
    """Whether the leader that a section names is a voice, or several, or a person who leads what is called a verse, a chorus or a bridge."""
    who = section.lead.casefold().split()
    if section.lead in TOGETHER or not SINGING.isdisjoint(who):
        return True
    if not who or not INSTRUMENTS.isdisjoint(who):
        return False
    return section.kind in ("chorus", "bridge") or (section.kind == "verse" and "verse" in own_words(section.label))


def sung_only(song: Song) -> Song:
    """The song without cue words and voice where nobody sings the measures of another section, whatever the voice does where they were
    written: an instrument leads there, or the section is of a kind that nobody sings."""
    sections: list[Section] = []
    for s in song.sections:
        if s.borrowed and not sung(s) and (s.lead or s.kind in UNSUNG):
            silent = [replace(m, words="", voice=()) if m.words or m.voice else m for m in s.measures]
            s = replace(s, measures=tuple(silent))
        sections.append(s)
    return replace(song, sections=tuple(sections))
