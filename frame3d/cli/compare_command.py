"""``frame3d compare``: what differs between two designs, and what fits that is made already."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import faults_told, frames_of
from frame3d.cli.show import say, show_grid


@app.command()
def compare(
    old: Annotated[Path, typer.Argument(metavar="OLD", help="The design file as it was.")],
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The design file as it is now.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything as JSON and nothing else.")
    ] = False,
) -> None:
    """Compare two designs part by part: same, moved, changed, new, gone. Writes nothing.

    It says which parts that were made for the old design still fit. Exit status: 0 whatever
    differs, 2 a design is not valid, 3 the computer failed.
    """
    with faults_told():
        from frame3d.frame.revisions.comparison import compared
        from frame3d.frame.revisions.telling import (
            FIT_HEADS,
            HEADS,
            LINES,
            change_rows,
            comparison_text,
            fit_rows,
            headline,
        )

        found = compared(*frames_of([old, new]))
        if as_json:
            sys.stdout.write(comparison_text(found))
            return
        show_grid(HEADS, change_rows(found), title="Parts")
        show_grid(FIT_HEADS, fit_rows(found), title="Parts already made for the old design")
        to_make = ", ".join(f"{count} × {mark}" for mark, count in found.to_make)
        say(
            f"Still to make for the new design: {to_make}."
            if to_make
            else "Nothing is left to make."
        )
        for line in LINES:
            say(line)
        say(headline(found))
