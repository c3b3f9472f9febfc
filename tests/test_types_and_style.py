"""The whole package under a strict type checker, a linter and a formatter (pyproject.toml)."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
KEPT = Path(sys.prefix) / "frame3d-mypy"
"""What the type checker knows of unchanged files: most of its time, kept from run to run."""
MOST_UNKNOWN = 20
"""Annotations that say nothing: Any and object."""
MOST_OVERRULED = 20
"""Places where the type checker is overruled, each with its reason."""


def run(*words: str, folder: Path = ROOT) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-P", "-m", *words], cwd=folder, capture_output=True, text=True,
        timeout=600, check=False,
    )  # fmt: skip


def sources() -> Iterator[tuple[Path, str]]:
    for path in sorted((ROOT / "frame3d").rglob("*.py")):
        yield path, path.read_text("utf-8")


def annotations(text: str) -> Iterator[ast.expr]:
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.arg | ast.AnnAssign) and node.annotation is not None:
            yield node.annotation
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.returns is not None:
            yield node.returns


def unknown(text: str) -> int:
    names = (n for note in annotations(text) for n in ast.walk(note) if isinstance(n, ast.Name))
    return sum(name.id in ("Any", "object") for name in names)


def test_the_type_checker_finds_nothing_but_what_is_put_before_it(tmp_path: Path) -> None:
    """Through the door too: what somebody else writes is checked against our types."""
    wrong = tmp_path / "wrong.py"
    wrong.write_text(
        "import frame3d\n"
        "frame: int = frame3d.lay_out(frame3d.load_design('a.toml'))\n"
        "frame3d.nothing\n"
    )
    checked = run("mypy", "--cache-dir", str(KEPT), "frame3d", str(wrong))
    *told, summed_up = checked.stdout.splitlines()
    assert [line for line in told if not re.search(r"\bwrong\.py:\d", line)] == []
    assert 'has type "Frame", variable has type "int"' in checked.stdout
    assert 'has no attribute "nothing"' in checked.stdout
    files = len(list(sources())) + 1
    assert summed_up == f"Found {len(told)} errors in 1 file (checked {files} source files)"


@pytest.mark.parametrize("words", [("check", "."), ("format", "--check", ".")])
def test_linter_and_formatter_find_nothing(words: tuple[str, ...]) -> None:
    found = run("ruff", *words, "--no-cache")
    assert found.returncode == 0, found.stdout[-3000:]


def test_few_annotations_say_nothing() -> None:
    assert sum(unknown(text) for _, text in sources()) <= MOST_UNKNOWN
    assert unknown("def f(a: Any, *b: object) -> dict[str, Any]:\n    c: Any = 1") == 4


def test_the_type_checker_is_seldom_overruled_and_never_without_reason() -> None:
    lines = [line for _, text in sources() for line in text.splitlines()]
    ignores = [line for line in lines if "type: ignore" in line]
    casts = [line for line in lines if re.search(r"(?<!\.)\bcast\(", line)]
    assert len(ignores) + len(casts) <= MOST_OVERRULED
    reasoned = re.compile(r"# type: ignore\[[\w, -]+\]  # \w+")
    assert [line for line in ignores if not reasoned.search(line)] == []
    assert [line for line in casts if "  # " not in line] == []
