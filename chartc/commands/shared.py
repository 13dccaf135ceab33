"""What commands share: common options, the player, the charts meant, findings and exit codes, progress."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from chartc.text.colour import CHOICES, Paint, wanted
from chartc.text.diagnostic import LIMIT, Diagnostic, as_json, has_errors, in_order, printable, show, show_lines

if TYPE_CHECKING:
    from chartc.book.gather import Entry
    from chartc.book.players import LoadPlayer, Seats
    from chartc.player import Player
    from chartc.text.source import Source

FINE, FINDINGS, FAILED = 0, 1, 2
"""Exit codes: fine, findings in a file, could not run. The highest wins."""

SHEET_NAMES = ("backup", "chords", "numbers", "cues")
PAPER_NAMES = ("a4", "letter")

MOST_WAYS = 20

Commands = Any
"""What argparse's add_subparsers gives; its type has no public name."""


# --- options -------------------------------------------------------------------------------------------------------------


def command(
    commands: Commands, name: str, run: Callable[[argparse.Namespace], int], help: str, more: str = ""
) -> argparse.ArgumentParser:
    """A new command; `run` gets the options and gives the exit code."""
    sub: argparse.ArgumentParser = commands.add_parser(
        name, help=help, description=f"{help[0].upper()}{help[1:]}. {more}"
    )
    sub.set_defaults(run=run)
    return sub


def add_paths(sub: argparse.ArgumentParser, books: bool = False) -> None:
    """One path or more; with `books` a path may be a set list or a songbook."""
    help = "a chart (*.chartc), or a folder: all charts below it"
    if books:
        help += "; or a set list or songbook (*.yaml)"
    sub.add_argument("paths", metavar="PATH", nargs="+", help=help)


MOST_JOBS = 256


def add_jobs(sub: argparse.ArgumentParser) -> None:
    """How many processes work, or where else the work goes."""
    sub.add_argument(
        "--jobs", metavar="N", type=_jobs, default=1, help="so many processes, 0: one for each processor (default: 1)"
    )
    help = "do the work on a cluster: the address of a dask scheduler (needs the extra `cluster`)"
    sub.add_argument("--cluster", metavar="ADDRESS", help=help)


def _jobs(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 6 or int(text) > MOST_JOBS:
        raise argparse.ArgumentTypeError(f"a number from 0 to {MOST_JOBS}")
    return int(text) or os.cpu_count() or 1


def add_chart(sub: argparse.ArgumentParser) -> None:
    """One chart."""
    sub.add_argument("paths", metavar="CHART", nargs=1, help="a chart (*.chartc)")


def add_player(sub: argparse.ArgumentParser) -> None:
    """The player's settings."""
    help = "a player's settings: instrument, limits, licks, rules, level ... (stands above the players of a set list)"
    sub.add_argument("--player", metavar="FILE.yaml", type=Path, help=help)


def add_progress(sub: argparse.ArgumentParser) -> None:
    """What the player has learnt."""
    help = "what you know, learn and rest, as written by chartc progress: it is heeded in the choice of licks and in drills"
    sub.add_argument("--progress", metavar="FILE", type=Path, help=help)


def add_keys(sub: argparse.ArgumentParser, help: str = "the keys wanted, or: all (default: the chart's own)") -> None:
    """The keys wanted."""
    sub.add_argument("--keys", metavar='"G, A, Bb"', type=_keys, default=(), help=help)


def add_format(sub: argparse.ArgumentParser, *more: str) -> None:
    """Text for people or JSON for programs, and what else a command can print; how findings are shown."""
    help = "json: results for programs, on standard output"
    if "lines" in more:
        help += "; lines: one line for each finding, on standard output"
    sub.add_argument("--format", choices=("text", "json", *more), default="text", help=help)
    help = "colour the findings (default: auto, in a terminal; NO_COLOR and FORCE_COLOR are heeded)"
    sub.add_argument("--color", choices=CHOICES, default="auto", help=help)
    help = f"show at most so many findings of each file, 0: all (default: {LIMIT} as text, else all)"
    sub.add_argument("--limit", metavar="N", type=_limit, help=help)


def _limit(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 6:
        raise argparse.ArgumentTypeError(f'"{text[:40]}" is no number of findings')
    return int(text)


def folder(text: str) -> Path:
    """A folder to write to, which need not be there yet; said at once where it can be none."""
    path = Path(text)
    nearest = next((p for p in (path, *path.parents) if os.path.lexists(p)), None)
    if nearest is not None and not nearest.is_dir():
        raise argparse.ArgumentTypeError(
            f'"{path}" can be no folder: "{nearest}" is none; name another, it is made where there is none'
        )
    return path


def add_out(sub: argparse.ArgumentParser) -> None:
    """Where files go, and on what paper."""
    sub.add_argument(
        "--out", metavar="DIR", type=folder, default=Path("build"), help="where the files go (default: build)"
    )
    sub.add_argument("--paper", choices=PAPER_NAMES, help="the paper (default: a4)")


def add_midi(sub: argparse.ArgumentParser) -> None:
    """Files to play along with, and at which tempos."""
    sub.add_argument("--midi", action="store_true", help="files to play along with too (Standard MIDI Files)")
    help = "play-along files play once at each tempo: percents of the written one, with commas (default: 100)"
    sub.add_argument("--tempos", metavar='"60, 80, 100"', type=_percents, default=(100,), help=help)


MOST_STEPS = 12


def _percents(text: str) -> tuple[int, ...]:
    words = [w.strip() for w in text.split(",") if w.strip()]
    if (
        not words
        or len(words) > MOST_STEPS
        or not all(w.isascii() and w.isdigit() and 10 <= int(w[:6]) <= 200 for w in words)
    ):
        raise argparse.ArgumentTypeError(
            f"at most {MOST_STEPS} percents from 10 to 200 with commas, such as: 60, 80, 100"
        )
    return tuple(int(w) for w in words)


def add_choice(sub: argparse.ArgumentParser) -> None:
    """How the choice is made."""
    sub.add_argument(
        "--ways", metavar="N", type=_ways, default=1, help="so many different fills of each chart (default: 1)"
    )
    help = "another way for each return of a section, printed each time"
    sub.add_argument("--vary-returns", action="store_true", help=help)
    add_level(sub)


def add_level(sub: argparse.ArgumentParser) -> None:
    """How difficult the part may be, and what the player has learnt."""
    help = (
        "how difficult the part may be, and how far up the neck it goes (default: as the player's file says, else full)"
    )
    sub.add_argument("--level", choices=("easy", "middle", "full"), help=help)
    add_progress(sub)


def _ways(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_WAYS:
        raise argparse.ArgumentTypeError(f"a number from 1 to {MOST_WAYS}")
    return int(text)


def _keys(text: str) -> tuple[str, ...]:
    from chartc.theory.asked import KeyWordError, split_keys

    try:
        return split_keys(text)
    except KeyWordError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def one_key(text: str) -> str:
    """A reader of one key."""
    words = _keys(text)
    if len(words) != 1 or words[0].lower() == "all":
        raise argparse.ArgumentTypeError("one key, such as: Bb")
    return words[0]


def word_list(known: Sequence[str], what: str) -> Callable[[str], tuple[str, ...]]:
    """A reader of words with commas, each of them known."""

    def read(text: str) -> tuple[str, ...]:
        words = tuple(dict.fromkeys(w.strip() for w in text.split(",") if w.strip()))
        for word in words:
            if word not in known:
                raise argparse.ArgumentTypeError(f'"{word}" is no {what}; known: {", ".join(known)}')
        return words

    return read


# --- what is read --------------------------------------------------------------------------------------------------------


def load_player(args: argparse.Namespace) -> LoadPlayer | None:
    """Gives the player of a settings file that a list names, with the command's options; None where the command names a player, who
    stands above those of lists."""
    from chartc.player import load_player

    def load(path: str) -> tuple[Player | None, tuple[Diagnostic, ...]]:
        player, found = load_player(Path(path), SHEET_NAMES, PAPER_NAMES)
        return (None if player is None else _with_options(args, player)), found

    return load if args.player is None else None


def _with_options(args: argparse.Namespace, player: Player) -> Player:
    """The player as the command's options want the choice to be made."""
    if "level" not in args:
        return player
    level = args.level or player.means.level
    return replace(player, means=replace(player.means, level=level, vary=getattr(args, "vary_returns", False)))


def read_player(args: argparse.Namespace) -> tuple[Player | None, list[Diagnostic], int]:
    """The player, the findings in the player's files, and the exit code so far."""
    from chartc.player import load_player

    try:
        player, found = load_player(args.player, SHEET_NAMES, PAPER_NAMES)
        if player is not None:
            player = _with_options(args, player)
    except OSError as error:
        say(f"{args.player}: {error.strerror or error}")
        return None, [], FAILED
    code = FINE
    if player is not None and getattr(args, "progress", None) is not None:
        player, more, code = _heeding(args, player)
        found = (*found, *more)
    return player, list(found), code


def _heeding(args: argparse.Namespace, player: Player) -> tuple[Player | None, tuple[Diagnostic, ...], int]:
    """The player with the marks of the progress file heeded; the marks themselves go into the options."""
    from chartc.practice.progress import read_progress, with_progress
    from chartc.text.reading import read

    try:
        source, found = read(args.progress)
    except OSError as error:
        say(f"{args.progress}: {error.strerror or error}")
        return None, (), FAILED
    if source is None:
        return None, found, FINE
    args.marks, more = read_progress(source, tuple(player.means.library.by_name))
    found = (*found, *more)
    if has_errors(found):
        return None, found, FINE
    means = with_progress(player.means, args.marks)
    return replace(player, means=means, files=(*player.files, args.progress)), found, FINE


def entries(args: argparse.Namespace, code: int) -> tuple[tuple[Entry, ...], int]:
    """The charts that the paths mean, and the exit code so far."""
    from chartc.book.gather import gather

    gathered = gather(args.paths)
    problems = [
        *gathered.problems,
        *(f"{b}: only charts (*.chartc) and folders of them can be used here" for b in gathered.books),
    ]
    for problem in problems:
        say(problem)
        code = FAILED
    return gathered.entries, code


def entries_and_lists(
    args: argparse.Namespace, player: Player, findings: list[Diagnostic], code: int
) -> tuple[tuple[tuple[Entry, Seats], ...], int]:
    """The charts that the paths mean, those of set lists and songbooks among them, each with those who play it, and the exit code so far;
    what is wrong with a list is added to the findings."""
    from chartc.book.gather import gather
    from chartc.book.listed import charts_of
    from chartc.book.players import Seat, Seats

    gathered = gather(args.paths)
    for problem in gathered.problems:
        say(problem)
        code = FAILED
    alone = Seats((Seat(player),))
    more, found, trouble = charts_of(gathered.books, player, load_player(args))
    findings.extend(found)
    for name, words in trouble:
        say(f"{name}: {words}")
        code = FAILED
    out = {(e.path.resolve(), alone): e for e in gathered.entries}
    for entry, seats in more:
        out.setdefault((entry.path.resolve(), seats), entry)
    return tuple((entry, seats) for (_, seats), entry in out.items()), code


def read_entry(entry: Entry, code: int) -> tuple[Source | None, tuple[Diagnostic, ...], int]:
    """A chart's text, what is wrong with it as a file, and the exit code so far."""
    from chartc.text.reading import read

    try:
        source, found = read(entry.path, entry.name)
        return source, found, code
    except OSError as error:
        say(f"{entry.name}: {error.strerror or error}")
        return None, (), FAILED


# --- what is said --------------------------------------------------------------------------------------------------------


def report(args: argparse.Namespace, findings: Sequence[Diagnostic], code: int, result: dict[str, Any] | None) -> int:
    """Shows the findings and gives the exit code. `result` is what `--format json` prints beside them; None where the command
    has printed its own."""
    found = in_order(findings)
    if result is not None and args.format == "json":
        print_json({**result, "diagnostics": [as_json(d) for d in found]}, indent=1)
    else:
        by_file: dict[str, list[Diagnostic]] = {}
        for d in found:
            by_file.setdefault(d.place[0], []).append(d)
        out, one = (sys.stdout, show_lines) if args.format == "lines" else (sys.stderr, show)
        paint = Paint(wanted(args.color, os.environ, out.isatty()))
        limit = args.limit if args.limit is not None else LIMIT if one is show else 0
        out.write("".join(one(ds, limit, paint) for ds in by_file.values()))
    return max(code, FINDINGS if has_errors(found) else FINE)


def print_json(thing: Any, indent: int | None = None) -> None:
    """Prints plain data on standard output."""
    separators = (",", ":") if indent is None else None
    json.dump(thing, sys.stdout, ensure_ascii=False, indent=indent, separators=separators)
    sys.stdout.write("\n")


def say(text: str) -> None:
    """One line about the run itself, on standard error."""
    print(f"chartc: {printable(text)}", file=sys.stderr)


def defect(error: Exception, name: str = "") -> int:
    """Reports a defect of the program, with the chart at which it came to light; the exit code. Raises the error again where
    CHARTC_DEBUG is set."""
    if os.environ.get("CHARTC_DEBUG"):
        raise error
    where = f"{name}: " if name else ""
    say(f"{where}a defect in chartc, please report it with the chart: {type(error).__name__}: {error}")
    return FAILED


class Progress:
    """Tells on a terminal how far long work has come; says nothing anywhere else."""

    def __init__(self, count: int) -> None:
        self._count = count
        self._done = 0
        self._failed = 0
        self._shown = sys.stderr.isatty()

    @property
    def count(self) -> int:
        """How much there is to be done, as far as it is known."""
        return self._count

    def more(self, count: int) -> None:
        """There is so much more to be done."""
        self._count += count

    def say(self, what: str) -> None:
        """Shows what is being worked on."""
        if self._shown:
            failed = f", {self._failed} failed" if self._failed else ""
            sys.stderr.write(f"\r\033[K{self._done} of {self._count} done{failed}: {printable(what)}"[:120])
            sys.stderr.flush()

    def step(self, what: str, failed: bool = False) -> None:
        """One more is done, or has failed."""
        self._done += 1
        self._failed += failed
        self.say(what)

    def end(self) -> None:
        """Clears the line."""
        if self._shown:
            sys.stderr.write("\r\033[K")
            sys.stderr.flush()


def write(path: Path, data: bytes, files: list[str], code: int) -> int:
    """Writes a file whole, notes it in `files`, and gives the exit code so far; a file that cannot be written is said."""
    from chartc.store.writing import write_whole

    try:
        write_whole(path, data)
    except OSError as error:
        say(f"{path}: {error.strerror or error}")
        return FAILED
    files.append(str(path))
    return code
