"""`chartc check`: everything that is wrong with charts, in one run."""

from __future__ import annotations

import argparse

from chartc.commands import shared


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "check", run, "check charts: measures, beats, chords, form, requests")
    shared.add_paths(sub)
    shared.add_player(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Checks every chart."""
    from chartc.book.compile import read_song

    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, {})
    entries, code = shared.entries(args, code)
    progress = shared.Progress(len(entries))
    for entry in entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is not None:
            findings.extend(read_song(source, player)[1])
        progress.step(entry.name)
    progress.end()
    return shared.report(args, findings, code, {})
