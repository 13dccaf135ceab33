"""From a list to what is printed: every song with its chart, its key and its place."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from chartc.book.compile import keys_for, read_song
from chartc.book.lists import BookList, Listed
from chartc.book.ranking import Sung, chosen, in_words, ranked, trio
from chartc.book.retuning import TUNED, Stand, least, moves, stand
from chartc.chart.song import Melody, Song, in_key
from chartc.player import Player
from chartc.slots.fifth import fifth_string
from chartc.text.diagnostic import Diagnostic
from chartc.text.reading import decode
from chartc.text.tree import Leaf
from chartc.theory.key import Key


@dataclass(frozen=True, slots=True)
class Chosen:
    """A song of a list: its chart's bytes, the keys asked for (the first is the one that is played), and the number of its set."""

    listed: Listed
    text: bytes
    keys: tuple[str, ...]
    set: int
    stand: Stand = TUNED


@dataclass(frozen=True, slots=True)
class Resolved:
    """The songs in the order in which they are printed, with how often the fifth string moves and would move as listed (both None where
    no order was asked for)."""

    songs: tuple[Chosen, ...]
    moves: int | None = None
    moves_as_listed: int | None = None


def resolve(
    book: BookList, player: Player, read: Callable[[str], bytes]
) -> tuple[Resolved, tuple[Diagnostic, ...], tuple[tuple[str, str], ...]]:
    """The songs of a list with their keys, the findings, and what could not be read (name and words). `player` is whose words the charts may use."""
    found: list[Diagnostic] = []
    trouble: list[tuple[str, str]] = []
    sets: list[list[Chosen]] = []
    for number, one in enumerate(book.sets):
        songs: list[Chosen] = []
        for listed in one.songs:
            try:
                text = read(listed.path)
            except OSError as error:
                trouble.append((listed.path, error.strerror or str(error)))
                continue
            if book.kind == "songbook":
                songs.append(Chosen(listed, text, book.keys, number))
                continue
            chosen, errors = _choose(listed, text, number, player)
            found.extend(errors)
            songs.append(chosen)
        sets.append(songs)
    if not book.least_retuning:
        return Resolved(tuple(c for songs in sets for c in songs)), tuple(found), tuple(trouble)
    at = TUNED
    out: list[Chosen] = []
    for songs in sets:
        order = least([c.stand for c in songs], at)
        out += [songs[n] for n in order]
        at = out[-1].stand if out else TUNED
    before = moves([c.stand for songs in sets for c in songs])
    return Resolved(tuple(out), moves([c.stand for c in out]), before), tuple(found), tuple(trouble)


def _choose(listed: Listed, text: bytes, number: int, player: Player) -> tuple[Chosen, list[Diagnostic]]:
    source, _ = decode(text, listed.path)
    song = None if source is None else read_song(source, player)[0]
    words = tuple(leaf.text for leaf in listed.more_keys)
    if song is None:
        # what is wrong with it is said when it is made
        own = (listed.key.text,) if listed.key is not None else ()
        return Chosen(listed, text, (*own, *words), number), []
    key, found = key_of(song, listed)
    for leaf in listed.more_keys:
        _, errors = keys_for(song, (leaf.text,), listed.path)
        found += [replace(e, span=leaf.span, file="") for e in errors]
    fifth = fifth_string(in_key(song, key), player.means.instrument, player.means.spikes)
    drone = player.means.instrument.drone
    at = TUNED if drone is None else stand(fifth.fret, fifth.pitch, player.means.instrument.strings[drone - 1].open)
    return Chosen(listed, text, (key.plain, *words), number, at), found


def key_of(song: Song, listed: Listed) -> tuple[Key, list[Diagnostic]]:
    """The key in which a listed song is played: the fixed one, else the one that a singer insists on, else the one that suits best,
    else the chart's own."""
    sung = trio(listed.sung)
    fixed, who = _fixed(listed)
    if fixed is not None:
        keys, found = keys_for(song, (fixed.text,), listed.path)
        if found or not keys:
            return song.key, [replace(e, span=fixed.span, file="") for e in found]
        return keys[0], _warned(song, song.melody, keys[0], sung, fixed, who)
    if not sung or song.melody is None:
        return song.key, []
    best = chosen(ranked(song.key, song.melody, sung))
    if not best.missing:
        return best.key, []
    message = f"no key fits: the nearest is {best.key.label}, {in_words(best, sung)}"
    other = ", another part in the singers file for who sings along (such as part: baritone)" if len(sung) > 1 else ""
    help = f"choose another singer{other}, or bend the melody there"
    return best.key, [Diagnostic("song-range", message, listed.span, help, "warning")]


def _fixed(listed: Listed) -> tuple[Leaf | None, str]:
    if listed.key is not None:
        return listed.key, ""
    real = os.path.realpath(listed.path)
    for singer in listed.sung:
        if real in singer.keys:
            return singer.keys[real], singer.name
    return None, ""


def _warned(
    song: Song, melody: Melody | None, key: Key, sung: Sequence[Sung], leaf: Leaf, who: str
) -> list[Diagnostic]:
    if melody is None or not sung:
        return []
    own = next(f for f in ranked(song.key, melody, sung) if (f.key.tonic - key.tonic) % 12 == 0)
    if not own.missing:
        return []
    best = ranked(song.key, melody, sung)[0]
    help = f"{best.key.label} fits" if not best.missing else f"no key fits; {best.key.label} is the nearest"
    said = f'{key.label} for "{song.title}": {in_words(own, sung)}'
    return [Diagnostic("song-range", said, leaf.span, help, "warning")]
