"""`chartc plan`: the filled chart as data."""

from __future__ import annotations

import argparse

from chartc.commands import shared


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "plan", run, "write the filled chart as JSON on standard output")
    shared.add_chart(sub)
    shared.add_keys(sub)
    shared.add_choice(sub)
    shared.add_player(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Fills one chart and prints the plan; nothing is printed where the chart is wrong."""
    from chartc.book.compile import compile_chart
    from chartc.export.plan import plan

    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, None)
    entries, code = shared.entries(args, code)
    if len(entries) > 1:
        shared.say("plan takes one chart")
        return shared.FAILED
    for entry in entries:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is None:
            continue
        *_, compiled = compile_chart(source, player, args.keys, args.ways)
        findings.extend(compiled.found)
        if compiled.parts:
            shared.print_json(plan(compiled.parts))
    return shared.report(args, findings, code, None)
