"""How often the garbage collector looks: charts make many small objects and few cycles, so it is told to look seldom."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

_SELDOM = (100_000, 20, 100)


def collect_seldom() -> None:
    """For the rest of this process."""
    gc.set_threshold(*_SELDOM)


@contextmanager
def few_collections() -> Iterator[None]:
    """For a while."""
    before = gc.get_threshold()
    collect_seldom()
    try:
        yield
    finally:
        gc.set_threshold(*before)


def end_quickly() -> None:
    """For a process that is about to end: what it has made is not looked through once more, all of it goes anyway."""
    gc.freeze()
