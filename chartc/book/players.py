"""Those who play from a list: each with a name for the files, knowing of the others' licks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from chartc.book.lists import BookList
from chartc.player import Player
from chartc.text.diagnostic import Diagnostic

LoadPlayer = Callable[[str], tuple[Player | None, tuple[Diagnostic, ...]]]
"""A player by the path of the settings. Raises OSError."""

OF_ONE_PART = frozenset({"request-unmet", "slot-silent", "join-unplayable", "ways-fewer"})
"""Codes of findings that are about one player's part, and not about the chart."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A player of a list; `stem` is what the names of the player's files end in, empty where the list names no players."""

    player: Player
    stem: str = ""

    def named(self, stem: str) -> str:
        """The beginning of a file's name with the player's own ending."""
        return f"{stem}-{self.stem}" if self.stem else stem


@dataclass(frozen=True, slots=True)
class Seats:
    """The players of a list in its order; the paths of those who could not be read; and the findings in their files."""

    seats: tuple[Seat, ...]
    missing: tuple[str, ...] = ()
    found: tuple[Diagnostic, ...] = ()

    def said(self, found: Iterable[Diagnostic], player: Player) -> list[Diagnostic]:
        """Findings as they are said of a player: where several play, what is about one part says whose."""
        return [of_part(d, player) for d in found] if len(self.seats) > 1 else list(found)


def of_part(d: Diagnostic, player: Player) -> Diagnostic:
    """A finding with the player's name, where it is about one part and does not say whose."""
    whose = f"{player.name}'s part"
    if d.code not in OF_ONE_PART or not player.name or whose in d.message:
        return d
    return replace(d, message=f"{whose}: {d.message}")


def seats(listed: BookList, usual: Player, load: LoadPlayer | None) -> Seats:
    """The players of a list; the player `usual` alone where the list names none or `load` is None."""
    if load is None or not listed.players:
        return Seats((Seat(usual),))
    out: list[Seat] = []
    missing: list[str] = []
    found: list[Diagnostic] = []
    for path, span in listed.players:
        try:
            player, errors = load(path)
        except OSError as error:
            player, help = None, "a path in this file is relative to the file"
            errors = (Diagnostic("file-unreadable", f"{path}: {error.strerror or error}", span, help),)
        found.extend(errors)
        if player is None:
            missing.append(path)
            continue
        stem, taken = Path(path).stem, {s.stem for s in out}
        names = (stem, *(f"{stem}-{n}" for n in range(2, len(out) + 3)))
        out.append(Seat(player, next(n for n in names if n not in taken)))
    players = knowing_each_other([s.player for s in out])
    return Seats(tuple(replace(s, player=p) for s, p in zip(out, players, strict=True)), tuple(missing), tuple(found))


def knowing_each_other(players: Sequence[Player]) -> list[Player]:
    """The players, each knowing of the licks that only others have."""
    owners: dict[str, list[str]] = {}
    for player in players:
        library = player.means.library
        for lick in (*library.licks, *library.beyond):
            owners.setdefault(lick.name, []).append(player.name)
    out = []
    for player in players:
        known = {*player.means.library.by_name, *(name for name, _ in player.lacking)}
        theirs = [(name, _whose(who)) for name, who in sorted(owners.items()) if name not in known]
        out.append(replace(player, lacking=(*player.lacking, *theirs)))
    return out


def _whose(names: Sequence[str]) -> str:
    return f"is a lick of {' and '.join(dict.fromkeys(names))}"
