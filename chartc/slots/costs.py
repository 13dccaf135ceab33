"""What a choice costs: good backup as whole numbers. Each cost is small and named; the rulebook's weights multiply them.

The scale is ours: 0 is what a good player would do, about 10 what a listener would wince at. The practice behind the costs: common
practice, no source. Every function gives a cost for each candidate of a pool in a context.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import numpy.typing as npt

from chartc.chart.song import Melody
from chartc.slots.pool import Ints, Mask, Pool
from chartc.slots.rulebook import Rule
from chartc.slots.slot import Context

NEVER = 10**8
"""A cost that no path may contain."""

WORDS = {
    "voice": "too busy behind the voice, or too thin in its gap",
    "register": "accents in the middle of the melody's range",
    "fill": "a phrase end without an answer, or an answer in the wrong place",
    "lead-in": "a tail that is missing or leads nowhere",
    "downbeat": "no clear chord tone where the chord changes",
    "clash": "notes that rub against the chord or the key",
    "return": "another lick belongs to this place of the phrase",
    "contrast": "too like the other sections in place or fullness",
    "drive": "not rolling, or from another meter",
    "cadence": "a weak close",
    "difficulty": "harder than need be, higher up the neck than the level goes, or a drone left out",
    "strain": "a wide stretch, or little time",
    "silence": "silence",
    "region": "a move along the neck",
    "landing": "the tail misses the note it makes for",
    "pattern": "a change of roll",
}
"""What each cost is about, in words that a player understands."""

SILENT = 400
"""The price of a silent slot, where it was not asked for: only where nothing else can be played."""


TOO_FAR = 60
"""The price of a place on the neck that the level has not reached: only where nothing nearer will do."""


@dataclass(frozen=True)
class Setting:
    """What else costs may depend on: the melody's range, the stretch that is comfortable, in millimetres, and the greatest difficulty for
    the player's level."""

    melody: Melody | None
    comfortable_mm: float
    hardest: int = 5


@dataclass(frozen=True)
class Cost:
    """One cost: the weight that multiplies it, the amounts for a pool, and what it reads of a slot. Where that is equal the
    amounts are, so that they are worked out once."""

    name: str
    amounts: Callable[[Pool, Context, Setting], Ints]
    reads: Callable[[Context, Setting], object]


def costs(
    pool: Pool, x: Context, weight: dict[str, int], rules: Sequence[Rule], setting: Setting, usable: Mask
) -> list[tuple[str, npt.NDArray[np.int32]]]:
    """What each candidate costs in a slot, by the names of the weights and of the rules (NEVER where a rule forbids it). `usable` are the
    candidates that nothing but a rule may keep away."""
    out = []
    for cost in COSTS:
        by = weight[cost.name]
        if by:
            key = (cost.name, by, cost.reads(x, setting))
            out.append((cost.name, pool.once(key, partial(_weighed, cost, by, pool, x, setting))))
    free = usable & pool.heard
    for rule in rules:
        if not rule.preferred:
            amounts = pool.once(rule, partial(_ruled, rule, pool))
            out.append((rule.name, amounts))
            if rule.price is None:
                free &= amounts < NEVER
    out += [(rule.name, _preferring(rule, pool, free)) for rule in rules if rule.preferred]
    out.append(("silence", pool.once("silence", lambda: pool.silent * SILENT)))
    return out


def _weighed(cost: Cost, by: int, pool: Pool, x: Context, setting: Setting) -> Ints:
    found: Ints = cost.amounts(pool, x, setting) * pool.heard * by
    return found


def _ruled(rule: Rule, pool: Pool) -> Ints:
    price = NEVER if rule.price is None else rule.price
    found: Ints = (rule.covers(pool) & pool.heard) * np.int64(price)
    return found


def _preferring(rule: Rule, pool: Pool, free: Mask) -> npt.NDArray[np.int32]:
    """What all but the preferred cost, silence with them; nothing where none of these is among the `free` ones that may stand."""
    covered = rule.covers(pool)
    price = rule.price or 0
    return np.where(covered, 0, price if (covered & free).any() else 0).astype(np.int32)


def _unsung(pool: Pool, x: Context) -> Mask:
    """Which notes lie in a gap of the voice."""
    out = np.zeros(len(pool.note_at), dtype=bool)
    for start, end in x.gap:
        out |= (pool.note_at >= start) & (pool.note_at < end)
    return out


def _voice(pool: Pool, x: Context, _: Setting) -> Ints:
    """Plain behind the voice; in its gaps at least six attacks of eight and an ornament; slow songs want two to five attacks."""
    zero = np.zeros(pool.size, dtype=np.int64)
    if x.voice == "none":
        return zero
    if x.voice == "sung":
        body = pool.note_at < x.ticks - pool.tail[pool.owner]
        cost = 2 * pool.count(pool.note_ornament & body & ~_unsung(pool, x))
        cost += np.where(pool.carrying | pool.role("lead-in"), 0, 4)
        if x.tempo == "slow":
            cost += 2 * np.maximum(0, pool.per_eight - 5) + 3 * np.maximum(0, 2 - pool.per_eight)
        return cost
    if x.job == "answer":
        dull: Ints = np.maximum(0, 6 - pool.per_eight) + (pool.ornaments == 0)
        return dull
    return zero


def _register(pool: Pool, x: Context, setting: Setting) -> Ints:
    """Most accents (70 of 100) lie outside the middle half of the melody while it sounds; a vamp is forgiven."""
    melody = setting.melody
    if melody is None or x.voice in ("none", "silent"):
        return np.zeros(pool.size, dtype=np.int64)
    quarter = (melody.high - melody.low) / 4
    heard = pool.accented & ~_unsung(pool, x)
    inside = heard & (pool.note_pitch > melody.low + quarter) & (pool.note_pitch < melody.high - quarter)
    share = 100 * pool.count(inside) // np.maximum(1, pool.count(heard))
    return np.where(pool.role("vamp"), 0, np.maximum(0, share - 30) // 10)


def _fill(pool: Pool, x: Context, _: Setting) -> Ints:
    """Phrase ends are answered: fully every second time, shortly on the others; in between there is no answer. The answer
    begins an eighth after the held syllable does."""
    zero = np.zeros(pool.size, dtype=np.int64)
    if x.job == "break":
        # the banjo's own break says something: a roll is only the ground between two phrases
        return np.where(pool.role("vamp"), 6, np.where(pool.role("roll"), 1 + (x.place % 2), 0))
    if x.job != "answer":
        return zero
    fill = pool.role("fill")
    if x.voice in ("held", "silent") and x.phrase_end:
        cost = np.where(fill, 0, 8 if x.full else 5)
        cost[pool.role("lead-in")] = 5 if x.full else 2
        cost[pool.role("lick")] = 3
        cost[pool.role("turnaround", "ending")] = 2
        if x.voice == "held":
            cost += fill & (pool.first_at < x.step)
        if x.full:
            cost += np.where(fill, np.maximum(0, 6 - pool.per_eight), 0)
        return cost
    return np.where(fill, 6, 0) if x.voice == "sung" else zero


def _lead_in(pool: Pool, x: Context, _: Setting) -> Ints:
    """Always where sections meet, and at about half of the changes of chord; a tail to the same chord says nothing."""
    tails = pool.role("lead-in")
    if x.meets:
        return np.where(tails | pool.role("turnaround", "fill"), 0, 5)
    if x.next_change:
        wanted = x.motif % 2 == 0
        return np.where(tails, 0 if wanted else 3, np.where(pool.carrying, 5 if wanted else 0, 0))
    return np.where(tails, 8, 0)


def _clash(pool: Pool, x: Context, _: Setting) -> Ints:
    """What rubs against the chord, and against the key: in a minor one its major third, but on the way to another chord."""
    if x.against < 0:
        return pool.clash
    body = pool.note_at < x.ticks - pool.tail[pool.owner]
    return pool.clash + 2 * pool.count(body & (pool.note_pitch % 12 == x.against))


def _downbeat(pool: Pool, x: Context, _: Setting) -> Ints:
    """At a change of chord its root, third or fifth sounds on the downbeat, and the third within two beats. A vamp begins with the
    chord's bass."""
    late = 0 if x.gap and x.gap[0][0] == 0 else 4
    cost = np.where(pool.first_at > 0, late, np.where(pool.frame_first, 0, 6 if x.change else 3))
    cost = cost + np.where(pool.role("vamp") & (pool.first_at == 0) & ~pool.bass_first, 3, 0)
    return cost + np.where(pool.third_soon, 0, 2) if x.change else cost


def _return(pool: Pool, x: Context, _: Setting) -> Ints:
    """A small liking that depends on lick and motif only: where a phrase returns the same lick is liked again, elsewhere
    another. A roll belongs to its whole phrase."""
    return pool.liking(x.motif, x.letter)


def _contrast(pool: Pool, x: Context, _: Setting) -> Ints:
    """The verse is low and plain, the chorus lies higher and is fuller; behind a break, or in its turn, the banjo chops."""
    zero = np.zeros(pool.size, dtype=np.int64)
    if x.job == "chop":
        return np.where(pool.role("vamp"), 0, 2)
    if x.kind == "verse":
        return np.where(pool.place("high"), 3, pool.place("middle") + zero) if x.voice == "sung" else zero
    if x.kind in ("chorus", "bridge"):
        thin = (pool.per_eight < 7) + zero if x.tempo != "slow" else zero
        return np.where(pool.place("low"), 3, pool.place("middle") + zero) + thin
    return zero


def _drive(pool: Pool, x: Context, _: Setting) -> Ints:
    """Rolling measures have seven or eight eighths, and nothing is silent across a bar line. A pattern belongs to its meter."""
    cost = np.where(pool.at_home(x.meter), 0, 4)
    if x.tempo != "slow" and x.job != "chop":
        rolling = pool.role("roll", "lead-in")
        cost += np.where(rolling, np.clip(7 - pool.per_eight, 0, 4), 0)
    if x.job != "chop":
        cost += np.where(pool.role("vamp"), 2, 0)
    if not x.last:
        cost += np.where((pool.rest_end == x.ticks) & ~pool.role("vamp", "fill"), 3, 0)
    return cost


def _cadence(pool: Pool, x: Context, _: Setting) -> Ints:
    """The 5 chord before the 1 sounds its third or flat seventh; the end lands on the root."""
    if x.last:
        return np.where(pool.ends_on_root, 0, 6)
    if x.degree == "5" and x.next_degrees == ("1",):
        return np.where(pool.sounds_seventh_or_third, 0, 4)
    return np.zeros(pool.size, dtype=np.int64)


def _difficulty(pool: Pool, _: Context, setting: Setting) -> Ints:
    """Licks of the two lowest difficulties cost nothing; a drone that is left out does, and a place that the level has not reached."""
    return np.maximum(0, pool.difficulty - 2) + pool.left_out + TOO_FAR * (pool.reach > setting.hardest)


def _strain(pool: Pool, _: Context, setting: Setting) -> Ints:
    """A stretch costs nothing while it is comfortable, then one for each 6 mm."""
    return np.maximum(0, np.rint((pool.stretch - setting.comfortable_mm) / 6)).astype(np.int64)


COSTS = (
    Cost("voice", _voice, lambda x, _: (x.voice, x.gap, x.job, x.tempo)),
    Cost("register", _register, lambda x, setting: (setting.melody, x.voice, x.gap)),
    Cost("fill", _fill, lambda x, _: (x.job, x.voice, x.phrase_end, x.full, x.place % 2)),
    Cost("lead-in", _lead_in, lambda x, _: (x.meets, x.next_change, x.motif % 2)),
    Cost("downbeat", _downbeat, lambda x, _: (x.change, x.gap)),
    Cost("clash", _clash, lambda x, _: x.against),
    Cost("return", _return, lambda x, _: (x.motif, x.letter)),
    Cost("region", lambda pool, _, __: pool.hops, lambda _, __: None),
    Cost("contrast", _contrast, lambda x, _: (x.job, x.kind, x.voice, x.tempo)),
    Cost("drive", _drive, lambda x, _: (x.meter, x.tempo, x.job, x.last)),
    Cost("cadence", _cadence, lambda x, _: (x.last, x.degree == "5" and x.next_degrees == ("1",))),
    Cost("difficulty", _difficulty, lambda _, setting: setting.hardest),
    Cost("strain", _strain, lambda _, setting: setting.comfortable_mm),
)
"""Every cost, in the order in which reasons name them."""
