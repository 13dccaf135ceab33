"""Joins: what it costs to go from one lick to the next, for all pairs at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from chartc.licks.lick import CARRYING
from chartc.neck.hand import Grip, Limits
from chartc.neck.instrument import Instrument
from chartc.neck.joint import IMPOSSIBLE, strain
from chartc.slots.candidate import PLACES, Candidate
from chartc.slots.costs import NEVER
from chartc.slots.slot import Context

Costs = npt.NDArray[np.int64]

# frets beside which open strings sound near
_OPEN_HAND = 4

# the tones of a chord that a lead-in may make for
_FRAME = ("1", "3", "b3", "5", "b5", "#5", "4", "2")

ASKED_TWICE = 1000
"""The price of a lick that comes back at once because a request leaves no other."""


@dataclass(frozen=True, eq=False)
class Domain:
    """The candidates of a slot with what joins need, as arrays. `costs` are the slot's own costs, candidate by candidate."""

    candidates: tuple[Candidate, ...]
    costs: Costs
    context: Context
    pinned: bool
    named: npt.NDArray[np.bool_]
    """Which candidates are of a lick that the player asks for by name, here or in the measure that shares it."""
    names: npt.NDArray[np.int64]
    carrying: npt.NDArray[np.bool_]
    rolls: npt.NDArray[np.bool_]
    bases: npt.NDArray[np.int64]
    regions: npt.NDArray[np.int64]
    enter: npt.NDArray[np.int64]
    leave: npt.NDArray[np.int64]
    first: npt.NDArray[np.int64]
    last: npt.NDArray[np.int64]
    leads_to: npt.NDArray[np.int64]
    opens: npt.NDArray[np.int64]
    closes: npt.NDArray[np.int64]
    grips: tuple[Grip, ...]
    grip_of: npt.NDArray[np.int64]


class Numbers:
    """Gives equal things equal numbers, in order of first use."""

    def __init__(self) -> None:
        self._known: dict[Any, int] = {}

    def __call__(self, thing: Any) -> int:
        return self._known.setdefault(thing, len(self._known))


class Joiner:
    """Join costs of one song in one key. Profiles are compared once and remembered."""

    def __init__(self, instrument: Instrument, limits: Limits, ms_per_tick: float, weight: dict[str, int]) -> None:
        self._instrument = instrument
        self._limits = limits
        self._ms_per_tick = ms_per_tick
        self.weight = weight
        self._name = Numbers()
        self._key = Numbers()
        self._pairs: dict[tuple[int, int, int, bool], Costs] = {}

    def domain(
        self,
        found: tuple[Candidate, ...],
        costs: Costs,
        context: Context,
        pinned: bool,
        named: frozenset[str] = frozenset(),
    ) -> Domain:
        """The candidates as arrays; `named` are the licks that the player asks for by name."""
        grips: dict[Grip, int] = {}
        grip_of = [grips.setdefault(c.grip, len(grips)) for c in found]

        def ints(values: list[int]) -> npt.NDArray[np.int64]:
            return np.array(values, dtype=np.int64)

        return Domain(
            found,
            costs,
            context,
            pinned,
            np.array([c.lick in named for c in found]),
            ints([self._name(c.lick) for c in found]),
            np.array([c.role in CARRYING for c in found]),
            np.array([c.role in ("roll", "vamp", "lead-in") for c in found]),
            ints([self._name(c.base) for c in found]),
            ints([tuple(PLACES).index(c.place) for c in found]),
            ints([c.grip.entry.position if c.grip.entry else -1 for c in found]),
            ints([c.grip.exit.position if c.grip.exit else -1 for c in found]),
            ints([c.notes[0].pitch if c.notes and not c.notes[0].at else -1 for c in found]),
            ints([c.notes[-1].pitch if c.notes else -1 for c in found]),
            ints([-1 if c.leads_to is None else c.leads_to for c in found]),
            ints([self._key(c.key) if c.part == (1, 2) else -1 for c in found]),
            ints([self._key(c.key) if c.part == (2, 2) else -1 for c in found]),
            tuple(grips),
            ints(grip_of),
        )

    def pair(self, a: Domain, b: Domain, gap: int, itself: bool = False) -> Costs:
        """The costs of every join from `a` to `b`, with `gap` ticks between them; `itself` tells that it is one slot, played again."""
        memo = (id(a), id(b), gap, itself)
        if memo not in self._pairs:
            self._pairs[memo] = self._pair(a, b, gap, itself)
        return self._pairs[memo]

    def _pair(self, a: Domain, b: Domain, gap: int, itself: bool) -> Costs:
        weight = self.weight
        length = a.context.ticks
        hands = strain(a.grips, b.grips, length, gap, self._instrument, self._limits, self._ms_per_tick)
        possible = hands != IMPOSSIBLE
        effort = np.rint(np.where(possible, hands, 0.0) * weight["strain"])
        table = np.where(possible, effort, float(NEVER)).astype(np.int64)
        costs = table[a.grip_of][:, b.grip_of]
        # the hand stays in its region: over one chord it hardly moves, at a change of chord at most three frets; an open-handed
        # lick sounds low, so that it is near what lies in the first frets and far from the rest
        leave, enter = np.maximum(a.leave, 1)[:, None], np.maximum(b.enter, 1)[None, :]
        away = np.abs(leave - enter)
        near = ((a.leave < 0)[:, None] & (enter <= _OPEN_HAND)) | ((b.enter < 0)[None, :] & (leave <= _OPEN_HAND))
        if a.context.chord == b.context.chord:
            shift = np.where(away > 0, 1 + away // 2, 0)
        else:
            shift = np.maximum(0, away - 3)
        costs = costs + np.where(near, 0, np.minimum(shift, 10)) * weight["region"]
        # and it leaves its region at the beginning of a line, or not at all
        elsewhere = a.regions[:, None] != b.regions[None, :]
        costs += np.where(elsewhere, 1 if b.context.place == 1 or a.context.meets else 3, 0) * weight["region"]
        # a roll goes on for a while, and gives way to another after two lines
        same = a.names[:, None] == b.names[None, :]
        going_on = (a.bases[:, None] == b.bases[None, :]) & a.rolls[:, None] & b.rolls[None, :]
        if a.context.two_lines_end:
            costs += np.where(going_on, 2, 0) * weight["pattern"]
        else:
            costs += np.where(~going_on & a.rolls[:, None] & b.rolls[None, :], 1, 0) * weight["pattern"]
        # a lead-in meets the note it makes for
        root = b.context.chord.root_class
        making = a.leads_to[:, None] >= 0
        step = np.abs(a.last[:, None] - b.first[None, :])
        lands = (b.first[None, :] >= 0) & (step >= 1) & (step <= 2)
        near = (b.first[None, :] >= 0) & (step <= 5)
        missed = np.where(a.leads_to[:, None] != root, 12, np.where(lands, 0, np.where(near, 2, 4)))
        quality = b.context.chord.quality
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
        if not (itself and a.pinned):
            asked = a.named[:, None] & b.named[None, :]
            again = same & ~a.carrying[:, None] & ~matched & ~asked
            costs[again] = np.minimum(costs[again] + ASKED_TWICE, NEVER) if a.pinned and b.pinned else NEVER
        clipped: Costs = np.minimum(costs, NEVER)
        return clipped
