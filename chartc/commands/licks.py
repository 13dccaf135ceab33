"""`chartc licks`: the lick library as a list, or written out as a printed book in any key."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from chartc.player import Player
    from chartc.text.diagnostic import Diagnostic
    from chartc.theory.key import Key

ROLE_NAMES = ("roll", "vamp", "lick", "fill", "lead-in", "kickoff", "turnaround", "ending")

USUAL_KEY = "G"


def add(commands: shared.Commands) -> None:
    """The command's options."""
    about = "list the licks, or print them as a book in the keys asked for"
    sub = shared.command(commands, "licks", run, about)
    shared.add_keys(sub, f"keys of the printed book, or: all (default: {USUAL_KEY})")
    sub.add_argument("--out", metavar="DIR", type=shared.folder, help="print the licks as DIR/licks-KEY.pdf")
    sub.add_argument("--paper", choices=shared.PAPER_NAMES, help="the paper (default: a4)")
    help = f"these roles only, with commas: {', '.join(ROLE_NAMES)}"
    sub.add_argument("--role", metavar="ROLE,...", type=shared.word_list(ROLE_NAMES, "role"), default=(), help=help)
    shared.add_player(sub)
    shared.add_format(sub)
    # no format of its own: with --out the list is printed only where it is asked for
    sub.set_defaults(format=None)


def run(args: argparse.Namespace) -> int:
    """Lists the licks, or writes the books."""
    from chartc.book.licklist import as_json, as_lines, listed

    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, None if args.out is None else {"files": []})
    if args.out is None and args.keys:
        shared.say("--keys is for the printed book; say where it goes with --out DIR")
        return shared.report(args, findings, shared.FAILED, None)
    result = None
    if args.out is None or args.format == "text":
        licks = listed(player.means.library, args.role)
        if args.format == "json":
            shared.print_json([as_json(x) for x in licks], indent=1)
        else:
            print("\n".join(as_lines(licks)))
    if args.out is not None:
        files: list[str] = []
        lacking = _unprintable(player, args.role)
        findings = [*findings, *lacking]
        if not lacking:
            code = _books(args, player, files, code)
        result = {"files": files}
    return shared.report(args, findings, code, result)


def _unprintable(player: Player, roles: Sequence[str]) -> tuple[Diagnostic, ...]:
    """What the book of these roles (all of them where none is given) would print and the type does not have."""
    from chartc.text.tree import Leaf
    from chartc.type.printable import unprintable

    licks = [x for x in player.means.library.licks if not roles or x.role in roles]
    about = [Leaf(x.about, x.span) for x in licks]
    return tuple(unprintable([player.written, player.instrument_written, *about]))


def _books(args: argparse.Namespace, player: Player, files: list[str], code: int) -> int:
    from chartc.book.lickbook import write_out
    from chartc.book.lickpages import lick_document
    from chartc.sheet import PAPERS

    paper = PAPERS[args.paper or player.paper or "a4"]
    keys = _keys(args.keys or (USUAL_KEY,))
    progress = shared.Progress(len(keys))
    for key in keys:
        progress.say(key.label)
        book = write_out(player.means, key, args.role)
        if book.shown:
            document = lick_document(book, paper, player.name)
            code = shared.write(args.out / f"licks-{key.file_word}.pdf", document, files, code)
        else:
            shared.say(f"no lick of the library can be played in {key.label} on this instrument")
            code = shared.FAILED
        progress.step(key.label)
    progress.end()
    return code


def _keys(words: tuple[str, ...]) -> tuple[Key, ...]:
    """The keys asked for, each once; `all` is the twelve major keys."""
    from chartc.theory import pitch
    from chartc.theory.key import all_keys, parse_key

    out: dict[tuple[int, str], Key] = {}
    for word in words:
        asked = parse_key(word)
        for key in all_keys("major") if asked is None else (asked,):
            out.setdefault((pitch.pitch_class(key.tonic), key.mode), key)
    return tuple(out.values())
