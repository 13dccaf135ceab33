"""`chartc progress`: marks licks and joins in the player's progress file, or tells what is marked."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from chartc.commands import shared

WORDS = {
    "known": "licks that you know",
    "learning": "licks that you are learning",
    "resting": "licks to be left alone for now",
    "clean": "joins that go well, such as: ferry-plank into lock-gate",
    "unclean": "joins that do not go well yet",
    "forget": "licks or joins whose mark no longer counts",
}


def add(commands: shared.Commands) -> None:
    """The command's options."""
    about = "mark licks as known, learning or resting and joins as clean or not, or tell what is marked"
    more = "Lines are added at the end of the file; what stands in it stays."
    sub = shared.command(commands, "progress", run, about, more)
    sub.add_argument(
        "file", metavar="FILE", type=Path, help="the player's progress, a plain text file; made where there is none"
    )
    for word, help in WORDS.items():
        sub.add_argument(f"--{word}", metavar="NAMES", action="append", default=[], help=f"{help}; with commas")
    shared.add_player(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Adds the marks, if any, and tells the state."""
    from chartc.practice.progress import added, read_progress
    from chartc.store.writing import write_whole
    from chartc.text.diagnostic import has_errors
    from chartc.text.reading import read
    from chartc.text.source import Source

    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, None)
    lines = [(word, entries) for word in WORDS for entries in [_entries(getattr(args, word))] if entries]
    names = tuple(player.means.library.by_name)
    text = ""
    if args.file.exists():
        source, errors = read(args.file)
        # a new file may be empty: there is nothing wrong with a player who has marked nothing
        findings.extend(d for d in errors if d.code != "file-empty")
        if source is None and any(d.code != "file-empty" for d in errors):
            return shared.report(args, findings, code, None)
        text = "" if source is None else args.file.read_bytes().decode("utf-8")
    elif not lines:
        shared.say(f"{args.file}: there is no such file; mark something first, such as: --learning ferry-plank")
        return shared.FAILED
    # what is asked for is checked as if it stood in the file, before anything is written
    wanted, errors = read_progress(Source("what is to be marked", added("", lines)), names)
    if has_errors(errors):
        findings.extend(errors)
        return shared.report(args, findings, code, None)
    if lines:
        text = added(text, lines)
        write_whole(args.file, text.encode("utf-8"))
    progress, errors = read_progress(Source(str(args.file), text.removeprefix("\ufeff")), names)
    findings.extend(errors)
    del wanted
    state: dict[str, Any] = {word: list(progress.marked(word)) for word in ("known", "learning", "resting")}
    for word in ("clean", "unclean"):
        state[word] = [f"{a} into {b}" for (a, b), (mark, _) in progress.joins.items() if mark == word]
    if args.format != "json":
        for word, entries in state.items():
            print(f"{word:<9} {', '.join(entries) or '-'}")
    return shared.report(args, findings, code, {"progress": state})


def _entries(texts: list[str]) -> list[str]:
    """The names of an option that may be given several times."""
    return [" ".join(e.split()) for text in texts for e in text.split(",") if e.strip()]
