"""Read a design from a file, a text or a mapping, complete it and check every field.

All faults that can be told apart are reported together, each with its place and its
line. Nothing but :class:`DesignFaults` comes out of here, whatever goes in.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec import structs
from pydantic import ValidationError
from pydantic_core import ErrorDetails

from frame3d.design.reading.formats import FORMAT, FORMAT_FIELD, notes_on_defaults, opened
from frame3d.design.reading.lines import Lines, Origin
from frame3d.design.reading.syntax import parsed, read_text, value_faults
from frame3d.design.tables.fields import Table, Written
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.defaults import completed, units_of
from frame3d.design.values.following import named_as_given, places_left_out
from frame3d.errors import DesignError, DesignFaults, Fault

_MOST_FAULTS = 100
_MOST_HINTS = 30


def read_design(path: str | Path) -> Design:
    """The design that a TOML file describes.

    Parameters
    ----------
    path : str or Path
        A text file in UTF-8 of at most 1 MB.

    Raises
    ------
    DesignFaults
        If the file cannot be read, or with all faults of the design in it.
    """
    place = Path(str(path))
    return design_from_text(read_text(path), place.name, place.parent)


def design_from_text(text: str, name: str = "design", folder: Path | None = None) -> Design:
    """The design that a TOML text describes; `name` is what messages call it.

    Files that it names are looked for in `folder`, or where the program runs.

    Raises
    ------
    DesignFaults
        With all faults found.

    Examples
    --------
    >>> design = design_from_text('''
    ... [profile]
    ... style = "quonset"
    ... width = "20 ft"
    ... [bays]
    ... count = 12
    ... spacing = "4 ft"
    ... ''')
    >>> design.profile.width, design.socket.length
    (6096.0, 1066.8)
    """
    mapping = parsed(text, name)
    origin = Origin(source=name, text=text.removeprefix("\ufeff"), folder=folder)
    return _checked(mapping, origin)


def design_from_mapping(
    mapping: Mapping[str, Written], name: str = "design", folder: Path | None = None
) -> Design:
    """The design in a mapping of the same form as a file; None counts as left out.

    Files that it names are looked for in `folder`, or where the program runs.

    Raises
    ------
    DesignFaults
        With all faults found; they have no lines.
    """
    if not isinstance(mapping, dict):
        message = f"got {type(mapping).__name__}; a design must be a mapping of sections"
        raise DesignFaults([Fault(where="", message=message)], name)
    return _checked(mapping, Origin(source=name, folder=folder))


def locate(design: Design, error: DesignError) -> DesignFaults:
    """The faults to show for an error found after the design was read, with its line.

    Parameters
    ----------
    design : Design
    error : DesignError
        Its ``where`` is a field (``profile.width``, ``rail[2].height``) or a section.
    """
    from frame3d.design.reading.faults import path_of

    origin = design._origin or Origin(source="design")
    line = origin.lines().of(path_of(error.where))
    return DesignFaults([Fault(where=error.where, message=error.message, line=line)], origin.source)


def as_given(design: Design, error: DesignError) -> DesignError:
    """The error, named by a field that was given where it names a default that follows that."""
    return named_as_given(error, design._origin.left_out) if design._origin else error


def is_left_out(design: Design, place: str) -> bool:
    """Whether a field such as ``tie[1].height`` has a default that follows others."""
    return design._origin is not None and place in design._origin.left_out


def notes_of(design: Design) -> tuple[str, ...]:
    """What is to be known of a design from an older file: defaults and names that have changed."""
    return design._origin.notes if design._origin else ()


def file_beside(design: Design, name: str) -> Path:
    """The path of a file that the design names, seen from where the design lies."""
    folder = design._origin.folder if design._origin else None
    return (folder or Path()) / name


def _checked(mapping: Table, origin: Origin) -> Design:
    unfit = value_faults(mapping)
    if unfit:
        from frame3d.design.reading.faults import fault_at  # here and below: most designs have none

        lines = origin.lines()
        raise _all([fault_at(path, message, lines) for path, message in unfit], origin)
    line = origin.lines().of((FORMAT_FIELD,)) if _is_told_of(mapping) else None
    older = opened(mapping, origin.source, line)
    mapping, origin = older.mapping, structs.replace(origin, moved=older.moved)
    try:
        design = Design.model_validate(completed(mapping))
    except ValidationError as error:
        raise _all(_faults(error, mapping, origin.lines()), origin) from None
    notes = tuple(str(note) for note in (*older.notes, *notes_on_defaults(older)))
    design._origin = structs.replace(origin, left_out=places_left_out(mapping), notes=notes)
    return design


def _is_told_of(mapping: Table) -> bool:
    """Whether the format is another than the newest, so that its line may be asked for."""
    value = mapping.get(FORMAT_FIELD, FORMAT)
    return value != FORMAT or type(value) is not int


_PLAN = (
    "this is the plan of a study, not a design; give it to frame3d study, or give here the design "
    "that it names"
)


def _faults(error: ValidationError, mapping: Table, lines: Lines) -> list[Fault]:
    from frame3d.design.reading.faults import fault_of

    if "profile" not in mapping and {"study", "vary"} & mapping.keys():
        return [Fault(where="", message=_PLAN)]
    units = units_of(mapping)
    return [
        fault_of(item, mapping, units, lines, hints=number < _MOST_HINTS)
        for number, item in enumerate(_telling(error))
    ]


def _telling(error: ValidationError) -> list[ErrorDetails]:
    """The errors without those that only follow from another: a list short of a bad item."""
    found = error.errors(include_url=False)
    return [e for e in found if not (e["type"] == "too_short" and len(e["input"]) > 0)]


def _all(faults: list[Fault], origin: Origin) -> DesignFaults:
    """The faults from the top of the file to its end, those without a line first."""
    faults = sorted(faults, key=lambda fault: fault.line or 0)
    if len(faults) > _MOST_FAULTS:
        more = f"{len(faults) - _MOST_FAULTS} more faults are not listed"
        faults = [*faults[:_MOST_FAULTS], Fault(where="", message=more)]
    return DesignFaults(faults, origin.source)
