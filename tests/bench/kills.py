"""A build killed at 200 random instants; after each, what stands must be whole and the next run's bytes those of a clean build.

python -m tests.bench.kills [TIMES]
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

from chartc.cli import main
from tests.book.charts import band
from tests.book.test_builder import contents, kill_at_random


def run(times: int) -> None:
    """Kills and builds in turn, and tells how many outputs stood when the build was killed."""
    with tempfile.TemporaryDirectory() as folder:
        path = band(Path(folder))
        start = time.perf_counter()
        assert main(["build", str(path), "--out", str(Path(folder) / "clean")]) == 0
        longest = 2.5 * (time.perf_counter() - start) + 1
        clean = contents(Path(folder) / "clean")
        out = Path(folder) / "out"
        stood = 0
        for n in range(times):
            kill_at_random(path, out, 1 + n % 2, n, longest)
            found = contents(out) if out.exists() else {}
            assert all(clean[name] == data for name, data in found.items()), n
            stood += bool(found)
            if n % 5 == 4:
                assert main(["build", str(path), "--out", str(out)]) == 0
                assert contents(out) == clean, n
        print(
            f"{times} builds killed within {longest:.1f} s; in {stood} an output stood already; every rebuild had the clean bytes"
        )


if __name__ == "__main__":
    run(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
