"""`chartc build`: the sheets of charts as PDF files, in every key asked for, and the books of set lists and songbooks. What has not
changed stays as it is."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from chartc.book.unchanged import options_digest, run_name, unchanged
from chartc.commands import shared
from chartc.commands.shared import SHEET_NAMES, Progress
from chartc.store.cache import Cache
from chartc.store.record import Record, save
from chartc.text.kept import keep, restore

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from chartc.book.charts import Outcome
    from chartc.player import Player

SHOWN_ONLY = ("run", "format", "color", "limit", "jobs", "cluster")
"""Options on which no output depends."""

CHARTS_ONLY = {
    "keys": "a set list or songbook says in which keys its songs are",
    "ways": "a book has one fill of each song",
    "together": "a book has all its keys in one file",
}
"""Options that books do not heed, and why."""

ROUND_IT = ("paths", "out", "together", "png")
"""Options on which what comes of a chart does not depend: where charts and outputs are, and how the pages are handed out."""


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "build", run, "print the sheets of charts as PDF files, in every key asked for")
    shared.add_paths(sub, books=True)
    shared.add_keys(sub)
    shared.add_out(sub)
    kinds = f"kinds of sheet, with commas: {', '.join(SHEET_NAMES)} (default: backup)"
    sub.add_argument(
        "--sheet", metavar="KIND", type=shared.word_list(SHEET_NAMES, "kind of sheet"), default=(), help=kinds
    )
    sub.add_argument("--large", action="store_true", help="large print")
    sub.add_argument("--landscape", action="store_true", help="the paper on its side")
    help = "a picture of every page too, beside its file (needs: pip install 'chartc[preview]')"
    sub.add_argument("--png", action="store_true", help=help)
    sub.add_argument("--together", action="store_true", help="one more file with all keys together")
    shared.add_choice(sub)
    shared.add_player(sub)
    shared.add_midi(sub)
    help = "open notation too: a MusicXML file for each key"
    sub.add_argument("--musicxml", action="store_true", help=help)
    shared.add_jobs(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Builds every chart and every book; one that is wrong writes nothing and does not stop the others."""
    options = {name: value for name, value in vars(args).items() if name not in SHOWN_ONLY}
    cache = Cache(args.out)
    name = run_name(options)
    try:
        old, fine = unchanged(cache, name)
        if old is not None and fine:
            try:
                found = restore(old.said["found"])
                return shared.report(args, found, int(old.said["code"]), {"files": old.said["files"], "written": []})
            except (ValueError, TypeError, KeyError):
                pass  # a record that nobody of ours wrote
        cache.tidy()
        return _build(args, cache, old or Record(), name, options)
    finally:
        cache.end()


def _build(args: argparse.Namespace, cache: Cache, old: Record, name: str, options: dict[str, Any]) -> int:
    started = time.time_ns()
    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, {"files": [], "written": []})
    from chartc.book.books import Asked, build_books
    from chartc.book.builder import Run, once
    from chartc.book.charts import Outcome, build_charts
    from chartc.book.gather import gather, relist
    from chartc.book.make import Wanted
    from chartc.press.picture import available
    from chartc.sheet.paper import wanted as wanted_paper

    if args.png and not available():
        shared.say("--png needs a library that is not installed: pip install 'chartc[preview]'")
        return shared.report(args, findings, shared.FAILED, {"files": [], "written": []})

    gathered = gather(args.paths)
    for problem in gathered.problems:
        shared.say(problem)
        code = shared.FAILED
    if gathered.books and not gathered.entries:
        given = {"keys": bool(args.keys), "ways": args.ways > 1, "together": args.together}
        for option, why in CHARTS_ONLY.items():
            if given[option]:
                shared.say(f"--{option} does nothing here: {why}")
    with executor(args) as pool:
        inside = options_digest({name: value for name, value in options.items() if name not in ROUND_IT})
        work = Run(cache, old, inside, pool, args.jobs, started_ns=started)
        listing = "\0".join(("paths", *args.paths))
        work.record.listings[listing] = relist(listing)
        progress = Progress(len(gathered.entries))
        outcome = Outcome(found=findings)
        tempos = args.tempos if args.midi else ()
        if gathered.entries:
            kinds = args.sheet or player.sheets or ("backup",)
            paper = wanted_paper(args.paper or player.paper or "a4", args.landscape, args.large)
            wanted = Wanted(tuple(args.keys), args.ways, tuple(kinds), paper, tempos, args.musicxml)
            band = work.band(player)
            done = build_charts(work, gathered.entries, band, wanted, args.together, args.out, progress.step, args.png)
            _add(outcome, done)
        if gathered.books:
            load = shared.load_player(args)

            def paper_of(one: Player) -> str:
                return wanted_paper(args.paper or one.paper or "a4", args.landscape, args.large)

            asked = Asked(tuple(args.sheet), paper_of, args.out, args.png, tempos, args.musicxml)
            done = build_books(work, gathered.books, player, load, asked, progress)
            _add(outcome, done)
        progress.end()
    code = max(code, _told(outcome, progress.count))
    found = once(outcome.found)
    if code != shared.FAILED:
        code = max(code, shared.FINDINGS if outcome.failed else shared.FINE)
        if work.sure and work.whole:
            removed = work.clear()
            if removed:
                shared.say(f"removed, as the list no longer has them: {', '.join(removed)}")
        work.settle()
        work.record.said = {"code": code, "files": work.files, "found": keep(found)}
        if work.sure and work.whole:
            save(work.record, cache.record(name), cache.new_files())
    return shared.report(args, found, code, {"files": work.files, "written": work.made})


def _add(outcome: Outcome, more: Outcome) -> None:
    outcome.found += more.found
    outcome.trouble += more.trouble
    outcome.defects += more.defects
    outcome.failed += more.failed


def _told(outcome: Outcome, count: int) -> int:
    """Says what could not be done; the exit code of that."""
    code = shared.FINE
    for name, words in outcome.trouble:
        shared.say(f"{name}: {words}")
        code = shared.FAILED
    for name, words in outcome.defects:
        shared.say(f"{name}: a defect in chartc, please report it with the chart: {words}")
        code = shared.FAILED
    if outcome.failed and count > 1:
        shared.say(f"{len(outcome.failed)} of {count} could not be built: {', '.join(outcome.failed)}")
    return code


@contextmanager
def executor(args: argparse.Namespace) -> Iterator[Executor | None]:
    """What does the work: this process, more of them, or a cluster."""
    from chartc.book.pool import processes

    if args.cluster is None:
        with processes(args.jobs) as pool:
            yield pool
        return
    from chartc.book.cluster import cluster

    with cluster(args.cluster) as pool:
        yield pool
