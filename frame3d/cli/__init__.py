"""The command line; ``frame3d --help`` tells what it does."""

from frame3d.cli.commands import app, main

__all__ = ["app", "main"]
