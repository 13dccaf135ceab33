"""The command line. 0: fine. 1: findings in a chart. 2: could not run. The highest wins."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

from chartc import __version__
from chartc.commands import (
    build,
    card,
    check,
    drill,
    edit_server,
    explain,
    keys,
    licks,
    plan,
    practice,
    progress,
    tidy,
    why,
)
from chartc.commands.shared import FAILED, defect, say
from chartc.store.collecting import collect_seldom, end_quickly
from chartc.text.diagnostic import printable

COMMANDS = (build, check, plan, why, explain, tidy, licks, keys, card, drill, practice, progress, edit_server)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs a command and returns its exit code; never a traceback (unless CHARTC_DEBUG is set)."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    args = _parser().parse_args(argv)
    try:
        code: int = args.run(args)
        sys.stdout.flush()
        return code
    except BrokenPipeError:
        # the reader of our output has gone; there is nobody left to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FAILED
    except KeyboardInterrupt:
        say("stopped; files written so far are whole")
        return FAILED
    except OSError as error:
        say(f"{error.filename or 'a file'}: {error.strerror or error}")
        return FAILED
    except Exception as error:  # the last net: a defect of the program, not of the chart
        return defect(error)


def command() -> int:
    """The command as a process of its own: `main`, and nothing after it."""
    collect_seldom()
    code = main()
    end_quickly()
    return code


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        """Says what is wrong with the options, without characters that could steer the terminal."""
        super().error(printable(message))


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="chartc",
        description="Compiles plain-text chord charts into printed banjo backup sheets, in every key asked for.",
        epilog="Exit codes: 0 fine, 1 findings in a chart, 2 could not run.",
    )
    parser.add_argument("--version", action="version", version=f"chartc {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for module in COMMANDS:
        module.add(commands)
    return parser


if __name__ == "__main__":
    sys.exit(command())
