"""The command line; ``frame3d --help`` tells what it does.

Each command is a module that adds itself to the app, in the order in which help shows them.
"""

import gc

# Nothing that is loaded is rubbish, and looking for it takes a tenth of the time of loading.
gc.disable()

# Nothing is loaded before gc is off (hence E402), and the order is the help's (I001).
from frame3d.cli import new, check, takeoff, site, guide, build, serve  # noqa: E402, I001 - as said
from frame3d.cli.app import app, main  # noqa: E402 - gc is off first

gc.enable()

__all__ = ["app", "build", "check", "guide", "main", "new", "serve", "site", "takeoff"]
