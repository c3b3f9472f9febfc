"""``frame3d new``: a design file to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import faults_told, usage_fault
from frame3d.cli.show import say
from frame3d.errors import DesignError, OutputError
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem


@app.command()
def new(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="The design file to write, a .toml.")
    ],
    style: Annotated[ArchStyle, typer.Option(help="Family of the hoops.")] = ArchStyle.GOTHIC,
    units: Annotated[
        UnitSystem, typer.Option(help="Units of everything that is printed.")
    ] = UnitSystem.IMPERIAL,
    name: Annotated[str, typer.Option(help="Name of the tunnel.")] = "New tunnel",
    force: Annotated[bool, typer.Option("--force", help="Replace a file that exists.")] = False,
) -> None:
    """Write a design file in which every field is explained."""
    with faults_told():
        from frame3d.design.writing.template import design_text
        from frame3d.writing import write_whole

        try:
            text = design_text(style, units, name)
        except DesignError as error:
            raise usage_fault(f"--name: {error.message}") from None
        _check_new(file, force)
        write_whole(file, lambda temporary: temporary.write_text(text, encoding="utf-8"))
        say(f"{file} is written; change its values, then: frame3d build {file}")


def _check_new(file: Path, force: bool) -> None:
    try:
        if file.is_dir():
            raise usage_fault(f"{file} is a folder; give the name of a file")
        if file.exists() and not file.is_file():
            raise usage_fault(f"{file} is a device or a pipe; give the name of a file")
        if (file.exists() or file.is_symlink()) and not force:
            raise usage_fault(f"{file} exists; give another name, or --force to replace it")
        if not file.parent.is_dir():
            raise usage_fault(f"{file.parent} is not a folder; make it first")
    except OutputError:
        raise
    except OSError as error:
        raise usage_fault(f"{file} cannot be written: {error.strerror or error}") from None
