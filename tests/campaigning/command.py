"""The command line of the campaign."""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from campaigning.causes import Failure
from campaigning.drawn import KINDS, design_of, names
from campaigning.order import LASTS, through
from campaigning.report import Group, groups_of, report_of, text_of, write_report
from campaigning.rows import Rows, code_version
from campaigning.shrinking import shrunk, size_of
from campaigning.workers import Task, results

_SHRUNK = "smallest.json"
_SAID_EVERY_S = 30.0
_TEXT = """
Draws designs: of the whole schema (random), with odd values (odd), and walks: what frame3d new
writes, or an example, with one to four changes. Each goes through reading and layout, checks,
take-off, sheets with the judge of drawings, guide, page, and exact solids, as far as --through
says; all writes every file besides but the pictures. Failing is an exception, an invalid solid,
a fault of the judge, a missing output, a process that dies or takes too long, or an error of the
checks that does not name two fields of the design. What is refused, and what the sheets tell
that they could not place, is counted.

Design 17 of a kind is the same for the same seed. The folder keeps a row for each design; the
same command goes on where it was. After a change of the code all are tried anew, first those
that failed. report.txt, report.json and the smallest failing designs are written into the folder.
"""


def arguments(given: Sequence[str] | None = None) -> argparse.Namespace:
    """What is asked for."""
    parser = argparse.ArgumentParser(
        prog="python tests/campaign.py", description=_TEXT,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    add = parser.add_argument
    add("--designs", type=int, default=300, help="how many, of all kinds (default %(default)s)")
    add("--minutes", type=float, help="begin no other design after this time")
    add("--through", choices=LASTS, default="sheets", help="default %(default)s")
    add("--only", action="store_true", help="layout and the stage of --through alone")
    add("--kinds", nargs="+", choices=KINDS, default=list(KINDS), help="default: all")
    add("--workers", type=int, default=os.cpu_count() or 1, help="default: one for each core")
    add("--out", type=Path, default=Path("campaign"), help="folder (default %(default)s)")
    add("--seed", type=int, default=1, help="default %(default)s")
    add(
        "--limit",
        type=float,
        default=120.0,
        help="seconds of the processor for one design (default %(default)s)",
    )
    add(
        "--shrink",
        type=float,
        default=60.0,
        help="seconds to make a failing design smaller, 0 for none (default %(default)s)",
    )
    return parser.parse_args(given)


def main(given: Sequence[str] | None = None, runner: str = "campaigning.stages") -> int:
    """Run a campaign: 0 when nothing fails, 1 when something does."""
    asked = arguments(given)
    rows = Rows(asked.out, asked.seed, code_version())
    stages = through(asked.through, only=asked.only)
    try:
        _try_all(asked, rows, stages, runner)
    except KeyboardInterrupt:
        print("stopped; the same command goes on from here", flush=True)
    wanted = set(names(tuple(asked.kinds), asked.designs))
    done = [row for name, row in rows.done(stages).items() if name in wanted]
    smallest: dict[str, dict] = {}
    about = {"seed": asked.seed, "version": code_version(), "through": asked.through}
    # A first report before anything is made smaller, which takes its time.
    write_report(report_of(done, smallest, about), asked.out)
    try:
        smallest = _all_shrunk(asked, groups_of(done), runner)
    except KeyboardInterrupt:
        print("stopped; the same command goes on from here", flush=True)
    report = report_of(done, smallest, about)
    write_report(report, asked.out)
    print(text_of(report), flush=True)
    return 1 if report["failures"] else 0


def _try_all(asked: argparse.Namespace, rows: Rows, stages: tuple[str, ...], runner: str) -> None:
    """Take every design through the stages that has not been, and keep its row."""
    done = rows.done(stages)
    left = [name for name in names(tuple(asked.kinds), asked.designs) if name not in done]
    before = rows.failed_before()
    left.sort(key=lambda name: name not in before)
    end = time.monotonic() + 60 * asked.minutes if asked.minutes else float("inf")

    def tasks() -> Iterator[Task]:
        for name in left:
            if time.monotonic() > end:
                return
            yield Task(name=name, mapping=design_of(name, asked.seed), stages=stages,
                       limit_s=asked.limit)  # fmt: skip

    print(f"{len(done)} of {asked.designs} designs done before, {len(left)} to go", flush=True)
    begun = said = time.monotonic()
    failed = 0
    for number, (task, row) in enumerate(results(tasks(), asked.workers, runner), start=1):
        rows.add({"name": task.name, "stages": stages, "design": task.mapping, **row})
        failed += bool(row["failures"])
        if time.monotonic() - said > _SAID_EVERY_S or number == len(left):
            said = time.monotonic()
            pace = (said - begun) / number
            print(f"{number} of {len(left)}, {failed} failing, {pace:.1f} s each", flush=True)


def _all_shrunk(asked: argparse.Namespace, groups: list[Group], runner: str) -> dict[str, dict]:
    """The smallest design found for each cause, kept from one run to the next."""
    path = asked.out / _SHRUNK
    known = json.loads(path.read_text("utf-8")) if path.exists() else {}
    found: dict[str, dict] = {}
    for group in groups if asked.shrink > 0 else []:
        mark = [code_version(), size_of(group.design)]
        kept = known.get(group.key)
        if not kept or kept["of"] != json.loads(json.dumps(mark)):
            print(f"making smaller: {group.key}", flush=True)
            start = kept["design"] if kept else group.design
            kept = {"of": mark, "design": _smaller(asked, group, start, runner)}
            known[group.key] = kept
            path.write_text(json.dumps(known, indent=1, ensure_ascii=False), "utf-8")
        found[group.key] = kept["design"]
    return found


def _smaller(asked: argparse.Namespace, group: Group, start: dict, runner: str) -> dict:
    """A smaller design of ``group``, begun at the one that is known if that still fails."""
    # Sheets tell the cuts that the take-off has planned.
    needed = (
        ("layout", "takeoff", "sheets")
        if group.failure.stage == "sheets"
        else ("layout", group.failure.stage)
    )

    with _one_by_one(needed, asked.limit, runner) as ask:

        def fails(mapping: dict) -> bool:
            failures = [Failure(**one) for one in ask(mapping)["failures"]]
            return any(failure.key == group.key for failure in failures)

        if start is not group.design and not fails(start):
            start = group.design
        return shrunk(start, fails, asked.shrink)


@contextlib.contextmanager
def _one_by_one(
    stages: tuple[str, ...], limit_s: float, runner: str
) -> Iterator[Callable[[dict], dict]]:
    """A function that takes one design through ``stages``, in a process that is kept."""
    queue: list[dict] = []

    def tasks() -> Iterator[Task]:
        while True:
            yield Task(name="", mapping=queue.pop(), stages=stages, limit_s=limit_s, whole=True)

    running = results(tasks(), 1, runner)

    def ask(mapping: dict) -> dict:
        queue.append(mapping)
        return next(running)[1]

    try:
        yield ask
    finally:
        running.close()


__all__ = ["arguments", "main"]
