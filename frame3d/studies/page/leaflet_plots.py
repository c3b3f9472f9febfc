"""Pictures for a leaflet: two goals against each other, as PNG, by matplotlib where it is there.

What a point is shows in its shape, its size and how dark it is, so that a copy in black and white
tells the same.
"""

from __future__ import annotations

import functools
import itertools
import re
import textwrap
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from frame3d import __version__
from frame3d.checks.report import NO_VERDICT
from frame3d.sheets.primitives.lettering import SECOND_FILE, font_path
from frame3d.studies.figures.figure import FigureValue
from frame3d.studies.figures.known import figure_named
from frame3d.studies.plan.whole_plan import Goal
from frame3d.studies.results.result import Compared, StudyResult
from frame3d.writing import write_whole

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure as Picture

_INCHES, _DOTS = (16.0, 10.0), 100
_LEFT, _BOTTOM, _WIDTH, _HEAD, _LINE = 0.12, 0.16, 0.85, 0.16, 0.025
"""Of the plot, of what stands over it, and of a line of cautions, as shares of the picture."""
_TITLE, _LABEL, _TEXT, _SMALL = 20, 15, 13, 10
_WIDE, _SMALL_WIDE, _LETTERS = 125, 200, {"x": 100, "y": 54}
"""Letters in a line over the whole picture, bold and small, and along each axis."""
_POINT, _LETTER, _HIGH = 11, 11, 22
"""In dots: half of a point with air round it, the width of a letter and the height of a line."""
_MOST_NUMBERS = 4
_FONTS = ("DejaVu Sans", "Droid Sans Fallback")
_NO_NAME = re.compile(r"[^A-Za-z0-9_.-]+")

PLOTS_MISSING = "No pictures of the goals: for them, install matplotlib (pip install matplotlib)."
"""What is told where there are two goals and no library to plot with."""

Point = tuple[float, float, int]
"""Across, up, and the number of the row."""


def pairs_of(goals: Sequence[Goal]) -> list[tuple[Goal, Goal]]:
    """Every two goals with figures of their own, in the order of the plan."""
    each = {goal.figure: goal for goal in reversed(goals)}
    ordered = [goal for goal in goals if each.get(goal.figure) is goal]
    return list(itertools.combinations(ordered, 2))


def write_plots(result: StudyResult, folder: Path, name: str) -> tuple[Path, ...] | None:
    """Write a PNG for each two goals into ``folder``; None where matplotlib is not installed.

    Parameters
    ----------
    name : str
        Of the plan; it is the title.

    Raises
    ------
    OutputError
        If one cannot be written.
    """
    pairs = pairs_of(result.plan.goals)
    if not pairs:
        return ()
    try:
        from matplotlib import font_manager, style
    except ImportError:
        return None
    if _FONTS[1] not in font_manager.fontManager.get_font_names():
        font_manager.fontManager.addfont(font_path(SECOND_FILE))
    made = []
    # Whatever is set up on this machine for other plots says nothing about these.
    with style.context("default"), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # a box stands for it
        for pair in pairs:
            words = "_".join(_NO_NAME.sub("_", goal.figure) for goal in pair)
            path = folder / f"plot_{words}.png"
            draw = functools.partial(_picture(result, pair, name).savefig, format="png")
            write_whole(path, draw)
            made.append(path)
    return tuple(made)


def _picture(result: StudyResult, pair: tuple[Goal, Goal], name: str) -> Picture:
    """A picture with nothing of pyplot, which keeps what is drawn for as long as it lives."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    picture = Figure(figsize=_INCHES, dpi=_DOTS)
    FigureCanvasAgg(picture)
    top = _write_first(picture, result.cautions)
    axes = picture.add_axes((_LEFT, _BOTTOM, _WIDTH, top - _HEAD - _BOTTOM))
    points = _draw(axes, result, pair)
    for goal, side in zip(pair, "xy", strict=True):
        _name_axis(axes, goal, side)
    _number_points(axes, points["best"])
    axes.grid(color="0.88", linewidth=0.8)
    axes.set_axisbelow(True)
    across, up = (goal.figure for goal in pair)
    _write(picture, top - 0.045, f"{name}: {up} against {across}", _TITLE)
    shown = sum(map(len, points.values()))
    told = f"{shown:,} of {len(result.rows):,} designs have both figures"
    _write(picture, top - 0.085, told, _TEXT)
    foot = f"{NO_VERDICT} Made by frame3d {__version__}."
    _write(picture, 0.02, textwrap.fill(foot, _SMALL_WIDE), _SMALL)
    return picture


def _write(picture: Picture, y: float, words: str, size: int) -> None:
    # Dollars in a name are no formula.
    picture.text(0.03, y, words, fontsize=size, family=_FONTS, va="bottom", parse_math=False)


def _write_first(picture: Picture, cautions: Sequence[str]) -> float:
    """Write cautions over everything, all alike; how high the rest may reach."""
    lines = [line for text in cautions for line in textwrap.wrap(text, _WIDE)]
    if not lines:
        return 1.0
    picture.text(
        0.03, 0.985, "\n".join(lines), fontsize=_TEXT, family=_FONTS[0], fontweight="bold",
        va="top", linespacing=1.3,
    )  # fmt: skip
    return 0.985 - _LINE * len(lines)


def _draw(axes: Axes, result: StudyResult, pair: tuple[Goal, Goal]) -> dict[str, list[Point]]:
    """Draw a point for each design that has both figures, the best on top; the points by kind."""
    best = {row.number for row in result.front}
    kinds: dict[str, list[Point]] = {"other": [], "meets": [], "best": []}
    for row in result.rows:
        x, y = (_number(row.figures.get(goal.figure)) for goal in pair)
        if x is not None and y is not None:
            kinds[_kind(row, best)].append((x, y, row.number))
    looks = (
        ("other", "does not meet the conditions", "x", 34, "0.6", None),
        ("meets", "meets the conditions", "o", 44, "white", "0.3"),
        ("best", "the best: no other beats it in all goals", "D", 110, "black", "white"),
    )
    for kind, words, marker, size, face, edge in looks:
        points = kinds[kind]
        if points:
            axes.scatter(
                [x for x, _, _ in points], [y for _, y, _ in points], s=size, marker=marker,
                c=face, edgecolors=edge, linewidths=1.2, label=f"{words} ({len(points):,})",
                zorder=5 if kind == "best" else 3,
            )  # fmt: skip
    if any(kinds.values()):
        axes.legend(
            loc="lower right", bbox_to_anchor=(1.0, 1.01), ncols=3, fontsize=_TEXT, frameon=False,
            borderaxespad=0.0, handletextpad=0.2,
        )  # fmt: skip
    return kinds


def _kind(row: Compared, best: set[int]) -> str:
    if row.number in best:
        return "best"
    return "meets" if row.meets else "other"


def _number(value: FigureValue) -> float | None:
    return None if value is None or isinstance(value, str) else float(value)


def _number_points(axes: Axes, points: list[Point]) -> None:
    """Write the numbers of rows beside their points, where these run into nothing."""
    from matplotlib.patheffects import withStroke

    axes.autoscale_view()  # so that it is known where each point comes to lie
    rows: dict[tuple[float, float], list[int]] = {}
    for x, y, number in points:
        rows.setdefault((x, y), []).append(number)
    places = [tuple(map(float, axes.transData.transform(at))) for at in rows]
    taken: list[tuple[float, float, float, float]] = [
        (x - _POINT, y - _POINT, x + _POINT, y + _POINT) for x, y in places
    ]
    for (at, numbers), (x, y) in zip(rows.items(), places, strict=True):
        words = "row " if len(numbers) == 1 else "rows "
        words += ", ".join(map(str, numbers[:_MOST_NUMBERS]))
        words += " ..." if len(numbers) > _MOST_NUMBERS else ""
        for below in (False, True):
            foot = y - _HIGH if below else y + _POINT // 2
            place = (x + _POINT + 1, foot, x + _POINT + _LETTER * len(words), foot + _HIGH)
            if any(_meet(place, other) for other in taken):
                continue
            taken.append(place)
            axes.annotate(
                words, at, xytext=(_POINT, foot - y), textcoords="offset pixels", zorder=4,
                fontsize=_TEXT, path_effects=[withStroke(linewidth=2, foreground="white")],
            )  # fmt: skip
            break


def _meet(one: Sequence[float], other: Sequence[float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _name_axis(axes: Axes, goal: Goal, side: str) -> None:
    """Which figure it is, its unit and which way is better; what it is in words."""
    from matplotlib.ticker import FuncFormatter

    figure = figure_named(goal.figure)
    unit = f", {figure.unit}" if figure.unit else ""
    words = f"{figure.name}{unit} ({'more' if goal.up else 'less'} is wanted)"
    meaning = textwrap.fill(figure.words, _LETTERS[side])
    axis = axes.xaxis if side == "x" else axes.yaxis
    axis.set_label_text(f"{words}\n{meaning}", fontsize=_LABEL, parse_math=False)
    axis.set_tick_params(labelsize=_TEXT)
    if figure.unit == "yes or no":
        axis.set_ticks([0.0, 1.0], ["no", "yes"])
    else:
        axis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.6g}"))
