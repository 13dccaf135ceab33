"""The work on an existing engine for many machines: dask.distributed, an extra of the installation. Its workers need this program installed,
and nothing else: charts and settings travel to them, drawn pages come back."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import Any


class ClusterError(OSError):
    """The cluster cannot be used."""


@contextmanager
def cluster(address: str) -> Iterator[Executor]:
    """An executor whose work goes to the scheduler at `address` (`tcp://host:8786`). Raises ClusterError."""
    try:
        import distributed
    except ImportError:
        raise ClusterError(0, "--cluster needs the extra: pip install 'chartc[cluster]'", address) from None
    make: Any = distributed.Client
    try:
        client: Any = make(address, timeout="10s")
    except (OSError, ValueError, TimeoutError) as error:
        raise ClusterError(0, f"there is no scheduler to be reached ({error})", address) from None
    with client:
        yield client.get_executor(pure=False, retries=1)
