"""The shelf: what is worked out once for an instrument as it stands, a pair of hands, a library and a rulebook, and serves every
song that is filled with them."""

from __future__ import annotations

from functools import lru_cache

from chartc.licks.lick import Library
from chartc.neck.hand import Limits
from chartc.neck.instrument import FifthString, Instrument
from chartc.slots.candidate import Bench, Kind, Maker
from chartc.slots.costs import Setting
from chartc.slots.domain import Asked, Domain, domain
from chartc.slots.joins import Joins
from chartc.slots.pool import Pool
from chartc.slots.recent import Recent
from chartc.slots.rulebook import Rulebook
from chartc.slots.slot import Context

_POOLS, _DOMAINS = 200, 5000
# pools and domains kept, each with arrays of a few hundred numbers


class Shelf:
    """Candidates, pools, domains and joins; equal ones are made once."""

    def __init__(self, bench: Bench, book: Rulebook, hardest: int) -> None:
        self.maker = Maker(bench)
        self.joins = Joins(bench.instrument, bench.limits, book.weight)
        self._book = book
        self._hardest = hardest
        self._pools: Recent[Kind, Pool] = Recent(_POOLS)
        self._domains: Recent[object, Domain] = Recent(_DOMAINS)

    def pool(self, kind: Kind) -> Pool:
        """The candidates of a kind of slot at any speed."""
        found = self._pools.get(kind)
        if found is not None:
            return found
        return self._pools.put(kind, Pool(kind[0], self.maker.candidates(*kind), self.maker.bench.instrument.drone))

    def domain(self, kind: Kind, x: Context, asked: Asked, setting: Setting, ms_per_tick: float) -> Domain:
        """What a slot of a kind may hold in a context, at a speed."""
        pool = self.pool(kind)
        key = (kind, x, asked.key, setting, pool.speed(ms_per_tick))
        found = self._domains.get(key)
        if found is not None:
            return found
        return self._domains.put(key, domain(pool, x, asked, self._book, self._hardest, setting, ms_per_tick))


@lru_cache(maxsize=8)
def shelf_for(
    instrument: Instrument, fret: int, pitch: int, limits: Limits, library: Library, book: Rulebook, hardest: int
) -> Shelf:
    """The shelf of an instrument with its short string at a fret and pitch, a pair of hands, a library and a rulebook; `hardest`
    is the greatest difficulty of a lick that may be chosen."""
    return Shelf(Bench(instrument, FifthString(fret, pitch, ""), limits, library), book, hardest)
