"""Joined modules do what they do one by one; what is not understood is refused.

Requires: the command node, which loads modules by itself.
"""

from __future__ import annotations

import subprocess
from importlib import resources
from pathlib import Path

import pytest

from frame3d.view.modules import joined

MODULES = {
    "main.js": (
        "import {\n  Counter, step,\n} from './parts/counter.js';\n"
        "import {STEP} from './base.js';\n"
        "const hidden = 'main';\n"
        "console.log(hidden, STEP, step(), new Counter().next(), typeof secret);\n"
    ),
    "parts/counter.js": (
        "// A comment: export what is counted.\n"
        "import {STEP} from '../base.js';\n"
        "const hidden = 40;\n"
        "export class Counter { next() { return hidden + STEP; } }\n"
        "export function step() { return `${hidden}\n${STEP}`; }\n"
    ),
    "base.js": "const secret = 'base';\nconsole.log('once');\nexport const STEP = 2;\n",
}
"""Two modules with the same name inside, and one that two others use."""


def written(folder: Path, modules: dict[str, str]) -> Path:
    (folder / "parts").mkdir()
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    for name, text in modules.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def said(path: Path) -> str:
    """What a script prints."""
    run = subprocess.run(
        ["node", str(path)], capture_output=True, text=True, timeout=60, check=False
    )
    assert run.returncode == 0, run.stderr
    return run.stdout


def test_joined_they_do_what_they_do_apart(tmp_path: Path) -> None:
    folder = written(tmp_path, MODULES)
    script = tmp_path / "one.js"
    script.write_text(joined(folder, "main.js"), encoding="utf-8")
    assert said(script) == said(folder / "main.js") == "once\nmain 2 40\n2 42 undefined\n"


def test_a_name_that_is_not_imported_is_unknown(tmp_path: Path) -> None:
    """As apart: it would work in the one file and fail in the other."""
    folder = written(tmp_path, {**MODULES, "main.js": MODULES["main.js"] + "secret;\n"})
    (tmp_path / "one.js").write_text(joined(folder, "main.js"), encoding="utf-8")
    for name in ("one.js", "main.js"):
        run = subprocess.run(
            ["node", str(tmp_path / name)], capture_output=True, text=True, timeout=60, check=False
        )
        assert "secret is not defined" in run.stderr, name


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("import {step} from './base.js';\n", "base.js does not export step"),
        ("import {STEP} from './main.js';\n", "import each other: main.js -> main.js"),
        ("import * as base from './base.js';\n", "cannot be joined: import"),
        ("import {STEP as one} from './base.js';\n", "does not export STEP as one"),
        ("import {STEP} from './base.js'\n", "cannot be joined"),
        ("import './base.js';\n", "cannot be joined"),
        ("const late = await import('./base.js');\n", "cannot be joined"),
        ("const where = import.meta.url;\n", "cannot be joined"),
        ("export default 1;\n", "cannot be joined"),
        ("const one = 1;\nexport {one};\n", "cannot be joined"),
        ("export * from './base.js';\n", "cannot be joined"),
        ("export let one = 1;\n", "cannot be joined"),
    ],
)
def test_what_is_not_understood_is_refused(tmp_path: Path, text: str, told: str) -> None:
    folder = written(tmp_path, {**MODULES, "main.js": text})
    with pytest.raises(ValueError, match=told.replace("*", r"\*")):
        joined(folder, "main.js")


def test_a_circle_is_refused_with_its_way(tmp_path: Path) -> None:
    circle = "import {Counter} from './parts/counter.js';\nexport const STEP = 2;\n"
    folder = written(tmp_path, {**MODULES, "base.js": circle})
    with pytest.raises(
        ValueError, match=r"main.js -> parts/counter.js -> base.js -> parts/counter.js"
    ):
        joined(folder, "main.js")


def test_the_viewer_is_joined_whole() -> None:
    """None of its modules is residual, which nothing would load."""
    folder = resources.files("frame3d.view") / "assets"
    text = joined(folder, "view.js")
    heads = {path.name: path.read_text("utf-8").splitlines()[0]
             for path in (folder / "viewer").iterdir()}  # fmt: skip
    assert len(heads) > 10
    for name, head in heads.items():
        assert head.startswith("// ") and text.count(head) == 1, name
