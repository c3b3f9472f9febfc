"""Newcomers at once, their questions spread over two servers: each gets all that it asks for.

``tests/benchmarks/bench_visitors.py`` does the same with fifty of them, and measures.
"""

from __future__ import annotations

from collections import Counter

from page_server import page_server
from visitors import visit

COUNT, THOROUGH, EDITS, PICTURES = 6, 1, 1, 2
MOST_MB = 1500
"""For two servers and their workers; regression limit, measured: 600."""


def test_visitors_go_from_the_pictures_to_a_file_whichever_server_answers() -> None:
    with page_server() as one, page_server() as other:
        told = visit([one, other], COUNT, thorough=THOROUGH, edits=EDITS, pictures=PICTURES)
    assert told.failed == []
    answered = Counter({kind: len(waited) for kind, waited in told.waited_s.items()})
    looks = COUNT * (1 + EDITS)
    assert answered >= Counter({
        "page": COUNT, "form": COUNT, "pictures": PICTURES * COUNT, "begin": COUNT, "frame": looks,
        "findings": looks, "first sheet": THOROUGH, "sheets": THOROUGH, "sheet": THOROUGH,
        "cost": THOROUGH, "file": THOROUGH,
    })  # fmt: skip
    assert 50 < max(told.memory_mb) < MOST_MB
