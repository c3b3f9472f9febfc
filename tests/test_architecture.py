"""The layers hold: imports point downwards, libraries stay in their rooms, modules stay small.

The imports are read from the source, those inside functions too. What must not be
loaded is looked for in a fresh interpreter.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "frame3d"
MOST_LINES = 400

LAYERS = (
    {"errors", "opening", "processes"},
    {"units", "examples", "writing", "workshop"},
    {"catalog"},
    {"geometry"},
    {"spec"},
    {"frame"},
    {"site"},
    {"solids", "sheets", "takeoff", "checks"},
    {"summary", "guide", "view"},
    {"frame_set"},
    {"build"},
    {"web"},
    {"cli"},
    {"__main__"},
)
"""From the bottom up; what stands beside each other on one layer knows nothing of the others."""
RANK = {name: rank for rank, names in enumerate(LAYERS) for name in names}

ROOMS = {
    "cadquery": "solids", "OCP": "solids", "vtk": "solids", "vtkmodules": "solids",
    "trimesh": "solids",
    "ezdxf": "sheets", "pymupdf": "sheets", "fitz": "sheets", "fontTools": "sheets",
    "matplotlib": "sheets",
    "ortools": "takeoff",
    "xlsxwriter": "takeoff",
    "typer": "cli", "rich": "cli",
    "aiohttp": "web",
    "pyproj": "site",
}  # fmt: skip
"""Which part of the package alone may import a library."""

HEAVY = (
    "cadquery", "OCP", "vtk", "vtkmodules", "ezdxf", "matplotlib", "trimesh", "ortools", "pandas",
    "pyproj",
)  # fmt: skip
"""What a first look, a check or a layout must not wait for."""


def sources() -> dict[str, str]:
    """Every module of the package: dotted name below it ("" is the package itself) -> text."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path.read_text("utf-8")
    return found


def imports(name: str, text: str, *, is_package: bool = False) -> Iterator[str]:
    """What the module imports, dotted and whole: "frame3d.design.tables.whole_design.Design", "OCP.gp.gp_Pnt"."""
    own = ["frame3d", *filter(None, name.split("."))]
    package = own if is_package or not name else own[:-1]
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                kept = package[: len(package) - node.level + 1]
                base = ".".join([*kept, *filter(None, [node.module])])
            yield from (f"{base}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("import_module"):
            yield from (a.value for a in node.args if isinstance(a, ast.Constant))


def faults(modules: dict[str, str]) -> list[str]:
    """Every breach of the rules, in words."""
    told = []
    packages = {name.rpartition(".")[0] for name in modules}
    for name, text in modules.items():
        top = name.split(".")[0]
        if name and top not in RANK:
            told.append(f"{name}: {top} has no layer; give it one in LAYERS")
            continue
        for target in imports(name, text, is_package=name in packages):
            told += _import_faults(name, top, target)
        told += _habit_faults(name, top, text)
    return told


def _import_faults(name: str, top: str, target: str) -> Iterator[str]:
    first, *rest = target.split(".")
    if first != "frame3d":
        if ROOMS.get(first, top) != top:
            yield f"{name}: imports {first}, which belongs in {ROOMS[first]}"
        return
    # The package itself gives its version and nothing else to those below.
    if not rest or rest[0] == top or not name or rest == ["__version__"]:
        return
    if rest[0] not in RANK:
        yield f"{name}: imports {target}, which has no layer"
    elif RANK[rest[0]] > RANK[top]:
        yield f"{name}: imports {target}, which lies above it"
    elif RANK[rest[0]] == RANK[top]:
        yield f"{name}: imports {target}, which lies beside it"


def _habit_faults(name: str, top: str, text: str) -> Iterator[str]:
    if (lines := len(text.splitlines())) > MOST_LINES:
        yield f"{name}: {lines} lines, more than {MOST_LINES}"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "print" and top != "cli":
            yield f"{name}:{node.lineno}: prints"
        elif isinstance(node, ast.ExceptHandler):
            caught = ast.unparse(node.type) if node.type else "everything"
            if {"everything", "Exception", "BaseException"} & set(caught.strip("()").split(", ")):
                yield f"{name}:{node.lineno}: catches {caught}"


def test_the_package_keeps_its_rules() -> None:
    modules = sources()
    assert {
        "",
        "errors",
        "units",
        "frame.lay_out",
        "solids.step",
        "sheets.draw",
        "takeoff.cutting",
    } <= set(modules)
    assert faults(modules) == []


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("geometry.arch", "from frame3d.design.tables.whole_design import Design", "lies above it"),
        ("geometry.arch", "def late():\n    import frame3d.frame.model.parts", "lies above it"),
        ("geometry.arch", "from ..frame import parts", "lies above it"),
        ("frame.hoops", "from frame3d import solids", "lies above it"),
        ("errors", "import importlib\nimportlib.import_module('frame3d.cli')", "lies above it"),
        (
            "sheets.draw",
            "from frame3d.solids.parts.make_solids import make_solids",
            "lies beside it",
        ),
        ("solids.make", "from ..sheets import draw_sheets", "lies beside it"),
        ("frame.hoops", "import OCP.gp", "imports OCP, which belongs in solids"),
        ("sheets.plan", "from cadquery import Workplane", "belongs in solids"),
        ("build", "from vtkmodules.vtkIOImage import vtkPNGWriter", "belongs in solids"),
        ("frame.hoops", "import ezdxf", "belongs in sheets"),
        ("geometry.paths", "from ortools.sat.python import cp_model", "belongs in takeoff"),
        ("solids.step", "import pymupdf as pdf", "belongs in sheets"),
        ("novelty.thing", "", "has no layer"),
        ("spec.reader", "from frame3d.novelty import thing", "has no layer"),
        ("spec.reader", "print('here')", "prints"),
        ("spec.reader", "try:\n    pass\nexcept Exception:\n    pass", "catches Exception"),
        ("cli", "try:\n    pass\nexcept:\n    pass", "catches everything"),
        ("cli", "try:\n    pass\nexcept (OSError, BaseException):\n    pass", "catches"),
        ("spec.reader", "\n" * (MOST_LINES + 1), "lines, more than"),
    ],
)
def test_a_breach_is_seen(name: str, text: str, told: str) -> None:
    found = faults({name: text})
    assert len(found) == 1
    assert told in found[0]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("spec.reader", "from frame3d.geometry.arch.arch import Arch\nfrom .design import Design"),
        ("solids.make", "import OCP.gp\nfrom frame3d import __version__"),
        ("cli", "from frame3d.building import build\nprint('done')"),
        ("sheets.plan", "try:\n    pass\nexcept (OSError, ValueError):\n    pass"),
    ],
)
def test_what_is_allowed_passes(name: str, text: str) -> None:
    assert faults({name: text}) == []


LOOKS = {
    "import": "import frame3d",
    "help": "from frame3d.cli import main; sys.argv = ['frame3d', '--help']; run(main)",
    "check": (
        "from frame3d.cli import main; from frame3d.examples import example_paths; "
        "path = str(example_paths()['long_meadow_gothic']); "
        "sys.argv = ['frame3d', 'check', path]; run(main)"
    ),
    "lay_out": (
        "from frame3d.examples import example_paths; from frame3d.frame.lay_out import lay_out; "
        "from frame3d.design.reading.reader import read_design; "
        "[lay_out(read_design(path)) for path in example_paths().values()]"
    ),
    "takeoff": "import frame3d.takeoff.cutting.plan_cuts, frame3d.geometry.board_layout",
}
FRAME = """
import sys
def run(main):
    try:
        code = main()
    except SystemExit as end:
        code = end.code
    assert code in (None, 0, 1), code  # 1: check has found an error, which is no matter here
{look}
loaded = {{name.split('.')[0] for name in sys.modules}}
sys.stderr.write('loaded: ' + ' '.join(sorted(loaded & set({heavy!r}))))
"""


def loaded(look: str) -> set[str]:
    """Which of the heavy libraries a fresh interpreter has loaded after ``look``."""
    run = subprocess.run(
        [sys.executable, "-P", "-c", FRAME.format(look=look, heavy=HEAVY)],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    return set(run.stderr.rpartition("loaded:")[2].split())


@pytest.mark.parametrize("look", LOOKS)
def test_a_look_loads_nothing_heavy(look: str) -> None:
    assert loaded(LOOKS[look]) == set()


@pytest.mark.parametrize("words", [("check",), ("check", "--json")])
def test_a_check_loads_no_library_of_numbers_but_numpy(words: tuple[str, ...]) -> None:
    """numpy is what distances are worked out with; the others take longer than the check."""
    look = LOOKS["check"].replace("'check', path", f"*{words!r}, path")
    code = FRAME.format(look=look, heavy=("scipy", "shapely"))
    run = subprocess.run(
        [sys.executable, "-P", "-c", code], capture_output=True, text=True, timeout=120, check=False
    )
    assert run.returncode == 0, run.stderr
    assert run.stderr.rpartition("loaded:")[2].split() == []


def test_a_check_loads_no_room_that_it_does_not_look_with() -> None:
    """Half of a check is loading; a design without a fault needs nothing that tells faults."""
    needed = {
        "__init__",
        "catalog",
        "checks",
        "cli",
        "errors",
        "examples",
        "frame",
        "geometry",
        "opening",
        "spec",
        "summary",
        "units",
    }
    code = FRAME.format(look=LOOKS["check"], heavy=()) + (
        "sys.stderr.write(' '.join(name for name in sys.modules if name.startswith('frame3d.')))"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", code], capture_output=True, text=True, timeout=120, check=False
    )
    assert run.returncode == 0, run.stderr
    found = set(run.stderr.rpartition("loaded: ")[2].split())
    assert {"frame3d.frame.lay_out", "frame3d.checks.assembly.assembly"} <= found  # it has looked
    assert {name.split(".")[1] for name in found} <= needed
    assert not found & {
        "frame3d.design.reading.faults",
        "frame3d.design.values.starter_values",
        "frame3d.design.writing.template",
    }


def test_a_take_off_loads_the_solver_and_nothing_else_heavy() -> None:
    look = LOOKS["check"].replace("'check'", "'takeoff'")
    assert look != LOOKS["check"]
    assert loaded(look) <= {"ortools", "pandas"}


def test_what_is_heavy_is_noticed() -> None:
    assert "ezdxf" in loaded("import frame3d.sheets")
