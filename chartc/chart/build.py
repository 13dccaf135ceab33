"""The blocks of a chart to the song: names resolved, the form unrolled, nothing missing."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from chartc.chart import syntax
from chartc.chart.advice import advise
from chartc.chart.cells import Setting
from chartc.chart.findings import Findings, closest, count, slip
from chartc.chart.group import Block, Blocks, Row
from chartc.chart.headers import USUAL_TEMPO, Headers, headers
from chartc.chart.mistakes import FORMS
from chartc.chart.sections import MOST_PRINTED, Body, body, section
from chartc.chart.song import Passage, Section, Song
from chartc.chart.syntax import Line
from chartc.chart.vocabulary import Vocabulary
from chartc.text.diagnostic import has_errors

MOST_SECTIONS = 200
MOST_PLAYED = 20_000
LONGEST_NAME = 60
MOST_TIMES = 12


@dataclass(slots=True)
class Named:
    """A section that has its name; `source` is the block that it borrows from."""

    block: Block
    label: str
    source: Block | None = None


@dataclass(slots=True)
class Names:
    """The sections by name (`key` of the label), in the order in which they are written; those that only the form names
    come last. `lenders` are those with measures of their own, `borrowing` the keys of the others by the name under which they borrow.
    `used` are the keys of the sections that are played or borrowed from; `doubt` tells that a name was not found, so that it
    may have been meant for any of them."""

    sections: dict[str, Named] = field(default_factory=dict)
    lenders: dict[str, Named] = field(default_factory=dict)
    borrowing: dict[str, list[str]] = field(default_factory=dict)
    used: set[str] = field(default_factory=set)
    doubt: bool = False

    def add(self, use: syntax.Use, named: Named) -> None:
        """Notes a section under its name."""
        name = key(use.text)
        self.sections[name] = named
        if use.source is None:
            self.lenders[name] = named
        else:
            self.borrowing.setdefault(key(use.name.text), []).append(name)


def key(name: str) -> str:
    """Names are equal whatever their capitals."""
    return name.casefold().replace("’", "'")


def build(blocks: Blocks, vocabulary: Vocabulary, found: Findings) -> Song | None:
    """The song, None where anything is wrong (errors are reported)."""
    heads = headers(blocks, found)
    meter_line = next(iter(blocks.headers.get("meter", [])), None)
    _missing(blocks, found)
    names = _names(blocks, found)
    passages = _form(blocks, names, found)
    bodies: dict[int, Body | None] = {}
    at = Setting(heads.key, heads.meter, meter_line if heads.meter else None)
    for block in blocks.sections:
        if found.full:
            return None
        if block.use is None or block.use.source is None or block.items:
            bodies[id(block)] = body(block, at, vocabulary, found)
    if has_errors(found.all) or heads.key is None or heads.meter is None:
        return None
    song = _song(heads, names, passages, bodies, found)
    if song is not None:
        advise(song, blocks.sections, _place_of_tempo(blocks), found)
    return song


def _place_of_tempo(blocks: Blocks) -> tuple[Line, syntax.Placed] | None:
    """The line of the tempo, and its note."""
    line = next(iter(blocks.headers.get("tempo", [])), None)
    return (line, line.node.words[0]) if line is not None and isinstance(line.node, syntax.Header) else None


def _missing(blocks: Blocks, found: Findings) -> None:
    """Reports the headers and sections that are not there, at the first line that has something."""
    if not blocks.headers and not blocks.sections and not blocks.broken:
        return
    begin = min(
        [line for lines in blocks.headers.values() for line in lines] + [b.line for b in blocks.sections],
        key=lambda line: line.number,
        default=None,
    )
    if begin is None:
        return
    for keyword in ("title", "key", "meter"):
        if keyword not in blocks.headers and keyword not in blocks.broken:
            help = f"write a line like this above the sections: {FORMS[keyword]}"
            found.add("header-missing", f'the chart has no "{keyword}"', begin.span(), help)
    if "tempo" not in blocks.headers and "tempo" not in blocks.broken:
        help = f"write a line like this above the sections: {FORMS['tempo']}"
        message = f"the chart has no tempo; {USUAL_TEMPO.note} = {USUAL_TEMPO.count} is taken"
        found.add("tempo-missing", message, begin.span(), help, severity="warning")
    if not blocks.sections and blocks.names_known:
        help = f"write a line like this, and its rows beneath it: {FORMS['section'].splitlines()[0]}"
        found.add("section-missing", "the chart has no section", begin.span(), help)


def _names(blocks: Blocks, found: Findings) -> Names:
    names = Names()
    for block in blocks.sections:
        if block.use is None:
            continue
        use = block.use
        if len(use.text) > LONGEST_NAME:
            message = f"this name has {len(use.text)} characters; {LONGEST_NAME} is the most"
            found.add("text-long", message, block.line.span(use), "shorten it")
        parts = [use.name, *([use.source] if use.source else [])]
        if any("as" in part.text.split() or not part.text[0].isalnum() for part in parts):
            help = 'a name begins with a letter or a digit, and the word "as" is kept for borrowing'
            found.add("section-name", f'"{use.text[:40]}" cannot be the name of a section', block.line.span(use), help)
        first = names.sections.get(key(use.text))
        if first is not None:
            found.add(
                "section-twice",
                f'there are two sections "{use.text}"',
                block.line.span(use),
                "give one of them another name; to play a section again, name it again in the form",
                [(first.block.line.span(first.block.use), "the first one")],
            )
            continue
        names.add(use, Named(block, use.text))
        if len(names.sections) == MOST_SECTIONS + 1:
            message = f"a chart has {MOST_SECTIONS} sections at most"
            found.add("limit-sections", message, block.line.span(), "make two charts of it")
    for named in list(names.sections.values()):
        use_ = named.block.use
        if use_ is not None and use_.source is not None:
            named.source = _source(blocks, names, use_, named.block.line, found)
            if named.block.items:
                found.add(
                    "section-rows",
                    f'this section borrows the measures of "{use_.source.text}" and has rows of its own',
                    (item.line if isinstance(item := named.block.items[0], Row) else item).span(),
                    "take its rows away, or say how many measures it has and do not borrow",
                    [(named.block.line.span(), "it borrows here")],
                )
    return names


def _source(blocks: Blocks, names: Names, use: syntax.Use, line: Line, found: Findings) -> Block | None:
    """The block that a section borrows from, None and an error where there is none."""
    assert use.source is not None
    name = _resolve(syntax.Use(use.source), names)
    source = names.sections[name] if name is not None else None
    if source is None:
        _unknown(blocks, names, use.source, line, found)
        return None
    names.used.add(key(source.label))
    borrowed = source.block.use.source if source.block.use else None
    if borrowed is not None:
        # a name that no section has is told where it stands; here it would be advice that cannot be followed
        there = _resolve(syntax.Use(borrowed), names) or closest(key(borrowed.text), names.lenders)
        of = f" as {names.sections[there].label}" if there in names.sections else ""
        help = f"borrow from the section that has the measures{of and f': {use.name.text}'}{of}"
        message = f'"{source.label}" has no measures of its own: it borrows them'
        found.add("section-borrow", message, line.span(use.source), help)
        return None
    return source.block


_TIMES = re.compile(
    r"(?P<name>.+?) (?:x ?(?P<a>\d\d?)|(?P<b>\d\d?) ?(?:x|times)|(?P<twice>twice))|(?P<c>\d\d?) ?(?:x|times) (?P<last>.+)"
)


def _several(word: str, names: Names) -> str:
    """A section and how many times it is played, as some write it (`verse x2`), written out; empty where it is nothing of the kind."""
    match = _TIMES.fullmatch(word)
    if match is None or (name := match["name"] or match["last"]) not in names.sections:
        return ""
    times = 2 if match["twice"] else int(match["a"] or match["b"] or match["c"])
    return ", ".join([names.sections[name].label] * times) if 1 < times <= MOST_TIMES else ""


def _unknown(blocks: Blocks, names: Names, word: syntax.Word | syntax.Use, line: Line, found: Findings) -> None:
    names.doubt = True
    if not blocks.names_known:
        return
    lends = isinstance(word, syntax.Word)
    known_here = names.lenders if lends else names.sections
    near = closest(key(word.text), known_here)
    several = "" if lends else _several(key(word.text), names)
    if several:
        message = f'"{word.text[:40]}" is no section; a section is named as often as it is played'
        span = line.span(word)
        found.add("section-unknown", message, span, f"write it like this: {several}", fix=[(span, several)])
        return
    parts = _split(key(word.text).split(), names)
    if parts:
        better = ", ".join(parts)
        message = f'there is no section "{word.text[:40]}"; commas divide the sections'
        span = line.span(word)
        found.add("section-unknown", message, span, f"write it like this: {better[:200]}", fix=[(span, better)])
        return
    after = f'; there is "{names.sections[near].label}", with a similar name' if near else ""
    known = ", ".join(list(dict.fromkeys(n.label for n in known_here.values()))[:12])
    help = f"the sections are: {known}" if known else "write the section beneath the headers"
    meant = slip(key(word.text), known_here)
    fix = [(line.span(word), names.sections[meant].label)] if meant else []
    found.add("section-unknown", f'there is no section "{word.text[:40]}"{after}', line.span(word), help, fix=fix)


def _split(words: list[str], names: Names) -> list[str]:
    """The labels of the sections that some words name one after the other, the longest name first; empty where they do not."""
    out: list[str] = []
    at = 0
    while at < len(words) and len(out) <= MOST_SECTIONS:
        longest = range(min(len(words), at + 8), at, -1)
        name = next((n for end in longest if (n := " ".join(words[at:end])) in names.sections), None)
        if name is None:
            return []
        out.append(names.sections[name].label)
        at += len(name.split())
    return out


def _form(blocks: Blocks, names: Names, found: Findings) -> list[tuple[str, Line, syntax.Use]] | None:
    """The sections' keys in the order of the form, each with its place; None where there is no form. Sections that only the
    form names (`break as verse`) are added to `names`."""
    lines = blocks.headers.get("form", [])
    if not lines:
        return None
    order: list[tuple[str, Line, syntax.Use]] = []
    refused: set[str] = set()
    for line in lines:
        for use in line.node.uses if isinstance(line.node, syntax.Form) else ():
            if found.full:
                return order
            name = _resolve(use, names)
            if name is None and use.source is not None and use.source.text and key(use.text) not in refused:
                source = _source(blocks, names, use, line, found)
                if source is None:
                    refused.add(key(use.text))
                else:
                    name = key(use.text)
                    names.add(use, Named(Block(line, use, None), use.text, source))
                    if len(names.sections) == MOST_SECTIONS + 1:
                        help = "make two charts of it"
                        found.add("limit-sections", f"a chart has {MOST_SECTIONS} sections at most", line.span(use), help)  # fmt: skip
            elif name is None and use.source is None:
                _unknown(blocks, names, use, line, found)
            if name is not None:
                names.used.add(name)
                order.append((name, line, use))
    # a form line that could not be read, or a misspelled name, may have meant any section
    if "form" not in blocks.broken and blocks.names_known and not names.doubt:
        for name, named in names.sections.items():
            if name not in names.used:
                help = "name it in the form, or take it away"
                span = named.block.line.span(named.block.use)
                found.add("section-unused", f'the section "{named.label}" is never played', span, help, [(lines[0].span(), "the form")])  # fmt: skip
    return order


def _resolve(use: syntax.Use, names: Names) -> str | None:
    """The key of the section that an entry of the form means: the one of that name, or the only one that borrows under it."""
    if key(use.text) in names.sections:
        return key(use.text)
    if use.source is not None:
        return None
    borrowing = names.borrowing.get(key(use.text), [])
    return borrowing[0] if len(borrowing) == 1 else None


def _song(
    heads: Headers,
    names: Names,
    form: list[tuple[str, Line, syntax.Use]] | None,
    bodies: dict[int, Body | None],
    found: Findings,
) -> Song | None:
    assert heads.key is not None and heads.meter is not None
    taken: set[str] = set()
    sections: list[Section] = []
    index: dict[str, int] = {}
    printed = 0
    for name, named in names.sections.items():
        got = bodies.get(id(named.source or named.block))
        assert got is not None, "a section without measures has been reported"
        index[name] = len(sections)
        sections.append(section(named.block, named.label, got, taken, named.source is not None))
        printed += len(got.measures)
        if printed > MOST_PRINTED:
            help = "make two charts of it"
            message = f"a chart prints {MOST_PRINTED} measures at most"
            found.add("limit-measures", message, named.block.line.span(), help)
            return None
    entries = form if form is not None else [(n, s.block.line, s.block.use) for n, s in names.sections.items()]
    order: list[Passage] = []
    total = 0
    for name, line, use in entries:
        where = sections[index[name]]
        opens = (0,) if where.pickup and not order else ()
        order.append(Passage(index[name], opens + where.played))
        total += len(where.played)
        if total > MOST_PLAYED:
            message = f"the form plays more than {count(MOST_PLAYED, 'measure')}"
            found.add("limit-form", message, line.span(use), "shorten the form or the repeats")
            return None
    # sheets print the sections as they are met; one that is only borrowed from is not played and not printed
    met = list(dict.fromkeys(passage.section for passage in order))
    return Song(
        heads.title,
        heads.credit,
        heads.key,
        heads.key,
        heads.meter,
        heads.tempo,
        heads.melody,
        tuple(sections[n] for n in met),
        tuple(Passage(met.index(p.section), p.measures) for p in order),
        language=heads.language,
    )
