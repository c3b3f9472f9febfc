"""``frame3d study``: many designs compared, from a plan."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.ending import status_of
from frame3d.cli.fault_messages import faults_told, out_folder, usage_fault
from frame3d.cli.show import say, show_cautions, show_grid, show_table, size_text, tell
from frame3d.units.data_tables import Json

if TYPE_CHECKING:
    from frame3d.studies.plan.whole_plan import Plan
    from frame3d.studies.results.result import StudyResult

_MOST_SHOWN = 12


@app.command()
def study(
    plan: Annotated[
        Path | None,
        typer.Argument(metavar="PLAN", help="A plan: what varies, what is asked, what is wanted."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for rows, table, page and pictures; an earlier run there is continued. "
            "Default: outputs/NAME in this folder, where NAME is that of the plan.",
            show_default=False,
        ),
    ] = None,
    figures: Annotated[
        bool, typer.Option("--figures", help="List the figures that can be asked for, and end.")
    ] = False,
    workers: Annotated[
        int | None,
        typer.Option(
            min=1,
            metavar="COUNT",
            help="Processes on this computer. Default: one per core.",
            show_default=False,
        ),
    ] = None,
    scheduler: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS",
            help="Have the rows worked out by the workers of a Dask scheduler: "
            "tcp://127.0.0.1:8786 on this machine, tls://NAME:8786 on another.",
            show_default=False,
        ),
    ] = None,
    yes: Annotated[
        bool, typer.Option("--yes", help="Begin even if there are very many designs.")
    ] = False,
    design: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the best design, or that of --row, as a design file.",
            show_default=False,
        ),
    ] = None,
    row: Annotated[
        int | None,
        typer.Option(
            min=1, metavar="NUMBER", help="The row that --design writes.", show_default=False
        ),
    ] = None,
) -> None:
    """Compare many designs: vary fields of one, ask for figures, find the best.

    If it is stopped, run the same command again and it continues where it left off. Exit status
    0 when every design has its row, refused designs included.
    """  # fmt: skip
    with faults_told():
        if figures:
            _show_figures()
            return
        if plan is None:
            raise usage_fault("name a plan, or ask for --figures")
        if row is not None and design is None:
            raise usage_fault("--row needs --design FILE, to which the design is written")
        from frame3d.studies.plan.read_plan import read_plan

        whole = read_plan(plan)
        _ask_first(whole, sure=yes)
        folder = out if out is not None else Path("outputs") / plan.stem
        result = _carried_out(whole, folder, workers, scheduler)
        from frame3d.studies.page.files import write_files

        written = write_files(result, folder, plan.stem)
        _show_result(result, folder, written.files)
        if written.note:
            say(written.note)
        if design is not None:
            result.write_design(design, row)
            say(f"Design of row {row or result.front[0].number}: {design}")
        show_cautions()


def _show_figures() -> None:
    from frame3d.studies.figures.from_checks import RULE
    from frame3d.studies.figures.known import GROUPS, RATIOS

    for title, group in (*GROUPS, ("For each square metre", RATIOS)):
        rows = [(figure.name, figure.unit or "number", figure.words) for figure in group]
        show_grid(("Figure", "Unit", "What it is"), rows, title=title)
    say(
        f"Beside these, {RULE}NAME counts what a rule finds (frame3d rules lists them), and any "
        "number of summary.json, findings.json or takeoff.json can be asked for by its place, such "
        "as summary.cover.girth.mm."
    )


def _ask_first(plan: Plan, *, sure: bool) -> None:
    """Say that a study is very long, before it begins."""
    from frame3d.studies.run_study import TOO_MANY

    if plan.count > TOO_MANY and not sure:
        raise usage_fault(
            f"these are {plan.count:,} designs, at about one a second for each core "
            f"{plan.count / 86400:,.1f} days of one core; give fewer values, draw a sample "
            "(sample = 500 in [study]), or begin all the same with --yes"
        )


def _carried_out(
    plan: Plan, folder: Path, workers: int | None, scheduler: str | None
) -> StudyResult:
    """Carry it out, with progress on standard error."""
    from frame3d.cli.study_progress import progress_shown
    from frame3d.studies.run_study import carry_out, local_crew

    if scheduler is not None:
        from frame3d.studies.running.dask_crew import dask_crew

        crews = dask_crew(scheduler)
    else:
        crews = local_crew(workers, folder)
    try:
        with progress_shown() as told, crews as crew:
            return carry_out(plan, crew, folder, told)
    except KeyboardInterrupt as error:
        tell(f"stopped; the rows so far are in {folder}: run it again to go on")
        sys.stdout.flush()
        raise typer.Exit(status_of(error)) from None


def _show_result(result: StudyResult, folder: Path, files: tuple[Path, ...]) -> None:
    if result.cautions:
        say("Caution: " + " ".join(result.cautions))
    states = [row.state for row in result.rows]
    meeting = sum(row.meets for row in result.rows)
    say(
        f"{len(states)} designs: {states.count('made')} made, {states.count('refused')} refused, "
        f"{states.count('failed')} failed; {meeting} meet all conditions."
    )
    _show_front(result)
    _show_moved(result)
    rows = [(path.name, size_text(path)) for path in files]
    show_table(rows, title=f"Files in {folder}", right=True)


def _show_front(result: StudyResult) -> None:
    front, goals = result.front, result.plan.goals
    if not front:
        return
    from frame3d.studies.results.front import ties_of

    ties = ties_of(front, goals)
    names = _short_names(result.plan.fields)
    header = ("Row", *(goal.figure for goal in goals), "Equal", "Design")
    cells = [
        (
            str(row.number),
            *(_text(row.figures[goal.figure]) for goal in goals),
            str(ties[row.number] or ""),
            ", ".join(f"{names[field]} {value}" for field, value in row.values.items()),
        )
        for row in front[:_MOST_SHOWN]
    ]
    show_grid(header, cells, title="The best: designs that no other beats in all goals")
    if len(front) > _MOST_SHOWN:
        say(f"{len(front) - _MOST_SHOWN} more of the best are in the table of rows.")


def _show_moved(result: StudyResult) -> None:
    from frame3d.studies.results.moving import moved_by

    moved = {one.figure: one for one in reversed(moved_by(result))}  # the first of each figure
    rows = [
        (one.figure, one.fields, f"{one.share:.0%}", f"{_text(one.low)} to {_text(one.high)}")
        for one in reversed(list(moved.values()))
    ]
    if rows:
        header = ("Figure", "Moved most by", "Share", "Means")
        show_grid(header, rows, title="What moves each figure most")


def _short_names(fields: Sequence[str]) -> dict[str, str]:
    """Fields without their sections, where that leaves no doubt: ``width``, ``rail[2].height``."""
    last = {field: field.rpartition(".")[2] for field in fields}
    alone = Counter(last.values())
    return {
        field: name if alone[name] == 1 and "[" not in field else field
        for field, name in last.items()
    }


def _text(value: Json) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:,.6g}" if isinstance(value, int | float) else str(value)
