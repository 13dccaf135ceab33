"""Answers about a chart's text at a place: what a word means, what could be written there, where a section begins."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from chartc.chart import syntax
from chartc.chart.build import key as folded
from chartc.chart.findings import Findings
from chartc.chart.headers import read_key
from chartc.chart.lines import HEADERS, STARTS, split
from chartc.chart.mistakes import FORMS
from chartc.chart.parse import parse
from chartc.chart.song import PLACES, SECTION_KINDS, VOICE_STATES
from chartc.chart.syntax import Chart, Line, Placed, Use, Word
from chartc.licks.lick import REST, ROLES, Library
from chartc.text.source import Source, Span
from chartc.theory import pitch
from chartc.theory.chord import degree_label, pretty, read_chord
from chartc.theory.key import MODES, Key
from chartc.theory.meter import NOTE_WORDS


@dataclass(frozen=True, slots=True)
class Offer:
    """Something that could be written: the text, what kind of thing it is (a keyword, a section, a lick, a chord, a value),
    and a few words about it."""

    text: str
    kind: str
    about: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A section of the chart: its name, where its line is, and where it ends (the last line)."""

    name: str
    place: Span
    last: int


class Answers:
    """What can be said about one text. Nothing here fails, whatever the text."""

    def __init__(
        self, source: Source, library: Library, chosen: Callable[[], Mapping[tuple[int, int], str]] = dict
    ) -> None:
        """Reads the text as written. `chosen` gives what is played over the chord that begins at a line and column, as Markdown; it is asked
        only when somebody wants to know."""
        self.source = source
        self.library = library
        self._chosen = chosen
        self.chart: Chart = parse(source, Findings())
        self.key = self._key()

    def _key(self) -> Key:
        for line in self.chart.lines:
            if isinstance(line.node, syntax.Header) and line.node.keyword == "key":
                return read_key(line, line.node.words, Findings()) or Key(pitch.tone("G"))
        return Key(pitch.tone("G"))

    def _line(self, number: int) -> Line | None:
        return next((line for line in self.chart.lines if line.number == number), None)

    # --- sections --------------------------------------------------------------------------------------------------------

    def headings(self) -> tuple[Heading, ...]:
        """The sections in order."""
        found = [line for line in self.chart.lines if isinstance(line.node, syntax.SectionLine)]
        ends = [*(line.number - 1 for line in found[1:]), max(1, len(self.source.lines))][: len(found)]
        return tuple(
            Heading(line.node.use.text, line.span(line.node.use), end)
            for line, end in zip(found, ends, strict=True)
            if isinstance(line.node, syntax.SectionLine)
        )

    def definition(self, number: int, column: int) -> Span | None:
        """Where the section begins whose name stands at a place, in the form or behind `as`; None where there is none."""
        name = next((w for w in self._names(number) if _holds(w, column)), None)
        if name is None:
            return None
        wanted = folded(name.text)
        places = {folded(h.name): h.place for h in reversed(self.headings())}
        if wanted in places:
            return places[wanted]
        # a section that only the form borrows has the measures of another
        short = [h.place for h in self.headings() if folded(h.name).startswith(f"{wanted} as ")]
        return short[0] if short else None

    def _names(self, number: int) -> Iterator[Word]:
        line = self._line(number)
        node = line.node if line else None
        uses: tuple[Use, ...] = ()
        if isinstance(node, syntax.Form):
            uses = node.uses
        elif isinstance(node, syntax.SectionLine):
            uses = (node.use,)
        for use in uses:
            if use.source is not None:
                yield use.source
            yield use.name

    # --- meaning ---------------------------------------------------------------------------------------------------------

    def hover(self, number: int, column: int) -> tuple[str, Span] | None:
        """What the word at a place means, as Markdown, and the word's place; None where there is nothing to say."""
        line = self._line(number)
        if line is None or not line.column <= column < line.end:
            return None
        word = self._word(line, column)
        if word is None:
            return self._keyword(line, column)
        text = ""
        if isinstance(line.node, syntax.ChordRow):
            text = self._chord(word.text)
            played = self._chosen().get((line.number, line.span(word).column), "")
            text = "\n\n".join(t for t in (text, played) if t)
        elif isinstance(line.node, syntax.SideRow) and line.node.kind == "ask":
            text = self._lick(word.text)
        return (text, line.span(word)) if text else None

    @staticmethod
    def _word(line: Line, column: int) -> Word | None:
        words: list[Word] = []
        if isinstance(line.node, syntax.ChordRow):
            words = [w for cell in line.node.cells for w in cell.words]
        elif isinstance(line.node, syntax.SideRow):
            words = [w for cell in line.node.cells for part in cell.parts for w in part]
        return next((w for w in words if _holds(w, column)), None)

    def _keyword(self, line: Line, column: int) -> tuple[str, Span] | None:
        first = split(self.source.line(line.number), line.number).first
        span = self.source.span(line.number, line.column, line.column + len(first))
        if first not in STARTS or not span.column <= column < span.end:
            return None
        return f"```\n{FORMS[first]}\n```", span

    def _chord(self, word: str) -> str:
        chord = read_chord(word, self.key) if 0 < len(word) <= 24 else None
        if chord is None:
            return ""
        degree = degree_label(chord.root, self.key)
        tones = " ".join(pitch.name(pitch.simple(tone)) for tone in chord.tones)
        suffix = pretty(chord.quality.suffix)
        return f"**{chord.label}**: {degree}{suffix} in {self.key.label}\n\n{tones}"

    def _lick(self, word: str) -> str:
        lick = self.library.by_name.get(word)
        if lick is not None:
            return f"**{lick.name}** ({lick.role}): {lick.about}" if lick.about else f"**{lick.name}** ({lick.role})"
        licks = sum(lick.role == word for lick in self.library.licks)
        return f"**{word}**: a role; {licks} licks" if word in ROLES else ""

    # --- what could be written -------------------------------------------------------------------------------------------

    def offers(self, number: int, column: int) -> tuple[Offer, ...]:
        """What could be written at a place, where the text before it is as it stands."""
        before = self.source.line(number)[: column - 1]
        if ";" in before and split(before, number).comment:
            return ()
        first, space, rest = before.lstrip().partition(" ")
        if not space and "|" not in first:
            return self._keywords(number)
        if first.startswith("|"):
            return self._chords()
        match first:
            case "key":
                return _values(tuple(MODES), "mode")
            case "tempo":
                return _values(tuple(NOTE_WORDS), "note")
            case "form":
                return self._sections()
            case "section":
                return self._sections() if " as " in rest else _values(SECTION_KINDS, "kind of section")
            case "voice":
                return _values(VOICE_STATES, "voice")
            case "ask":
                return self._requests()
            case "end":
                return _values(("repeat",), "")
            case "lead" | "fills" | "chop":
                return self._jobs(rest)
            case _:
                return ()

    def _jobs(self, rest: str) -> tuple[Offer, ...]:
        begun = rest.rsplit(",", 1)[-1].strip()
        if "," in rest and " " not in begun:
            return tuple(Offer(word, "keyword") for word in ("lead", "fills", "chop"))
        return _values(("voice", "banjo", *self._players()), "player")

    def _keywords(self, number: int) -> tuple[Offer, ...]:
        inside = any(h.place.line < number for h in self.headings())
        words = [w for w in STARTS if (w in HEADERS) != inside]
        return tuple(Offer(word, "keyword", FORMS[word].splitlines()[0]) for word in words)

    def _sections(self) -> tuple[Offer, ...]:
        return tuple(Offer(h.name, "section") for h in self.headings())

    def _players(self) -> tuple[str, ...]:
        jobs = [job for line in self.chart.lines if isinstance(line.node, syntax.Jobs) for job in line.node.jobs]
        return tuple(dict.fromkeys(j.player.text for j in jobs if j.player.text not in ("voice", "banjo")))

    def _requests(self) -> tuple[Offer, ...]:
        roles = [Offer(role, "role") for role in sorted({*ROLES, REST})]
        places = [Offer(place, "place on the neck") for place in (*PLACES, "fret")]
        licks = [Offer(lick.name, "lick", lick.about) for lick in self.library.licks]
        return (*roles, *places, *licks)

    def _chords(self) -> tuple[Offer, ...]:
        rows = [line.node for line in self.chart.lines if isinstance(line.node, syntax.ChordRow)]
        used = dict.fromkeys(w.text for row in rows for cell in row.cells for w in cell.words)
        scale = [pitch.plain(pitch.name(tone)) for tone in self.key.scale]
        words = [w for w in used if self._chord(w)] + [w for w in scale if w not in used]
        return tuple(Offer(word, "chord", self._chord(word).split("\n")[0].replace("**", "")) for word in words)


def _values(words: tuple[str, ...], about: str) -> tuple[Offer, ...]:
    return tuple(Offer(word, "value", about) for word in words)


def _holds(word: Placed, column: int) -> bool:
    return word.column <= column < word.end
