"""The commands: all in the help, each loaded without the others."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import typer.main
from typer.testing import CliRunner

import frame3d.cli
from frame3d.cli.app import MODULES, app

CHECK_ALONE = """
import sys
from frame3d.cli import main
sys.argv = ["frame3d", "check", "--help"]
try:
    main()
finally:
    print(sorted(name for name in sys.modules if name.endswith("_command")))
"""


def test_help_tells_every_module_of_the_folder_and_every_command() -> None:
    folder = Path(frame3d.cli.__file__).parent
    assert set(MODULES.values()) == {path.stem for path in folder.glob("*_command.py")}
    said = CliRunner().invoke(app, ["--help"]).stdout
    told = [line.split()[0] for line in said.partition("Commands:")[2].splitlines() if line]
    assert told == list(MODULES)
    # By now all are loaded, and none of them is missing in the table.
    assert set(typer.main.get_group(app).commands) == set(MODULES)


def test_a_name_that_is_none_is_told_with_those_like_it() -> None:
    made = CliRunner().invoke(app, ["chek"])
    assert made.exit_code == 2
    assert "No such command 'chek'. Did you mean 'check', 'schema'?" in made.stderr


def test_a_command_loads_no_other() -> None:
    done = subprocess.run(
        [sys.executable, "-P", "-c", CHECK_ALONE], capture_output=True, text=True, check=False
    )
    assert "['frame3d.cli.check_command']" in done.stdout, done.stderr
