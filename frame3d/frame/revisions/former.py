"""What an older build says of its parts: read from its summary, which is all that is kept of it."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import msgspec
from msgspec import Struct

from frame3d.errors import OutputError
from frame3d.frame.model.part_records import PartRecord, read_shape
from frame3d.opening import read_file
from frame3d.staging import SUMMARY

_MOST_BYTES = 20_000_000
_MARK = re.compile(r"[A-Z]{1,4}[1-9][0-9]{0,6}")
_LONGEST = 1000


class Former(Struct, frozen=True, kw_only=True):
    """An older build: revision of its title block, its parts, and parts that it had before.

    ``name`` is what it is called where it is no older build.
    """

    revision: str
    parts: tuple[PartRecord, ...]
    retired: tuple[PartRecord, ...] = ()
    name: str = ""


class _Row(Struct, kw_only=True):
    mark: str
    role: str
    description: str
    count: int = 0
    bought: bool = False
    length_mm: float | None = None
    shape: str = ""


class _Summary(Struct, kw_only=True):
    program: str
    schema: str = ""
    unfinished: str = ""
    revision: str = "-"
    parts: list[_Row] = []
    retired_parts: list[_Row] = []


def read_former(place: str | Path) -> Former:
    """The parts of the build in a folder, or of the summary in a file.

    Raises
    ------
    OutputError
        If there is none, or it is not a summary that holds the shapes of its parts.
    """
    path = Path(place)
    try:
        if path.is_dir():
            path = path / SUMMARY
        data = read_file(path, _MOST_BYTES)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise OutputError(
            f"{path} cannot be read: {reason}; name the folder of an older build, or its {SUMMARY}"
        ) from None
    try:
        summary = msgspec.json.decode(data, type=_Summary)
    except (ValueError, RecursionError) as error:
        reason = str(error).replace("`", "")
        raise OutputError(
            f"{path} is not the {SUMMARY} of a build ({reason}); name the folder of an older build"
        ) from None
    return _checked(summary, path)


def _checked(summary: _Summary, path: Path) -> Former:
    if not summary.program.startswith("frame3d ") or not summary.schema.startswith("summary-"):
        raise OutputError(
            f"{path} is not the {SUMMARY} of a build; name the folder of an older build"
        )
    if summary.unfinished:
        raise OutputError(
            f"{path}: a build into this folder did not end; build the old design again first"
        )
    rows = [*summary.parts, *summary.retired_parts]
    if not summary.parts or not all(row.shape for row in rows):
        raise OutputError(
            f"{path} does not hold the shapes of its parts: an older frame3d wrote it; build the "
            "old design again with this one, and name that folder"
        )
    for row in rows:
        if not _MARK.fullmatch(row.mark) or len(row.description) > _LONGEST:
            raise OutputError(f"{path}: {row.mark[:20]!r} is not the mark of a part")
    twice = [mark for mark, count in Counter(row.mark for row in rows).items() if count > 1]
    if twice:
        raise OutputError(f"{path}: the mark {twice[0]} stands for two parts; build it again")
    try:
        return Former(
            revision=summary.revision,
            parts=tuple(map(_record, summary.parts)),
            retired=tuple(map(_record, summary.retired_parts)),
        )
    except ValueError as error:
        raise OutputError(
            f"{path}: the shape of a part cannot be read: {error}; build the old design again"
        ) from None


def _record(row: _Row) -> PartRecord:
    return PartRecord(
        mark=row.mark,
        role=row.role,
        description=row.description,
        count=row.count,
        bought=row.bought,
        length_mm=row.length_mm,
        shape=read_shape(row.shape),
    )
