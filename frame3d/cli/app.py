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
from importlib import import_module
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperGroup
from typer.main import get_group

from frame3d import __version__
from frame3d.cli.ending import PIPE, Unshown, hold_streams, status_of, stop_when_told
from frame3d.cli.fault_messages import MACHINE
from frame3d.cli.show import tell

if TYPE_CHECKING:
    from typer._click import Command, Context

# Programs that plug into pydantic have no say in how a design is read, and looking for them
# goes through every package that is installed. It is asked when the first model is made.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

MODULES = {
    "new": "new_command",
    "fields": "fields_command",
    "show": "show_command",
    "freeze": "show_command",
    "check": "check_command",
    "rules": "check_command",
    "takeoff": "takeoff_command",
    "site": "site_command",
    "guide": "guide_command",
    "loads": "loads_command",
    "build": "build_command",
    "compare": "build_command",
    "study": "study_command",
    "serve": "serve_command",
    "schema": "schema_command",
}
"""The module of each command, in the order in which help shows them."""


class Commands(TyperGroup):
    """The commands, each loaded when it is asked for: all take a twelfth of a check's time."""

    def list_commands(self, ctx: Context) -> list[str]:
        """The names of all commands, as help shows them."""
        self._load(*MODULES)
        return list(MODULES)

    def get_command(self, ctx: Context, cmd_name: str) -> Command | None:
        """The command of that name; None if there is none, with all loaded for what is like it."""
        self._load(*((cmd_name,) if cmd_name in MODULES else MODULES))
        return self.commands.get(cmd_name)

    def _load(self, *names: str) -> None:
        if missing := [name for name in names if name not in self.commands]:
            for name in missing:
                import_module(f"frame3d.cli.{MODULES[name]}")
            self.commands.update(get_group(app).commands)


app = typer.Typer(
    cls=Commands,
    help="Exact models and dimensioned drawings of gothic and quonset high-tunnel frames.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def main() -> None:
    """Run the command line; never a traceback for anything that was typed."""
    # The command's own work turns it on, within ``faults_told``.
    gc.disable()
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
