"""The record of a campaign: a line of JSON for each design, kept as it is made.

A row belongs to a seed and to the code as it was, so that a run that was killed goes on, and
one after a mend begins anew, with what failed before at first.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NAME = "rows.jsonl"
_JUDGES = ("drawing_judge.py", "drawing_habits.py", "guide_reader.py", "finding_links.py",
           "live_text.py", "whole_designs.py", "odd_designs.py", "campaigning")  # fmt: skip


def code_version(root: Path = ROOT) -> str:
    """What tells this code from any other, program and judges: a few hexadecimal digits."""
    digest = hashlib.sha256()
    for start in (root / "frame3d", *(root / "tests" / name for name in _JUDGES)):
        for path in [start] if start.is_file() else sorted(start.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                digest.update(f"{path.relative_to(root)}\0".encode())
                digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


class Rows:
    """The rows in a folder.

    Parameters
    ----------
    folder : Path
        Made if it does not exist.
    seed : int
    version : str
        Of :func:`code_version`.
    """

    def __init__(self, folder: Path, seed: int, version: str) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._path = folder / NAME
        self._mine = {"seed": seed, "version": version}
        self._rows = [row for row in self._read() if row.get("seed") == seed]

    def _read(self) -> Iterable[dict]:
        if not self._path.exists():
            return
        text = self._path.read_text("utf-8")
        if text and not text.endswith("\n"):  # killed while a row was written
            text = text[: text.rfind("\n") + 1]
            self._path.write_text(text, "utf-8")
        yield from map(json.loads, text.splitlines())

    def done(self, stages: Iterable[str]) -> dict[str, dict]:
        """The rows of this code that went through all of ``stages``, by name of the design."""
        wanted = set(stages)
        return {
            row["name"]: row for row in self._rows
            if row["version"] == self._mine["version"] and wanted <= set(row["stages"])
        }  # fmt: skip

    def failed_before(self) -> set[str]:
        """Names of designs whose last row, of any code, has a failure."""
        last = {row["name"]: bool(row["failures"]) for row in self._rows}
        return {name for name, failed in last.items() if failed}

    def add(self, row: dict) -> None:
        """Keep a row at once, so that nothing is lost however the run ends."""
        row = {**self._mine, **row}
        self._rows.append(row)
        with self._path.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row, ensure_ascii=False) + "\n")


__all__ = ["NAME", "Rows", "code_version"]
