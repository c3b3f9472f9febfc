"""``frame3d check`` and ``frame3d rules``: what fits and clears, and by which rules."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import FAULT, UNMADE, design_of, faults_told, frames_of
from frame3d.cli.show import (
    say,
    show_cautions,
    show_figures,
    show_findings,
    show_grid,
    show_room,
)
from frame3d.errors import DesignFaults

if TYPE_CHECKING:
    from frame3d.frame.model.members import Frame


@app.command()
def check(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the findings as JSON, for other programs.")
    ] = False,
) -> None:
    """Check a design: what fits, what clears, what is unusual. Writes nothing.

    Exit status: 0 no errors, 1 errors found, 2 the design is not valid, 3 the computer failed,
    for example because the disk is full.
    """
    # Its arrays are small: numpy's threads would take longer to start than they could save.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with faults_told():
        # What a check makes it keeps until its end; looking for rubbish takes a tenth of its time.
        gc.disable()
        if as_json:
            code = _checked_as_json(design)
        else:
            (frame,) = frames_of([design])
            code = _checked(frame)
    raise typer.Exit(code)


def _checked(frame: Frame) -> int:
    from frame3d.checks.all_checks import check_frame
    from frame3d.checks.report import has_errors

    findings = check_frame(frame)
    # Without the mass: that takes longer than all the checks.
    show_figures(frame, title=frame.design.project.name, mass=False)
    show_room(frame)
    show_findings(frame, findings)
    show_cautions()
    return UNMADE if has_errors(findings) else 0


def _checked_as_json(path: Path) -> int:
    """The findings, or the faults of the design, as JSON on standard output."""
    from frame3d.checks.all_checks import check_frame
    from frame3d.checks.report import faults_report, has_errors, report_of, report_text
    from frame3d.frame.located import laid_out

    try:
        frame = laid_out(design_of(path))
    except DesignFaults as error:
        sys.stdout.write(report_text(faults_report(error)))
        return FAULT
    findings = check_frame(frame)
    sys.stdout.write(report_text(report_of(frame, findings)))
    return UNMADE if has_errors(findings) else 0


@app.command()
def rules() -> None:
    """List the rules that check goes by: name, severity, what each looks for, its source."""
    from frame3d.checks.all_checks import rules as all_rules
    from frame3d.checks.report import NO_VERDICT

    show_grid(
        ("Rule", "Severity", "What it looks for", "Source"),
        [(rule.name, rule.severity.value, rule.meaning, rule.source) for rule in all_rules()],
        title="Rules",
    )
    say(NO_VERDICT)
    show_cautions()
