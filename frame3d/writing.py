"""Writing: into a temporary name in the same folder, then renamed."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from frame3d.errors import OutputError

__all__ = ["write_whole"]


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
        write(temporary)
        os.replace(temporary, path)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        raise OutputError(
            f"{path} cannot be written: {error.strerror or error}; choose another folder, or "
            "close the program that has it open"
        ) from error
    finally:
        temporary.unlink(missing_ok=True)
