"""Fifty newcomers at the page at once.

    python tests/benchmarks/bench_visitors.py [count [pause [thorough]]]

Prints the median and the slowest answer of each kind, what failed, and the memory that it took.
``pause`` is how many seconds a visitor thinks between two steps, 1 on average unless given;
``thorough`` of them, 12 unless given, go on to drawings, cost and a file.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from page_server import page_server
from visitors import visit


def main(count: int = 50, pause_s: float = 1.0, thorough: int = 12) -> int:
    with page_server() as server:
        begun = time.monotonic()
        told = visit([server], count, thorough=thorough, edits=2, pause_s=pause_s)
        print(f"{count} visitors in {time.monotonic() - begun:.0f} s, pause {pause_s:g} s")
    print("\n".join(told.lines()))
    return int(bool(told.failed))


if __name__ == "__main__":
    given = dict(zip(("count", "pause_s", "thorough"), map(float, sys.argv[1:]), strict=False))
    raise SystemExit(main(**{k: v if k == "pause_s" else int(v) for k, v in given.items()}))
