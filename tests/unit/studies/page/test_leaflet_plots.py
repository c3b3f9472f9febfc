"""Pictures of two goals: which there are, what stands in them, and what is told without a library.

What is drawn is read from the picture before it is written, and from the pixels of the file.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from matplotlib import image

from frame3d.checks.report import NO_VERDICT
from frame3d.errors import OutputError
from frame3d.studies.page.files import write_files
from frame3d.studies.page.leaflet_plots import PLOTS_MISSING, _picture, pairs_of, write_plots
from frame3d.studies.plan.whole_plan import Axis, Condition, Goal, Plan
from frame3d.studies.results.result import Compared, StudyResult

GOALS = (
    Goal(figure="mass_kg", up=False),
    Goal(figure="headroom_mm", up=True),
    Goal(figure="machines_fit", up=True),
    Goal(figure="mass_kg", up=False),
)
FIGURES = ("mass_kg", "headroom_mm", "machines_fit", "hoops")
VALUES = ((500, 2000, True, 3), (450, 1900, True, 3), (500, 1900, True, 3), (500, 2000, True, 3),
          (400, 2500, True, 9), (480, None, True, 3))  # fmt: skip
"""Rows 1, 2 and 4 are the best of those with few hoops, 1 and 4 alike; the last lacks a figure."""


def result(goals: tuple[Goal, ...] = GOALS) -> StudyResult:
    counts = tuple((n,) for n in range(1, len(VALUES) + 1))
    plan = Plan(
        base={}, base_text="", folder=Path(), figures=FIGURES, goals=goals,
        axes=(Axis(fields=("bays.count",), choices=counts),),
        conditions=(Condition(figure="hoops", sign="<=", limit=4, text="hoops <= 4"),),
    )  # fmt: skip
    rows = tuple(
        Compared(number=n, values={"bays.count": n}, state="made", reason="",
                 figures=dict(zip(FIGURES, own, strict=True)), meets=own[3] <= 4)
        for n, own in enumerate(VALUES, start=1)
    )  # fmt: skip
    return StudyResult(plan=plan, rows=rows)


def test_each_two_goals_have_a_picture_of_their_own(tmp_path: Path) -> None:
    made = write_plots(result(), tmp_path, "farm")
    assert made is not None
    assert [path.name for path in made] == [
        "plot_mass_kg_headroom_mm.png", "plot_mass_kg_machines_fit.png",
        "plot_headroom_mm_machines_fit.png",
    ]  # fmt: skip
    for path in made:
        pixels = image.imread(path)
        assert pixels.shape[:2] == (1000, 1600)
        red, green, blue = (pixels[..., k] for k in range(3))
        assert np.array_equal(red, green) and np.array_equal(green, blue)  # no colour tells a thing
        assert 0.01 < (red < 0.5).mean() < 0.2
    assert pairs_of(GOALS[:1]) == [] and write_plots(result(GOALS[:1]), tmp_path, "farm") == ()


def test_a_picture_says_what_it_shows_and_what_it_does_not() -> None:
    """Written in a plan as ``$``, a name is no formula."""
    pair = pairs_of(GOALS)[0]
    picture = _picture(result(), pair, "my $x$ farm")
    axes = picture.axes[0]
    told = [" ".join(text.get_text().split()) for text in picture.texts]
    assert told[0] == "my $x$ farm: headroom_mm against mass_kg"
    assert told[1] == "5 of 6 designs have both figures"
    assert NO_VERDICT in told[-1] and picture.texts[-1].get_fontsize() < 12
    assert axes.get_xlabel().startswith("mass_kg, kg (less is wanted)\nMass of all parts")
    assert axes.get_ylabel().startswith("headroom_mm, mm (more is wanted)\nLeast height")
    legend = axes.get_legend()
    assert legend is not None
    assert [text.get_text() for text in legend.get_texts()] == [
        "does not meet the conditions (1)", "meets the conditions (1)",
        "the best: no other beats it in all goals (3)",
    ]  # fmt: skip
    points = [np.asarray(drawn.get_offsets()).tolist() for drawn in axes.collections]
    assert points == [[[400, 2500]], [[500, 1900]], [[500, 2000], [450, 1900], [500, 2000]]]
    assert {text.get_text() for text in axes.texts} == {"rows 1, 4", "row 2"}


def test_yes_or_no_stands_on_its_axis() -> None:
    axes = _picture(result(), pairs_of(GOALS)[1], "farm").axes[0]
    assert [text.get_text() for text in axes.get_yticklabels()] == ["no", "yes"]


def test_nothing_is_drawn_where_no_design_has_the_figures(tmp_path: Path) -> None:
    none = StudyResult(plan=result().plan, rows=())
    made = write_plots(none, tmp_path, "farm")
    assert made is not None and len(made) == 3
    assert _picture(none, pairs_of(GOALS)[0], "farm").axes[0].collections[:] == []


def test_a_name_in_any_letters_is_written(tmp_path: Path) -> None:
    """Warnings are errors here: letters of the second font, and one that neither font has."""
    assert write_plots(result(), tmp_path, "農場 \U0001f33e") is not None


def test_without_the_library_it_is_told_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    written = write_files(result(), tmp_path, "farm")
    assert written.note == PLOTS_MISSING and "pip install matplotlib" in written.note
    assert list(tmp_path.glob("*.png")) == []
    assert (tmp_path / "study.html") in written.files
    assert write_files(result(GOALS[:1]), tmp_path, "farm").note == ""  # nothing was to be drawn


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        write_plots(result(), tmp_path / "none", "farm")


def test_the_library_is_loaded_when_it_draws_and_not_before() -> None:
    program = (
        f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r})\n"
        "import frame3d.studies.page.files\n"
        "print('matplotlib' in sys.modules)\n"
        "from pathlib import Path; import tempfile\n"
        "from test_leaflet_plots import result, write_plots\n"
        "write_plots(result(), Path(tempfile.mkdtemp()), 'farm')\n"
        "print('matplotlib' in sys.modules, 'matplotlib.pyplot' in sys.modules)"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", program], capture_output=True, text=True, timeout=120,
        check=False,
    )  # fmt: skip
    assert run.stdout.split() == ["False", "True", "False"], run.stderr
