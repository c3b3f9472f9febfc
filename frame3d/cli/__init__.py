"""The command line; ``frame3d --help`` tells what it does.

Each command is a module that adds itself to the app, in the order in which help shows them.
"""

from frame3d.cli import new, check, takeoff, site, guide, build, serve  # noqa: I001
from frame3d.cli.app import app, main

__all__ = ["app", "build", "check", "guide", "main", "new", "serve", "site", "takeoff"]
