"""What counts as failing, and when two failures are one and the same."""

from __future__ import annotations

import re
import traceback
from pathlib import Path

from msgspec import Struct

_NUMBER = re.compile(r"[-−]?\d+(?:[ '\-./,\"]*\d+)*[\"'°]?")
_QUOTED = re.compile(r"'[^']*'|“[^”]*”")
_TABLE = re.compile(r"\[\d+\]")
LONGEST = 2000


class Failure(Struct, frozen=True, kw_only=True):
    """One thing that must not be.

    Parameters
    ----------
    stage : str
        Where it was found.
    kind : str
        ``exception``, ``invalid solid``, ``fault of the judge``, ``missing output``,
        ``out of time``, ``died``, or ``fewer than two fields``.
    cause : str
        What is the same for all designs that fail for this reason.
    detail : str
        What happened with this one.
    """

    stage: str
    kind: str
    cause: str
    detail: str

    @property
    def key(self) -> str:
        """By which failures are grouped."""
        return f"{self.stage}: {self.kind}: {self.cause}"


def words_without_numbers(text: str) -> str:
    """``text`` with every number as ``#``, so that equal sentences are equal."""
    return _NUMBER.sub("#", text)


def place_without_numbers(where: str) -> str:
    """A field of the design, whichever of several tables it stands in."""
    return _TABLE.sub("", where)


def sheet_kind(name: str) -> str:
    """What a sheet shows, without its number and the marks and hoops in its title."""
    return words_without_numbers(name).strip("# ")


def of_exception(stage: str, error: BaseException, root: Path) -> Failure:
    """An exception that nobody meant: by its type and the last own line that it went through."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [f for f in frames if Path(f.filename).is_relative_to(root / "frame3d")] or frames
    place = f"{Path(own[-1].filename).name}, {own[-1].name}" if own else "nowhere"
    said = _QUOTED.sub("…", words_without_numbers(str(error)))[:160]
    return Failure(
        stage=stage, kind="exception", cause=f"{type(error).__name__} in {place}: {said}",
        detail="".join(traceback.format_exception(error))[-LONGEST:],
    )  # fmt: skip


__all__ = ["Failure", "of_exception", "place_without_numbers", "sheet_kind",
           "words_without_numbers"]  # fmt: skip
