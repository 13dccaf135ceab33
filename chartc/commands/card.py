"""`chartc card`: the language of charts on one page, as PDF."""

from __future__ import annotations

import argparse

from chartc.commands import shared


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "card", run, "print how a chart is written on one page, as PDF")
    shared.add_out(sub)


def run(args: argparse.Namespace) -> int:
    """Writes card.pdf."""
    from chartc.card import card_page
    from chartc.press import pdf
    from chartc.sheet import PAPERS

    page = card_page(PAPERS[args.paper or "a4"])
    files: list[str] = []
    code = shared.write(args.out / "card.pdf", pdf([page], "The chart on one page"), files, shared.FINE)
    for file in files:
        shared.say(f"{file}: written")
    return code
