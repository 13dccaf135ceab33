"""Joins: what it costs to go from one lick to the next, for all pairs at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from chartc.neck.hand import Limits
from chartc.neck.instrument import Instrument
from chartc.neck.joint import IMPOSSIBLE, Mask, strain
from chartc.slots.candidate import Candidate
from chartc.slots.costs import NEVER
from chartc.slots.slot import Context
from chartc.slots.traits import Traits, traits

Costs = npt.NDArray[np.int64]

# frets beside which open strings sound near
_OPEN_HAND = 4

# the tones of a chord that a lead-in may make for
_FRAME = ("1", "3", "b3", "5", "b5", "#5", "4", "2")

ASKED_TWICE = 1000
"""The price of a lick that comes back at once because a request leaves no other."""


@dataclass(frozen=True, eq=False)
class Domain:
    """The candidates of a slot with what joins need. `costs` are the slot's own costs, candidate by candidate; `named` are those of a
    lick that the player asks for by name, here or in the measure that shares it."""

    candidates: tuple[Candidate, ...]
    costs: Costs
    context: Context
    pinned: bool
    named: Mask
    traits: Traits


def domain(
    found: tuple[Candidate, ...],
    costs: Costs,
    context: Context,
    pinned: bool,
    named: frozenset[str] = frozenset(),
    known: Traits | None = None,
) -> Domain:
    """A domain; `named` are the licks that the player asks for by name, `known` the candidates' traits where they are known."""
    asked = np.array([c.lick in named for c in found], dtype=bool) if named else np.zeros(len(found), dtype=bool)
    return Domain(found, costs, context, pinned, asked, known or traits(found))


class Joiner:
    """Join costs of one song in one key. Equal pairs are compared once and remembered."""

    def __init__(self, instrument: Instrument, limits: Limits, ms_per_tick: float, weight: dict[str, int]) -> None:
        self._instrument = instrument
        self._limits = limits
        self._ms_per_tick = ms_per_tick
        self.weight = weight
        self._pairs: dict[tuple[int, int, int, bool], Costs] = {}

    def pair(self, a: Domain, b: Domain, gap: int, itself: bool = False) -> Costs:
        """The costs of every join from `a` to `b`, with `gap` ticks between them; `itself` tells that it is one slot, played again."""
        memo = (id(a), id(b), gap, itself)
        if memo not in self._pairs:
            self._pairs[memo] = self._pair(a, b, gap, itself)
        return self._pairs[memo]

    def _pair(self, one: Domain, other: Domain, gap: int, itself: bool) -> Costs:
        weight = self.weight
        a, b, x, y = one.traits, other.traits, one.context, other.context
        hands = strain(a.ends, b.ends, x.ticks, gap, self._instrument, self._limits, self._ms_per_tick)
        possible = hands != IMPOSSIBLE
        effort = np.rint(np.where(possible, hands, 0.0) * weight["strain"])
        costs = np.where(possible, effort, float(NEVER)).astype(np.int64)
        # the hand stays in its region: over one chord it hardly moves, at a change of chord at most three frets; an open-handed
        # lick sounds low, so that it is near what lies in the first frets and far from the rest
        leave, enter = np.maximum(a.leave, 1)[:, None], np.maximum(b.enter, 1)[None, :]
        away = np.abs(leave - enter)
        near = ((a.leave < 0)[:, None] & (enter <= _OPEN_HAND)) | ((b.enter < 0)[None, :] & (leave <= _OPEN_HAND))
        if x.chord == y.chord:
            shift = np.where(away > 0, 1 + away // 2, 0)
        else:
            shift = np.maximum(0, away - 3)
        costs = costs + np.where(near, 0, np.minimum(shift, 10)) * weight["region"]
        # and it leaves its region at the beginning of a line, or not at all
        elsewhere = a.regions[:, None] != b.regions[None, :]
        costs += np.where(elsewhere, 1 if y.place == 1 or x.meets else 3, 0) * weight["region"]
        # a roll goes on for a while, and gives way to another after two lines
        same = a.names[:, None] == b.names[None, :]
        going_on = (a.bases[:, None] == b.bases[None, :]) & a.rolls[:, None] & b.rolls[None, :]
        if x.two_lines_end:
            costs += np.where(going_on, 2, 0) * weight["pattern"]
        else:
            costs += np.where(~going_on & a.rolls[:, None] & b.rolls[None, :], 1, 0) * weight["pattern"]
        # a lead-in meets the note it makes for
        root = y.chord.root_class
        making = a.leads_to[:, None] >= 0
        step = np.abs(a.last[:, None] - b.first[None, :])
        lands = (b.first[None, :] >= 0) & (step >= 1) & (step <= 2)
        near = (b.first[None, :] >= 0) & (step <= 5)
        missed = np.where(a.leads_to[:, None] != root, 12, np.where(lands, 0, np.where(near, 2, 4)))
        quality = y.chord.quality
        frame = [v for d, v in zip(quality.degrees, quality.classes, strict=True) if d in _FRAME]
        leading = {(root + v + step) % 12 for v in frame for step in (-2, -1, 1, 2)}
        missed = missed + np.where(np.isin(a.last % 12, list(leading)), 0, 6)[:, None]
        costs += np.where(making, missed, 0) * weight["landing"]
        # halves of a two-measure lick find each other, and nothing else
        opens, closes = a.opens[:, None], b.closes[None, :]
        matched = (opens >= 0) & (opens == closes)
        costs[((opens >= 0) | (closes >= 0)) & ~matched] = NEVER
        # no lick but a roll or vamp twice in a row, unless the player names it both times, or asks for something in a measure
        # that is played again and again; where a role is asked for both times, only if there is no other lick
        if not (itself and one.pinned):
            asked = one.named[:, None] & other.named[None, :]
            again = same & ~a.carrying[:, None] & ~matched & ~asked
            costs[again] = np.minimum(costs[again] + ASKED_TWICE, NEVER) if one.pinned and other.pinned else NEVER
        clipped: Costs = np.minimum(costs, NEVER)
        return clipped
