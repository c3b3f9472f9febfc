"""What lies in the working folder is never run: files called as anything that could be imported.

Commands are started as pip starts them, by a script that lies elsewhere.
"""

from __future__ import annotations

import importlib.metadata
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from page_server import Server, page_server

from frame3d.processes import FOLDER, command, environment
from frame3d.web.requests.design_links import packed

ROOT = Path(__file__).parents[2]
SMALL = """
[profile]
style = "quonset"
width = "16 ft"
[bays]
count = 2
spacing = "4 ft"
"""
CUSTOM = ("sitecustomize", "usercustomize")
DECOY = """
open({mark!r}, "a").write(__name__ + "\\\\n")
raise SystemExit("this must never be run")
"""


def names() -> set[str]:
    """Whatever can be imported here: the standard library, all that is installed, our own."""
    installed = set(importlib.metadata.packages_distributions())
    loaded = {name.partition(".")[0] for name in sys.modules}
    return {
        name for name in {*sys.stdlib_module_names, *installed, *loaded, "frame3d", *CUSTOM}
        if name.isidentifier() and not name.startswith("__")
    }  # fmt: skip


@pytest.fixture(scope="module")
def trap(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a design, and with a file of each name that leaves a mark when it is run."""
    folder = tmp_path_factory.mktemp("work")
    (folder / "small.toml").write_text(SMALL)
    for name in names():
        (folder / f"{name}.py").write_text(DECOY.format(mark=str(folder / "ran.txt")))
    return folder


@pytest.fixture(scope="module")
def script(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command as pip installs it."""
    path = tmp_path_factory.mktemp("bin") / "frame3d"
    path.write_text("import sys\nfrom frame3d.cli import main\nsys.exit(main())\n")
    return path


@pytest.fixture(autouse=True)
def nothing_was_run(trap: Path) -> Iterator[None]:
    yield
    ran = trap / "ran.txt"
    told = ran.read_text().split() if ran.exists() else []
    ran.unlink(missing_ok=True)
    assert told == []


def run(words: list[str], folder: Path, **changes: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        words, cwd=folder, capture_output=True, text=True, timeout=300, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), **changes},
    )  # fmt: skip


def test_the_trap_would_have_caught(trap: Path) -> None:
    """The way it was: the first module that the helper imports is taken from where one works."""
    done = run(
        [sys.executable, "-m", "frame3d.web.work.worker_process"], trap, PYTHONPATH=str(ROOT)
    )
    assert done.returncode != 0
    assert (trap / "ran.txt").exists()
    (trap / "ran.txt").unlink()
    assert {"msgspec", "numpy", "vtkmodules", "OCP", "ezdxf", "tomllib", "frame3d"} <= names()


def test_commands_run_nothing_of_it(trap: Path, script: Path) -> None:
    for words in (["check", "small.toml"], ["takeoff", "small.toml"], ["rules"]):
        done = run([sys.executable, str(script), *words], trap)
        assert done.returncode == 0, done.stderr


PICTURE = """
import sys
from pathlib import Path
from frame3d.frame.lay_out import lay_out
from frame3d.solids.pictures.render import write_pictures
from frame3d.design.reading.reader import read_design
from frame3d.view.light_shells import shells_of
Path("pictures").mkdir()
write_pictures(shells_of(lay_out(read_design("small.toml"))), Path("pictures"))
"""


def test_the_process_that_draws_runs_nothing_of_it(trap: Path, tmp_path: Path) -> None:
    """Its files are named from where one works, and it is started elsewhere."""
    (tmp_path / "draw.py").write_text(PICTURE)
    done = run([sys.executable, str(tmp_path / "draw.py")], trap)
    assert done.returncode == 0 or "no pictures could be drawn" in done.stderr, done.stderr


@pytest.fixture(scope="module")
def server(trap: Path, script: Path) -> Iterator[Server]:
    with page_server("small.toml", program=[str(script)], work=trap) as running:
        yield running


@pytest.mark.parametrize("kind", ["xlsx", "dxf", "step"])
def test_workers_of_the_page_run_nothing_of_it(server: Server, kind: str) -> None:
    assert server.frame(packed(SMALL))["figures"]
    assert server.ask(f"/api/findings?d={packed(SMALL)}").json["counts"]
    assert server.ask(f"/api/sheets?d={packed(SMALL)}").json["sheets"]
    assert server.file(SMALL, kind)[0]["state"] == "ready"


def test_a_helper_is_this_very_package_and_knows_no_working_folder(trap: Path) -> None:
    program = "import frame3d, sys; sys.stdout.write(repr((frame3d.__file__, sys.path)))"
    words = command("frame3d.solids.pictures.render")
    here = words.index("frame3d.solids.pictures.render")
    (trap / "frame3d").mkdir(exist_ok=True)
    begin = words[3].replace(
        'runpy.run_module(module, run_name="__main__", alter_sys=True)', program
    )
    assert begin != words[3]
    done = run([*words[:3], begin, *words[4:here], "x"], trap)
    file, path = eval(done.stdout)  # noqa: S307 - our own words
    assert file == str(ROOT / "frame3d" / "__init__.py")
    assert not {"", ".", str(trap)} & set(path), path


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("", None), (":", None), (".", None), ("::.:", None), ("./", None),
        ("{here}/sub/..", "{here}/sub/.."),
        ("{here}", "{here}"), ("sub", "{here}/sub"), (":/else:sub:.", "/else:{here}/sub"),
        ("sub/..", None), ("gone", "{here}/gone"),
    ],
)  # fmt: skip
def test_places_of_the_environment(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, given: str, kept: str | None
) -> None:
    """A place that was given whole is meant; an empty one or a dot is not."""
    (tmp_path / "sub").mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PYTHONPATH", given.format(here=tmp_path))
    found = environment(OMP_NUM_THREADS="1")
    assert found.get("PYTHONPATH") == (kept and kept.format(here=tmp_path))
    assert found["OMP_NUM_THREADS"] == "1" and found["PYTHONSAFEPATH"] == "1"


def test_where_the_working_folder_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    monkeypatch.setenv("PYTHONPATH", "sub:/else")
    assert environment()["PYTHONPATH"] == "/else"


def test_no_script_of_the_tests_starts_python_with_the_working_folder_on_its_path() -> None:
    """What the tests start, in folders of all kinds, is -P too; a script lies where it lies."""
    bare = re.compile(r"""(sys\.executable|python[\d.]*|\$python|/python)"?,? +"?-[mc]\b""")
    found = {
        f"{path.relative_to(ROOT)}: {line.strip()}"
        for path in (ROOT / "tests").rglob("*")
        if path.suffix in (".py", ".sh", ".js")
        for line in path.read_text("utf-8").splitlines()
        if bare.search(line)
    }
    assert bare.search('[sys.executable, "-m", "x"]') and bare.search('"$venv/bin/python" -m pip')
    # The one that shows what would happen.
    assert {
        line
        for line in found
        if "frame3d.web.work.worker_process" not in line and "bare" not in line
    } == set()


def test_no_other_module_starts_python() -> None:
    """Processes that are spawned or forked take the path of their parent with them."""
    starts = re.compile(r"sys\.executable|multiprocessing|ProcessPool|os\.fork")
    found = {
        path.name
        for path in (ROOT / "frame3d").rglob("*.py")
        if starts.search(path.read_text("utf-8"))
    }
    # Threads take nothing along, and an executor that is given is its owner's.
    assert found == {"processes.py"}


def test_helpers_start_where_nothing_can_be_imported() -> None:
    assert {path.name for path in FOLDER.glob("*.py")} == {"__init__.py"}
