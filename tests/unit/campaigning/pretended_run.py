"""Stands for the program in tests of the campaign: fails, hangs or dies where a design says so."""

from __future__ import annotations

import os
import signal
import time


def run(mapping: dict, stages, tell=lambda stage: None, *, whole: bool = False) -> dict:
    """Fail where a door is wider than 2 m; work on at 6 m, hang at 7 m, die at 9 m."""
    tell("layout")
    failures = []
    for door in mapping.get("door", []):
        while door.get("width") == "6000 mm":
            pass
        if door.get("width") == "7000 mm":
            time.sleep(600)
        if door.get("width") == "9000 mm":
            os.kill(os.getpid(), signal.SIGSEGV)
        if float(door.get("width", "0 mm").split()[0]) > 2000:
            failures.append({"stage": "layout", "kind": "exception",
                             "cause": "wide door", "detail": door["width"]})  # fmt: skip
    return {"refused": [], "left": None, "failures": failures, "told": {"seen": 1},
            "times": {"layout": 0.0}, "sizes": {}}  # fmt: skip


__all__ = ["run"]
