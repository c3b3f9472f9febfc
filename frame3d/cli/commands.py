"""The command line: ``frame3d new``, ``check``, ``rules``, ``takeoff`` and ``build``.

Exit status: 0 done, 1 a part could not be made, or ``check`` found an error, 2 a fault
in the design, the arguments or the place to write to, 130 stopped by Ctrl-C. What was
asked for goes to standard output; progress and faults go to standard error.
"""

from __future__ import annotations

import contextlib
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d import __version__
from frame3d.cli.show import (
    plain,
    say,
    show_build,
    show_cautions,
    show_figures,
    show_findings,
    show_grid,
    show_order,
    show_room,
    show_table,
    size_text,
    tell,
)
from frame3d.errors import DesignError, DesignFaults, Frame3dError, OutputError, SolidError
from frame3d.geometry.arch import ArchStyle
from frame3d.units import UnitSystem

if TYPE_CHECKING:

    from frame3d.build import BuildResult
    from frame3d.frame.members import Frame

app = typer.Typer(
    help="Exact models and dimensioned drawings of gothic and quonset high-tunnel frames.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

_FAULT, _UNMADE, _STOPPED = 2, 1, 130


def main() -> None:
    """Run the command line; never a traceback for anything that was typed."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that lacks a character shows another in its place.
            stream.reconfigure(errors="replace")
    try:
        app()
    except KeyboardInterrupt:
        tell("stopped; nothing was changed")
        sys.exit(_STOPPED)


def _show_version(wanted: bool) -> None:
    if wanted:
        sys.stdout.write(f"frame3d {__version__}\n")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_show_version, is_eager=True, help="Show the version and exit."
        ),
    ] = False,
) -> None:
    """Exact models and dimensioned drawings of gothic and quonset high-tunnel frames."""


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="The design file to write, a .toml.")],
    style: Annotated[ArchStyle, typer.Option(help="Family of the hoops.")] = ArchStyle.GOTHIC,
    units: Annotated[
        UnitSystem, typer.Option(help="Units of everything that is printed.")
    ] = UnitSystem.IMPERIAL,
    name: Annotated[str, typer.Option(help="Name of the tunnel.")] = "New tunnel",
    force: Annotated[bool, typer.Option("--force", help="Replace a file that exists.")] = False,
) -> None:
    """Write a design file in which every field is explained."""
    with _faults_told():
        from frame3d.spec.template import design_text
        from frame3d.writing import write_whole

        try:
            text = design_text(style, units, name)
        except DesignError as error:
            raise _usage(f"--name: {error.message}") from None
        _check_new(file, force)
        write_whole(file, lambda temporary: temporary.write_text(text, encoding="utf-8"))
        say(f"{file} is written; change its values, then: frame3d build {file}")


@app.command()
def check(
    design: Annotated[Path, typer.Argument(help="A design file.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the findings as JSON, for programs.")
    ] = False,
) -> None:
    """Tell what fits, what clears and what is usual; nothing is written.

    Ends with 0 when no error is found, with 1 when there are errors, with 2 when it is no
    valid design.
    """
    with _faults_told():
        if as_json:
            code = _checked_as_json(design)
        else:
            (frame,) = _laid_out([design])
            code = _checked(frame)
    raise typer.Exit(code)


def _checked(frame: Frame) -> int:
    from frame3d.checks.check import check_frame
    from frame3d.checks.report import has_errors

    findings = check_frame(frame)
    # Without the mass: that takes longer than all the checks.
    show_figures(frame, title=frame.design.project.name, mass=False)
    show_room(frame)
    show_findings(frame, findings)
    show_cautions()
    return _UNMADE if has_errors(findings) else 0


def _checked_as_json(path: Path) -> int:
    """The findings, or the faults of the design, as JSON on standard output."""
    from frame3d.checks.check import check_frame
    from frame3d.checks.report import faults_report, has_errors, report_of, report_text
    from frame3d.frame.located import laid_out
    from frame3d.spec.reader import read_design

    try:
        frame = laid_out(read_design(path))
    except DesignFaults as error:
        sys.stdout.write(report_text(faults_report(error)))
        return _FAULT
    findings = check_frame(frame)
    sys.stdout.write(report_text(report_of(frame, findings)))
    return _UNMADE if has_errors(findings) else 0


@app.command()
def rules() -> None:
    """List the rules of the checks: name, severity, what they look for, and the source."""
    from frame3d.checks.check import rules as all_rules

    show_grid(
        ("Rule", "Severity", "What it finds", "Source"),
        [(rule.name, rule.severity.value, rule.meaning, rule.source) for rule in all_rules()],
        title="Rules",
    )


@app.command()
def takeoff(
    design: Annotated[Path, typer.Argument(help="A design file.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything as JSON and nothing else.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            help="Folder for the workbook, JSON, CSV and the picture of the cuts; left out, "
            "nothing is written.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Tell what to order and how to cut it: bars, boards, hardware, masses, cost."""
    with _faults_told():
        from frame3d.build import build_takeoff, taken_off
        from frame3d.takeoff.files import takeoff_text

        (frame,) = _laid_out([design])
        found = taken_off(frame)
        files = build_takeoff(found, out) if out is not None else ()
        if as_json:
            sys.stdout.write(takeoff_text(found))
            return
        show_order(found)
        if files:
            show_table([(path.name, size_text(path)) for path in files], title=f"Files in {out}",
                   right=True)
        show_cautions()


@app.command()
def build(
    designs: Annotated[
        list[Path] | None,
        typer.Argument(metavar="[DESIGN]...", help="Design files; none for the two examples."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            help="Folder for the files; with several designs, one folder in it for each. "
            "Left out: outputs/NAME in this folder, NAME being that of the design file.",
            show_default=False,
        ),
    ] = None,
) -> None:
    """Make the model, the drawings, the take-off and the summary of a design."""
    with _faults_told():
        from frame3d.examples import example_paths

        paths = list(designs or example_paths().values())
        folders = _folders(paths, out, alone=designs is not None and len(paths) == 1)
        # All of them before the first is built: a fault in one leaves everything untouched.
        frames = _laid_out(paths)
        _check_lists(paths, frames)
        for frame, folder in zip(frames, folders, strict=True):
            show_build(_with_progress(frame, folder), folder)
        show_cautions()


@contextlib.contextmanager
def _faults_told() -> Iterator[None]:
    """Turn what a user can cause into lines on standard error and an exit status."""
    try:
        yield
    except KeyboardInterrupt:
        tell("stopped; files that were not finished are as they were before")
        raise typer.Exit(_STOPPED) from None
    except SolidError as error:
        tell(f"a part cannot be made, so no file of this design was changed: {error}")
        raise typer.Exit(_UNMADE) from None
    except DesignFaults as error:
        for fault in error.faults:
            tell(f"{error.source}: {fault}")
        raise typer.Exit(_FAULT) from None
    except Frame3dError as error:
        tell(str(error))
        raise typer.Exit(_FAULT) from None


def _usage(message: str) -> OutputError:
    """A fault in the arguments, for :func:`_faults_told`."""
    return OutputError(message)


def _check_new(file: Path, force: bool) -> None:
    try:
        if file.is_dir():
            raise _usage(f"{file} is a folder; give the name of a file")
        if (file.exists() or file.is_symlink()) and not force:
            raise _usage(f"{file} exists; give another name, or --force to replace it")
        if not file.parent.is_dir():
            raise _usage(f"{file.parent} is not a folder; make it first")
    except OutputError:
        raise
    except OSError as error:
        raise _usage(f"{file} cannot be written: {error.strerror or error}") from None


def _laid_out(paths: list[Path]) -> list[Frame]:
    """The frames of the designs; the faults of all of them are told together."""
    from frame3d.frame.located import laid_out
    from frame3d.spec.reader import read_design

    frames, failed = [], False
    for path in paths:
        try:
            frames.append(laid_out(read_design(path)))
        except DesignFaults as error:
            failed = True
            for fault in error.faults:
                tell(f"{path}: {fault}")
    if failed:
        raise typer.Exit(_FAULT)
    return frames


def _check_lists(paths: list[Path], frames: list[Frame]) -> None:
    """Read the price and stock lists of the designs; the faults of all are told together."""
    from frame3d.build import lists_of

    failed = False
    for path, frame in zip(paths, frames, strict=True):
        try:
            lists_of(frame)
        except DesignFaults as error:
            failed = True
            for fault in error.faults:
                tell(f"{path}: {fault}" if error.source == path.name else
                      f"{path.parent / error.source}: {fault}")
    if failed:
        raise typer.Exit(_FAULT)


def _folders(paths: list[Path], out: Path | None, *, alone: bool) -> list[Path]:
    if out is not None and alone:
        return [out]
    base = Path("outputs") if out is None else out
    folders = [base / path.stem for path in paths]
    for folder in folders:
        if folders.count(folder) > 1:
            raise _usage(
                f"two designs would both be built into {folder}; rename one of the design files, "
                "or build them one by one with --out"
            )
    return folders


def _with_progress(frame: Frame, folder: Path) -> BuildResult:
    """Build, with a bar on standard error where that is a terminal."""
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from frame3d.build import build_frame

    console = Console(stderr=True)
    bar = Progress(
        TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(),
        console=console, transient=True, disable=not console.is_terminal,
    )  # fmt: skip
    name = escape(plain(frame.design.project.name))
    with bar:
        task = bar.add_task(name, total=1)

        def told(what: str, done: int, total: int) -> None:
            text = f"{name}: {escape(plain(what))}"
            bar.update(task, description=text, completed=done, total=total)

        return build_frame(frame, folder, told)
