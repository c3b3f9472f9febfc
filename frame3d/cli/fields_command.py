"""``frame3d fields``: what each field of a design file is, on the terminal and for editors."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import check_place, faults_told, usage_fault
from frame3d.cli.show import say, show_grid, show_table
from frame3d.errors import DesignError

if TYPE_CHECKING:
    from frame3d.design.tables.fields import Table
    from frame3d.design.values.field_info import FieldFacts, TableInfo

    Found = list[tuple[TableInfo, FieldFacts | None]]


def _names(incomplete: str) -> list[str]:
    """What a name that has been begun can be: a table, or a field of one with a dot."""
    from frame3d.design.values.field_info import sections

    table, dot, _ = incomplete.partition(".")
    if dot and table in sections():
        return [f"{table}.{name}" for name in sections()[table].fields]
    return list(sections())


@app.command()
def fields(
    name: Annotated[
        str,
        typer.Argument(
            metavar="[NAME]",
            help="A table or a field, such as hoop, hoop.tube or tube.",
            autocompletion=_names,
        ),
    ] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Print it as JSON.")] = False,
    schema: Annotated[
        bool,
        typer.Option("--schema", help="Print the JSON Schema, by which editors check a file."),
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Write the JSON or the schema to a file in place of the screen."
        ),
    ] = None,
) -> None:
    """Explain a field of a design file, or a table.

    What it is, its range and unit, its default, and why that or what it follows. A new design names
    frame3d.schema.json in its first line. Editors that know this line complete and check the file
    once "frame3d fields --schema --out frame3d.schema.json" has written that beside it.
    """
    with faults_told():
        from frame3d.design.writing.explain import found_fields

        if as_json and schema:
            raise usage_fault("give --json or --schema, not both")
        if out is not None and not (as_json or schema):
            raise usage_fault("--out goes with --json or --schema")
        try:
            found = found_fields(name) if name else []
        except DesignError as error:
            raise usage_fault(error.message) from None
        if as_json or schema:
            _put(_schema_of(found) if schema else _facts_of(found), out)
        elif found:
            _explain(found)
        else:
            _list_tables()


def _put(value: Table | list[Table], out: Path | None) -> None:
    from frame3d.writing import write_whole

    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    if out is None:
        sys.stdout.write(text)
        return
    check_place(out, replace=True)
    write_whole(out, lambda temporary: temporary.write_text(text, encoding="utf-8"))
    say(f"{out} is written")


def _schema_of(found: Found) -> Table | list[Table]:
    from frame3d.design.writing.schema import json_schema, schema_of

    if not found:
        return json_schema()
    several = [schema_of(section.name, facts.name if facts else None) for section, facts in found]
    return several[0] if len(several) == 1 else several


def _facts_of(found: Found) -> Table | list[Table]:
    from frame3d.design.values.field_info import sections
    from frame3d.design.writing.explain import field_facts, table_facts

    several = [
        field_facts(section, facts) if facts else table_facts(section)
        for section, facts in found or [(section, None) for section in sections().values()]
    ]
    return several[0] if len(several) == 1 else several


def _explain(found: Found) -> None:
    from frame3d.design.writing.explain import field_rows

    for section, facts in found:
        if facts is None:
            _list_fields(section)
        else:
            show_table(field_rows(section, facts), title=f"{section.name}.{facts.name}")


def _list_fields(section: TableInfo) -> None:
    from frame3d.design.writing.explain import field_rows

    several = f"There may be several, up to {section.most}. " if section.several else ""
    say(f"{section.header}: {several}{section.meaning}")
    rows = []
    for facts in section.fields.values():
        told = dict(field_rows(section, facts))
        rows.append((facts.name, told["What it is"], told["Default"]))
    show_grid(("Field", "What it is", "Default"), rows, title=f"Fields of {section.header}")
    say(f"More of one: frame3d fields {section.name}.{next(iter(section.fields))}")


def _list_tables() -> None:
    from frame3d.design.values.field_info import sections

    rows = [
        (section.header, section.meaning, ", ".join(section.fields))
        for section in sections().values()
    ]
    show_grid(("Table", "What it is", "Fields"), rows, title="A design file")
    say("More of one: frame3d fields hoop, or: frame3d fields hoop.tube")
