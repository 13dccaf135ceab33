"""A lick through a progression: over each of its chords, and a roll after it, in any key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from chartc.chart import Vocabulary, read_chart
from chartc.chart.song import Measure, Request, Song, in_key
from chartc.licks.lick import REST, ROLES, Lick
from chartc.practice.cautions import CAUTIONS
from chartc.practice.items import place
from chartc.slots.candidate import Bench, Maker
from chartc.slots.choose import fill
from chartc.slots.fifth import fifth_string
from chartc.slots.part import Part
from chartc.slots.problem import Means
from chartc.text.diagnostic import Diagnostic
from chartc.text.source import Source
from chartc.theory.key import Key
from chartc.theory.meter import Meter, Tempo


def usual(key: Key) -> tuple[str, ...]:
    """The progression where no other is asked for."""
    return ("1m", "4m", "1m", "5", "1m") if key.minor_third else ("1", "4", "1", "5", "1")


def blank(title: str, key: Key, meter: Meter, tempo: Tempo, chords: Sequence[str] = ("1",)) -> Song:
    """A song of one section with two measures of each chord; chords by degree or letter. Raises ValueError where one is no chord."""
    rows = "".join(f"| {chord} | {chord} |\n" for chord in chords)
    text = (
        f"title {title}\nkey {key.plain}\nmeter {meter.label}\ntempo {tempo.note} = {tempo.count}\nform round\n\n"
        f"section round, {2 * len(chords)} measures\n  lead banjo\n{rows}"
    )
    song, found = read_chart(Source("drill", text), Vocabulary(frozenset(ROLES) | {REST}, frozenset()))
    if song is None:
        raise ValueError("; ".join(d.message for d in found))
    return song


def maker_for(song: Song, means: Means) -> Maker:
    """What makes candidates for a song in its key."""
    return Maker(
        Bench(means.instrument, fifth_string(song, means.instrument, means.spikes), means.limits, means.library)
    )


def through(
    lick: Lick, song: Song, key: Key, means: Means
) -> tuple[Part | None, tuple[str, ...], tuple[Diagnostic, ...]]:
    """A lick through the chords of a blank song, in a key: in the first measure of each chord that it can be played over, a roll
    elsewhere. The part (None where it can be played over none), the chords that it was left out over with the reason, and findings."""
    song = in_key(song, key)
    maker = maker_for(song, means)
    section = song.sections[0]
    left: dict[str, None] = {}
    measures: list[tuple[Measure, bool]] = []
    played = 0
    for n, m in enumerate(section.measures):
        chord = m.stretches[0].chord
        assert chord is not None
        item, why = place(lick, chord, song, maker) if n % 2 == 0 else (None, "")
        halved = n % 2 == 1 and measures[-1][1]
        request = None if halved else Request(m.span, role="roll")
        if item is not None:
            request = Request(m.span, lick=lick.name, fret=item.halves[0].position)
            played += 1
        elif why:
            left[f"{lick.name} over {chord.label}: {why}"] = None
        measures.append((replace(m, requests=(request,)), item is not None and len(item.halves) == 2))
    if not played:
        return None, tuple(left), ()
    title = f"{lick.name}: {' '.join(dict.fromkeys(m.stretches[0].chord.label for m in section.measures if m.stretches[0].chord))}"
    note = f"The lick over each chord, then a roll, or a rest where no roll can be joined. {CAUTIONS}" + (
        f" Left out: {'; '.join(left)}." if left else ""
    )
    ready = replace(
        song, title=title, credit=note, sections=(replace(section, measures=tuple(m for m, _ in measures)),)
    )
    part, found = fill(ready, means)
    if part is None:
        # at this tempo no roll joins the lick on both sides: a rest always does
        part, found = fill(_resting(ready), means)
    if part is None:
        return None, (*left, f"{lick.name} in {key.label}: it cannot be joined to itself at this tempo"), ()
    return part, tuple(left), tuple(replace(d, span=None, file="drill") for d in found)


def _resting(song: Song) -> Song:
    """The song with rests where rolls were asked for."""

    def rested(m: Measure) -> Measure:
        return replace(m, requests=tuple(replace(r, role=REST) if r and r.role == "roll" else r for r in m.requests))

    return replace(
        song, sections=tuple(replace(s, measures=tuple(rested(m) for m in s.measures)) for s in song.sections)
    )
