"""The notebooks run from top to bottom, and are kept without what they print."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

FOLDER = Path(__file__).parents[2] / "notebooks"
NOTEBOOKS = sorted(path.name for path in FOLDER.glob("*.ipynb"))


def test_there_are_notebooks() -> None:
    assert len(NOTEBOOKS) >= 3
    told = (FOLDER / "README.md").read_text("utf-8")
    assert [name for name in NOTEBOOKS if name not in told] == []


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_outputs_are_stripped(name: str) -> None:
    book = nbformat.read(FOLDER / name, as_version=4)
    nbformat.validate(book)
    cells = [cell for cell in book.cells if cell.cell_type == "code"]
    assert len(cells) > 5
    assert [cell["id"] for cell in cells if cell.outputs or cell.execution_count] == []
    assert "licensed professional" in book.cells[0].source


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_runs_from_top_to_bottom(name: str, tmp_path: Path, monkeypatch) -> None:
    """In a kernel of its own, where nothing is residual from another run."""
    # The older place of its settings is asked for with a warning.
    monkeypatch.setenv("JUPYTER_PLATFORM_DIRS", "1")
    monkeypatch.setenv("MPLBACKEND", "module://matplotlib_inline.backend_inline")
    monkeypatch.setenv(
        "PYTHONPATH",
        os.pathsep.join([str(FOLDER.parent), *filter(None, [os.environ.get("PYTHONPATH")])]),
    )
    for path in FOLDER.glob(f"{name[0]}_*"):  # what is kept beside it
        if path.name != name:
            shutil.copy(path, tmp_path)
    book = nbformat.read(FOLDER / name, as_version=4)
    NotebookClient(
        book,
        timeout=300,
        kernel_name="python3",
        resources={"metadata": {"path": str(tmp_path)}},
    ).execute()
    outputs = [output for cell in book.cells if cell.cell_type == "code" for output in cell.outputs]
    assert not [output for output in outputs if output.output_type == "error"]
    assert sum("image/png" in output.get("data", {}) for output in outputs) >= 2
