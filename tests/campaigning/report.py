"""What a campaign has tried, what was refused and why, and what failed: as JSON and as text."""

from __future__ import annotations

import json
import statistics
from collections import Counter, defaultdict
from collections.abc import Iterable
from pathlib import Path

from msgspec import Struct

from campaigning.causes import Failure, place_without_numbers, words_without_numbers
from campaigning.shrinking import size_of
from frame3d.design.writing.editing import plain_text

SMALLEST = "smallest"
_SHOWN = 30
_MANY = 10_000


class Group(Struct, kw_only=True):
    """Designs that fail for one reason.

    Parameters
    ----------
    key : str
    names : list of str
        The designs.
    failure : Failure
        That of the smallest.
    design : dict
        The smallest of them, as it was tried.
    """

    key: str
    names: list[str]
    failure: Failure
    design: dict


def tried_design(row: dict) -> dict:
    """The design that was taken through the stages: without what was refused."""
    return row["left"] or row["design"]


def groups_of(rows: Iterable[dict]) -> list[Group]:
    """What failed by cause, the most frequent first."""
    found: dict[str, list[tuple[dict, Failure]]] = defaultdict(list)
    for row in rows:
        for failure in (Failure(**one) for one in row["failures"]):
            found[failure.key].append((row, failure))
    groups = []
    for key, cases in found.items():
        row, failure = min(cases, key=lambda case: size_of(tried_design(case[0])))
        names = list(dict.fromkeys(case["name"] for case, _ in cases))
        groups.append(Group(key=key, names=names, failure=failure, design=tried_design(row)))
    return sorted(groups, key=lambda group: (-len(group.names), group.key))


def report_of(rows: list[dict], smallest: dict[str, dict], about: dict) -> dict:
    """The whole report, ready for JSON.

    Parameters
    ----------
    rows : list of dict
    smallest : dict
        The smallest design that was found for a cause, by its key.
    about : dict
        Seed, version of the code, stages.
    """
    groups = groups_of(rows)
    return {
        **about,
        "tried": _by_kind(rows),
        "refused": _by_kind([row for row in rows if row["refused"]]),
        "failed": _by_kind([row for row in rows if row["failures"]]),
        "refusals": _refusals(rows),
        "failures": [
            {
                "cause": group.key, "designs": len(group.names), "names": group.names[:_SHOWN],
                "detail": group.failure.detail, "file": _file_name(number, group),
                "smallest": smallest.get(group.key, group.design),
            }
            for number, group in enumerate(groups, start=1)
        ],
        "told": dict(sum((Counter(row["told"]) for row in rows), Counter()).most_common()),
        "made": dict(sum((Counter(row["sizes"]) for row in rows), Counter())),
        "times": _times(rows),
    }  # fmt: skip


def _by_kind(rows: list[dict]) -> dict[str, int]:
    return dict(sorted(Counter(row["name"].rpartition("-")[0] for row in rows).items()))


def _refusals(rows: list[dict]) -> list[dict]:
    """What was refused by field and kind of message, the most frequent first."""
    found: dict[tuple[str, str], list[tuple[str, str]]] = defaultdict(list)
    for row in rows:
        for fault in row["refused"]:
            key = place_without_numbers(fault["where"]), words_without_numbers(fault["message"])
            found[key].append((row["name"], f"{fault['where']}: {fault['message']}"))
    ordered = sorted(found.items(), key=lambda item: (-len(item[1]), item[0]))
    return [
        {"field": field, "message": message, "designs": len({name for name, _ in cases}),
         "by_kind": dict(Counter(name.rpartition("-")[0] for name, _ in cases)),
         "first": cases[0][0], "said": cases[0][1]}
        for (field, message), cases in ordered
    ]  # fmt: skip


def _times(rows: list[dict]) -> dict[str, dict]:
    by_stage: dict[str, list[float]] = defaultdict(list)
    for row in rows:
        for stage, seconds in row["times"].items():
            by_stage[stage].append(seconds)
        by_stage["all of a design"].append(sum(row["times"].values()))
    return {
        stage: {"mean": statistics.fmean(all_s), "median": statistics.median(all_s),
                "longest": max(all_s), "designs": len(all_s)}
        for stage, all_s in by_stage.items()
    }  # fmt: skip


def _file_name(number: int, group: Group) -> str:
    kind = "".join(c if c.isalnum() else "-" for c in group.key.lower())
    short = "-".join(part for part in kind.split("-") if part)[:60].rstrip("-")
    return f"{SMALLEST}/{number:02}-{short}.toml"


def text_of(report: dict) -> str:
    """The report as a person reads it."""
    tried = sum(report["tried"].values())
    lines = [
        f"Campaign: seed {report['seed']}, code {report['version']}, through {report['through']}",
        "",
        f"{'':10}{'tried':>8}{'refused':>9}{'failed':>8}",
    ]
    for kind, count in report["tried"].items():
        refused, failed = (report[what].get(kind, 0) for what in ("refused", "failed"))
        lines.append(f"{kind:10}{count:8}{refused:9}{failed:8}   {refused / count:.1%} refused")
    lines += ["", f"Failing, by cause: {len(report['failures'])}"]
    for group in report["failures"]:
        lines += [
            "",
            f"  {group['designs']} × {group['cause']}",
            f"      {', '.join(group['names'][:6])}; smallest: {group['file']}",
            *(f"      {line}" for line in group["detail"].strip().splitlines()[-4:]),
        ]
    lines += ["", f"Refused, by field and message: {len(report['refusals'])}"]
    for one in report["refusals"]:
        lines.append(f"  {one['designs']:5} {one['first']:12} {one['said'][:200]}")
    lines += ["", "Told by checks and sheets, which is not failing"]
    lines += [f"  {count:6} {what}" for what, count in report["told"].items()]
    made = ", ".join(f"{count} {what}" for what, count in report["made"].items())
    lines += ["", f"Made: {made or 'nothing'}", "", _time_lines(report["times"], tried)]
    return "\n".join(lines) + "\n"


def _time_lines(times: dict[str, dict], tried: int) -> str:
    """What a design takes, stage by stage."""
    lines = [f"{'processor s':16}{'mean':>8}{'median':>8}{'longest':>9}{'designs':>9}"]
    for stage, one in times.items():
        lines.append(f"{stage:16}{one['mean']:8.2f}{one['median']:8.2f}{one['longest']:9.1f}"
                     f"{one['designs']:9}")  # fmt: skip
    if tried:
        hours = times["all of a design"]["mean"] * _MANY / 3600
        lines.append(f"{_MANY:,} designs would take {hours:.1f} hours of one process.")
    return "\n".join(lines)


def write_report(report: dict, folder: Path) -> None:
    """Write ``report.json``, ``report.txt`` and the smallest failing designs into ``folder``."""
    (folder / "report.json").write_text(json.dumps(report, indent=1, ensure_ascii=False), "utf-8")
    (folder / "report.txt").write_text(text_of(report), "utf-8")
    smallest = folder / SMALLEST
    smallest.mkdir(exist_ok=True)
    for old in smallest.glob("*.toml"):
        old.unlink()
    for group in report["failures"]:
        head = "".join(f"# {line}\n" for line in [group["cause"], *group["detail"].splitlines()])
        (folder / group["file"]).write_text(f"{head}\n{plain_text(group['smallest'])}", "utf-8")


__all__ = ["Group", "groups_of", "report_of", "text_of", "tried_design", "write_report"]
