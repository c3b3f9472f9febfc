"""The command line: ``frame3d new``, ``check``, ``rules`` and ``build``.

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
from frame3d.errors import DesignError, DesignFaults, Frame3dError, OutputError, SolidError
from frame3d.geometry.arch import ArchStyle
from frame3d.units import UnitSystem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from frame3d.build import BuildResult
    from frame3d.checks.finding import Finding
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
        _tell("stopped; nothing was changed")
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
        _say(f"{file} is written; change its values, then: frame3d build {file}")


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
    _figures(frame, title=frame.design.project.name, mass=False)
    _show_room(frame)
    _show_findings(frame, findings)
    _cautions()
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

    _grid(
        ("Rule", "Severity", "What it finds", "Source"),
        [(rule.name, rule.severity.value, rule.meaning, rule.source) for rule in all_rules()],
        title="Rules",
    )


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
    """Make the model, the drawings and the summary of a design."""
    with _faults_told():
        from frame3d.examples import example_paths

        paths = list(designs or example_paths().values())
        folders = _folders(paths, out, alone=designs is not None and len(paths) == 1)
        # All of them before the first is built: a fault in one leaves everything untouched.
        frames = _laid_out(paths)
        for frame, folder in zip(frames, folders, strict=True):
            _built(_with_progress(frame, folder), folder)
        _cautions()


@contextlib.contextmanager
def _faults_told() -> Iterator[None]:
    """Turn what a user can cause into lines on standard error and an exit status."""
    try:
        yield
    except KeyboardInterrupt:
        _tell("stopped; files that were not finished are as they were before")
        raise typer.Exit(_STOPPED) from None
    except SolidError as error:
        _tell(f"a part cannot be made, so no file of this design was changed: {error}")
        raise typer.Exit(_UNMADE) from None
    except DesignFaults as error:
        for fault in error.faults:
            _tell(f"{error.source}: {fault}")
        raise typer.Exit(_FAULT) from None
    except Frame3dError as error:
        _tell(str(error))
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
                _tell(f"{path}: {fault}")
    if failed:
        raise typer.Exit(_FAULT)
    return frames


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
    name = escape(_plain(frame.design.project.name))
    with bar:
        task = bar.add_task(name, total=1)

        def told(what: str, done: int, total: int) -> None:
            text = f"{name}: {escape(_plain(what))}"
            bar.update(task, description=text, completed=done, total=total)

        return build_frame(frame, folder, told)


def _built(result: BuildResult, folder: Path) -> None:
    _figures(result.frame, title=result.frame.design.project.name)
    rows = [(path.name, _size(path)) for path in result.files]
    _table(rows, title=f"Files in {folder}", right=True)
    _show_findings(result.frame, result.checks)
    for finding in result.findings:
        _say(f"Drawings: {finding}")
    for note in result.notes:
        _say(f"Note: {note}")


def _size(path: Path) -> str:
    try:
        return f"{max(1, round(path.stat().st_size / 1000)):,} kB".replace(",", " ")
    except OSError:
        return "-"


def _figures(frame: Frame, *, title: str, mass: bool = True) -> None:
    from frame3d.summary import main_figures

    _table(main_figures(frame, mass=mass), title=title)


def _show_room(frame: Frame) -> None:
    from frame3d.checks.report import room_tables

    for title, header, rows in room_tables(frame):
        _grid(header, rows, title=title)


def _show_findings(frame: Frame, findings: Sequence[Finding]) -> None:
    from frame3d.checks.report import NO_VERDICT, count_of, finding_row

    if findings:
        rows = [finding_row(frame, finding) for finding in findings]
        _grid(("Rule", "Where", "Finding"), rows, title="Findings")
    _say(f"Found: {count_of(findings)}. {NO_VERDICT}")


def _cautions() -> None:
    from frame3d.summary import CAUTIONS

    _say("Caution: " + " ".join(CAUTIONS))


def _table(rows: list[tuple[str, str]], *, title: str, right: bool = False) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(
        title=Text(_plain(title), style="bold"), title_justify="left", show_header=False,
        box=box.SIMPLE,
    )  # fmt: skip
    table.add_column()
    table.add_column(justify="right" if right else "left", overflow="fold")
    for name, value in rows:
        table.add_row(Text(_plain(name)), Text(_plain(value)))
    Console().print(table)


def _grid(
    header: Sequence[str], rows: Sequence[Sequence[str | list[str]]], *, title: str
) -> None:
    """A table with a header; a cell of several lines is a list."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(
        title=Text(_plain(title), style="bold"), title_justify="left", box=box.SIMPLE,
    )  # fmt: skip
    for number, name in enumerate(header):
        # What stands first is a name and is kept whole.
        table.add_column(Text(name), overflow="fold", no_wrap=not number)
    for row in rows:
        cells = ([cell] if isinstance(cell, str) else cell for cell in row)
        table.add_row(*(Text("\n".join(map(_plain, lines))) for lines in cells))
    Console().print(table)


def _say(line: str) -> None:
    """A line of a result, wrapped to nothing, read as nothing but text."""
    sys.stdout.write(_plain(line) + "\n")


def _tell(line: str) -> None:
    """A fault: one line on standard error."""
    sys.stderr.write(_plain(line) + "\n")


def _plain(text: str) -> str:
    """``text`` on one line, without anything that a terminal would take for a command."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)


if __name__ == "__main__":
    main()
