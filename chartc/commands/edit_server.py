"""`chartc edit-server`: answers to an editor, over standard input and output."""

from __future__ import annotations

import argparse
import contextlib
import os
import sys

from chartc.commands import shared


def add(commands: shared.Commands) -> None:
    """The command's options."""
    about = "answer an editor over standard input and output (Language Server Protocol)"
    sub = shared.command(commands, "edit-server", run, about, 'It needs the extra: pip install "chartc[editor]".')
    shared.add_player(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Serves until the editor says that it is done."""
    try:
        from chartc.editor.server import serve
    except ModuleNotFoundError as error:
        if error.name is None or error.name.split(".")[0] not in ("pygls", "lsprotocol", "cattrs", "attrs"):
            raise
        shared.say(f'{error.name} is not installed; it comes with: pip install "chartc[editor]"')
        return shared.FAILED
    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, None)
    # the server closes its output at the end, and nothing else may write into it: a copy is given away, and words go elsewhere
    out = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    with contextlib.redirect_stdout(sys.stderr):
        serve(player).start_io(stdout=out)
    return shared.FINE
