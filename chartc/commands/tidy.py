"""`chartc tidy`: charts written in one way, in their place; or in another key, or with their chords as degrees."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from chartc.book.gather import Entry
    from chartc.chart.tidy import Chords
    from chartc.chart.vocabulary import Vocabulary
    from chartc.text.diagnostic import Diagnostic
    from chartc.text.source import Source

STANDARD = "-"
"""The path that means standard input, and then standard output."""


def add(commands: shared.Commands) -> None:
    """The command's options."""
    about = "write charts tidily, in their place: bar lines in columns, comments and blank lines kept"
    more = "A chart with errors stays as it is. With - standard input is made tidy on standard output."
    sub = shared.command(commands, "tidy", run, about, more)
    sub.add_argument("paths", metavar="PATH", nargs="+", help="a chart (*.chartc), a folder, or - for standard input")
    sub.add_argument("--check", action="store_true", help="change nothing; exit 1 where a chart would change")
    sub.add_argument(
        "--key", metavar="KEY", type=_key, help="write the charts in another key of their mode, such as Bb"
    )
    words = sub.add_mutually_exclusive_group()
    words.add_argument("--degrees", action="store_true", help="write chords as degrees of the key: 1, 6m, 57")
    words.add_argument("--letters", action="store_true", help="write chords by letter: G, Em, D7")
    shared.add_player(sub)
    shared.add_format(sub)


def _key(text: str) -> str:
    from chartc.theory.key import parse_key

    if parse_key(text) is None:
        raise argparse.ArgumentTypeError(f'"{text[:40]}" is no key; write one such as G, Bb, F# minor')
    return text


def run(args: argparse.Namespace) -> int:
    """Makes every chart tidy; one that has errors stays as it is and does not stop the others."""
    from chartc.book.compile import vocabulary

    player, findings, code = shared.read_player(args)
    changed: list[str] = []
    if player is None:
        return shared.report(args, findings, code, {"changed": changed})
    words = vocabulary(player)
    if STANDARD in args.paths:
        if len(args.paths) > 1:
            shared.say("standard input (-) stands alone")
            return shared.FAILED
        return _standard(args, words, findings)
    entries, code = shared.entries(args, code)
    for entry in entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        text = None
        if source is not None:
            text, errors = _tidy(source, words, args)
            findings.extend(errors)
        if source is None or text is None or text == source.text:
            continue
        if args.check:
            changed.append(entry.name)
            shared.say(f"{entry.name}: would be changed")
            code = max(code, shared.FINDINGS)
        elif _write(entry, source.text, text):
            changed.append(entry.name)
            shared.say(f"{entry.name}: tidy now")
        else:
            code = shared.FAILED
    return shared.report(args, findings, code, {"changed": changed})


def _standard(args: argparse.Namespace, words: Vocabulary, findings: list[Diagnostic]) -> int:
    from chartc.text.reading import MAX_BYTES, decode

    source, errors = decode(sys.stdin.buffer.read(MAX_BYTES + 1), "standard input")
    findings.extend(errors)
    code = shared.FINE
    if source is not None:
        text, errors = _tidy(source, words, args)
        findings.extend(errors)
        if text is not None and args.check:
            code = shared.FINE if text == source.text else shared.FINDINGS
        elif text is not None:
            sys.stdout.write(text)
    return shared.report(args, findings, code, None)


def _tidy(source: Source, words: Vocabulary, args: argparse.Namespace) -> tuple[str | None, tuple[Diagnostic, ...]]:
    """The new text of a chart, None where it has none, and the findings."""
    from chartc.book.compile import keys_for
    from chartc.chart import read_chart
    from chartc.chart.tidy import tidy

    chords: Chords = "degrees" if args.degrees else "letters" if args.letters else "as they are"
    song, found = read_chart(source, words)
    if song is None or args.key is None:
        return tidy(source, words, None, chords)
    keys, errors = keys_for(song, [args.key], source.name)
    if errors:
        return None, (*found, *errors)
    return tidy(source, words, keys[0], chords)


def _write(entry: Entry, old: str, new: str) -> bool:
    from chartc.store.rewriting import rewrite

    try:
        rewrite(Path(entry.path), old, new)
    except OSError as error:
        shared.say(f"{entry.name}: {error.strerror or error}")
        return False
    return True
