"""``frame3d schema``: what the JSON files hold, for programs that read them."""

from __future__ import annotations

import enum
import json
import sys
from typing import Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import faults_told


class Kind(enum.Enum):
    """A file that has a schema."""

    SUMMARY = "summary"
    FINDINGS = "findings"
    TAKEOFF = "takeoff"
    SITE = "site"
    LOADS = "loads"
    COMPARISON = "comparison"
    DESIGN = "design"


@app.command()
def schema(
    kind: Annotated[
        Kind,
        typer.Argument(
            metavar="KIND", help="summary, findings, takeoff, site, loads, comparison or design."
        ),
    ],
) -> None:
    """Print the JSON Schema of a file.

    Each JSON file that is written names its schema and version. That of a design file is what
    "frame3d fields --schema" prints.
    """
    with faults_told():
        if kind is Kind.DESIGN:
            from frame3d.design.writing.schema import json_schema

            sys.stdout.write(json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n")
            return
        from frame3d.schemas import Document, document_schema

        sys.stdout.write(document_schema(Document[kind.name]))
