"""`chartc practice`: what to play on which day until a show."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from chartc.commands import shared
from chartc.commands.songs import Asked, marks, materials, songs

if TYPE_CHECKING:
    from chartc.practice.days import Day
    from chartc.practice.items import Material


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "practice", run, "print a practice plan for some songs, a week on each page")
    shared.add_paths(sub, books=True)
    help = "the day of the show, such as: 2027-05-08 (default: the date of the set list)"
    sub.add_argument("--until", metavar="DATE", type=_date, help=help)
    sub.add_argument("--from", dest="start", metavar="DATE", type=_date, help="the first day (default: today)")
    help = "minutes of playing a day, from 10 to 240 (default: 30)"
    sub.add_argument("--minutes", metavar="N", type=_minutes, default=30, help=help)
    shared.add_keys(sub)
    shared.add_out(sub)
    shared.add_level(sub)
    shared.add_player(sub)
    shared.add_format(sub)


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f'"{text[:40]}" is no date; write year, month and day, such as: 2027-05-08'
        ) from None


def _minutes(text: str) -> int:
    from chartc.practice.days import LEAST_MINUTES, MOST_MINUTES

    if not text.isascii() or not text.isdigit() or len(text) > 6 or not LEAST_MINUTES <= int(text) <= MOST_MINUTES:
        raise argparse.ArgumentTypeError(f"a number from {LEAST_MINUTES} to {MOST_MINUTES}")
    return int(text)


def run(args: argparse.Namespace) -> int:
    """Plans the days; nothing is written where a chart is wrong, so that no song is missing unseen."""
    from chartc.practice.days import days, tasks
    from chartc.practice.pages import plan_pages
    from chartc.press import pdf
    from chartc.sheet import PAPERS
    from chartc.text.diagnostic import has_errors

    player, findings, code = shared.read_player(args)
    files: list[str] = []
    result: dict[str, Any] = {"files": files, "days": []}
    if player is None:
        return shared.report(args, findings, code, result)
    asked, code = songs(args, player, findings, code)
    progress = marks(args, asked)
    wanted = [(one, m) for one in asked for m in materials(one, progress, findings)]
    if not wanted or code or has_errors(findings):
        return shared.report(args, findings, code, result)
    until = args.until or next((a.day for a in asked if a.day is not None), None)
    if until is None:
        shared.say("the day of the show is not known; say it, such as: --until 2027-05-08")
        return shared.FAILED
    for seat in {one.seat.stem: one.seat for one in asked}.values():
        theirs = [(one, m) for one, m in wanted if one.seat.stem == seat.stem]
        who = seat.player.name
        try:
            planned = days(tasks([m for _, m in theirs], progress), args.start or date.today(), until, args.minutes)
        except ValueError as error:
            shared.say(f"{error}")
            return shared.FAILED
        title = _title(theirs, who)
        pages = plan_pages(title, planned, until, PAPERS[args.paper or seat.player.paper or "a4"])
        code = shared.write(args.out / f"{seat.named('practice')}.pdf", pdf(pages, title, ""), files, code)
        result["days"] += [{**({"player": who} if seat.stem else {}), **_data(day)} for day in planned]
    return shared.report(args, findings, code, result)


def _title(wanted: Sequence[tuple[Asked, Material]], player: str) -> str:
    """What stands above a plan: whose it is, and for which list or songs."""
    lists = all(one.book for one, _ in wanted)
    names = list(dict.fromkeys(one.book if lists else m.title for one, m in wanted))
    words = ", ".join(names) if len(names) <= 3 else f"{len(names)} songs"
    return f"Practice for {player}: {words}" if player else f"Practice: {words}"


def _data(day: Day) -> dict[str, Any]:
    return {
        "day": day.day.isoformat(),
        "turns": [
            {
                "minutes": t.minutes,
                "kind": t.kind,
                "what": t.words,
                "percent": t.percent or None,
                "tempo": None if t.tempo is None else f"{t.tempo.note} = {t.tempo.count}",
            }
            for t in day.turns
        ],
    }
