"""``frame3d site``: from the drawing to the ground."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import end_with, faults_told, frames_of, out_folder
from frame3d.cli.show import plain, say, show_grid, show_table, size_text
from frame3d.cli.survey_options import BuiltFile, LevelsFile, MeasuredFile

if TYPE_CHECKING:
    from frame3d.site.survey import Site

_SHOWN = {
    "distances": ("from", "to", "measured", "fitted", "left_over"),
    "drive": ("socket", "ground", "top", "mark", "embedded"),
    "earthwork": ("pad", "cut", "fill", "deepest", "highest"),
    "water": ("side", "toward", "fall", "hollow", "away", "reach"),
    "boards": ("boards", "taken", "left", "dig", "more", "bolts", "fill", "unfit"),
    "doors": ("end", "door", "left", "right", "clear", "gap"),
    "hoops": ("hoop", "width", "up", "twist", "spacing", "state"),
}
"""Tables and columns that are shown on the screen; the files hold all."""


@app.command()
def site(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    levels: LevelsFile = None,
    measured: MeasuredFile = None,
    built: BuiltFile = None,
    out: Annotated[
        Path | None,
        typer.Option(
            parser=out_folder,
            metavar="FOLDER",
            help="Folder for points (CSV, DXF, GeoJSON, KML), tables (CSV, JSON), cautions "
            "(text) and sheets (DXF, PDF). Without it, nothing is written.",
            show_default=False,
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON only.")] = False,
) -> None:
    """Lay the sockets out on the ground, and check them once they are driven."""
    with faults_told():
        from frame3d.checks.all_checks import check_frame
        from frame3d.checks.report import status_of
        from frame3d.single_builds import build_site
        from frame3d.site.survey import located, site_of
        from frame3d.site.write.site_files import record_of, record_text

        lists = {"levels": levels, "measured": measured, "built": built}
        (frame,) = frames_of([design], surveys=lists)
        status = status_of(check_frame(frame))
        found = located(site_of(frame, status))
        files, troubles = build_site(found, out) if out is not None else ((), ())
        if as_json:
            sys.stdout.write(record_text(record_of(found)))
            end_with(status)
            return
        _show(found)
        if files:
            show_table(
                [(path.name, size_text(path)) for path in files],
                title=f"Files in {out}",
                right=True,
            )
        for trouble in troubles:
            say(f"Drawings: {trouble}")
        _show_cautions()
        end_with(status)


def _show(found: Site) -> None:
    from frame3d.frame.describe.wording import lengths_of
    from frame3d.site.write.site_report import assumptions, figures, findings
    from frame3d.site.write.site_tables import site_tables
    from frame3d.units.data_tables import Quantity, Value

    form = lengths_of(found.frame)

    def text(value: Value, quantity: Quantity) -> str:
        if isinstance(value, int | float) and quantity is Quantity.LENGTH:
            return form.text(value)
        if isinstance(value, int | float) and quantity is Quantity.VOLUME:
            return form.volume(value * 1e9)
        if isinstance(value, float):
            return f"{value:.1f}"
        return "" if value is None else f"{value}"

    show_table(figures(found), title=found.frame.design.project.name)
    for table in site_tables(found):
        if table.key not in _SHOWN:
            continue
        columns = [table.column(key) for key in _SHOWN[table.key]]
        show_grid(
            tuple(column.header for column in columns),
            [[text(row[c.key], c.quantity) for c in columns] for row in table.rows],
            title=table.title,
        )
    for finding in findings(found):
        say(finding)
    for assumption in assumptions(found):
        say(f"Assumed: {assumption}")


def _show_cautions() -> None:
    from frame3d.site.survey import SITE_CAUTIONS

    say("Caution: " + plain(" ".join(SITE_CAUTIONS)))
