"""Files that are put into a folder together, or none of them."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from frame3d.errors import unwritable
from frame3d.staging.interrupts import stop_later
from frame3d.staging.staging_folder import put_in_place, staged


def written(write: Callable[[Path], tuple[str, ...] | None], staging: Path) -> None:
    """Call ``write``; what the disk refuses is told as a fault of the folder.

    Raises
    ------
    OutputError
        If something cannot be written.
    """
    try:
        write(staging)
    except OSError as error:
        raise unwritable(staging, error) from error


def all_or_none(
    folder: str | Path, names: tuple[str, ...], write: Callable[[Path], None]
) -> tuple[Path, ...]:
    """Put those of ``names`` that ``write`` makes into ``folder``; of the others none is left.

    Raises
    ------
    OutputError
        If something cannot be written; what was there is as it was.
    """
    folder = Path(os.path.abspath(folder))
    with staged(folder, names) as staging:
        write(staging)
        made = [name for name in names if (staging / name).exists()]
        with stop_later():
            put_in_place(staging, folder, made, names)
    return tuple(folder / name for name in made)
