"""What the command line shows: figures, findings, orders and faults, on the terminal."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from frame3d.building import BuildResult
    from frame3d.checks.findings.finding import Finding
    from frame3d.frame.model.members import Frame
    from frame3d.takeoff.take_off import Takeoff


def show_build(result: BuildResult, folder: Path) -> None:
    """What a build has made, and what is to be known of it."""
    show_figures(result.frame, title=result.frame.design.project.name)
    show_table(_file_rows(result.files, result.folder), title=f"Files in {folder}", right=True)
    show_findings(result.frame, result.checks)
    for one in result.unmade:
        say(f"Model: {one.words}")
    for finding in result.findings:
        say(f"Drawings: {finding}")
    for finding in result.takeoff.findings:
        say(f"Take-off: {finding}")
    for lost in result.status.missing:
        say(f"Note: {lost.line}")
    for note in result.notes:
        say(f"Note: {note}")


def _file_rows(files: Sequence[Path], folder: Path) -> list[tuple[str, str]]:
    """Names and sizes; of a folder in ``folder`` how many it holds, and their size together."""
    rows = [(path.name, size_text(path)) for path in files if path.parent == folder]
    inside = [path for path in files if path.parent != folder]
    for name in dict.fromkeys(path.parent.name for path in inside):
        held = [path for path in inside if path.parent.name == name]
        rows.append((f"{name}/, {len(held)} files", size_text(*held)))
    return rows


def size_text(*paths: Path) -> str:
    """The size of a file, or of several together."""
    try:
        size = sum(path.stat().st_size for path in paths)
    except OSError:
        return "-"
    return f"{max(1, round(size / 1000)):,} kB".replace(",", " ")


def show_figures(frame: Frame, *, title: str, mass: bool = True) -> None:
    """The frame in figures."""
    from frame3d.summary import main_figures

    show_table(main_figures(frame, mass=mass), title=title)


def show_room(frame: Frame) -> None:
    """The room inside, and through the doors."""
    from frame3d.checks.report import room_tables

    for title, header, rows in room_tables(frame):
        show_grid(header, rows, title=title)


def show_findings(frame: Frame, findings: Sequence[Finding]) -> None:
    """What the checks have found."""
    from frame3d.checks.report import NO_VERDICT, count_of, finding_row

    if findings:
        rows = [finding_row(frame, finding) for finding in findings]
        show_grid(("Rule", "Where", "Finding"), rows, title="Findings")
    say(f"Found: {count_of(findings)}. {NO_VERDICT}")


def show_order(found: Takeoff) -> None:
    """What to order, on the screen."""
    from frame3d.takeoff.write.part_lists import tables_of
    from frame3d.takeoff.write.records import figures

    tables = {table.key: table for table in tables_of(found)}
    show_table(figures(found), title=found.frame.design.project.name)
    stock, hardware = tables["stock"], tables["hardware"]
    bars = []
    for row in stock.rows:
        name = f"{row['section']}, {row['length_text']}"
        yard = "" if row["source"] == "buy" else " on hand"
        bars.append((f"{name}{yard}", f"{row['count']}"))
    show_table(bars, title=stock.title, right=True)
    counts = (hardware.whole(row, "packs") * hardware.whole(row, "pack") for row in hardware.rows)
    rows = [(f"{row['item']}", f"{n}") for row, n in zip(hardware.rows, counts, strict=True)]
    show_table(rows, title=f"{hardware.title}, with spares", right=True)
    for finding in found.told:
        say(f"Take-off: {finding}")


def show_cautions() -> None:
    """What nothing here says of a frame."""
    from frame3d.frame.describe.wording import CAUTIONS

    say("Cautions")
    for text in CAUTIONS:
        say(f"- {text}")


@contextmanager
def progress_bar(first: str, before: str = "") -> Iterator[Callable[[str, int, int], None]]:
    """A bar on standard error, where that is a terminal; gives what tells it how far things are.

    It says ``first``, then ``before`` and what it is told.
    """
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    bar = Progress(
        TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(),
        console=console, transient=True, disable=not console.is_terminal,
    )  # fmt: skip
    with bar:
        task = bar.add_task(escape(plain(first)), total=1)

        def told(what: str, done: int, total: int) -> None:
            text = escape(plain(before + what))
            bar.update(task, description=text, completed=done, total=total)

        yield told


def show_table(rows: list[tuple[str, str]], *, title: str, right: bool = False) -> None:
    """Two columns: names, and what there is to tell of each."""
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
    header: Sequence[str],
    rows: Sequence[Sequence[str | list[str]]],
    *,
    title: str,
    whole: bool = True,
) -> None:
    """A table with a header; a cell of several lines is a list.

    What stands first is a name and is kept ``whole``, unless it is a sentence.
    """
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(
        title=Text(plain(title), style="bold"), title_justify="left", box=box.SIMPLE,
    )  # fmt: skip
    for number, name in enumerate(header):
        table.add_column(Text(name), overflow="fold", no_wrap=whole and not number)
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
