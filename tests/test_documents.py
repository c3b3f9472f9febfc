"""What the documents say is so: commands, files, modules, pictures, and examples that run."""

from __future__ import annotations

import doctest
import importlib
import os
import pkgutil
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from frame3d.building import FILES
from frame3d.solids.pictures.render import PICTURES
from frame3d.takeoff.write.takeoff_files import CREW_FILES

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text("utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of one language, in order."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def words(command: str) -> list[str]:
    return shlex.split(command.replace("\\\n", " "))


def run_cli(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-P", "-c", "from frame3d.cli import main; main()", *arguments],
        capture_output=True, text=True, timeout=120, check=False,
        env={**os.environ, "COLUMNS": "200", "NO_COLOR": "1", "TERM": "dumb"}, cwd=ROOT,
    )  # fmt: skip


def test_the_second_command_is_what_runs_on_every_change() -> None:
    second = blocks(README, "sh")[1].strip()
    assert second == "bash tests/run.sh"
    assert (ROOT / ".ci" / "run").read_text("utf-8").splitlines()[-1] == second


def test_the_first_command_installs_no_more_than_the_tests_do() -> None:
    said = words(blocks(README, "sh")[0])
    begin = said.index("--no-install-recommends") + 1
    packages = said[begin : said.index("&&", begin)]
    script = (ROOT / "tests" / "run.sh").read_text("utf-8")
    assert "python3-venv" in packages
    assert [p for p in packages if not re.search(rf"(?<!\S){re.escape(p)}(?=[\s;])", script)] == []


def test_the_first_command_ends_with_a_build() -> None:
    assert words(blocks(README, "sh")[0])[-2:] == [".venv/bin/frame3d", "build"]


def test_every_file_of_a_build_is_told_of() -> None:
    told = (ROOT / "outputs" / "README.md").read_text("utf-8")
    assert [name for name in FILES if f"`{name}`" not in told] == []


@pytest.mark.parametrize("script", ["tests/run.sh", ".ci/run"])
def test_scripts_are_sound_shell(script: str) -> None:
    subprocess.run(["bash", "-n", str(ROOT / script)], check=True)
    assert "set -euo pipefail" in (ROOT / script).read_text("utf-8")


def test_commands_and_options_in_the_readme_exist() -> None:
    used = re.findall(r"frame3d (\w+) (.+)", "\n".join(blocks(README, "sh")))
    assert {name for name, _ in used} >= {"new", "check", "build"}
    for name, rest in used:
        run = run_cli(name, "--help")
        assert run.returncode == 0, run.stderr
        for option in re.findall(r"--[a-z-]+", rest):
            assert option in run.stdout


def test_the_designs_commands_of_the_readme_work(tmp_path: Path) -> None:
    path = tmp_path / "my_tunnel.toml"
    for name in ("new", "check"):
        run = run_cli(name, str(path))
        assert run.returncode == 0, run.stdout + run.stderr
    assert path.is_file()


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "outputs/README.md"])
def test_links_and_pictures_are_there(document: str) -> None:
    path = ROOT / document
    links = re.findall(r"\]\(([^)#]+)\)", path.read_text("utf-8"))
    inside = [link for link in links if "://" not in link]
    assert [link for link in inside if not (path.parent / link).exists()] == []


def test_files_named_for_developers_exist() -> None:
    named = re.findall(r"`((?:frame3d|tests)/[\w/.]+|[\w*]+\.py)`", DEVELOPERS)
    assert len(named) > 40
    lost = []
    for name in named:
        found = (ROOT / name).exists() if "/" in name else any((ROOT / "frame3d").rglob(name))
        if not found:
            lost.append(name)
    assert lost == []


def test_every_part_of_the_package_is_told_of() -> None:
    parts = {p.parent.name for p in (ROOT / "frame3d").glob("*/__init__.py")}
    assert "solids" in parts
    assert [part for part in sorted(parts) if f"`frame3d/{part}/`" not in DEVELOPERS] == []


def test_names_in_the_vocabulary_exist() -> None:
    table = DEVELOPERS.partition("## Vocabulary")[2].partition("\n## ")[0]
    assert len(table.splitlines()) <= 80
    named = set(re.findall(r"`(\w+)`", table))
    assert {"Design", "Member", "Frame"} <= named
    source = "\n".join(p.read_text("utf-8") for p in (ROOT / "frame3d").rglob("*.py"))
    defined = set(re.findall(r"^(?:class )?([A-Z]\w+)(?:\(| = )", source, re.MULTILINE))
    assert named - defined == set()


def test_the_guide_for_developers_is_read_in_ten_minutes() -> None:
    """All that stands before decisions, figures and changes."""
    assert len(DEVELOPERS.partition("## Where the code departs")[0].split()) <= 2500


def test_the_python_example_runs(tmp_path: Path) -> None:
    (example,) = blocks(README, "python")
    run = subprocess.run(
        [sys.executable, "-P", "-c", example],
        capture_output=True, text=True, timeout=300, check=False, cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    first, second = run.stdout.splitlines()
    assert re.fullmatch(r"\d+ members of \d+ different parts", first)
    # A machine that cannot draw makes no picture, and says so.
    assert set(FILES) - set(second.split()) - set(CREW_FILES) <= set(PICTURES)
    there = {path.name for path in (tmp_path / "tunnel").rglob("*") if path.is_file()}
    assert there == set(second.split())


@pytest.mark.parametrize(
    "package", ["units", "geometry", "catalog", "design", "frame", "site", "takeoff"]
)
def test_examples_in_docstrings_run(package: str) -> None:
    whole = importlib.import_module(f"frame3d.{package}")
    names = [found.name for found in pkgutil.walk_packages(whole.__path__, f"{whole.__name__}.")]
    results = [doctest.testmod(importlib.import_module(name)) for name in [whole.__name__, *names]]
    assert sum(result.attempted for result in results) > 0
    assert sum(result.failed for result in results) == 0
