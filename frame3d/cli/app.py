"""The command line itself: ``frame3d``, its options and its way out.

Exit status: 0 done, 1 the model lacks a part or its holes, or the checks found an error in what
was made (files are written all the same, and say so), 2 a fault in the design, the arguments or
the place to write to, 3 a fault of the machine, such as a full disk; 130 stopped by Ctrl-C, 143
and 129 by SIGTERM and SIGHUP, 141 where nobody reads what is shown. What was asked for goes to
standard output; progress and faults go to standard error.
"""

from __future__ import annotations

import gc
import os
import sys
from typing import Annotated

import typer

from frame3d import __version__
from frame3d.cli.ending import PIPE, Unshown, hold_streams, status_of, stop_when_told
from frame3d.cli.fault_messages import MACHINE
from frame3d.cli.show import tell

# Programs that plug into pydantic have no say in how a design is read, and looking for them
# goes through every package that is installed. It is asked when the first model is made.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

app = typer.Typer(
    help="Exact models and dimensioned drawings of gothic and quonset high-tunnel frames.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def main() -> None:
    """Run the command line; never a traceback for anything that was typed."""
    hold_streams()
    stop_when_told()
    try:
        try:
            app()
        finally:
            # Only here is it seen whether what was shown has arrived.
            sys.stdout.flush()
    except KeyboardInterrupt as error:
        tell("stopped; nothing was changed")
        sys.exit(status_of(error))
    except Unshown as error:
        if error.reader_gone:
            sys.exit(PIPE)
        tell(str(error))
        sys.exit(MACHINE)
    finally:
        # Python looks for rubbish once more before it ends; all of it goes in any case.
        gc.freeze()


def _show_version(wanted: bool) -> None:
    if wanted:
        from frame3d.design.reading.formats import FORMAT

        sys.stdout.write(f"frame3d {__version__}, design files of format {FORMAT}\n")
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
