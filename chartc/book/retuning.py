"""How often the fifth string is moved between songs, and the order of songs in which that is least."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations
from typing import NamedTuple

PEG, SPIKE = 3, 1
"""How much work it is to turn the peg, and to set or lift a spike (ours: a peg must be tuned by ear)."""

MOST_EXACT = 7
"""So many different stands are tried in every order; of more, the nearest comes next."""


class Stand(NamedTuple):
    """How the fifth string stands: semitones that the peg is turned up, and the spike's fret (0: none)."""

    up: int
    spike: int


TUNED = Stand(0, 0)
"""As the banjo comes out of its case."""


def stand(fret: int, pitch: int, open_pitch: int) -> Stand:
    """The stand of a song's fifth string: its spike's fret (0: none) and its sounding pitch, as MIDI numbers."""
    return Stand(0, fret) if fret else Stand(pitch - open_pitch, 0)


def work(a: Stand, b: Stand) -> int:
    """What it takes to go from one stand to another."""
    return PEG * (a.up != b.up) + SPIKE * (a.spike != b.spike)


def total(stands: Sequence[Stand], start: Stand = TUNED) -> int:
    """What a whole order takes, from `start` on."""
    return sum(work(a, b) for a, b in zip((start, *stands), stands, strict=False))


def moves(stands: Sequence[Stand], start: Stand = TUNED) -> int:
    """How often the string is moved."""
    return sum(a != b for a, b in zip((start, *stands), stands, strict=False))


def least(stands: Sequence[Stand], start: Stand = TUNED) -> tuple[int, ...]:
    """The songs' numbers in an order that takes the least work: songs of one stand follow each other as they are listed. Of equal
    orders the one that is nearer to the list comes first. Exact for up to MOST_EXACT different stands."""
    groups: dict[Stand, list[int]] = {}
    for n, s in enumerate(stands):
        groups.setdefault(s, []).append(n)
    # going straight to a stand never takes more than going by way of another one: no stand need be left and come back to
    if len(groups) <= MOST_EXACT:
        best = min(permutations(groups), key=lambda order: total(order, start))
    else:
        left = list(groups)
        chain: list[Stand] = []
        while left:
            here = chain[-1] if chain else start
            nearest = min(left, key=lambda s: work(here, s))
            left.remove(nearest)
            chain.append(nearest)
        best = tuple(chain)
    return tuple(n for s in best for n in groups[s])
