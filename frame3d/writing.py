"""Writing: into a temporary name in the same folder, then renamed."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable
from pathlib import Path

from frame3d.errors import OutputError, unwritable


def write_whole(path: Path, write: Callable[[Path], object]) -> None:
    """Let ``write`` make the file under another name, then give it its own.

    A run that fails leaves neither half a file nor touches the last good one.

    Raises
    ------
    OutputError
        If the file cannot be written; names it.
    """
    temporary = path.with_name(f".{path.name}.part")
    try:
        # What is there may be a link, and would be written through.
        temporary.unlink(missing_ok=True)
        write(temporary)
        os.replace(temporary, path)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise unwritable(path, error) from error
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)
