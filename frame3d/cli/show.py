"""What the command line shows: figures, findings, orders and faults, on the terminal."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from frame3d.build import BuildResult
    from frame3d.checks.finding import Finding
    from frame3d.frame.members import Frame
    from frame3d.takeoff.make import Takeoff


def show_build(result: BuildResult, folder: Path) -> None:
    show_figures(result.frame, title=result.frame.design.project.name)
    rows = [(path.name, size_text(path)) for path in result.files]
    show_table(rows, title=f"Files in {folder}", right=True)
    show_findings(result.frame, result.checks)
    for finding in result.findings:
        say(f"Drawings: {finding}")
    for finding in result.takeoff.findings:
        say(f"Take-off: {finding}")
    for note in result.notes:
        say(f"Note: {note}")


def size_text(path: Path) -> str:
    try:
        return f"{max(1, round(path.stat().st_size / 1000)):,} kB".replace(",", " ")
    except OSError:
        return "-"


def show_figures(frame: Frame, *, title: str, mass: bool = True) -> None:
    from frame3d.summary import main_figures

    show_table(main_figures(frame, mass=mass), title=title)


def show_room(frame: Frame) -> None:
    from frame3d.checks.report import room_tables

    for title, header, rows in room_tables(frame):
        show_grid(header, rows, title=title)


def show_findings(frame: Frame, findings: Sequence[Finding]) -> None:
    from frame3d.checks.report import NO_VERDICT, count_of, finding_row

    if findings:
        rows = [finding_row(frame, finding) for finding in findings]
        show_grid(("Rule", "Where", "Finding"), rows, title="Findings")
    say(f"Found: {count_of(findings)}. {NO_VERDICT}")


def show_order(found: Takeoff) -> None:
    """What to order, on the screen."""
    from frame3d.takeoff.lists import tables_of
    from frame3d.takeoff.records import figures

    tables = {table.key: table for table in tables_of(found)}
    show_table(figures(found), title=found.frame.design.project.name)
    stock, hardware = tables["stock"], tables["hardware"]
    bars = []
    for row in stock.rows:
        name = f"{row['section']}, {row['length_text']}"
        yard = "" if row["source"] == "buy" else " from the yard"
        bars.append((f"{name}{yard}", f"{row['count']}"))
    show_table(bars, title=stock.title, right=True)
    rows = [(row["item"], f"{row['packs'] * row['pack']}") for row in hardware.rows]
    show_table(rows, title=f"{hardware.title}, with spares", right=True)
    for finding in found.findings:
        say(f"Take-off: {finding}")


def show_cautions() -> None:
    from frame3d.frame.wording import CAUTIONS

    say("Caution: " + " ".join(CAUTIONS))


def show_table(rows: list[tuple[str, str]], *, title: str, right: bool = False) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(
        title=Text(plain(title), style="bold"), title_justify="left", show_header=False,
        box=box.SIMPLE,
    )  # fmt: skip
    table.add_column()
    table.add_column(justify="right" if right else "left", overflow="fold")
    for name, value in rows:
        table.add_row(Text(plain(name)), Text(plain(value)))
    Console().print(table)


def show_grid(
    header: Sequence[str], rows: Sequence[Sequence[str | list[str]]], *, title: str
) -> None:
    """A table with a header; a cell of several lines is a list."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(
        title=Text(plain(title), style="bold"), title_justify="left", box=box.SIMPLE,
    )  # fmt: skip
    for number, name in enumerate(header):
        # What stands first is a name and is kept whole.
        table.add_column(Text(name), overflow="fold", no_wrap=not number)
    for row in rows:
        cells = ([cell] if isinstance(cell, str) else cell for cell in row)
        table.add_row(*(Text("\n".join(map(plain, lines))) for lines in cells))
    Console().print(table)


def say(line: str) -> None:
    """A line of a result, wrapped to nothing, read as nothing but text."""
    sys.stdout.write(plain(line) + "\n")


def tell(line: str) -> None:
    """A fault: one line on standard error."""
    sys.stderr.write(plain(line) + "\n")


def plain(text: str) -> str:
    """``text`` on one line, without anything that a terminal would take for a command."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)
