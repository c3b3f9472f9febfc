"""The plan of the house: which rooms there are, who may import whom, how big a module may be.

Scripts of the pages are held to the same length.

The imports are read from the source, those inside functions too. What must not be
loaded is looked for in a fresh interpreter.
"""

from __future__ import annotations

import ast
import functools
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "frame3d"
MOST_LINES = 400
MOST_MODULES = 20

FLOORS = (
    {"errors", "opening", "processes", "schemas"},
    {"units", "examples", "writing", "staging", "side_process"},
    {"catalog"},
    {"geometry"},
    {"design"},
    {"frame"},
    {"site"},
    {"solids", "sheets", "takeoff", "checks"},
    {"summary", "guide", "view", "ifc", "loads"},
    {"ordering"},
    {"frame_set"},
    {"build_jobs"},
    {"building", "single_builds"},
    {"api"},
    {"web", "studies"},
    {"cli"},
    {"__main__"},
)
"""From the bottom up; what stands beside each other on one floor knows nothing of the others."""

ROOMS = {
    "geometry": (".", "arch"),
    "design": ("tables", "values", "reading", "writing"),
    "frame": (
        "model", "measure", "joining", "space", "skin", "describe", "hoops", "sides", "ties",
        "end_walls", "doors", "wall_bracing", "cover", "revisions", ".",
    ),
    "site": ("staking", "plot", "ground", "driving", "earthwork", "built", ".", "write"),
    "solids": ("kernel", "tubes", "parts", "meshes", "write", "pictures"),
    "sheets": (
        "primitives", "projection", "annotation", "layout", "views", "plot", "shop", "details",
        "sets", "write", "paper",
    ),
    "takeoff": ("cutting", "quantities", ".", "quotes", "write"),
    "checks": ("findings", "measured", "assembly", "rules", "."),
    "guide": ("steps", "words", "pictures", ".", "write"),
    "loads": ("solver", "model", "shapes", "compare", ".", "write", "engineer"),
    "web": ("requests", "work", "."),
    "studies": ("figures", "plan", "rows", "running", "results", "page", "."),
}  # fmt: skip
"""The rooms of a floor, the lower first; "." are the modules that lie in the floor itself."""

LIBRARIES = {
    "cadquery": "solids", "OCP": "solids", "vtk": "solids", "vtkmodules": "solids",
    "trimesh": "solids", "manifold3d": "solids",
    "ezdxf": "sheets", "fontTools": "sheets", "reportlab": "sheets", "pypdfium2": "sheets",
    "pymupdf": "the tests", "fitz": "the tests",
    "ortools": "takeoff", "xlsxwriter": "takeoff",
    "typer": "cli", "rich": "cli",
    "aiohttp": "web",
    "segno": "ordering",
    "pyproj": "site",
    "dask": "studies", "distributed": "studies", "pyarrow": "studies", "matplotlib": "studies",
}  # fmt: skip
"""Which part of the package alone may import a library; none what only the tests may have."""

HEAVY = (
    "cadquery", "OCP", "vtk", "vtkmodules", "ezdxf", "matplotlib", "trimesh", "ortools", "pandas",
    "pyproj", "reportlab", "pypdfium2", "dask", "distributed",
)  # fmt: skip
"""What a first look, a check or a layout must not wait for."""

FLOOR = {name: number for number, names in enumerate(FLOORS) for name in names}


@functools.cache
def sources() -> dict[str, str]:
    """Every module of the package: dotted name below it ("" is the package itself) -> text."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path.read_text("utf-8")
    return found


def imports(name: str, text: str, modules: set[str]) -> Iterator[str]:
    """What a module imports, dotted and whole: "frame3d.frame.lay_out.lay_out", "OCP.gp.gp_Pnt"."""
    is_package = any(other.startswith(f"{name}.") for other in modules)
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


def module_of(target: str, modules: set[str]) -> str | None:
    """The module that is loaded for ``frame3d.a.b.name``, as dotted name below the package."""
    words = target.split(".")[1:]
    while words and ".".join(words) not in modules:
        words.pop()
    return ".".join(words) if words else None


def place(name: str) -> tuple[int, int, str]:
    """How high a module lies: floor, room on it, and the room's name.

    Raises
    ------
    LookupError
        If it has no place in the plan.
    """
    floor, _, rest = name.partition(".")
    room = rest.rpartition(".")[0] or "."
    rooms = ROOMS.get(floor, (".",))
    if floor not in FLOOR or room not in rooms:
        raise LookupError(f"{name}: has no place in the plan; give it one in FLOORS or ROOMS")
    return FLOOR[floor], rooms.index(room), f"{floor}.{room}"


def faults(given: dict[str, str]) -> list[str]:
    """Every breach of the plan, in words; ``given`` is added to the modules that there are."""
    modules = {*sources(), *given}
    told = []
    for name, text in given.items():
        try:
            if name:
                place(name if name not in FLOOR else f"{name}.{name}")
        except LookupError as missing:
            if not any(other.startswith(f"{name}.") for other in modules):
                told.append(str(missing))
                continue
        for target in imports(name, text, modules):
            told += _import_faults(name, target, modules)
        told += _habit_faults(name, text)
    return told


def _import_faults(name: str, target: str, modules: set[str]) -> Iterator[str]:
    first, top = target.split(".")[0], name.split(".")[0]
    if first != "frame3d":
        if LIBRARIES.get(first, top) != top:
            yield f"{name}: imports {first}, which belongs in {LIBRARIES[first]}"
        return
    module = module_of(target, modules)
    # The package itself gives its version; its door and those of rooms know what lies in them.
    if module is None:
        if name and target != "frame3d.__version__":
            yield f"{name}: imports {target}, which has no place in the plan"
        return
    if not name or module == name or module.startswith(f"{name}.") or name.startswith(f"{module}."):
        return
    here, there = _height(name), _height(module)
    if there[0] == here[0] and there[2].split(".")[0] != here[2].split(".")[0]:
        yield f"{name}: imports {target}, which lies beside it"
    elif there[:2] > here[:2]:
        yield f"{name}: imports {target}, which lies above it"


def _height(name: str) -> tuple[int, int, str]:
    """The place of a module; a package stands for the highest of its rooms."""
    floor = name.split(".")[0]
    if name == floor:
        return FLOOR.get(floor, 99), 99, f"{floor}."
    return place(name) if name.partition(".")[2] not in ROOMS.get(floor, ()) else place(f"{name}.x")


def _habit_faults(name: str, text: str) -> Iterator[str]:
    if (lines := len(text.splitlines())) > MOST_LINES:
        yield f"{name}: {lines} lines, more than {MOST_LINES}"
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "print":
            if name.split(".")[0] != "cli":
                yield f"{name}:{node.lineno}: prints"
        elif isinstance(node, ast.ExceptHandler):
            caught = ast.unparse(node.type) if node.type else "everything"
            if {"everything", "Exception", "BaseException"} & set(caught.strip("()").split(", ")):
                yield f"{name}:{node.lineno}: catches {caught}"


def circles(modules: dict[str, str]) -> list[str]:
    """The first circle of imports that there is, as the modules that it goes through."""
    names = set(modules)
    arrows = {
        name: {
            found for target in imports(name, text, names)
            if target.startswith("frame3d.")
            and (found := module_of(target, names))
            and found != name
        }
        for name, text in modules.items() if name
    }  # fmt: skip
    try:
        TopologicalSorter(arrows).prepare()
    except CycleError as circle:
        return list(circle.args[1])
    return []


def test_the_package_keeps_to_the_plan() -> None:
    modules = sources()
    assert {
        "", "errors", "units", "frame.lay_out", "solids.write.step", "sheets.sets.draw",
        "takeoff.cutting.plan_cuts",
    } <= set(modules)  # fmt: skip
    assert faults(modules) == []


def test_no_imports_go_round_in_circles() -> None:
    assert circles(sources()) == []
    assert circles({"a.b": "from frame3d.a import c", "a.c": "import frame3d.a.b"}) != []


def test_no_room_is_crowded() -> None:
    there = Counter(path.parent for path in PACKAGE.rglob("*.py") if path.name != "__init__.py")
    assert {str(room): count for room, count in there.items() if count > MOST_MODULES} == {}


def test_every_room_says_what_it_is() -> None:
    rooms = [path for path in PACKAGE.rglob("__init__.py")]
    assert [str(p) for p in rooms if not ast.get_docstring(ast.parse(p.read_text("utf-8")))] == []


def test_the_tests_lie_in_the_rooms_that_they_test() -> None:
    rooms = {path.parent.relative_to(PACKAGE) for path in PACKAGE.rglob("__init__.py")}
    unit = Path(__file__).parent / "unit"
    mirrored = {path.parent.relative_to(unit) for path in unit.rglob("test_*.py")}
    assert mirrored - rooms == {Path("campaigning")}  # which is no part of the package


def scripts_too_long(folder: Path) -> list[str]:
    """Scripts below ``folder`` with more lines than a module may have."""
    return [path.name for path in sorted(folder.rglob("*.js"))
            if len(path.read_text("utf-8").splitlines()) > MOST_LINES]  # fmt: skip


def test_scripts_stay_small(tmp_path: Path) -> None:
    assert {"viewer.js", "shaders.js", "main.js"} <= {path.name for path in PACKAGE.rglob("*.js")}
    assert scripts_too_long(PACKAGE) == []
    for lines in (MOST_LINES, MOST_LINES + 1):
        (tmp_path / f"{lines}.js").write_text("\n" * lines, encoding="utf-8")
    assert scripts_too_long(tmp_path) == [f"{MOST_LINES + 1}.js"]


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("geometry.new", "from frame3d.design.tables.whole_design import Design", "lies above it"),
        ("geometry.new", "def late():\n    import frame3d.frame.model.parts", "lies above it"),
        ("geometry.new", "from ..frame.model import parts", "lies above it"),
        ("geometry.new", "from frame3d.geometry.arch.arch import Arch", "lies above it"),
        ("frame.hoops.new", "from frame3d import solids", "lies above it"),
        ("frame.hoops.new", "from frame3d.frame.ties import truss", "lies above it"),
        ("frame.hoops.new", "from frame3d.frame.lay_out import lay_out", "lies above it"),
        ("errors", "import importlib\nimportlib.import_module('frame3d.cli')", "lies above it"),
        ("sheets.sets.new", "from frame3d.solids.parts.make_solids import made", "lies beside it"),
        ("solids.parts.new", "from ...sheets.sets import draw", "lies beside it"),
        ("frame.hoops.new", "import OCP.gp", "imports OCP, which belongs in solids"),
        ("sheets.views.new", "from cadquery import Workplane", "belongs in solids"),
        ("building", "from vtkmodules.vtkIOImage import vtkPNGWriter", "belongs in solids"),
        ("frame.hoops.new", "import ezdxf", "belongs in sheets"),
        ("geometry.new", "from ortools.sat.python import cp_model", "belongs in takeoff"),
        ("solids.write.new", "import reportlab as pdf", "belongs in sheets"),
        ("sheets.write.new", "import pymupdf", "belongs in the tests"),
        ("novelty.thing", "", "has no place"),
        ("frame.novelty.thing", "", "has no place"),
        ("design.reading.new", "from frame3d.novelty import thing", "has no place"),
        ("design.reading.new", "print('here')", "prints"),
        ("design.reading.new", "try:\n    pass\nexcept Exception:\n    pass", "catches Exception"),
        ("cli", "try:\n    pass\nexcept:\n    pass", "catches everything"),
        ("cli", "try:\n    pass\nexcept (OSError, BaseException):\n    pass", "catches"),
        ("design.reading.new", "\n" * (MOST_LINES + 1), "lines, more than"),
    ],
)
def test_a_breach_is_seen(name: str, text: str, told: str) -> None:
    found = faults({name: text})
    assert len(found) == 1
    assert told in found[0]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("design.reading.new", "from frame3d.geometry.arch.arch import Arch\nfrom . import reader"),
        ("solids.parts.new", "import OCP.gp\nfrom frame3d import __version__"),
        ("cli", "from frame3d.building import build\nprint('done')"),
        ("sheets.views.new", "try:\n    pass\nexcept (OSError, ValueError):\n    pass"),
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
        "import frame3d; from frame3d.examples import example_paths; "
        "[frame3d.lay_out(frame3d.load_design(path)) for path in example_paths().values()]"
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


def loaded(look: str, heavy: tuple[str, ...] = HEAVY, more: str = "") -> set[str]:
    """Which of the heavy libraries a fresh interpreter has loaded after ``look``."""
    run = subprocess.run(
        [sys.executable, "-P", "-c", FRAME.format(look=look, heavy=heavy) + more],
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
    assert loaded(look, ("scipy", "shapely")) == set()


def test_a_check_loads_no_room_that_it_does_not_look_with() -> None:
    """Half of a check is loading; a design without a fault needs nothing that tells faults."""
    needed = {
        "__init__", "catalog", "checks", "cli", "design", "errors", "examples", "frame",
        "geometry", "opening", "schemas", "site", "summary", "units",
    }  # fmt: skip
    named = "[name for name in sys.modules if name.startswith('frame3d.')]"
    found = loaded(LOOKS["check"], (), f"sys.stderr.write(' '.join({named}))")
    assert {"frame3d.frame.lay_out", "frame3d.checks.assembly.assembly"} <= found  # it has looked
    assert {name.split(".")[1] for name in found} <= needed
    assert not found & {"frame3d.design.reading.faults", "frame3d.design.values.starter_values"}
    assert not any(name.startswith("frame3d.design.writing") for name in found)


def test_a_take_off_loads_the_solver_and_nothing_else_heavy() -> None:
    look = LOOKS["check"].replace("'check'", "'takeoff'")
    assert look != LOOKS["check"]
    assert loaded(look) <= {"ortools", "pandas"}


def test_a_guide_loads_nothing_that_writes_drawings() -> None:
    """A process that makes the guide beside the sheets does not load that twice."""
    look = "import frame3d.guide.write.guide_files"
    assert loaded(look, ("ezdxf", "scipy", "vtk", "OCP", "trimesh")) == set()


def test_what_is_heavy_is_noticed() -> None:
    assert "ezdxf" in loaded("import frame3d.sheets.write.dxf_write")
