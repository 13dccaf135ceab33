"""What a choice costs: good backup as whole numbers. Each cost is small and named; the rulebook's weights multiply them.

The scale is ours: 0 is what a good player would do, about 10 what a listener would wince at. Practice behind the costs: common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from zlib import crc32

from chartc.chart.song import Melody
from chartc.licks.lick import CARRYING
from chartc.neck.hand import Limits
from chartc.slots.candidate import Candidate
from chartc.slots.rulebook import Rule
from chartc.slots.slot import Context

NEVER = 10**9
"""A cost that no path may contain."""

SILENT = 400
"""The price of a silent slot, where it was not asked for: only where nothing else can be played."""


def place_cost(
    candidate: Candidate,
    context: Context,
    weight: dict[str, int],
    rules: Sequence[Rule],
    melody: Melody | None,
    limits: Limits,
    drone: int | None,
) -> list[tuple[str, int]]:
    """What a lick costs in a slot, by the names of the weights and of the rules; costs of 0 are left out. NEVER where a rule
    forbids it. `rules` are those that apply to the slot."""
    if not candidate.notes:
        return [("silence", SILENT)]
    raw = (
        ("voice", _voice(candidate, context)),
        ("register", _register(candidate, context, melody, drone)),
        ("fill", _fill(candidate, context)),
        ("lead-in", _lead_in(candidate, context)),
        ("downbeat", _downbeat(candidate, context)),
        ("clash", _clash(candidate, context, drone)),
        ("return", _return(candidate.lick, -1 - context.letter if candidate.role in CARRYING else context.motif)),
        ("contrast", _contrast(candidate, context)),
        ("drive", _drive(candidate, context)),
        ("cadence", _cadence(candidate, context)),
        ("difficulty", max(0, candidate.difficulty - 2) + candidate.left_out),
        ("strain", max(0, round((candidate.grip.stretch_mm - limits.comfortable_mm) / 6))),
    )
    out = [(name, amount * weight[name]) for name, amount in raw if amount and weight[name]]
    for rule in rules:
        if rule.covers(candidate, context):
            out.append((rule.name, NEVER if rule.price is None else rule.price))
    return out


def _per_eight(amount: int, context: Context) -> int:
    """So many in the slot, as so many in eight steps."""
    return amount * 8 * context.step // context.ticks


def _sung(at: int, context: Context) -> bool:
    return not any(start <= at < end for start, end in context.gap)


def _voice(c: Candidate, x: Context) -> int:
    """Plain behind the voice; in its gaps at least six attacks of eight and an ornament; slow songs want two to five attacks."""
    if x.voice == "none":
        return 0
    cost = 0
    carrying = c.role in CARRYING
    if x.voice == "sung":
        body = [n for n in c.notes if n.at < x.ticks - c.tail]
        ornaments = sum(n.how in ("hammer-on", "pull-off", "slide", "choke") and _sung(n.at, x) for n in body)
        cost += 2 * ornaments + (0 if carrying or c.role == "lead-in" else 4)
        if x.tempo == "slow":
            attacks = _per_eight(c.onsets, x)
            cost += 2 * max(0, attacks - 5) + 3 * max(0, 2 - attacks)
    elif x.job == "answer":
        cost += max(0, 6 - _per_eight(c.onsets, x)) + (0 if c.ornaments else 1)
    return cost


def accents(ticks: int, step: int, compound: bool) -> frozenset[int]:
    """Where the accents of a slot lie: 3+3+2 in eight steps, the beats elsewhere."""
    if compound:
        return frozenset(range(0, ticks, 3 * step))
    if ticks % (8 * step) == 0:
        return frozenset(bar + k * step for bar in range(0, ticks, 8 * step) for k in (0, 3, 6))
    return frozenset(range(0, ticks, 2 * step))


def _register(c: Candidate, x: Context, melody: Melody | None, drone: int | None) -> int:
    """Most accents (70 of 100) lie outside the middle half of the melody while it sounds; a vamp is forgiven."""
    if melody is None or x.voice in ("none", "silent") or c.role == "vamp":
        return 0
    quarter = (melody.high - melody.low) / 4
    low, high = melody.low + quarter, melody.high - quarter
    where = accents(x.ticks, x.step, x.compound)
    heard = [n for n in c.notes if n.at in where and n.string != drone and _sung(n.at, x)]
    if not heard:
        return 0
    inside = 100 * sum(low < n.pitch < high for n in heard) // len(heard)
    return max(0, inside - 30) // 10


def _fill(c: Candidate, x: Context) -> int:
    """Phrase ends are answered: fully every second time, shortly on the others; in between there is no answer."""
    if x.job != "answer":
        return 0
    if x.voice in ("held", "silent") and x.phrase_end:
        if c.role == "fill":
            # the answer begins an eighth after the held syllable and stops an eighth before the voice comes back
            crowding = (c.notes[0].at < x.step and x.voice == "held") + 0
            busy = _per_eight(c.onsets, x)
            return crowding + (max(0, 6 - busy) if x.full else 0)
        if c.role in ("turnaround", "ending"):
            return 2
        return {"lick": 3, "lead-in": 5 if x.full else 2}.get(c.role, 8 if x.full else 5)
    return 6 if c.role == "fill" and x.voice == "sung" else 0


def _lead_in(c: Candidate, x: Context) -> int:
    """Always where sections meet, and at about half of the changes of chord; a tail to the same chord says nothing."""
    if not x.next_roots:
        return 8 if c.role == "lead-in" else 0
    if x.meets:
        return 0 if c.role in ("lead-in", "turnaround", "fill") else 5
    if x.next_change:
        wanted = x.motif % 2 == 0
        if c.role == "lead-in":
            return 0 if wanted else 3
        return 3 if wanted and c.role in CARRYING else 0
    return 8 if c.role == "lead-in" else 0


def _downbeat(c: Candidate, x: Context) -> int:
    """At a change of chord its root, third or fifth sounds on the downbeat, and the third within two beats."""
    degrees = dict(zip(x.chord.quality.degrees, x.chord.quality.classes, strict=True))
    frame = {
        (x.chord.root_class + s) % 12 for d, s in degrees.items() if d in ("1", "3", "b3", "5", "b5", "#5", "4", "2")
    }
    first = [n for n in c.notes if n.at == 0]
    cost = 0
    if first:
        if not any(n.pitch % 12 in frame for n in first):
            cost += 6 if x.change else 3
    elif not x.gap or x.gap[0][0] > 0:
        cost += 4
    if x.change:
        third = next((s for d, s in degrees.items() if d in ("3", "b3")), None)
        if third is not None:
            wanted = (x.chord.root_class + third) % 12
            if not any(n.pitch % 12 == wanted for n in c.notes if n.at < 4 * x.step):
                cost += 2
    return cost


def _clash(c: Candidate, x: Context, drone: int | None) -> int:
    """A note a semitone above a chord tone, other than the drone and what the lick names, is short and off the beat."""
    classes = x.chord.classes
    cost = 0
    for n in c.notes:
        if (n.string == drone and not n.fret) or n.pitch % 12 in classes or n.at >= x.ticks - c.tail:
            continue
        if (n.pitch - 1) % 12 not in classes or (n.pitch - x.chord.root_class) % 12 in c.tensions:
            continue
        if n.ticks > x.step:
            cost += 4
        if n.at % (2 * x.step) == 0:
            cost += 3
    return cost


@lru_cache(maxsize=65536)
def _return(lick: str, motif: int) -> int:
    """A small liking that depends on lick and motif only: where a phrase returns the same lick is liked again, elsewhere another."""
    return crc32(f"{lick}/{motif}".encode()) % 6


def _contrast(c: Candidate, x: Context) -> int:
    """The verse is low and plain, the chorus lies higher and is fuller; behind a break the banjo chops."""
    if x.job == "chop":
        return 0 if c.role == "vamp" else 2
    if x.kind == "verse":
        return {"high": 3, "middle": 1}.get(c.place, 0) if x.voice == "sung" else 0
    if x.kind in ("chorus", "bridge"):
        return {"low": 3, "middle": 1}.get(c.place, 0) + (1 if _per_eight(c.onsets, x) < 7 and x.tempo != "slow" else 0)
    return 0


def _drive(c: Candidate, x: Context) -> int:
    """Rolling measures have seven or eight eighths, and nothing is silent across a bar line."""
    cost = 0 if x.meter in c.meters else 4
    if x.tempo != "slow" and x.job != "chop":
        if c.role in ("roll", "lead-in"):
            cost += min(4, max(0, 7 - _per_eight(c.onsets, x)))
        elif c.role == "vamp":
            cost += 2
    if c.rests and not x.last:
        end = max(at + ticks for at, ticks in c.rests)
        if end == x.ticks and c.role not in ("vamp", "fill"):
            cost += 3
    return cost


def _cadence(c: Candidate, x: Context) -> int:
    """The 5 chord before the 1 sounds its third or flat seventh; the end lands on the root."""
    root = x.chord.root_class
    if x.last:
        landing = [n for n in c.notes if n.at == c.notes[-1].at]
        return 0 if any(n.pitch % 12 == root for n in landing) else 6
    if x.degree == "5" and x.next_degrees == ("1",):
        colour = {(root + 4) % 12, (root + 3) % 12, (root + 10) % 12}
        return 0 if any(n.pitch % 12 in colour for n in c.notes) else 4
    return 0
