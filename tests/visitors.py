"""Newcomers at the page, all at once, over HTTP alone: how long each waits for each answer.

Each goes from the pictures to a tunnel of its own, changes it, looks at its drawings and its cost,
and takes a file away. Every design is another one, so that no answer is another visitor's.
"""

from __future__ import annotations

import itertools
import json
import random
import re
import statistics
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from page_server import Answer, Server, told_and_file

from frame3d.web.requests.design_links import packed

HEADERS = {"Accept-Encoding": "gzip"}
LOADED = re.compile(r'(?:href|src)="(/assets/[^"]+)"')
STARTS = ("market", "seedlings", "salads", "tomatoes", "flowers", "store")


@dataclass
class Told:
    """What visitors have met: seconds for each kind of answer, and what failed."""

    waited_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    failed: list[str] = field(default_factory=list)
    memory_mb: list[float] = field(default_factory=list)

    def lines(self) -> Iterator[str]:
        """A line for each kind of answer, its median and slowest; then memory and failures."""
        for kind, seconds in self.waited_s.items():
            yield (
                f"{kind:<12} {len(seconds):4d} answers, median "
                f"{statistics.median(seconds):6.2f} s, slowest {max(seconds):6.2f} s"
            )
        yield f"most memory of server and workers {max(self.memory_mb):.0f} MB"
        yield f"{len(self.failed)} failed"
        yield from self.failed[:10]


class SideBySide:
    """Several servers of which each question goes to the next one."""

    def __init__(self, servers: Sequence[Server]) -> None:
        self._next = itertools.cycle(servers)

    def ask(self, path: str, **about: Any) -> Answer:
        return next(self._next).ask(path, **about)

    def post(self, path: str, fields: Any) -> Answer:
        return next(self._next).post(path, fields)


def visit(
    servers: Sequence[Server],
    count: int,
    *,
    thorough: int | None = None,
    edits: int = 4,
    pictures: int = 10,
    pause_s: float = 0.0,
) -> Told:
    """Have ``count`` visitors at once, each question of one going to another server.

    ``thorough`` of them, all unless given, look at drawings and cost and take a file away. Between
    two steps they think for ``pause_s`` on average, and each looks at
    as many ``pictures`` and makes as many ``edits``.
    """
    told, done = Told(), threading.Event()
    pids = [one.process.pid for one in servers]
    watch = threading.Thread(target=_watch, args=(pids, told, done))
    watch.start()
    most = count if thorough is None else thorough
    visitors = [
        threading.Thread(
            target=_visitor,
            args=(SideBySide(servers), number, told, pause_s, (pictures, edits), number < most),
        )
        for number in range(count)
    ]
    for one in visitors:
        one.start()
    for one in visitors:
        one.join()
    done.set()
    watch.join()
    return told


def _visitor(
    server: SideBySide,
    number: int,
    told: Told,
    pause_s: float,
    steps: tuple[int, int],
    is_thorough: bool,
) -> None:
    chance = random.Random(number)

    def timed(kind: str, ask: Callable[[], Answer]) -> Answer | None:
        if pause_s:
            time.sleep(chance.uniform(0, 2 * pause_s))
        begun = time.monotonic()
        try:
            answer = ask()
        except OSError as error:
            told.failed.append(f"{kind}: {error!r}")
            return None
        told.waited_s[kind].append(time.monotonic() - begun)
        if answer.status != 200:
            told.failed.append(f"{kind}: {answer.status} {answer.body[:80]!r}")
            return None
        return answer

    try:
        text = _newcomer(server, number, timed, *steps)
        if is_thorough:
            _takes_away(server, text, timed)
    except Exception as error:  # whatever it is, the visitor got no further
        told.failed.append(f"visitor {number} got no further: {error!r}")


def _newcomer(
    server: SideBySide, number: int, timed: Callable[..., Any], pictures: int, edits: int
) -> str:
    """From the first picture to a tunnel that was changed, which is the design returned."""
    page = timed("page", lambda: server.ask("/"))
    for path in LOADED.findall(page.body.decode()):
        timed("assets", lambda path=path: server.ask(path, headers=HEADERS))
    form = timed("form", lambda: server.ask("/api/form")).json
    for start in [one for one in form["starts"] if one.get("use")][:pictures]:
        path = f"/api/picture?key={start['key']}"
        timed("pictures", lambda path=path: server.ask(path, headers=HEADERS))
    answers = {"width": f"{5500 + 7 * number} mm", "length": "9 m"}
    fields = {"key": STARTS[number % len(STARTS)], "answers": answers}
    text = timed("begin", lambda: server.post("/api/begin", fields)).json["text"]
    _look(server, text, timed)
    for step in range(edits):
        text = re.sub(
            r'(?m)^width = ".*"$', f'width = "{5600 + 7 * number + step} mm"', text, count=1
        )
        _look(server, text, timed)
    return text


def _takes_away(server: SideBySide, text: str, timed: Callable[..., Any]) -> None:
    """Drawings, cost and a file."""
    first = timed(
        "first sheet", lambda: server.ask(f"/api/first?family=cover&place=0&d={packed(text)}")
    )
    assert "svg" in first.json, first.json
    sheets = timed("sheets", lambda: server.ask(f"/api/sheets?follow=1&d={packed(text)}"))
    assert json.loads(sheets.body.splitlines()[-1])["answer"]["sheets"]
    svg = timed("sheet", lambda: server.ask(f"/api/sheet?number=1&d={packed(text)}"))
    assert b"<svg" in svg.body
    assert timed("cost", lambda: server.post("/api/cost", {"text": text})).json
    view = {"text": text, "kind": "view"}
    made, content = told_and_file(timed("file", lambda: server.post("/api/file", view)))
    assert made["state"] == "ready" and len(content) == made["bytes"], made


def _look(server: SideBySide, text: str, timed: Callable[..., Any]) -> None:
    """At a frame and at what the checks find."""
    frame = timed("frame", lambda: server.ask(f"/api/frame?d={packed(text)}"))
    size = int.from_bytes(frame.body[:4], "little")
    assert json.loads(frame.body[4 : 4 + size])["figures"]
    found = timed("findings", lambda: server.ask(f"/api/findings?d={packed(text)}"))
    assert "counts" in found.json, found.json


def _watch(pids: Sequence[int], told: Told, done: threading.Event) -> None:
    """Memory of the server and of all that it has started, twice a second."""
    while not done.is_set():
        told.memory_mb.append(sum(_memory_mb(one) for pid in pids for one in _family(pid)))
        done.wait(0.5)


def _family(pid: int) -> Iterator[int]:
    yield pid
    try:
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except OSError:
        return
    for child in children:
        yield from _family(int(child))


def _memory_mb(pid: int) -> float:
    """What is its own, and its part of what it shares (PSS)."""
    try:
        rows = Path(f"/proc/{pid}/smaps_rollup").read_text()
    except OSError:
        return 0.0
    return int(rows.partition("\nPss:")[2].split()[0]) / 1024


__all__ = ["SideBySide", "Told", "visit"]
