"""Joins: what it costs to go from one lick to the next, for all pairs at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice

import numpy as np
import numpy.typing as npt

from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.neck.joint import IMPOSSIBLE, Meeting, meeting, strain
from chartc.slots.candidate import PLACES
from chartc.slots.costs import NEVER
from chartc.slots.domain import Domain
from chartc.slots.graph import Some
from chartc.slots.recent import Recent
from chartc.slots.traits import CODES, FRETS, MAJOR_THIRD, Traits
from chartc.theory.chord import Chord

Costs = npt.NDArray[np.int32]

# frets beside which open strings sound near
_OPEN_HAND = 4

# the tones of a chord that a lead-in may make for
_FRAME = ("1", "3", "b3", "5", "b5", "#5", "4", "2")

_TOGETHER = 60
# pairs that are compared in one go: more need more memory and are no faster

_MOST, _MOST_AT_SPEED = 1000, 2000
# joins remembered between songs, each with a few tables of some thousand small numbers; and those at one speed, each with one

ASKED_TWICE = 1000
"""The price of a lick that comes back at once because a request leaves no other."""


@dataclass(frozen=True, eq=False)
class Join:
    """All joins of two domains at any speed: what they cost beside the hands' effort, and how the hands meet."""

    costs: Costs
    met: Meeting
    least: npt.NDArray[np.int16]
    """What the way along the neck costs, for the same candidates and for others behind them: joins with those cost no less."""


Key = tuple[int, int, int, bool, bytes, bytes]


@dataclass(frozen=True, eq=False)
class Pairing:
    """Two domains that follow each other with `gap` ticks between them, and which of their candidates are joined; `itself` tells that it
    is one slot, played again."""

    before: Domain
    after: Domain
    gap: int
    itself: bool
    rows: Some
    columns: Some

    @property
    def key(self) -> Key:
        """Equal for equal pairings."""
        return self.before.serial, self.after.serial, self.gap, self.itself, self.rows.key, self.columns.key

    @property
    def cheapest(self) -> bool:
        """Whether it is one of the cheapest candidates: other songs will have the same."""
        return self.rows is self.before.cheapest and self.columns is self.after.cheapest


class Joins:
    """Joins for one instrument, pair of hands and table of weights; equal ones are compared once, within a song and between songs."""

    def __init__(self, instrument: Instrument, limits: Limits, weight: dict[str, int]) -> None:
        self.weight = weight
        self.limits = limits
        self._instrument = instrument
        self._known: Recent[Key, Join] = Recent(_MOST)
        self.at_speed: Recent[tuple[Key, float], Costs] = Recent(_MOST_AT_SPEED)
        """What joins of the cheapest candidates cost at a speed, in milliseconds a tick."""

    def joins(self, wanted: Mapping[Key, Pairing]) -> list[Join]:
        """All joins of some pairs, by their keys. Those of the cheapest candidates are remembered."""
        found: dict[Key, Join] = {}
        new: dict[tuple[int, int], list[Key]] = {}
        for key, pairing in wanted.items():
            known = self._known.get(key) if pairing.cheapest else None
            if known is not None:
                found[key] = known
            else:
                new.setdefault((pairing.rows.count, pairing.columns.count), []).append(key)
        for keys in new.values():
            for key, join in zip(keys, self._compare([wanted[key] for key in keys]), strict=True):
                found[key] = join
                if wanted[key].cheapest:
                    self._known.put(key, join)
        return [found[key] for key in wanted]

    def _compare(self, wanted: Sequence[Pairing]) -> list[Join]:
        """The joins of pairs that have as many candidates each."""
        a = Traits.stack([p.before.traits(p.rows.which) for p in wanted])
        b = Traits.stack([p.after.traits(p.columns.which) for p in wanted])
        ticks = np.array([p.before.context.ticks + p.gap for p in wanted], dtype=np.int32)[:, None]
        met = meeting(a.ends, b.ends, ticks, self._instrument, self.limits)
        least = [self._way(p) for p in wanted]
        costs = np.stack([way[: a.names.shape[1], : b.names.shape[1]] for way in least])
        self._add(costs, wanted, a, b)
        return [Join(costs[n].copy(), met.group(n), _low(least[n])) for n in range(len(wanted))]

    def _way(self, p: Pairing) -> Costs:
        """The hand stays in its region: over one chord it hardly moves, at a change of chord at most three frets; an open-handed
        lick sounds low, so that it is near what lies in the first frets and far from the rest. It leaves its region at the
        beginning of a line, or not at all."""
        x, y = p.before.context, p.after.context
        table = _REGION[0 if x.chord == y.chord else 1][1 if y.place == 1 or x.meets else 0]
        found: Costs = table[p.before.leaving(p.rows.index)][:, p.after.entering(p.columns.index)]
        found *= np.int32(self.weight["region"])
        return found

    def _add(self, costs: Costs, wanted: Sequence[Pairing], a: Traits, b: Traits) -> None:
        """Adds all that does not depend on the way and the speed."""
        weight = self.weight["pattern"]
        # a roll goes on for a while, and gives way to another after two lines
        two_lines = np.array([p.before.context.two_lines_end for p in wanted])[:, None, None]
        both = (a.rolls[:, :, None] & b.rolls[:, None, :]) > 0
        going_on = a.bases[:, :, None] == b.bases[:, None, :]
        costs += (both & (going_on == two_lines)) * np.where(two_lines, 2 * weight, weight).astype(np.int32)
        self._land(costs, wanted, a, b)
        # halves of a two-measure lick find each other, and nothing else
        forbidden = np.zeros(costs.shape, dtype=bool)
        matched = None
        if a.opens.max(initial=-1) >= 0 or b.closes.max(initial=-1) >= 0:
            opens, closes = a.opens[:, :, None], b.closes[:, None, :]
            matched = (opens >= 0) & (opens == closes)
            forbidden |= ((opens >= 0) | (closes >= 0)) & ~matched
        # no lick but a roll or vamp twice in a row, unless the player names it both times, or asks for something in a measure
        # that is played again and again; where a role is asked for both times, only if there is no other lick
        again = (a.names[:, :, None] == b.names[:, None, :]) & (a.carrying[:, :, None] == 0)
        if matched is not None:
            again &= ~matched
        for n, p in enumerate(wanted):
            one, other = p.before, p.after
            if one.named and other.named:
                again[n] &= ~(one.asks(p.rows.which)[:, None] & other.asks(p.columns.which)[None, :])
            if one.pinned and (p.itself or other.pinned):
                if not p.itself:
                    costs[n][again[n]] += ASKED_TWICE
                again[n] = False
        forbidden |= again
        costs[forbidden] = NEVER

    def _land(self, costs: Costs, wanted: Sequence[Pairing], a: Traits, b: Traits) -> None:
        """A lead-in meets the note it makes for, and its tail does not have the major third of a minor chord."""
        group, row = np.nonzero(a.leads_to >= 0)
        if not len(group):
            return
        leading = np.array([_leading(p.after.context.chord) for p in wanted])
        roots = np.array([p.after.context.chord.root_class for p in wanted])
        last, first = a.last[group, row], b.first[group]
        step = np.abs(last[:, None] - first)
        missed = np.where((step >= 1) & (step <= 2), 0, np.where(step <= 5, 2, 4))
        missed[first < 0] = 4
        missed[a.leads_to[group, row] != roots[group]] = 12
        missed += np.where(leading[group, last % 12], 0, 6)[:, None]
        minor = np.array([_minor(p.after.context.chord) for p in wanted])
        missed += np.where(minor[group] & (a.brightens[group, row] > 0), 12, 0)[:, None]
        costs[group, row] += (missed * self.weight["landing"]).astype(np.int32)


def _low(costs: Costs) -> npt.NDArray[np.int16]:
    """Costs in half the space, cut off at what fits: they are to be too low rather than too high."""
    found: npt.NDArray[np.int16] = np.minimum(costs, 32_000).astype(np.int16)
    return found


@lru_cache(maxsize=4096)
def _leading(chord: Chord) -> tuple[bool, ...]:
    """For each pitch class, whether it lies a semitone or two from the chord's root, third (or fourth, second) or fifth."""
    quality = chord.quality
    frame = [v for d, v in zip(quality.degrees, quality.classes, strict=True) if d in _FRAME]
    near = {(chord.root_class + v + step) % 12 for v in frame for step in (-2, -1, 1, 2)}
    return tuple(n in near for n in range(12))


def _minor(chord: Chord) -> bool:
    """Whether the chord has a minor third and no major one."""
    return 3 in chord.quality.classes and MAJOR_THIRD not in chord.quality.classes


def _region_table(other_chord: bool, line_begins: bool) -> Costs:
    """What the hand's way costs, by the fret it leaves (from -1: open-handed), its region, the fret it enters and that region."""
    frets, regions = np.arange(-1, FRETS), np.arange(len(PLACES))
    leave, enter = frets[:, None], frets[None, :]
    away = np.abs(np.maximum(leave, 1) - np.maximum(enter, 1))
    shift = np.maximum(0, away - 3) if other_chord else np.where(away > 0, 1 + away // 2, 0)
    near = ((leave < 0) & (enter <= _OPEN_HAND)) | ((enter < 0) & (leave <= _OPEN_HAND))
    way = np.where(near, 0, np.minimum(shift, 10))
    elsewhere = (regions[:, None] != regions[None, :]) * (1 if line_begins else 3)
    found: Costs = (way[:, None, :, None] + elsewhere[None, :, None, :]).reshape(CODES, CODES).astype(np.int32)
    return found


_REGION = tuple(tuple(_region_table(other, begins) for begins in (False, True)) for other in (False, True))


class Joiner:
    """Join costs of one song: the joins at its tempo."""

    def __init__(self, joins: Joins, ms_per_tick: float) -> None:
        self._joins = joins
        self._ms_per_tick = ms_per_tick
        self.weight = joins.weight
        self._ready: dict[Key, Costs] = {}

    def pair(self, a: Domain, b: Domain, gap: int, itself: bool = False) -> Costs:
        """The costs of all joins from `a` to `b`; `gap` ticks lie between them, and `itself` tells that it is one slot, played again."""
        every = (Some(np.arange(a.size)), Some(np.arange(b.size)))
        return self.costs([Pairing(a, b, gap, itself, *every)])[0]

    def costs(self, wanted: Sequence[Pairing]) -> list[Costs]:
        """The costs of joins, and what those with the candidates behind cost at least. All at once is much faster than one by one."""
        keys = [p.key for p in wanted]
        ready, at_speed, speed = self._ready, self._joins.at_speed, self._ms_per_tick
        new = {}
        for key, p in zip(keys, wanted, strict=True):
            if key in ready:
                continue
            known = at_speed.get((key, speed)) if p.cheapest else None
            if known is None:
                new[key] = p
            else:
                ready[key] = known
        for start in range(0, len(new), _TOGETHER):
            some = dict(islice(new.items(), start, start + _TOGETHER))
            for (key, p), costs in zip(some.items(), self._at_speed(self._joins.joins(some)), strict=True):
                # a table of its own: those made together share one piece of memory
                ready[key] = at_speed.put((key, speed), costs.copy()) if p.cheapest else costs
        return [ready[key] for key in keys]

    def _at_speed(self, joins: list[Join]) -> list[Costs]:
        """The costs of joins with the hands' effort at the song's speed."""
        costs = np.concatenate([j.costs.ravel() for j in joins])
        where, effort = strain(Meeting.of([j.met for j in joins]), self._joins.limits, self._ms_per_tick)
        at_speed = costs[where] + np.rint(np.minimum(effort, 1) * self.weight["strain"]).astype(np.int32)
        at_speed[(effort == IMPOSSIBLE) | (at_speed > NEVER)] = NEVER
        costs[where] = at_speed
        out = []
        start = 0
        for join in joins:
            rows, columns = join.costs.shape
            found = costs[start : start + join.costs.size].reshape(rows, columns)
            start += join.costs.size
            if found.shape != join.least.shape:
                padded = join.least.astype(np.int32)
                padded[:rows, :columns] = found
                found = padded
            out.append(found)
        return out
