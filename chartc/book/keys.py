"""The keys that suit singers, and what each of them costs the banjo."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from typing import Any

from chartc.book.make import Facts, Made, Task, Wanted
from chartc.book.pool import Failed, Job, do, settings
from chartc.book.ranking import Fit, Sung, in_words, ranked
from chartc.chart.song import Song
from chartc.player import Player
from chartc.theory import pitch
from chartc.theory.key import Key

NEAREST = 3
"""So many keys are shown where none fits."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A song with its chart, the singers who are to sing it together, and whose banjo is reckoned with; the key that is fixed, and by whom
    (empty: by the list)."""

    name: str
    text: bytes
    song: Song
    sung: tuple[Sung, ...]
    player: Player
    fixed: Key | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """The keys for one question, the best first: those that fit, or the nearest; the fixed one is among them. `costs` has what each costs
    the banjo, None where that could not be told."""

    asked: Asked
    fits: tuple[Fit, ...]
    costs: tuple[Facts | None, ...]


def answer(
    asked: Sequence[Asked], executor: Executor | None, at_once: int, step: Callable[[str, bool], None]
) -> tuple[list[Answer], list[tuple[str, str]]]:
    """The answers, and what a defect cut short (name and words)."""
    shown = [_shown(a) for a in asked]
    wanted: dict[tuple[str, str, int], int] = {}
    jobs: list[Job] = []
    packed = {id(a.player): settings(a.player) for a in asked}
    for a, fits in zip(asked, shown, strict=True):
        for f in fits:
            if (a.name, f.key.plain, id(a.player)) not in wanted:
                wanted[a.name, f.key.plain, id(a.player)] = len(jobs)
                jobs.append((packed[id(a.player)], Task(a.name, a.text, Wanted((f.key.plain,), 1, (), "a4"))))
    facts: dict[int, Facts] = {}
    defects = []
    for n, result in do(jobs, executor, at_once):
        if isinstance(result, Failed):
            defects.append((jobs[n][1].name, result.words))
        elif isinstance(result, Made) and result.facts:
            facts[n] = result.facts[0]
        step(jobs[n][1].name, isinstance(result, Failed))
    answers = [
        Answer(a, fits, tuple(facts.get(wanted[a.name, f.key.plain, id(a.player)]) for f in fits))
        for a, fits in zip(asked, shown, strict=True)
    ]
    return answers, defects


def _shown(a: Asked) -> tuple[Fit, ...]:
    if a.song.melody is None:
        return ()
    found = ranked(a.song.key, a.song.melody, a.sung)
    fits = [f for f in found if not f.missing] or list(found[:NEAREST])
    if a.fixed is not None:
        fits += [f for f in found if _same(f.key, a.fixed) and f not in fits]
    return tuple(fits)


def _same(a: Key, b: Key) -> bool:
    return pitch.pitch_class(a.tonic) == pitch.pitch_class(b.tonic)


def _notes(f: Fit) -> tuple[str, str]:
    sharps = f.key.signature
    return pitch.note_name(f.melody.low, sharps), pitch.note_name(f.melody.high, sharps)


def as_text(answers: Sequence[Answer]) -> str:
    """The answers for people, song by song."""
    out: list[str] = []
    last: Song | None = None
    for one in answers:
        a = one.asked
        song = a.song
        if song is not last:
            melody = "no melody is written, so that no key can be told to suit" if song.melody is None else (
                f"melody {pitch.note_name(song.melody.low)} to {pitch.note_name(song.melody.high)}"
            )  # fmt: skip
            whose = f"; the banjo is {a.player.name}'s" if a.player.name else ""
            out += [f"\n{song.title}: written in {song.key.label}, {melody}{whose}"]
            last = song
        if song.melody is None:
            continue
        who = " and ".join(_who(s, n) for n, s in enumerate(a.sung))
        out.append(f"  {who}")
        if not one.fits or one.fits[0].missing:
            out.append("    no key fits; the nearest:")
        cheapest = min((f.cost for f in one.costs if f is not None), default=0)
        rows = [_row(one, n, cheapest) for n in range(len(one.fits))]
        widths = [max(len(row[k]) for row in rows) for k in range(3)]
        out += ["    " + "  ".join(w.ljust(x) for w, x in zip(row, (*widths, 0), strict=True)).rstrip() for row in rows]
    return "\n".join(out).lstrip("\n") + "\n" if out else ""


def _who(s: Sung, n: int) -> str:
    part = "" if n == 0 else f" ({s.singer.part})"
    comfortable = "" if s.singer.comfortable == s.singer.range else f", comfortable {s.singer.comfortable.words}"
    return f"{s.singer.name}{part}, {s.singer.range.words}{comfortable}"


def _row(one: Answer, n: int, cheapest: int) -> tuple[str, str, str, str]:
    f, facts, a = one.fits[n], one.costs[n], one.asked
    key = f.key.label
    if a.fixed is not None and _same(f.key, a.fixed):
        key += f" (insisted on by {a.by})" if a.by else " (fixed)"
    low, high = _notes(f)
    if f.missing:
        comfort = in_words(f, a.sung)
    elif f.strain:
        comfort = f"{f.strain} semitone{'s' if f.strain > 1 else ''} outside what is comfortable"
    else:
        comfort = "comfortable"
    if facts is None:
        return key, f"{low} to {high}", comfort, "banjo: nothing can be played"
    more = f", {facts.cost - cheapest} more than the easiest here" if facts.cost > cheapest else ""
    fifth = f"; 5th string: {facts.fifth}" if facts.fifth and facts.fifth != "none" else ""
    return key, f"{low} to {high}", comfort, f"banjo: costs {facts.cost}{more}{fifth}"


def as_data(answers: Sequence[Answer]) -> list[dict[str, Any]]:
    """The answers for programs. Notes are MIDI numbers."""
    out = []
    for one in answers:
        a = one.asked
        melody = a.song.melody
        keys = [
            {
                "key": f.key.plain,
                "fits": not f.missing,
                "melody": [f.melody.low, f.melody.high],
                "outside": [
                    {"singer": s.singer.name, "low": low, "high": high}
                    for s, (low, high) in zip(a.sung, f.outside, strict=True)
                ],
                "strain": f.strain,
                "off_middle": f.off / 2,
                "cost": None if facts is None else facts.cost,
                "fifth_string": None
                if facts is None
                else {"fret": facts.fret, "pitch": facts.pitch, "words": facts.fifth},
            }
            for f, facts in zip(one.fits, one.costs, strict=True)
        ]
        out.append(
            {
                "file": a.name,
                "title": a.song.title,
                "written_key": a.song.key.plain,
                "melody": None if melody is None else [melody.low, melody.high],
                "singers": [s.singer.name for s in a.sung],
                "player": a.player.name or None,
                "fixed": None if a.fixed is None else a.fixed.plain,
                "keys": keys,
            }
        )
    return out
