"""The work on one chart: from its text to drawn pages in every key and of every kind asked for. A pure function of values that can be
sent to another process or another machine."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from chartc.book.compile import keys_for, read_song, remarked
from chartc.chart.song import Song, in_key
from chartc.neck.instrument import FifthString
from chartc.player import Player
from chartc.press import Drawn, draw
from chartc.sheet import ONE_FOR_ALL, PAPERS, SHEETS
from chartc.slots.choose import fill_ways
from chartc.slots.part import Part
from chartc.text.diagnostic import Diagnostic
from chartc.text.reading import decode

UNFILLED = frozenset({"chords", "numbers"})
"""Kinds of sheet that show nothing that is chosen."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is made of a chart: keys as they are asked for (none: the chart's own), so many ways, kinds of sheet (none: the choice
    alone), a paper by its name;
    files to play along with at the tempos in `midi` (percents; none where there are none), and notation."""

    keys: tuple[str, ...]
    ways: int
    kinds: tuple[str, ...]
    paper: str
    midi: tuple[int, ...] = ()
    musicxml: bool = False


@dataclass(frozen=True, slots=True)
class Task:
    """A chart as bytes, the name by which the user knows it, and what is wanted."""

    name: str
    text: bytes
    wanted: Wanted


@dataclass(frozen=True, slots=True)
class Facts:
    """What a book says of a song in a key: words as printed; `file_word` is the key in a file's name; `fret` and `pitch` tell how
    the fifth string stands, `seconds` how long the form lasts as played, `cost` is the choice's total (0 where nothing was chosen)."""

    title: str
    credit: str
    key: str
    file_word: str
    way: int
    meter: str
    tempo: str
    fifth: str
    fret: int
    pitch: int
    seconds: float
    cost: int = 0


@dataclass(frozen=True, slots=True)
class Sheet:
    """The pages of one kind; `part` is the index of its facts."""

    part: int
    kind: str
    pages: tuple[Drawn, ...]


@dataclass(frozen=True, slots=True)
class File:
    """A file that is no sheet; `part` is the index of its facts, `ending` that of its name."""

    part: int
    ending: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Made:
    """What came of a task: nothing but findings where the chart is wrong."""

    facts: tuple[Facts, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    found: tuple[Diagnostic, ...] = ()
    files: tuple[File, ...] = ()


def make(task: Task, player: Player) -> Made:
    """Does the work on one chart with a player's settings."""
    source, found = decode(task.text, task.name)
    if source is None:
        return Made(found=found)
    song, errors = read_song(source, player)
    if _plain(task.wanted):
        errors = tuple(d for d in errors if d.code != "request-unmet")
    found = (*found, *errors)
    if song is None:
        return Made(found=found)
    keys, errors = keys_for(song, task.wanted.keys, source.name)
    found = (*found, *errors)
    parts: list[Part] = []
    charts: list[Song] = []
    for key in keys:
        moved = in_key(song, key)
        if _plain(task.wanted):
            more: tuple[Part, ...] = (Part(moved, player.means.instrument, FifthString(0, 0, "none"), ()),)
        else:
            more, errors = fill_ways(moved, player.means, task.wanted.ways)
            found = (*found, *errors)
        parts += remarked(more)
        charts += [moved] * len(more)
    sheets = tuple(_sheets(parts, charts, task.wanted))
    return Made(tuple(facts(p) for p in parts), sheets, found, tuple(_files(parts, task.wanted)))


def _plain(wanted: Wanted) -> bool:
    """Whether nothing of what is wanted shows what is chosen."""
    return bool(wanted.kinds) and UNFILLED.issuperset(wanted.kinds) and not wanted.midi and not wanted.musicxml


def _sheets(parts: list[Part], charts: list[Song], wanted: Wanted) -> Iterator[Sheet]:
    """The sheets of all parts; `charts` are their songs as written, in their keys."""
    paper = PAPERS[wanted.paper]
    for kind in wanted.kinds:
        for n, part in enumerate(parts[:1] if kind in ONE_FOR_ALL else parts):
            if kind in UNFILLED:
                # a section that is printed twice for the sake of its licks has one row of chords
                part = replace(part, song=charts[n], slots=(), remarks=())
            yield Sheet(n, kind, tuple(draw(page) for page in SHEETS[kind](part, paper)))


def _files(parts: list[Part], wanted: Wanted) -> Iterator[File]:
    """Play-along and notation, as far as they are wanted."""
    if wanted.midi:
        from chartc.export.midi import midi

        yield from (File(n, ".mid", midi(part, wanted.midi)) for n, part in enumerate(parts))
    if wanted.musicxml:
        from chartc.export.musicxml import musicxml

        yield from (File(n, ".musicxml", musicxml(part)) for n, part in enumerate(parts))


def facts(part: Part) -> Facts:
    """The facts of a part."""
    song = part.song
    return Facts(
        song.title,
        song.credit,
        song.key.label,
        song.key.file_word,
        part.way,
        song.meter.label,
        f"{song.tempo.note} = {song.tempo.count}",
        part.fifth.words,
        part.fifth.fret,
        part.fifth.pitch,
        seconds(song),
        part.cost,
    )


def seconds(song: Song) -> float:
    """How long the form lasts as played, in seconds."""
    ticks = sum(song.sections[p.section].measures[m].ticks for p in song.order for m in p.measures)
    return song.tempo.milliseconds(ticks) / 1000
