"""What the banjo plays over a word of the chart: the chosen lick and its tablature as text, for the hover."""

from __future__ import annotations

from collections.abc import Iterator

from chartc.book.compile import read_song
from chartc.player import Player
from chartc.slots.choose import fill
from chartc.slots.part import FilledSlot, Note
from chartc.text.source import Source

_HOW = {"hammer-on": "h", "pull-off": "p", "slide": "s", "choke": "c", "damped": "x"}


def chosen(source: Source, player: Player) -> dict[tuple[int, int], str]:
    """For each stretch of a chord, by line and column of its first word, what is chosen there in the chart's own key, as Markdown.
    Empty where the chart has errors."""
    song, _ = read_song(source, player)
    part = fill(song, player.means)[0] if song is not None else None
    if part is None:
        return {}
    out: dict[tuple[int, int], str] = {}
    strings = len(part.instrument.strings)
    for section, measures in zip(part.song.sections, part.slots, strict=True):
        for measure, slots in zip(section.measures, measures, strict=True):
            spans = {s.at: s.span for s in measure.stretches}
            for slot in slots:
                place = (spans[slot.at].line, spans[slot.at].column)
                at = "" if slot.position is None else f", index finger at {slot.position}"
                text = (
                    f"{section.label}: **{slot.lick}** ({slot.role}{at})\n\n```\n"
                    + "\n".join(_rows(slot, strings))
                    + "\n```"
                )
                # a section that borrows its measures has its own choice over the same words
                out[place] = f"{out[place]}\n\n{text}" if place in out else text
    return out


def _rows(slot: FilledSlot, strings: int) -> Iterator[str]:
    """The strings as lines, string 1 on top, and the picking fingers beneath; a column for each onset."""
    onsets = sorted({n.at for n in slot.notes} | {at for at, _ in slot.rests})
    picks = {at: "".join(n.pick for n in slot.notes if n.at == at and n.pick) for at in onsets}
    width = max([len(_fret(n)) for n in slot.notes] + [len(p) for p in picks.values()], default=1) + 1
    for string in range(1, strings + 1):
        here = {n.at: n for n in slot.notes if n.string == string}
        cells = (_fret(here[at]) if at in here else "" for at in onsets)
        yield f"{string} |" + "".join(cell.rjust(width, "-") for cell in cells) + "-|"
    yield "   " + "".join(picks[at].rjust(width) for at in onsets)


def _fret(n: Note) -> str:
    return f"{_HOW.get(n.how or '', '')}{n.fret}"
