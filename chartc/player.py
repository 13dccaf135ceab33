"""One player's settings: instrument, tuning, spikes, limits of the hand, weights, licks, rules, sheet and paper."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from chartc.licks.library import load_library, own_sources
from chartc.licks.lick import Library
from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.neck.instruments import five_string_banjo, known, own_instrument, tuned
from chartc.slots.choose import Means
from chartc.slots.rulebook import LEVELS, WEIGHTS, against, load_rulebook, own_rules
from chartc.text.diagnostic import Diagnostic, has_errors, nearest
from chartc.text.reading import read
from chartc.text.source import Source
from chartc.text.tree import Leaf, Picker, Table, read_tree
from chartc.theory.meter import NOTE_WORDS, Tempo

SPIKES = (7, 9, 10)
"""Frets at which a banjo's short string usually has a spike (banjo teachers' pages; a player's own banjo is the player's setting)."""


@dataclass(frozen=True)
class Player:
    """All that a player settles once. `sheets` and `paper` are what is printed where the command line does not say; `files` are
    those that the settings were read from. `lacking` are the names of licks that a chart may pin though this player has no such lick, each
    with the reason (`is a lick of Wend Askary`). `written` is the name as the file has it, and `instrument_written` that of an instrument that
    the file describes: places for what is found where they are printed."""

    name: str
    means: Means
    sheets: tuple[str, ...] = ()
    paper: str = ""
    files: tuple[Path, ...] = ()
    lacking: tuple[tuple[str, str], ...] = ()
    written: Leaf | None = None
    instrument_written: Leaf | None = None


def load_player(
    path: Path | None, sheets: tuple[str, ...], papers: tuple[str, ...]
) -> tuple[Player | None, tuple[Diagnostic, ...]]:
    """The player of a settings file, or the usual player where `path` is None; None and the findings where something is wrong.

    `sheets` and `papers` are the names that may be asked for. Raises OSError where a file cannot be read.
    """
    found: list[Diagnostic] = []
    if path is None:
        return Player("", _means("", five_string_banjo(), SPIKES, Limits(), {}, (), (), found)), tuple(found)
    source, errors = read(path)
    found.extend(errors)
    tree = None
    if source is not None:
        tree, errors = read_tree(source)
        found.extend(errors)
    if tree is None:
        return None, tuple(found)
    if not isinstance(tree, Table):
        found.append(
            Diagnostic("yaml-kind", "a player's file is a table", tree.span, "begin it with a line: player: the name")
        )
        return None, tuple(found)
    pick = Picker(tree, "a player's file", found)
    name = pick.leaf("player", required=True)
    instrument = _instrument(pick, found)
    spikes: tuple[int, ...] = SPIKES
    pick.taken.add("spikes")
    if "spikes" in tree.entries:
        spikes = tuple(sorted({pick.as_number(leaf, 1, instrument.frets, 0) for leaf in pick.leaves("spikes")}))
    limits = _limits(pick, found)
    weights: dict[str, int] = {}
    node = pick.node("weights")
    if isinstance(node, Table):
        own = Picker(node, "the table of weights", found)
        weights = {w: own.number(w, 0, 0, 1000) for w in WEIGHTS if w in node.entries}
        own.taken.update(WEIGHTS)
        own.done()
    elif node is not None:
        pick.error("yaml-kind", '"weights" is a table of names and numbers', node.span)
    licks = _files(pick, "licks", path, found)
    rules = _files(pick, "rules", path, found)
    wanted = pick.words("sheet", sheets)
    paper = pick.word("paper", papers, "") if "paper" in tree.entries else ""
    pick.taken.add("paper")
    level = pick.word("level", LEVELS, Means.level)
    pick.done()
    if has_errors(found) or name is None:
        return None, tuple(found)
    described = tree.entries.get("instrument")
    instrument_name = described.entries.get("name") if isinstance(described, Table) else None
    means = replace(_means(name.text, instrument, spikes, limits, weights, licks, rules, found), level=level)
    files = (path, *(Path(source.name) for source in (*licks, *rules)))
    if has_errors(found):
        return None, tuple(found)
    player = Player(
        name.text,
        means,
        wanted,
        paper,
        files,
        tuple((lick.name, f"lies beyond the limits of {name.text}") for lick in means.library.beyond),
        name,
        instrument_name if isinstance(instrument_name, Leaf) else None,
    )
    return player, tuple(found)


def _means(
    name: str,
    instrument: Instrument,
    spikes: tuple[int, ...],
    limits: Limits,
    weights: dict[str, int],
    licks: tuple[Source, ...],
    rules: tuple[Source, ...],
    found: list[Diagnostic],
) -> Means:
    # the program's own licks are written for its own banjo; a player's are proven on the player's instrument
    own, errors = load_library(own_sources(), five_string_banjo(), Limits())
    found.extend(errors)
    library = own
    names: set[str] = set()
    if licks:
        theirs, errors = load_library(licks, instrument, limits, name)
        found.extend(errors)
        names = set(theirs.by_name)
        first = len(own.licks)
        library = Library(
            tuple(x for x in own.licks if x.name not in names)
            + tuple(replace(x, order=x.order + first) for x in theirs.licks),
            tuple(x for x in theirs.beyond if x.name not in own.by_name),
        )
    book, errors = load_rulebook((own_rules(), *rules), names)
    found.extend(errors)
    if not has_errors(errors):
        # a rule may speak of a lick that lies beyond this player: players share rules as they share licks
        found.extend(against(book, Library((*library.licks, *library.beyond))))
    if weights:
        book = replace(book, weights=tuple({**book.weight, **weights}.items()))
    return Means(instrument, spikes, limits, library, book)


def _instrument(pick: Picker, found: list[Diagnostic]) -> Instrument:
    """The instrument by name, or by a table of its own; then its tuning. Of an instrument that is not known no tuning is, so that one
    mistake makes one finding."""
    node = pick.node("instrument")
    tunings: dict[str, Instrument] | None = known()["five-string banjo"]
    if isinstance(node, Leaf):
        tunings = known().get(node.text)
        if tunings is None:
            pick.error("instrument-unknown", f'there is no instrument "{node.text}"{nearest(node.text, known())}', node.span,
                       f"known: {', '.join(known())}; or write a table with name, scale-mm, frets and tunings")  # fmt: skip
    elif isinstance(node, Table):
        tunings = own_instrument(node, found) or None
    elif node is not None:
        tunings = None
        pick.error("yaml-kind", '"instrument" is a name or a table', node.span)
    leaf = pick.leaf("tuning")
    if tunings is None:
        return five_string_banjo()
    usual = next(iter(tunings.values()))
    return (tuned(tunings, leaf, found) if leaf is not None else usual) or usual


def _limits(pick: Picker, found: list[Diagnostic]) -> Limits:
    node = pick.node("limits")
    usual = Limits()
    if node is None:
        return usual
    if not isinstance(node, Table):
        pick.error("yaml-kind", '"limits" is a table', node.span, "write: limits: {comfortable-mm: 90}")
        return usual
    own = Picker(node, "the table of limits", found)
    limits = Limits(
        comfortable_mm=own.decimal("comfortable-mm", usual.comfortable_mm, 1, 400),
        most_mm=own.decimal("most-mm", usual.most_mm, 1, 400),
        shift_ms=own.decimal("shift-ms", usual.shift_ms, 1, 2000),
        guided_ms=own.decimal("guided-shift-ms", usual.guided_ms, 1, 2000),
        release_ms=own.decimal("release-ms", usual.release_ms, 0, 1000),
        pick_ms=own.decimal("pick-ms", usual.pick_ms, 1, 1000),
        even_ms=own.decimal("even-ms", usual.even_ms, 1, 1000),
        run_ms=_run_ms(own),
        highest_fret=own.number("highest-fret", usual.highest_fret, 1, 36),
        little_finger=own.flag("little-finger", True),
    )
    if limits.most_mm < limits.comfortable_mm:
        own.error("limits", "the widest stretch (most-mm) is less than the comfortable one (comfortable-mm)", node.span)
    own.done()
    return limits


def _run_ms(own: Picker) -> float:
    """The least time between two notes, from the fastest tempo at which the player rolls in eighth notes; 0 where none is given."""
    leaf = own.leaf("fastest")
    if leaf is None:
        return 0.0
    note, _, count = (part.strip() for part in leaf.text.partition("="))
    if note not in NOTE_WORDS or not (count.isascii() and count.isdecimal() and 20 <= int(count) <= 400):
        own.error(
            "limits",
            f'"{leaf.text}" is not a tempo',
            leaf.span,
            "write the fastest tempo for eighth notes: fastest: half = 110",
        )
        return 0.0
    return Tempo(note, int(count)).milliseconds(NOTE_WORDS["eighth"])


def _files(pick: Picker, key: str, path: Path, found: list[Diagnostic]) -> tuple[Source, ...]:
    """The files that an entry names, relative to the player's file."""
    out = []
    for leaf in pick.leaves(key):
        file = path.parent / leaf.text
        try:
            source, errors = read(file)
        except OSError as error:
            pick.error("file-unreadable", f'"{leaf.text}" cannot be read: {error.strerror}', leaf.span,
                       "a path in this file is relative to the file")  # fmt: skip
            continue
        found.extend(errors)
        if source is not None:
            out.append(source)
    return tuple(out)
