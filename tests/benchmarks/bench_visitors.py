"""Fifty newcomers at the page at once.

    python tests/benchmarks/bench_visitors.py [count [pause]]

Prints the median and the slowest answer of each kind, what failed, and the memory that it took.
``pause`` is how many seconds a visitor thinks between two steps, 2 on average unless given.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from page_server import page_server
from visitors import visit


def main(count: int = 50, pause_s: float = 2.0) -> int:
    with page_server() as server:
        begun = time.monotonic()
        told = visit([server], count, pause_s=pause_s)
        print(f"{count} visitors in {time.monotonic() - begun:.0f} s, pause {pause_s:g} s")
    print("\n".join(told.lines()))
    return int(bool(told.failed))


if __name__ == "__main__":
    given = sys.argv[1:]
    raise SystemExit(main(int(given[0]) if given else 50, float(given[1]) if given[1:] else 2.0))
