"""``frame3d new``: a design file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import check_place, faults_told, usage_fault
from frame3d.cli.show import say, show_cautions
from frame3d.errors import DesignError, DesignFaults, Fault
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

if TYPE_CHECKING:
    from frame3d.design.writing.starters import Figures
    from frame3d.frame.model.members import Frame


def _examples() -> list[str]:
    from frame3d.examples import example_paths, typical_paths

    return [*example_paths(), *typical_paths()]


@app.command()
def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The design file to write (.toml).")],
    style: Annotated[
        ArchStyle | None, typer.Option(help="Family of the hoops.", show_default="gothic")
    ] = None,
    units: Annotated[
        UnitSystem | None,
        typer.Option(
            help="Units used in everything printed.",
            show_default="those of the figures given, or imperial",
        ),
    ] = None,
    name: Annotated[
        str | None, typer.Option(help="Name of the tunnel.", show_default="New tunnel")
    ] = None,
    width: Annotated[
        str | None, typer.Option(metavar="LENGTH", help='Width at the ground, such as "26 ft".')
    ] = None,
    height: Annotated[
        str | None,
        typer.Option(
            metavar="LENGTH", help="Height of the ridge.", show_default="in proportion to the width"
        ),
    ] = None,
    length: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Length from first hoop to last.")
    ] = None,
    spacing: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Largest distance between hoops.")
    ] = None,
    like: Annotated[
        str,
        typer.Option(
            metavar="EXAMPLE",
            help="Start from an example instead of a new design.",
            autocompletion=_examples,
        ),
    ] = "",
    full: Annotated[
        bool, typer.Option("--full", help="Write every field, explained, behind a #.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Overwrite an existing file.")] = False,
) -> None:
    """Write a short design file to begin with.

    It has the choices that decide a tunnel; all else has a default. "frame3d fields" explains any
    field, and "frame3d show" prints a design with its defaults.
    """
    with faults_told():
        from frame3d.design.writing.starters import Figures
        from frame3d.writing import write_whole

        figures = Figures(width=width, height=height, length=length, spacing=spacing)
        if like:
            if style or units or full:
                raise usage_fault("--like takes style and units from the example and writes it "
                                  "as it is; drop --style, --units and --full")  # fmt: skip
            text = _like(like, figures, name)
            frame = _tried(text, figures)
        else:
            text, frame = _begun(style or ArchStyle.GOTHIC, units, name, figures, full=full)
        check_place(file, replace=force)
        write_whole(file, lambda temporary: temporary.write_text(text, encoding="utf-8"))
        say(f"{file} is written: {_in_words(frame)}. Change it, then run: frame3d check {file}")
        show_cautions()


def _begun(
    style: ArchStyle, units: UnitSystem | None, name: str | None, figures: Figures, *, full: bool
) -> tuple[str, Frame]:
    """The text of a new design and its frame."""
    from frame3d.design.writing.short_file import short_text
    from frame3d.design.writing.starters import (
        NEW_NAME,
        new_tables,
        units_meant,
        with_lower_braces,
    )
    from frame3d.design.writing.template import full_text

    units = units or units_meant(figures)
    try:
        tables = new_tables(style, units, NEW_NAME if name is None else name, figures)
    except DesignError as error:
        raise usage_fault(f"--name: {error.message}") from None
    frame = _tried(short_text(tables, units), figures)
    if (figures.width or figures.height) and _braces_clash(frame):
        for lower in with_lower_braces(tables, units):
            other = _tried(short_text(lower, units), figures)
            if not _braces_clash(other):
                tables, frame = lower, other
                break
    text = full_text(tables, style, units) if full else short_text(tables, units)
    return text, frame


def _braces_clash(frame: Frame) -> bool:
    """Whether the braces are in the way of what else a new design has."""
    from frame3d.checks.all_checks import check_frame
    from frame3d.checks.findings.finding import Severity

    return any(
        "brace[" in f"{found.field} {found.against}"
        for found in check_frame(frame)
        if found.severity is Severity.ERROR
    )


def _like(example: str, figures: Figures, name: str | None) -> str:
    """The text of an example with these figures in it."""
    import difflib

    from frame3d.design.reading.syntax import parsed
    from frame3d.design.values.defaults import units_of
    from frame3d.design.writing.editing import edited_text
    from frame3d.design.writing.starters import with_figures
    from frame3d.examples import example_paths, typical_paths

    paths = {**example_paths(), **typical_paths()}
    if example not in paths:
        near = difflib.get_close_matches(example, list(paths), 1, 0.4)
        meant = f"did you mean {near[0]}? " if near else ""
        raise usage_fault(
            f"--like: there is no example {example[:60]}; {meant}there are {', '.join(paths)}"
        )
    text = paths[example].read_text("utf-8")
    design = parsed(text, example)
    return edited_text(text, with_figures(design, figures, units_of(design), name))


def _tried(text: str, figures: Figures) -> Frame:
    """The frame of the new design; what is refused is told with the options that it is due to."""
    from frame3d.design.reading.reader import design_from_text
    from frame3d.design.writing.starters import OPTIONS
    from frame3d.frame.located import laid_out

    try:
        return laid_out(design_from_text(text, "frame3d new"))
    except DesignFaults as error:
        given = [f"--{name}" for name in figures.__struct_fields__ if getattr(figures, name)]
        faults = []
        for fault in error.faults:
            option = OPTIONS.get(fault.where)
            message = fault.message
            if option is None:
                option, message = ", ".join(given), f"{fault.where} would be refused: {message}"
            faults.append(Fault(where=option, message=message))
        raise DesignFaults(faults, error.source) from None


def _in_words(frame: Frame) -> str:
    from frame3d.frame.describe.wording import lengths_of

    form, arch, grid = lengths_of(frame), frame.arch, frame.grid
    sizes = [
        f"{form.text(value, unit=True)} {word}"
        for value, word in (
            (arch.width_mm, "wide"), (arch.ridge_height_mm, "high"), (grid.length_mm, "long")
        )
    ]  # fmt: skip
    return f"{arch.style.value}, {', '.join(sizes)}, {len(grid.hoop_y_mm)} hoops"
