"""``frame3d serve``: the page in a browser."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from frame3d.cli.app import app
from frame3d.cli.fault_messages import faults_told
from frame3d.cli.show import say, show_cautions

PORT = 8321


@app.command()
def serve(
    design: Annotated[
        Path | None,
        typer.Argument(metavar="DESIGN", help="A design file to start from.", show_default=False),
    ] = None,
    host: Annotated[
        str,
        typer.Option(
            help="Address to listen on. With any address other than 127.0.0.1, others on "
            "the network can use the page."
        ),
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option(help="Port to listen on; 0 for any free one.", min=0, max=65535)
    ] = PORT,
    open_it: Annotated[
        bool, typer.Option("--open", help="Open the page in this computer's browser.")
    ] = False,
) -> None:
    """Open the design in a browser: a form, the frame, its findings, its files.

    The page is served to this machine only, until Ctrl-C. The design is kept in the page's
    address and in the files that you save from it; the file given here is read once and never
    changed.
    """
    with faults_told():
        from frame3d.design.reading.syntax import read_text
        from frame3d.web.first_designs import given
        from frame3d.web.server import serve as serve_page

        start = None if design is None else given(design.name, read_text(design))

        def ready(address: str) -> None:
            say(f"The page is at {address}  Press Ctrl-C to stop it.")
            show_cautions()
            # A program that has started this one waits for the address; a pipe would hold it back.
            sys.stdout.flush()
            if open_it:
                typer.launch(address)

        serve_page(host, port, ready, start)
        say("stopped")
