"""The command line; ``frame3d --help`` tells what it does.

Each command is a module that adds itself to the app and is named in :mod:`frame3d.cli.app`, which
loads it when it is asked for.
"""

import gc

# Nothing that is loaded is rubbish, and looking for it takes a tenth of the time of loading.
gc.disable()

# Nothing is loaded before gc is off.
from frame3d.cli.app import app, main

gc.enable()

__all__ = ["app", "main"]
