"""The command line itself: ``frame3d``, its options and its way out.

Exit status: 0 done, 1 the model lacks a part or its holes, or ``check`` found an error, 2 a fault
in the design, the arguments or the place to write to, 130 stopped by Ctrl-C. What was
asked for goes to standard output; progress and faults go to standard error.
"""

from __future__ import annotations

import gc
import io
import os
import sys
from typing import Annotated

import typer

from frame3d import __version__
from frame3d.cli.faults import STOPPED
from frame3d.cli.show import tell

# Programs that plug into pydantic have no say in how a design is read, and looking for them
# goes through every package that is installed. It is asked when the first model is made.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

app = typer.Typer(
    help="Exact models and dimensioned drawings of gothic and quonset high-tunnel frames.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


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
        sys.exit(STOPPED)
    finally:
        # Python looks for rubbish once more before it ends; all of it goes in any case.
        gc.freeze()


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
