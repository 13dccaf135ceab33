"""Sections printed more than once: a copy for each neighbour, or for each time that a section is played."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from chartc.chart.song import Passage, Section, Song
from chartc.slots.part import Part


def before_each_neighbour(song: Song) -> tuple[Song, tuple[str, ...]]:
    """The song with a copy of each section for every section that may follow it, and a remark for each section that is copied."""
    following = [b.section for b in song.order[1:]]
    keys = [(a.section, b) for a, b in zip(song.order, [*following, -1], strict=True)]

    def words(key: tuple[int, int]) -> str:
        return "at the end" if key[1] < 0 else f"before {song.sections[key[1]].label}"

    return _copied(song, keys, {key: words(key) for key in keys}, "once before each neighbour")


def for_each_time(song: Song) -> tuple[Song, tuple[str, ...]]:
    """The song with a copy of each section for every time that the form plays it."""
    seen: Counter[int] = Counter()
    keys = []
    for passage in song.order:
        seen[passage.section] += 1
        keys.append((passage.section, seen[passage.section]))
    return _copied(song, keys, {key: f"time {key[1]}" for key in keys}, "once for each time it is played")


def _copied(
    song: Song, keys: list[tuple[int, int]], words: dict[tuple[int, int], str], how: str
) -> tuple[Song, tuple[str, ...]]:
    """`keys` say for each passage which copy of its section it plays."""
    copies: dict[int, list[tuple[int, int]]] = {}
    for key in dict.fromkeys(keys):
        copies.setdefault(key[0], []).append(key)
    sections: list[Section] = []
    index: dict[tuple[int, int], int] = {}
    taken = {s.id for s in song.sections}
    # copies stand in the order in which they are met, as sections do
    for key in dict.fromkeys(keys):
        section = song.sections[key[0]]
        index[key] = len(sections)
        if len(copies[key[0]]) > 1:
            # never the id of another section, whatever the chart calls its sections
            base = f"{section.id}-{words[key].replace(' ', '-')}"
            name = next(n for n in (base, *(f"{base}-{k}" for k in range(2, len(keys) + 3))) if n not in taken)
            taken.add(name)
            section = replace(section, id=name, label=f"{section.label} ({words[key]})")
        sections.append(section)
    order = tuple(Passage(index[key], passage.measures) for key, passage in zip(keys, song.order, strict=True))
    remarks = tuple(
        f"{song.sections[n].label} is printed {len(c)} times, {how}" for n, c in sorted(copies.items()) if len(c) > 1
    )
    return replace(song, sections=tuple(sections), order=order), remarks


def merged(part: Part, song: Song) -> Part:
    """The part with copies of a section that turned out alike printed once; `song` is the one whose sections were copied."""
    if len(part.song.sections) == len(song.sections):
        return part
    base = {(s.span.line, s.span.column): s for s in song.sections}
    groups: dict[tuple[Section, object], list[int]] = {}
    for n, copy in enumerate(part.song.sections):
        groups.setdefault((base[copy.span.line, copy.span.column], part.slots[n]), []).append(n)
    counts = Counter(section.id for section, _ in groups)
    place: dict[int, int] = {}
    sections: list[Section] = []
    for (section, _), copies in groups.items():
        place.update(dict.fromkeys(copies, len(sections)))
        first = part.song.sections[copies[0]]
        if counts[section.id] == 1:
            first = section
        elif len(copies) > 1:
            words = [part.song.sections[n].label[len(section.label) + 2 : -1] for n in copies]
            first = replace(first, label=f"{section.label} ({_together(words)})")
        sections.append(first)
    order = tuple([Passage(place[p.section], p.measures) for p in part.song.order])
    remarks = []
    for remark in part.remarks:
        of = next((s for s in song.sections if remark.startswith(f"{s.label} is printed ")), None)
        if of is None:
            remarks.append(remark)
        elif counts[of.id] > 1:
            remarks.append(f"{of.label} is printed {counts[of.id]} times, {remark.split(' times, ', 1)[1]}")
    return replace(
        part,
        song=replace(part.song, sections=tuple(sections), order=order),
        slots=tuple([slots for _, slots in groups]),  # type: ignore[misc]
        remarks=tuple(remarks),
    )


def _together(words: list[str]) -> str:
    """`before verse and tag` for two copies, `times 1 and 3`."""
    first, _, _ = words[0].partition(" ")
    if all(w.startswith(f"{first} ") for w in words) and first in ("before", "time"):
        rest = [w.removeprefix(f"{first} ") for w in words]
        first = "times" if first == "time" else first
        return f"{first} {', '.join(rest[:-1])} and {rest[-1]}"
    return f"{', '.join(words[:-1])} and {words[-1]}"
