"""Errors that a user can meet, each with a message that says what to do.

A fault in a design is a :class:`DesignError`; a design can have several faults,
and they are reported together in a :class:`DesignFaults`. What a check
*discovers* about a sound design is never an exception but a finding.
"""

from __future__ import annotations

import errno
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TypeVar

from msgspec import Struct

T = TypeVar("T")


class Frame3dError(Exception):
    """Any fault that this package reports on purpose.

    It goes through pickle and copy as it is: those would else call its class with the finished
    message, as if that were the message to begin with.
    """

    def __reduce__(self) -> tuple[Any, ...]:  # what pickle takes
        """Make it anew without its class being called; what the system said goes along."""
        cause = self.__cause__ if isinstance(self.__cause__, OSError) else None
        return _again, (type(self), self.args, self.__dict__.copy(), cause)


def _again(
    kind: type[Frame3dError],
    args: tuple[str, ...],
    attributes: dict[str, Any],
    cause: OSError | None,
) -> Frame3dError:
    """An error as it was, without beginning it anew."""
    error = kind.__new__(kind, *args)
    error.args, error.__cause__ = args, cause
    error.__dict__.update(attributes)
    return error


class UnitError(Frame3dError, ValueError):
    """A length, angle or mass that cannot be read."""


class CatalogError(Frame3dError, LookupError):
    """A size that the catalogue does not hold."""


class ArchError(Frame3dError, ValueError):
    """Dimensions that no arch of the family can have.

    Parameters
    ----------
    message : str
        What is wrong and what would work.
    field : str or None
        The name of the dimension to change, for example ``"ridge_height"``.
    """

    def __init__(self, message: str, field: str | None = None) -> None:
        super().__init__(message)
        self.field = field


class SolidError(Frame3dError, RuntimeError):
    """A solid that is not what its part says it must be; names the part."""


class BoardError(Frame3dError, ValueError):
    """A run of boards that cannot be laid out from the lengths given."""


class CuttingError(Frame3dError, ValueError):
    """Pieces that cannot be cut from the stock given."""


class OutputError(Frame3dError, OSError):
    """A file or folder that cannot be written or read."""


class MachineError(OutputError):
    """A disk that is full or broken, or too little memory: no fault of what was asked for."""


_FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
_OF_THE_MACHINE = {
    **dict.fromkeys(_FULL, "the disk is full"),
    errno.EFBIG: "the file would be larger than this disk or user account allows",
    errno.EIO: "the disk failed",
    errno.ENOMEM: "there is not enough memory",
    errno.EMFILE: "too many files are open",
    errno.ENFILE: "too many files are open",
}
"""Errors of the system that are no fault of what was asked for, and what they mean."""
_WHAT_TO_DO = {
    **dict.fromkeys(_FULL, "make room on it, or choose a folder on another disk"),
    errno.EFBIG: "choose a folder on another disk",
    errno.EIO: "choose a folder on another disk",
}


def machine_reason(error: OSError) -> str | None:
    """What the machine cannot do; None where neither ``error`` nor its cause is of the machine."""
    return _OF_THE_MACHINE.get(_first(error).errno)


def _first(error: OSError) -> OSError:
    """What the system said, under whatever was told of it."""
    while isinstance(error, OutputError) and isinstance(error.__cause__, OSError):
        error = error.__cause__
    return error


def unwritable(path: Path, error: OSError) -> OutputError:
    """The fault to raise when ``error`` came of writing ``path``, whatever was told before."""
    error = _first(error)
    if isinstance(error, OutputError):
        return type(error)(str(error))
    if reason := machine_reason(error):
        advice = _WHAT_TO_DO.get(error.errno, "close other programs and run it again")
        return MachineError(f"{path} cannot be written: {reason}; {advice}")
    return OutputError(
        f"{path} cannot be written: {error.strerror or error}; choose another folder, or "
        "close the program that has one of its files open"
    )


def present(value: T | None, what: str) -> T:
    """``value``, which whoever asks for it knows to be there.

    Raises
    ------
    ValueError
        If it is not after all, by a fault of the program; names ``what``.
    """
    if value is None:
        raise ValueError(f"there is no {what}")
    return value


class Fault(Struct, frozen=True, kw_only=True):
    """One fault of a design, as the user would want it told.

    Parameters
    ----------
    where : str
        The field as it stands in the file, for example ``profile.width`` or
        ``rail[2].height``; empty for a fault of the whole file.
    message : str
        What was got, what is allowed and what to do, in one or two sentences.
    line : int or None
        The line in the file, counted from 1, where it is known.
    """

    where: str
    message: str
    line: int | None = None

    def __str__(self) -> str:
        """Line, field and message."""
        place = f"line {self.line}: " if self.line else ""
        return f"{place}{self.where}: {self.message}" if self.where else f"{place}{self.message}"


class DesignError(Frame3dError, ValueError):
    """A design that contradicts itself or asks for what cannot be made.

    Parameters
    ----------
    message : str
        What was got, what is allowed and what to do.
    where : str
        The field as the user wrote it, for example ``bays.count``.
    instead : (str, object) or None
        A field and the value, as the design has it, with which this is not so: what that field
        takes by itself where it was left out.
    """

    def __init__(
        self, message: str, where: str = "", instead: tuple[str, object] | None = None
    ) -> None:
        super().__init__(f"{where}: {message}" if where else message)
        self.message = message
        self.where = where
        self.instead = instead


class DesignFaults(Frame3dError, ValueError):
    """All the faults found in one design file, one line each.

    Parameters
    ----------
    faults : sequence of Fault
        At least one.
    source : str
        The name of the file, or what the design came from.
    """

    def __init__(self, faults: Iterable[Fault], source: str = "design") -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        self.source = source
        super().__init__("\n".join(f"{source}: {fault}" for fault in self.faults))


class ListFaults(DesignFaults):
    """All faults of a list that the user keeps, such as prices; each names row and column."""
