"""Newcomers at the page, all at once, over HTTP alone: how long each waits for each answer.

Each goes from the pictures to a tunnel of its own, changes it, looks at its drawings and its cost,
and takes a file away. Every design is another one, so that no answer is another visitor's.
"""

from __future__ import annotations

import json
import random
import re
import statistics
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from page_server import Answer, Server, told_and_file

from frame3d.web.requests.design_links import packed

HEADERS = {"Accept-Encoding": "gzip"}
EDITS = 4
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


def visit(server: Server, count: int, *, pause_s: float = 0.0) -> Told:
    """Have ``count`` visitors at once, who think for ``pause_s`` on average between two steps."""
    told, done = Told(), threading.Event()
    watch = threading.Thread(target=_watch, args=(server.process.pid, told, done))
    watch.start()
    visitors = [
        threading.Thread(target=_visitor, args=(server, number, told, pause_s))
        for number in range(count)
    ]
    for one in visitors:
        one.start()
    for one in visitors:
        one.join()
    done.set()
    watch.join()
    return told


def _visitor(server: Server, number: int, told: Told, pause_s: float) -> None:
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
        _newcomer(server, number, timed)
    except Exception as error:  # whatever it is, the visitor got no further
        told.failed.append(f"visitor {number} got no further: {error!r}")


def _newcomer(server: Server, number: int, timed: Callable[..., Any]) -> None:
    """The way of one visitor; what is missing on it is told by ``timed``."""
    page = timed("page", lambda: server.ask("/"))
    for path in LOADED.findall(page.body.decode()):
        timed("assets", lambda path=path: server.ask(path, headers=HEADERS))
    form = timed("form", lambda: server.ask("/api/form")).json
    for start in form["starts"]:
        if start.get("use"):
            path = f"/api/picture?key={start['key']}"
            timed("pictures", lambda path=path: server.ask(path, headers=HEADERS))
    answers = {"width": f"{5500 + 7 * number} mm", "length": "15 m"}
    fields = {"key": STARTS[number % len(STARTS)], "answers": answers}
    text = timed("begin", lambda: server.post("/api/begin", fields)).json["text"]
    _look(server, text, timed)
    for step in range(EDITS):
        text = re.sub(
            r'(?m)^width = ".*"$', f'width = "{5600 + 7 * number + step} mm"', text, count=1
        )
        _look(server, text, timed)
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


def _look(server: Server, text: str, timed: Callable[..., Any]) -> None:
    """At a frame and at what the checks find."""
    frame = timed("frame", lambda: server.ask(f"/api/frame?d={packed(text)}"))
    size = int.from_bytes(frame.body[:4], "little")
    assert json.loads(frame.body[4 : 4 + size])["figures"]
    found = timed("findings", lambda: server.ask(f"/api/findings?d={packed(text)}"))
    assert "counts" in found.json, found.json


def _watch(pid: int, told: Told, done: threading.Event) -> None:
    """Memory of the server and of all that it has started, twice a second."""
    while not done.is_set():
        told.memory_mb.append(sum(_memory_mb(one) for one in _family(pid)))
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


__all__ = ["Told", "visit"]
