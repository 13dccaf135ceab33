"""Slots: every stretch of one chord in a measure, with all that a rule may ask about it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from chartc.chart.song import UNSUNG, Measure, Request, Section, Song, VoiceStretch, sung, sung_only
from chartc.theory import pitch
from chartc.theory.chord import Chord, degree_label
from chartc.theory.key import Key
from chartc.theory.meter import Meter

Job = Literal["break", "answer", "behind", "chop", "support"]
JOBS: tuple[Job, ...] = ("break", "answer", "behind", "chop", "support")
"""The banjo's job in a section: its own break; behind the voice and answering it; behind the voice while another answers;
chopping behind another's break, or wherever the chart says so; rolling softly there because another chops already."""

Voice = Literal["sung", "held", "silent", "none"]
VOICES: tuple[Voice, ...] = ("sung", "held", "silent", "none")

TEMPOS = ("slow", "middle", "fast")


@dataclass(frozen=True, slots=True)
class Context:
    """What rules and costs may know of a slot. Equal contexts get equal costs."""

    chord: Chord
    degree: str
    ticks: int
    step: int
    compound: bool
    whole: bool
    meter: str
    voice: Voice
    gap: tuple[tuple[int, int], ...]
    """Stretches of the slot in which nobody sings: from, to, in ticks from the slot's start."""
    job: Job
    kind: str
    place: int
    """Measure of the phrase, from 1."""
    phrase_end: bool
    full: bool
    """Whether the phrase end is one of the greater ones: every second phrase, and the section's last."""
    two_lines_end: bool
    """Whether the second phrase of a pair ends here."""
    section_start: bool
    section_end: bool
    change: bool
    """Whether a slot that may come before has another chord."""
    next_degrees: tuple[str, ...]
    next_roots: tuple[int, ...]
    next_change: bool
    meets: bool
    """Whether another section, or the same one again, may follow directly."""
    last: bool
    """Whether the song ends here."""
    tempo: str
    motif: int
    """Equal for slots at the same place of phrases that return; prefers the same lick there and another one elsewhere."""
    letter: int
    """Equal for phrases that return: a roll belongs to its phrase."""
    against: int
    """The pitch class of the major third of a minor key, where it is no tone of the chord; else -1."""


@dataclass(frozen=True, slots=True)
class Slot:
    """One stretch of one chord: where it is, what is asked, and its context."""

    section: int
    measure: int
    at: int
    ticks: int
    chord: Chord
    request: Request | None
    context: Context
    line: int = 0
    """The number of the phrase in its section."""


@dataclass(frozen=True, slots=True)
class Follow:
    """Slot `after` is played directly after slot `before`, `times` times in the form; `gap` ticks without a chord lie between."""

    before: int
    after: int
    times: int
    gap: int


@dataclass(frozen=True, slots=True)
class Cut:
    """All slots of a song in printed order, and which follows which as played."""

    slots: tuple[Slot, ...]
    follows: tuple[Follow, ...]
    played: tuple[int, ...]
    """The slots in the order in which they are played."""


def step_of(song_meter: Meter, ticks: int) -> int:
    """Ticks of one step: an eighth note, or a sixteenth in 2/4 and in meters counted in eighths or smaller that are not compound."""
    small = (song_meter.unit == 4 and song_meter.count == 2) or (song_meter.unit >= 8 and not song_meter.compound)
    return 120 if small or ticks % 240 else 240


def leader(section: Section) -> str:
    """Who leads a section: `voice`, `banjo`, or another. Where the chart does not say, sung sections have the voice, and the band's own
    calls belong to the banjo, unless it is to chop there. Two voices, a person by name who leads a verse, and whoever leads measures with a
    row for the voice, are the voice too."""
    if section.lead:
        rows = any(v.state != "silent" for m in section.measures for v in m.voice)
        return "voice" if sung(section) or (rows and section.lead != "banjo") else section.lead
    lead = UNSUNG.get(section.kind, "voice")
    return "another" if lead == "banjo" and section.chop == "banjo" else lead


def job(section: Section, voice: Voice) -> Job:
    """What the banjo does in a section where the voice does this, from who leads, answers and chops. Who both chops and answers chops
    while somebody sings; behind an instrument the banjo answers at the ends of lines alone, if it is to."""
    lead = leader(section)
    if lead == "banjo":
        return "break"
    if lead != "voice":
        if section.fills == "banjo" and voice in ("held", "silent"):
            return "answer"
        return "support" if section.chop not in ("", "banjo", "nobody") else "chop"
    if section.chop == "banjo" and (section.fills != "banjo" or voice == "sung"):
        return "chop"
    return "answer" if section.fills in ("", "banjo") else "behind"


def tempo_band(song: Song) -> str:
    """slow, middle or fast, by the length of a roll's step: over 240 ms, over 150 ms, or less."""
    ms = song.tempo.milliseconds(step_of(song.meter, song.meter.ticks))
    return "slow" if ms > 240 else "middle" if ms > 150 else "fast"


def cut(song: Song, phrase_length: int = 4) -> Cut:
    """Every stretch of one chord, in printed order; `phrase_length` in measures, where the chart's rows do not say otherwise."""
    raw: list[tuple[int, int, int]] = []  # section, measure, stretch
    first_of: dict[tuple[int, int], list[int]] = {}
    for s, section in enumerate(song.sections):
        for m, measure in enumerate(section.measures):
            listed = first_of.setdefault((s, m), [])
            if measure.pickup:
                continue
            for k, stretch in enumerate(measure.stretches):
                if stretch.chord is not None:
                    listed.append(len(raw))
                    raw.append((s, m, k))
    played, follows, crossings, last = _follow(song, first_of)

    def chord(n: int) -> Chord:
        s, m, k = raw[n]
        found = song.sections[s].measures[m].stretches[k].chord
        assert found is not None
        return found

    befores: dict[int, list[int]] = {}
    afters: dict[int, list[int]] = {}
    for f in follows:
        befores.setdefault(f.after, []).append(f.before)
        if not f.gap:  # nothing leads into a stop
            afters.setdefault(f.before, []).append(f.after)
    band = tempo_band(song)
    slots: list[Slot] = []
    for s, section in enumerate(sung_only(song).sections):
        phrases = _phrases(section, phrase_length)
        lead = leader(section)
        # an instrument's lines end as the voice's do, for a banjo that is to answer
        answers = lead not in ("voice", "banjo") and section.fills == "banjo"
        numbers = [n for n, entry in enumerate(raw) if entry[0] == s]
        for n in numbers:
            _, m, k = raw[n]
            measure = section.measures[m]
            stretch = measure.stretches[k]
            here = chord(n)
            place, length, phrase, letter, final = phrases[m]
            ends = place == length or n == last
            heard = lead == "voice" or (answers and ends)
            voice, gap = _voice(measure, stretch.at, stretch.ticks, heard, ends)
            nexts = [chord(x) for x in afters.get(n, [])]
            context = Context(
                chord=here,
                degree=degree_label(here.root, song.key),
                ticks=stretch.ticks,
                step=step_of(song.meter, stretch.ticks),
                compound=song.meter.compound,
                whole=stretch.ticks == measure.ticks,
                meter=measure.meter.label,
                voice=voice,
                gap=gap,
                job=job(section, voice),
                kind=section.kind,
                place=place,
                phrase_end=place == length,
                full=final or phrase % 2 == 1,
                two_lines_end=place == length and phrase % 2 == 1,
                section_start=n == numbers[0],
                section_end=n == numbers[-1],
                change=not befores.get(n) or any(chord(x) != here for x in befores[n]),
                next_degrees=tuple(sorted({degree_label(c.root, song.key) for c in nexts})),
                next_roots=tuple(sorted({c.root_class for c in nexts})),
                next_change=any(c != here for c in nexts),
                meets=n in crossings,
                last=n == last,
                tempo=band,
                # measure of phrase, and half of the measure: a letter's phrases look alike
                motif=(letter * 31 + place * 7 + (3 if stretch.at else 0)) % 997,
                letter=letter,
                against=_against(song.key, here),
            )
            slots.append(Slot(s, m, stretch.at, stretch.ticks, here, measure.requests[k], context, phrase))
    return Cut(tuple(slots), follows, played)


def _against(key: Key, chord: Chord) -> int:
    """The tone that turns a minor key to major: its third, which licks over the 5 chord have as their sixth."""
    third = (pitch.pitch_class(key.tonic) + 4) % 12
    return third if key.mode in ("minor", "dorian") and third not in chord.classes else -1


def _follow(
    song: Song, slots_of: dict[tuple[int, int], list[int]]
) -> tuple[tuple[int, ...], tuple[Follow, ...], set[int], int]:
    """Which slot follows which as played, which ones lie directly before the start of a section, and the last one."""
    count: Counter[tuple[int, int, int]] = Counter()
    crossings: set[int] = set()
    played: list[int] = []
    before: int | None = None
    gap = 0
    for passage in song.order:
        start = True
        for m in passage.measures:
            measure = song.sections[passage.section].measures[m]
            numbers = slots_of[(passage.section, m)]
            if not numbers:
                gap += measure.ticks
                continue
            where = [st for st in measure.stretches if st.chord is not None]
            passed = 0
            for n, stretch in zip(numbers, where, strict=True):
                gap += stretch.at - passed
                if before is not None:
                    count[(before, n, gap)] += 1
                    if start and not gap:
                        crossings.add(before)
                start = False
                played.append(n)
                before, gap, passed = n, 0, stretch.at + stretch.ticks
            gap += measure.ticks - passed
    follows = tuple(Follow(a, b, times, g) for (a, b, g), times in sorted(count.items()))
    return tuple(played), follows, crossings, -1 if before is None else before


def _phrases(section: Section, usual: int) -> list[tuple[int, int, int, int, bool]]:
    """For each measure: its place in the phrase (from 1), the phrase's length, the phrase's number, its letter, and whether
    it is the section's last. The chart's rows are phrases where they have three to six measures, else the usual number of measures is one."""
    groups: list[list[int]] = []
    rows: dict[int, list[int]] = {}
    for m, measure in enumerate(section.measures):
        rows.setdefault(measure.line, []).append(m)
    for row in rows.values():
        counted = [m for m in row if not section.measures[m].pickup]
        if groups and len(counted) < 3 and len(groups[-1]) < usual:
            groups[-1].extend(row)
        elif len(counted) <= 6:
            groups.append(list(row))
        else:
            groups.extend(row[i : i + usual] for i in range(0, len(row), usual))
    out: list[tuple[int, int, int, int, bool]] = [(1, 1, 0, 0, False)] * len(section.measures)
    letters: dict[object, int] = {}
    for number, group in enumerate(groups):
        what: object = tuple(
            tuple(
                (st.at, st.ticks, st.chord and (st.chord.quality.suffix, st.chord.root))
                for st in section.measures[m].stretches
            )
            for m in group
        )
        final = number == len(groups) - 1
        # the same chords return with the same licks, but the last line varies
        letter = letters.setdefault((what, True) if final and number else what, len(letters))
        counted = [m for m in group if not section.measures[m].pickup]
        for place, m in enumerate(counted, 1):
            out[m] = (place, len(counted), number, letter, final)
    return out


def _voice(
    measure: Measure, at: int, ticks: int, sung: bool, phrase_end: bool
) -> tuple[Voice, tuple[tuple[int, int], ...]]:
    """What the voice mostly does over a stretch, and the gaps in it. Where the chart does not say, phrases of sung sections end with a held
    note."""
    if not sung and not measure.voice:
        return "none", ((0, ticks),)
    voice = measure.voice
    if not voice:
        if not phrase_end:
            return "sung", ()
        half = measure.ticks // 2
        voice = (VoiceStretch(0, half, "held"), VoiceStretch(half, measure.ticks - half, "silent"))
    time: Counter[str] = Counter()
    gaps: list[tuple[int, int]] = []
    for v in voice:
        start, end = max(0, v.at - at), min(ticks, v.at + v.ticks - at)
        if start >= end:
            continue
        time[v.state] += end - start
        if v.state != "sung":
            if gaps and gaps[-1][1] == start:
                gaps[-1] = (gaps[-1][0], end)
            else:
                gaps.append((start, end))
    state: Voice = "sung"
    if time["held"] + time["silent"] > time["sung"]:
        state = "held" if time["held"] >= time["silent"] else "silent"
    return state, tuple(gaps)
