"""One player's book: set page, contents, songs, index, bound into one document."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from chartc.book.front import LARGE, SMALL, Laid, Row, figures_for, front, minutes
from chartc.book.lists import BookList
from chartc.book.make import Facts, Made
from chartc.book.resolve import Chosen, Resolved
from chartc.press import Drawn, Leaf, Link, bind, draw
from chartc.sheet.marks import Mark, Page, Text, ending_at
from chartc.sheet.paper import PAPERS, Paper
from chartc.theory.pitch import plain
from chartc.type.faces import wrap

NOT_FILLED = "This page is left empty, so that the next song lies open before you."


@dataclass(frozen=True, slots=True)
class Song:
    """A song as it is bound: what was made of it and where it stands in the list (`number` from 1 within its set)."""

    chosen: Chosen
    made: Made
    number: int

    @property
    def facts(self) -> Facts:
        """The facts of its first key."""
        return self.made.facts[0]


def book(listed: BookList, resolved: Resolved, made: Sequence[Made], player: str, paper_name: str) -> bytes:
    """The book as PDF. `made` has what came of each of the resolved songs; those of which nothing came are left out. Raises ValueError
    where nothing is left."""
    paper = PAPERS[paper_name]
    songs = bound(listed, resolved, made)
    if not songs:
        raise ValueError("a book needs a song")
    # an empty page may stand before each sheet, and no list gives a song more than a page
    sheets = [sheet for song in songs for sheet in song.made.sheets]
    figures = figures_for(sum(len(s.pages) + 1 for s in sheets) + 4 * len(songs) + 4)
    opening, closing = front_pages(listed, resolved, songs, player, paper, figures)
    places, leaves = _bound(songs, listed, paper, len(opening))
    count = len(opening) + len(leaves)
    head = listed.title
    out = [_leaf(f, k, head, paper, places) for k, f in enumerate(opening)]
    out += leaves
    out += [_leaf(f, count + k, head, paper, places) for k, f in enumerate(closing)]
    return bind(out, f"{head} ({player})" if player else head)


def bound(listed: BookList, resolved: Resolved, made: Sequence[Made]) -> list[Song]:
    """The songs that have sheets, in the order in which the book has them."""
    pairs = [(c, m) for c, m in zip(resolved.songs, made, strict=True) if m.sheets]
    if listed.by_title:
        pairs.sort(key=lambda p: (p[1].facts[0].title.casefold(), p[0].listed.path))
    out: list[Song] = []
    for chosen, one in pairs:
        number = out[-1].number + 1 if out and out[-1].chosen.set == chosen.set else 1
        out.append(Song(chosen, one, number))
    return out


def _bound(songs: Sequence[Song], listed: BookList, paper: Paper, first: int) -> tuple[list[int], list[Leaf]]:
    """The leaves of all songs, and for each song the index of its first page in the book. Pages with an odd index lie on the left."""
    out: list[Leaf] = []
    places = []
    for n, song in enumerate(songs):
        opened = False
        entry: tuple[str, ...] = ()
        if listed.kind == "set-list":
            if n == 0 or songs[n - 1].chosen.set != song.chosen.set:
                entry = (listed.sets[song.chosen.set].name,)
        elif n == 0:
            entry = ("Songs",)
        for sheet in song.made.sheets:
            if listed.facing and len(sheet.pages) > 1 and (first + len(out)) % 2 == 0:
                blank = _empty(paper)
                out.append(Leaf(blank, _over(listed.title, "", first + len(out), paper), (), str(first + len(out) + 1)))
            for page in sheet.pages:
                at = first + len(out)
                if not opened:
                    places.append(at)
                over = _over(_header(listed, song), "", at, paper)
                out.append(Leaf(page, over, (), str(at + 1), 1, () if opened else entry))
                opened = True
    return places, out


def _header(listed: BookList, song: Song) -> str:
    if listed.kind == "songbook":
        return listed.title
    name = listed.sets[song.chosen.set].name
    return f"{listed.title} \N{MIDDLE DOT} {name}, {song.number}"


@lru_cache(maxsize=8)
def _empty(paper: Paper) -> Drawn:
    x = paper.width / 2
    marks: list[Mark] = []
    for k, line in enumerate(wrap(NOT_FILLED, "italic", 10.0, paper.room)):
        text = Text(x, paper.height / 2 + 13 * k, line, "italic", 10.0, "empty", 0.4)
        marks.append(Text(x - text.width / 2, text.y, line, "italic", 10.0, "empty", 0.4))
    return draw(Page(paper, tuple(marks), ""))


def _over(header: str, right: str, index: int, paper: Paper) -> Drawn:
    """Header and page number; the number stands at the outer edge. Left pages have an odd index."""
    y = paper.height - 18
    words = str(index + 1)
    left = index % 2 == 1
    lines = wrap(header, "regular", 8.0, paper.room)
    marks: list[Mark] = [
        Text(paper.left, y, words, "bold", 10.0, "book-page")
        if left
        else ending_at(paper.edge, y, words, "bold", 10.0, "book-page")
    ]
    if lines:
        short = lines[0] + (" ..." if len(lines) > 1 else "")
        marks.append(
            Text(paper.left, 22.0, short, "regular", 8.0, "header", 0.4)
            if left
            else ending_at(paper.edge, 22.0, short, "regular", 8.0, "header", 0.4)
        )
    return draw(Page(paper, tuple(marks), ""), artifact=True)


def _leaf(laid: Laid, index: int, head: str, paper: Paper, places: Sequence[int]) -> Leaf:
    f = laid.numbered(lambda n: str(places[n] + 1))
    links = tuple(Link(box, places[to], words) for box, to, words in f.links)
    return Leaf(draw(f.page), _over(head, "", index, paper), links, str(index + 1))


# --- what stands on the pages before and after the songs ----------------------------------------------------------------------


def front_pages(
    listed: BookList, resolved: Resolved, songs: Sequence[Song], player: str, paper: Paper, figures: int
) -> tuple[tuple[Laid, ...], tuple[Laid, ...]]:
    """The pages before the songs and those after them, but for the page numbers of the songs, which have so many figures at most."""
    about = [w for w in (listed.date, listed.place, f"for {player}" if player else "") if w]
    under = [" \N{MIDDLE DOT} ".join(about)] if about else []
    opening: tuple[Laid, ...] = ()
    if listed.kind == "set-list":
        opening += front(
            paper, listed.title, [*under, *_totals(resolved, songs)], _set_rows(listed, songs), LARGE, 1, figures
        )
        rows = _by_set(listed, songs)
        opening += front(paper, "Contents", (), rows, SMALL, 1 if len(rows) < 40 else 2, figures)
    else:
        rows = [Row(s.facts.title, to=n) for n, s in enumerate(songs)]
        opening += front(paper, listed.title, [*under, f"{len(songs)} songs", "Contents"], rows, SMALL, 2, figures)
    by_title = sorted(range(len(songs)), key=lambda n: (songs[n].facts.title.casefold(), n))
    titles = [Row(songs[n].facts.title, _keys(songs[n]), to=n) for n in by_title]
    closing = front(paper, "Index by title", (), titles, SMALL, 2, figures)
    closing += front(paper, "Index by key", (), _by_key(songs), SMALL, 2, figures)
    return opening, closing


def _keys(song: Song) -> str:
    return ", ".join(dict.fromkeys(f.key for f in song.made.facts))


def _by_set(listed: BookList, songs: Sequence[Song]) -> list[Row]:
    out: list[Row] = []
    for number, group in groupby(enumerate(songs), key=lambda p: p[1].chosen.set):
        out.append(Row(listed.sets[number].name, heading=True))
        out += [Row(s.facts.title, number=f"{s.number}", to=n) for n, s in group]
    return out


def _by_key(songs: Sequence[Song]) -> list[Row]:
    places: dict[str, list[int]] = {}
    for n, s in enumerate(songs):
        for key in dict.fromkeys(f.key for f in s.made.facts):
            places.setdefault(key, []).append(n)
    out: list[Row] = []
    for key in sorted(places, key=lambda k: (plain(k)[:1], plain(k)[1:])):
        out.append(Row(key, heading=True))
        out += [
            Row(songs[n].facts.title, to=n) for n in sorted(places[key], key=lambda n: songs[n].facts.title.casefold())
        ]
    return out


def _length(song: Song) -> float:
    listed = song.chosen.listed
    return song.facts.seconds if listed.seconds is None else listed.seconds


def _totals(resolved: Resolved, songs: Sequence[Song]) -> list[str]:
    out = [f"{len(songs)} songs, {minutes(sum(map(_length, songs)))} of music"]
    if resolved.moves is not None and resolved.moves_as_listed is not None:
        counted = f"{resolved.moves} move{'' if resolved.moves == 1 else 's'}"
        out.append(f"ordered within each set for the fifth string: {counted}, {resolved.moves_as_listed} as listed")
    return out


def _set_rows(listed: BookList, songs: Sequence[Song]) -> list[Row]:
    out: list[Row] = []
    for number, group in groupby(enumerate(songs), key=lambda p: p[1].chosen.set):
        here = list(group)
        out.append(Row(listed.sets[number].name, minutes(sum(_length(s) for _, s in here)), heading=True))
        for n, s in here:
            f, wanted = s.facts, s.chosen.listed
            sings = " and ".join(wanted.singers)
            details = [
                f.meter,
                f.tempo,
                minutes(_length(s)),
                f"{sings} sing{'s' if len(wanted.singers) == 1 else ''}" if sings else "",
                f"kickoff: {wanted.kickoff}" if wanted.kickoff else "",
                f"ending: {wanted.ending}" if wanted.ending else "",
                f"5th string: {f.fifth}" if f.fifth and f.fifth != "none" else "",
                wanted.notes,
            ]
            out.append(Row(f.title, f"{f.key}  ", str(s.number), " \N{MIDDLE DOT} ".join(d for d in details if d), n))
    return out
