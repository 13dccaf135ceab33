"""Set lists and songbooks: a document for each player."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Protocol

from chartc.book.binding import Song, book, bound
from chartc.book.builder import Band, Run, task_key
from chartc.book.charts import Outcome
from chartc.book.gather import relist
from chartc.book.lists import BookList, read_list
from chartc.book.make import Made, Task, Wanted
from chartc.book.players import LoadPlayer, Seat, Seats, seats
from chartc.book.pool import Failed
from chartc.book.resolve import Resolved, resolve
from chartc.player import Player
from chartc.store.stamp import digest
from chartc.text.diagnostic import has_errors
from chartc.text.reading import decode
from chartc.type.printable import unprintable


class Counted(Protocol):
    """Is told how much there is to do, and after each chart whether it failed."""

    def more(self, count: int) -> None: ...

    def step(self, what: str, failed: bool) -> None: ...


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of every book: `kinds` stand above what the players say, where they are given; `paper_of` names a player's paper;
    the files go to `out`; `png` asks for a picture of each page too, `midi` for files to play along with at these tempos (percents), and
    `musicxml` for notation."""

    kinds: tuple[str, ...]
    paper_of: Callable[[Player], str]
    out: Path
    png: bool = False
    midi: tuple[int, ...] = ()
    musicxml: bool = False


def build_books(
    run: Run,
    names: Sequence[str],
    usual: Player,
    load: LoadPlayer | None,
    asked: Asked,
    progress: Counted,
) -> Outcome:
    """Builds the book of every list for each of its players; for the player `usual` alone where the list names none or `load` is None."""
    outcome = Outcome()
    for name in names:
        before = len(outcome.failed), len(outcome.trouble)
        _list(run, name, usual, load, asked, outcome, progress)
        if (len(outcome.failed), len(outcome.trouble)) != before:
            run.incomplete.add(name)
    return outcome


def _list(
    run: Run, name: str, usual: Player, load: LoadPlayer | None, asked: Asked, outcome: Outcome, progress: Counted
) -> None:
    """Builds the books of one list."""

    def failed(what: str) -> None:
        progress.more(1)
        outcome.failed.append(what)
        progress.step(what, True)

    try:
        source, found = decode(run.read(name), name)
    except OSError as error:
        outcome.trouble.append((name, error.strerror or str(error)))
        failed(name)
        return
    outcome.found.extend(found)
    listed = None
    if source is not None:
        listed, found = read_list(source, Path(name), run.read)
        outcome.found.extend(found)
    if listed is None or not listed.sound:
        if listed is not None:
            # nothing is made of it, but what else is wrong is said at once
            _, found, trouble = resolve(listed, usual, run.read)
            outcome.found.extend(found)
            outcome.trouble.extend(trouble)
        failed(name)
        return
    for listing in listed.listings:
        run.record.listings[listing] = relist(listing)
    playing = seats(listed, usual, load)
    outcome.found.extend(playing.found)
    for path in playing.missing:
        # nobody noted which files such a player consists of, so that the next run must look again
        run.whole = False
        failed(f"{name} for {path}")
    for seat in playing.seats:
        # the player's name stands on the pages
        lacking = tuple(unprintable([seat.player.written]))
        if lacking:
            outcome.found.extend(lacking)
            failed(f"{name} for {seat.player.name}")
            continue
        _one(run, name, listed, seat, playing, asked, outcome, progress)


def _one(
    run: Run, name: str, listed: BookList, seat: Seat, playing: Seats, asked: Asked, outcome: Outcome, progress: Counted
) -> None:
    player = seat.player
    kinds, paper = asked.kinds or player.sheets or ("backup",), asked.paper_of(player)
    resolved, found, trouble = resolve(listed, player, run.read)
    outcome.found.extend(found)
    outcome.trouble.extend(trouble)
    band = run.band(player)
    jobs = [
        (band, Task(c.listed.path, c.text, Wanted(c.keys, 1, kinds, paper, asked.midi, asked.musicxml)))
        for c in resolved.songs
    ]
    made: list[Made] = [Made()] * len(jobs)
    progress.more(len(jobs))
    for n, result in run.results(jobs):
        chart = jobs[n][1].name
        bad = isinstance(result, Failed)
        if isinstance(result, Failed):
            outcome.defects.append((chart, result.words))
        else:
            made[n] = result
            outcome.found.extend(playing.said(result.found, player))
            bad = has_errors(result.found)
        if bad:
            outcome.failed.append(f"{chart} for {player.name}" if len(playing.seats) > 1 else chart)
        progress.step(chart, bad)
    if not any(m.sheets for m in made):
        return
    path = asked.out / f"{seat.named(Path(name).stem)}.pdf"
    origin = _origin(listed, resolved, jobs, player, paper)
    try:
        run.write(path, origin, lambda: book(listed, resolved, made, player.name, paper))
        if asked.png:
            _pictures(run, path, origin)
        _files(run, name, path, origin, listed, bound(listed, resolved, made))
    except OSError as error:
        outcome.trouble.append((str(path), error.strerror or str(error)))


def _files(run: Run, name: str, path: Path, origin: str, listed: BookList, songs: Sequence[Song]) -> None:
    """The songs' own files beside the book of the list `name`, numbered as the book has them: the number in the set, and before it that
    of the set where there are several. Raises OSError."""
    digits = max(2, len(str(max((song.number for song in songs), default=0))))
    sets = len(str(len(listed.sets)))
    for song in songs:
        chart = Path(song.chosen.listed.path).stem
        place = f"{song.number:0{digits}}"
        if len(listed.sets) > 1:
            place = f"{song.chosen.set + 1:0{sets}}-{place}"
        for file in song.made.files:
            key = song.made.facts[file.part].file_word
            to = path.with_name(f"{path.stem}-{place}-{chart}-{key}-backup{file.ending}")
            origin_of = digest(f"{origin} {to.name}".encode("utf-8", "surrogateescape"))
            run.write(to, origin_of, partial(bytes, file.data), beside=name)


def _pictures(run: Run, path: Path, origin: str) -> None:
    """A picture of each page, beside the book. Raises OSError."""
    from chartc.press.picture import page_count, picture

    document = path.read_bytes()
    for number in range(page_count(document)):
        to = path.with_name(f"{path.stem}-{number + 1}.png")
        run.write(to, digest(f"{origin} {number}".encode()), partial(picture, document, number))


def _origin(listed: BookList, resolved: Resolved, jobs: Sequence[tuple[Band, Task]], player: Player, paper: str) -> str:
    """The digest of all that a book is made from."""
    songs = [
        [task_key(*job), c.listed.singers, c.listed.kickoff, c.listed.ending, c.listed.notes, c.listed.seconds, c.set]
        for job, c in zip(jobs, resolved.songs, strict=True)
    ]
    sets = [s.name for s in listed.sets]
    said = [
        listed.kind,
        listed.title,
        listed.date,
        listed.place,
        sets,
        listed.facing,
        listed.by_title,
        player.name,
        paper,
    ]
    paths = [c.listed.path for c in resolved.songs]
    return digest(json.dumps([said, songs, paths, resolved.moves, resolved.moves_as_listed]).encode())
