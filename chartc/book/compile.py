"""One chart, from its text to the bytes of every file that is made from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from chartc.chart import Vocabulary, read_chart
from chartc.chart.song import Measure, Request, Section, Song, in_key, with_requests
from chartc.licks.lick import REST, ROLES
from chartc.player import Player
from chartc.slots.choose import fill_ways
from chartc.slots.part import Part
from chartc.text.diagnostic import Diagnostic, has_errors, in_order
from chartc.text.source import Source
from chartc.theory import pitch
from chartc.theory.asked import ALL_KEYS
from chartc.theory.key import Key, all_keys, names_mode, parse_key, usual


def keys_for(song: Song, words: Sequence[str], file: str) -> tuple[tuple[Key, ...], tuple[Diagnostic, ...]]:
    """The keys asked for, in the song's mode and spelled as charts write them; each once, the written key where none is asked
    for. A contrary mode is an error."""
    out: dict[int, Key] = {}
    found = []
    for word in words:
        if word.lower() == ALL_KEYS:
            for key in all_keys(song.key.mode):
                out.setdefault(pitch.pitch_class(key.tonic), _spelled(song, key.tonic))
            continue
        asked = parse_key(word)
        assert asked is not None
        if names_mode(word) and asked.mode != song.key.mode:
            found.append(
                Diagnostic("key-mode", f'"{word}" is {asked.mode}, but the song is {song.key.mode}', file=file,
                           help=f"ask for the tonic alone, such as {pitch.plain(pitch.name(asked.tonic))}: the song keeps its mode")
            )  # fmt: skip
            continue
        out.setdefault(pitch.pitch_class(asked.tonic), _spelled(song, asked.tonic))
    return (tuple(out.values()) if words else (song.key,)), tuple(found)


def _spelled(song: Song, tonic: int) -> Key:
    """The key of the song's mode on a tonic; the chart's own spelling stands where it is the chart's own key."""
    if pitch.pitch_class(tonic) == pitch.pitch_class(song.key.tonic):
        return song.key
    return usual(pitch.pitch_class(tonic), song.key.mode)


@dataclass(slots=True)
class Compiled:
    """What came of a chart: the song (None where the chart is wrong), its parts key by key, and the findings."""

    song: Song | None = None
    parts: list[Part] = field(default_factory=list)
    found: list[Diagnostic] = field(default_factory=list)


def vocabulary(player: Player) -> Vocabulary:
    """The words that a chart may use with a player's library, and with those who play along."""
    names = {*player.means.library.by_name, *(name for name, _ in player.lacking)}
    return Vocabulary(frozenset(ROLES) | {REST}, frozenset(names))


def read_song(source: Source, player: Player) -> tuple[Song | None, tuple[Diagnostic, ...]]:
    """The song of a chart's text as it is for a player, with every finding: what is printed must also have its signs in the type, and of a
    lick that the player lacks the song is free."""
    song, found = read_chart(source, vocabulary(player))
    if song is None:
        return None, found
    found = (*found, *_unprintable(song, source))
    if player.lacking:
        song, lacked = _without_lacking(song, player)
        found = (*found, *lacked)
    found = in_order(found)
    return (None if has_errors(found) else song), found


def _without_lacking(song: Song, player: Player) -> tuple[Song, list[Diagnostic]]:
    """The song without the pins of licks that the player lacks, with a remark for each such lick, and a warning for each pin. What is asked for
    beside the lick stays."""
    lacking = {name: why for name, why in player.lacking if name not in player.means.library.by_name}
    whose = f"{player.name}'s part" if player.name else "the part"
    found: list[Diagnostic] = []
    places: dict[str, list[str]] = {}

    def each(section: Section, measure: Measure, r: Request) -> Request | None:
        if r.lick is None or r.lick not in lacking:
            return r
        places.setdefault(r.lick, []).append(f"{section.label} {measure.number}")
        help = "what else is asked for there stays; a role, such as fill, is for every player"
        message = f'"{r.lick}" {lacking[r.lick]}: {whose} does without it'
        found.append(Diagnostic("request-unmet", message, r.span, help, "warning"))
        return replace(r, lick=None)

    free = with_requests(song, each)
    remarks = (f"{', '.join(dict.fromkeys(at))}: without {lick}, which {lacking[lick]}" for lick, at in places.items())
    return replace(free, remarks=tuple(remarks)), found


def compile_chart(source: Source, player: Player, key_words: Sequence[str], ways: int = 1) -> Iterator[Compiled]:
    """Compiles a chart key by key, in so many ways; yields the growing result after each key, so that progress can be shown."""
    out = Compiled()
    song, found = read_song(source, player)
    out.found.extend(found)
    if song is None:
        yield out
        return
    keys, errors = keys_for(song, key_words, source.name)
    out.found.extend(errors)
    if not keys:
        yield out
        return
    for key in keys:
        parts, found = fill_ways(in_key(song, key), player.means, ways)
        out.found.extend(found)
        out.parts.extend(remarked(parts))
        yield out
    out.song = song


def remarked(parts: Iterable[Part]) -> list[Part]:
    """The parts with the remarks of their songs."""
    return [replace(p, remarks=(*p.song.remarks, *p.remarks)) if p.song.remarks else p for p in parts]


def _unprintable(song: Song, source: Source) -> Iterator[Diagnostic]:
    """Characters on the sheet that the type does not have, each at its first place in the chart."""
    from chartc.type.faces import missing
    from chartc.type.printable import lacking

    printed = [song.title, song.credit, *(s.label for s in song.sections)]
    printed += [word for s in song.sections for word in (s.lead, s.fills, s.chop)]
    printed += [m.words for s in song.sections for m in s.measures]
    for char in dict.fromkeys(missing("".join(printed))):
        for number, line in enumerate(source.lines, 1):
            column = line.partition(";")[0].find(char) + 1
            if column:
                yield lacking(char, source.span(number, column, column + 1))
                break
        else:
            yield lacking(char, None, source.name)
