"""The sheet of cues: one page for the stage. Chords, where on the neck, what each lick is called, and who does what."""

from __future__ import annotations

from dataclasses import replace

from chartc.chart.song import Section
from chartc.sheet import head
from chartc.sheet.chords import measure_pages
from chartc.sheet.label import by_letter
from chartc.sheet.look import Look
from chartc.sheet.marks import Page
from chartc.sheet.paper import PENCIL, Paper
from chartc.sheet.scale import magnified, paper_for
from chartc.slots.part import FilledSlot, Part

FACTORS = (1.25, 1.15, 1.05, 1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.55, 0.5, 0.45, 0.4, 0.35, 0.3)
"""Sizes of print to try, the largest first, over that of other sheets."""


def cue_pages(part: Part, paper: Paper) -> tuple[Page, ...]:
    """The cues of a part on one page, as large as they fit on it; more pages only where one could not be read at all."""
    song = part.song
    sections = tuple(
        replace(s, measures=tuple(replace(m, words=words) for m, words in zip(s.measures, _cues(part, n), strict=True)))
        for n, s in enumerate(song.sections)
    )
    jobs = {s.id: told(s, part.slots[n] if n < len(part.slots) else ()) for n, s in enumerate(sections)}
    look = Look(
        by_letter,
        song.key.label,
        18.0,
        14.0,
        16.0,
        lambda s: jobs[s.id],
        "regular",
        10.0,
        again=False,
        most=8 if paper.width > paper.height else 4,
        pencil=False,  # has its own, on every page
    )
    fifth = f"5th string: {part.fifth.words}" if part.fifth.words else ""
    way = f"way {part.way}" if part.way > 1 else ""
    facts = [*head.facts(song), fifth, way]
    for factor in FACTORS:
        own = paper_for(paper, factor)
        pages = measure_pages(
            replace(song, sections=sections), replace(own, bottom=own.bottom + PENCIL), look, facts, part.remarks
        )
        if len(pages) == 1:
            break
    return magnified(pages, paper, factor)


def told(section: Section, slots: tuple[tuple[FilledSlot, ...], ...]) -> str:
    """The banjo's job in a section, who leads, answers and chops, and where on the neck the hand is."""
    others = [(section.lead, "leads"), (section.fills, "answers"), (section.chop, "chops")]
    said = [f"{who} {what}" for who, what in others if who and who != "banjo"]
    return " \N{MIDDLE DOT} ".join([f"banjo: {job(section)}", *([", ".join(said)] if said else []), *region(slots)])


def job(section: Section) -> str:
    """What the banjo does in a section, in words."""
    jobs = [(section.lead, "leads"), (section.fills, "answers in the gaps"), (section.chop, "chops")]
    own = [what for who, what in jobs if who == "banjo"]
    return " and ".join(own) or f"behind the {section.lead or 'voice'}"


def region(slots: tuple[tuple[FilledSlot, ...], ...]) -> tuple[str, ...]:
    """The lowest and the highest place of the index finger, in words; nothing where no string is fretted."""
    places = [s.position for measure in slots for s in measure if s.position is not None]
    if not places:
        return ()
    low, high = min(places), max(places)
    return (f"fret {low}" if low == high else f"frets {low} to {high}",)


def _cues(part: Part, section: int) -> list[str]:
    """What stands beneath each measure: a place where it is new, a lick's name where it is new."""
    out = []
    lick, place = "", None
    measures = part.song.sections[section].measures
    slots = part.slots[section] if section < len(part.slots) else ()
    for k in range(len(measures)):
        words = []
        for slot in slots[k] if k < len(slots) else ():
            said = []
            if slot.position is not None and slot.position != place:
                place = slot.position
                said.append(f"at {place}")
            if slot.lick != lick:
                lick = slot.lick
                said.append(lick)
            if said:
                words.append(" ".join(said))
        out.append(", ".join(words))
    return out
