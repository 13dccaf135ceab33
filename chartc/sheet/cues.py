"""The sheet of cues, for the stage: chords, where on the neck, what each lick is called, and who does what. It is read from two metres:
one page where that can be, else two that lie side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from chartc.chart.song import Measure, Section
from chartc.sheet import breaks, hand, head
from chartc.sheet.beneath import Cue
from chartc.sheet.chords import measure_pages
from chartc.sheet.label import by_letter
from chartc.sheet.look import Look
from chartc.sheet.marks import Page, Text
from chartc.sheet.paper import LARGE, PENCIL, Paper
from chartc.sheet.printed import printed_part
from chartc.sheet.scale import magnified, paper_for
from chartc.slots.part import FilledSlot, Part

CHORD = 16.0
CUE = 9.6
"""Sizes of chord names and of cues, made larger by one of `FACTORS`."""

FACTORS = (1.6, 1.55, 1.5, 1.45, 1.4, 1.35, 1.3, 1.25)
"""Sizes of print to try, the largest first, over that of other sheets. The least makes cues of 12 points and chords of 20. At two metres
a letter must be 2.9 mm high for a usual eye to tell it from others (five minutes of arc), and capitals of 12 points are just that;
chords, which are looked for in passing, are two thirds higher."""

ONE_PAGE = (1.2, 1.15, 1.1, 1.05, 1.0, 0.95, 0.9, 0.85)
"""Where one page then holds the whole song, or two facing ones, it may be smaller: nothing to turn is worth a step towards the stand.
Chords, of 13.6 points at the least, are still read from two metres."""

SHORTER = 1.0
"""Down to this factor a song of one page keeps its rows of four."""

LONG = 2 * breaks.PER_ROW
"""Measures in a row of a sheet that lies, and of a song that finds room on one page in no other way."""

Layout = Callable[[float], tuple[Page, ...]]
"""Pages at a factor, on paper that is to be magnified by it."""


def cue_pages(part: Part, paper: Paper) -> tuple[Page, ...]:
    """The cues of a part on as few pages as their least size needs, and as large as they fit on those. Large print is that much larger
    than the ordinary sheet of the same part."""
    part = printed_part(part)
    least = FACTORS[-1]
    if paper.large:
        # the ordinary sheet's paper: what comes here in large print may be smaller, to be magnified later
        least, _ = _largest(_layout(part, paper_for(paper, paper.print_size / LARGE)), least)
    lay = _layout(part, paper)
    factor, pages = _largest(lay, least)
    if len(pages) > 1 and not paper.large:
        longer = _layout(part, paper, LONG)
        fewer = _smaller(lay, longer, ONE_PAGE, 1, SHORTER)
        if fewer is None and len(pages) > 2:
            # two pages lie open at once
            fewer = _smaller(lay, longer, (*FACTORS, *ONE_PAGE), 2, least)
        if fewer is not None:
            factor, pages = fewer
    return magnified(pages, paper, factor)


def _smaller(
    lay: Layout, longer: Layout, factors: Sequence[float], count: int, shorter: float
) -> tuple[float, tuple[Page, ...]] | None:
    """The first of the factors that needs no more pages than this, and its pages; None where none does. Rows of four are kept down to the
    factor `shorter`."""

    def few(tried: tuple[Page, ...]) -> bool:
        return len(tried) <= count

    found = _first(lay, factors, few)
    if found is None or found[0] < shorter:
        # longer rows in larger print are better than smaller print
        found = max(filter(None, (found, _first(longer, factors, few))), key=lambda way: way[0], default=None)
    return found


def _largest(lay: Layout, least: float) -> tuple[float, tuple[Page, ...]]:
    """The largest factor from `least` up that needs no more pages than the least does, and tears no row; and its pages."""
    small = lay(least)
    rows = _rows(small)
    larger = [factor for factor in FACTORS if factor > least]
    found = _first(lay, larger, lambda tried: len(tried) <= len(small) and _rows(tried) <= rows)
    return found or (least, small)


def _first(
    lay: Layout, factors: Sequence[float], good: Callable[[tuple[Page, ...]], bool]
) -> tuple[float, tuple[Page, ...]] | None:
    """The first of the factors, which fall, whose pages are good, and these; None where there is none. What is good in one size is taken
    to be so in all that are smaller."""
    found = None
    low, high = 0, len(factors)
    while low < high:
        middle = (low + high) // 2
        tried = lay(factors[middle])
        if good(tried):
            found, high = (factors[middle], tried), middle
        else:
            low = middle + 1
    return found


def _rows(pages: tuple[Page, ...]) -> int:
    """How many rows there are: the chords of each stand on a base line."""
    lines = {(n, m.y) for n, page in enumerate(pages) for m in page.marks if isinstance(m, Text) and m.kind == "chord"}
    return len(lines)


def _layout(part: Part, paper: Paper, most: int = breaks.PER_ROW) -> Layout:
    """How the cues of a part are laid out on a paper, with so many measures in a row; on one that lies there are more anyway."""
    song = part.song
    # the singer's words are not for this sheet
    sections = [replace(s, measures=tuple([replace(m, words="") for m in s.measures])) for s in song.sections]
    jobs = {s.id: told(s, part.slots[n] if n < len(part.slots) else ()) for n, s in enumerate(sections)}
    cues = dict(zip([s.id for s in sections], _cues(part), strict=True))
    look = Look(
        by_letter,
        song.key.label,
        CHORD,
        CHORD,
        CHORD,
        lambda s: jobs[s.id],
        "regular",
        CUE,
        again=False,
        most=LONG if paper.width > paper.height else most,
        pencil=False,  # has its own, on every page
        cues=lambda s, k: cues[s.id][k],
        slashes=False,  # a lick's name would push them to the next chord, and two chords without any are half and half
    )
    fifth = f"5th string: {part.fifth.words}" if part.fifth.words else ""
    way = f"way {part.way}" if part.way > 1 else ""
    facts = [*head.facts(song), fifth, way]

    def lay(factor: float) -> tuple[Page, ...]:
        own = paper_for(paper, factor)
        foot = replace(own, bottom=own.bottom + PENCIL / factor)
        return measure_pages(replace(song, sections=tuple(sections)), foot, look, facts, part.remarks)

    return lay


def told(section: Section, slots: tuple[tuple[FilledSlot, ...], ...]) -> str:
    """The banjo's job in a section, who leads, answers and chops, and where on the neck the hand is."""
    others = [(section.lead, "leads"), (section.fills, "answers"), (section.chop, "chops")]
    said = [f"{who} {what}" for who, what in others if who and who != "banjo"]
    return head.DOT.join([f"banjo: {job(section)}", *([", ".join(said)] if said else []), *region(slots)])


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


def _cues(part: Part) -> list[list[tuple[Cue, ...]]]:
    """What stands beneath each measure of each section: a place where the hand moves, a lick where one is played that has a name."""
    out: list[list[tuple[Cue, ...]]] = []
    said = hand.said(part)
    for n, section in enumerate(part.song.sections):
        known = said[n] if n < len(said) else ()
        out.append([_measure(m, known[k]) if k < len(known) else () for k, m in enumerate(section.measures)])
    return out


def _measure(m: Measure, said: hand.Said) -> tuple[Cue, ...]:
    out = []
    for s in m.stretches:
        here = range(s.at, s.at + s.ticks)
        place = ", ".join([words for at, words in said.moves if at in here])
        name = ", ".join([words for at, words in said.names if at in here])
        if place or name:
            out.append(Cue(s.at, place, name))
    return tuple(out)
