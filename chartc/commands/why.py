"""`chartc why`: the reasons for the choice, slot by slot."""

from __future__ import annotations

import argparse
import sys
from dataclasses import asdict
from typing import TYPE_CHECKING

from chartc.commands import shared

if TYPE_CHECKING:
    from chartc.slots.problem import Problem
    from chartc.slots.reasons import Choice, Reason


def add(commands: shared.Commands) -> None:
    """The command's options."""
    sub = shared.command(commands, "why", run, "say why each lick was chosen, and what else could stand there")
    shared.add_chart(sub)
    sub.add_argument("--key", metavar="KEY", type=shared.one_key, help="the key (default: the chart's own)")
    at = 'one measure ("verse 4") or one section ("verse"): says more, and allows all other measures to change'
    sub.add_argument("--at", metavar="PLACE", help=at)
    shared.add_level(sub)
    shared.add_player(sub)
    shared.add_format(sub)


def run(args: argparse.Namespace) -> int:
    """Explains one chart in one key."""
    from chartc.book.compile import keys_for, read_song
    from chartc.chart.song import in_key
    from chartc.slots.choose import choose
    from chartc.slots.reasons import reasons

    player, findings, code = shared.read_player(args)
    if player is None:
        return shared.report(args, findings, code, None)
    entries, code = shared.entries(args, code)
    for entry in entries[:1]:
        source, errors, code = shared.read_entry(entry, code)
        findings.extend(errors)
        if source is None:
            continue
        song, errors = read_song(source, player)
        findings.extend(errors)
        if song is None:
            continue
        keys, errors = keys_for(song, (args.key,) if args.key else (), source.name)
        findings.extend(errors)
        if not keys:
            continue
        problem, solution, errors = choose(in_key(song, keys[0]), player.means)
        findings.extend(errors)
        if solution is None:
            continue
        slots = _slots(problem, args.at)
        if not slots:
            labels = ", ".join(s.label for s in song.sections)
            shared.say(
                f'there is no slot at "{args.at}"; write a section and a measure, such as "{song.sections[0].label} 1"; sections: {labels}'
            )
            return shared.FAILED
        found = reasons(problem, player.means, solution, slots, exact=args.at is not None and len(slots) <= 16)
        if args.format == "json":
            shared.print_json([asdict(r) for r in found], indent=1)
        else:
            sys.stdout.write(f"{song.title} in {keys[0].label}: the whole song costs {solution.total}")
            sys.stdout.write(
                ", the least that is possible\n"
                if solution.exact
                else f"; no choice costs less than {solution.least}\n"
            )
            sys.stdout.write("".join(_words(r) for r in found))
    return shared.report(args, findings, code, None)


def _slots(problem: Problem, at: str | None) -> list[int]:
    """The slots of a place such as `verse 4` or `verse`."""
    if at is None:
        return list(range(len(problem.plan.slots)))
    words = " ".join(at.split()).casefold()
    labels = {s.label.casefold(): n for n, s in enumerate(problem.song.sections)}
    if words in labels:
        return [n for n, s in enumerate(problem.plan.slots) if s.section == labels[words]]
    name, _, number = words.rpartition(" ")
    if name not in labels or not number.isdecimal():
        return []
    measures = problem.song.sections[labels[name]].measures
    return [
        n
        for n, s in enumerate(problem.plan.slots)
        if s.section == labels[name] and measures[s.measure].number == int(number)
    ]


def _words(r: Reason) -> str:
    from chartc.slots.reasons import cost_words

    def named(c: Choice) -> str:
        return f"{c.lick} ({c.role}{'' if c.position is None else f', at {c.position}'})"

    out = [f"\n{r.section}, measure {r.number}, over {r.chord}" + (f", asked for: {r.asked}" if r.asked else "")]
    out.append(f"  chosen: {named(r.chosen)}")
    out += [f"    costs {amount:>3}  {cost_words(name)}" for name, amount in r.chosen.costs]
    out.append(f"  {r.possible} licks fit the chord and the length, {r.kept} of them the rules allow")
    for said in r.rules:
        what = "forbids" if said.price is None else "prefers" if said.preferred else f"charges {said.price} for"
        others = f", and charges {said.price} for others" if said.preferred else ""
        out.append(f'    "{said.rule}" {what} {said.licks}{others}' + (f": {said.about}" if said.about else ""))
    if r.dropped:
        out.append("  no hand can play here at this tempo:")
        out += [f"    {name}: {problem}" for name, problem in r.dropped[:5]]
        if len(r.dropped) > 5:
            out.append(f"    and {len(r.dropped) - 5} more")
    if r.alternatives:
        out.append(
            "  instead, to be written into the ask row" + (":" if r.exact else " (with its neighbours as they are):")
        )
        for a in r.alternatives:
            because = ", ".join(name for name, _ in a.costs[:3])
            out.append(f"    {a.pin:<28} {named(a)}: {a.more:+d}" + (f"  ({because})" if because else ""))
    else:
        out.append("  nothing else can stand here with these neighbours")
    return "\n".join(out) + "\n"
