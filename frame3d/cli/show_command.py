"""``frame3d show`` and ``frame3d freeze``: the whole of a design, and an older file brought up."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import design_of, faults_told
from frame3d.cli.show import plain, say

if TYPE_CHECKING:
    from frame3d.frame.model.members import Frame
    from frame3d.geometry.arch.arch import ArchStyle


@app.command("show")
def show_design(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print it as JSON: value, given or not, and why.")
    ] = False,
) -> None:
    """Print the complete design, with its defaults.

    What is yours has a mark. What is printed is a design file that means the same.
    """
    with faults_told():
        from frame3d.design.reading.syntax import read_text
        from frame3d.design.writing.complete import complete_json, complete_text, shown_tables
        from frame3d.frame.located import laid_out

        read = design_of(design)
        frame = laid_out(read)
        tables = shown_tables(read_text(design), read, frame.design, _worked_out(frame))
        if as_json:
            text = json.dumps(complete_json(tables), indent=2, ensure_ascii=False, default=str)
            sys.stdout.write(f"{text}\n")
        else:
            sys.stdout.write(complete_text(tables, plain(design.name)))


def _worked_out(frame: Frame) -> dict[tuple[str, str], str]:
    """The dimensions of profile and bays that follow from those given, in words."""
    from frame3d.frame.describe.wording import lengths_of

    form, arch, grid = lengths_of(frame), frame.arch, frame.grid
    lengths = {
        ("profile", "width"): arch.width_mm,
        ("profile", "ridge_height"): arch.ridge_height_mm,
        ("profile", "leg_height"): arch.leg_height_mm,
        ("profile", "eave_radius"): arch.eave_radius_mm,
        ("profile", _top_name(arch.style)): arch.top_radius_mm,
        ("bays", "length"): grid.even.length_mm,
        ("bays", "spacing"): grid.even.spacing_mm,
    }
    told = {
        key: form.text(value, unit=True) if value < 1e9 else "straight"
        for key, value in lengths.items()
        if value is not None
    }
    told["profile", "leg_lean"] = form.angle(arch.leg_lean_rad)
    told["profile", "ridge_slope"] = form.angle(arch.ridge_slope_rad)
    told["bays", "count"] = str(len(grid.hoop_y_mm) - 1)
    return {key: f"worked out: {text}" for key, text in told.items()}


def _top_name(style: ArchStyle) -> str:
    from frame3d.geometry.arch.arch_given import Dimension

    return Dimension.TOP_RADIUS.name_for(style)


@app.command()
def freeze(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design file.")],
) -> None:
    """Bring an older file up to this release.

    The design stays as it was. Defaults that have changed since are written into it as they were,
    fields with a new name get it, and comments are kept.
    """
    with faults_told():
        from frame3d.design.reading.formats import FORMAT, brought_up, notes_on_defaults, opened
        from frame3d.design.reading.reader import design_from_text
        from frame3d.design.reading.syntax import parsed, read_text
        from frame3d.design.writing.editing import edited_text
        from frame3d.writing import write_whole

        text = read_text(design)
        design_from_text(text, design.name)  # its faults are told as ever
        older = opened(parsed(text, design.name), design.name)
        wanted = edited_text(text, brought_up(older))
        if wanted == text:
            say(f"{design} is of format {FORMAT} and has nothing to freeze")
            return
        write_whole(design, lambda temporary: temporary.write_text(wanted, encoding="utf-8"))
        for note in notes_on_defaults(older):
            say(f"{note.where} = {json.dumps(note.was, ensure_ascii=False)}")
        say(f"{design} is of format {FORMAT} now and means what it meant")
