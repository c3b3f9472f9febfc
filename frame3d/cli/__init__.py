"""The command line; ``frame3d --help`` tells what it does.

Each command is a module that adds itself to the app, in the order in which help shows them.
"""

import gc

# Nothing that is loaded is rubbish, and looking for it takes a tenth of the time of loading.
gc.disable()

# Nothing is loaded before gc is off, and the order is that of the help.
from frame3d.cli import new_command as new
from frame3d.cli import fields_command as fields
from frame3d.cli import show_command as show_design
from frame3d.cli import check_command as check
from frame3d.cli import takeoff_command as takeoff
from frame3d.cli import site_command as site
from frame3d.cli import guide_command as guide
from frame3d.cli import loads_command as loads
from frame3d.cli import build_command as build
from frame3d.cli import study_command as study
from frame3d.cli import serve_command as serve
from frame3d.cli import schema_command as schema
from frame3d.cli.app import app, main

gc.enable()

__all__ = [
    "app", "build", "check", "fields", "guide", "loads", "main", "new", "schema",
    "serve", "show_design", "site", "study", "takeoff",
]  # fmt: skip
