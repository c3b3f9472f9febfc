"""What Python programs call that no room has as one function; reached as ``frame3d.NAME``."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from frame3d.design.tables.whole_design import Design
    from frame3d.frame.model.members import Frame
    from frame3d.sheets.layout.sheet import SheetSet
    from frame3d.takeoff.take_off import Takeoff


def design_from(given: str | Mapping[str, Any], *, folder: str | Path | None = None) -> Design:
    """The design in a TOML text, or in a mapping of the same form.

    Parameters
    ----------
    given : str or mapping
        The text of a design file, or its sections with their fields; None counts as left out.
    folder : str, Path or None
        Where files that it names are looked for; None: where the program runs.

    Raises
    ------
    DesignFaults
        With all faults of the design; those of a text with their lines.

    Examples
    --------
    >>> design = design_from({
    ...     "profile": {"style": "quonset", "width": "20 ft"},
    ...     "bays": {"count": 12, "spacing": "4 ft"},
    ... })
    >>> design.profile.width
    6096.0
    """
    from frame3d.design.reading.reader import design_from_mapping, design_from_text

    place = None if folder is None else Path(folder)
    if isinstance(given, str):
        return design_from_text(given, folder=place)
    return design_from_mapping(dict(given), folder=place)


def take_off(frame: Frame) -> Takeoff:
    """What to order for ``frame``, with the price and stock lists that its design names.

    Raises
    ------
    DesignFaults
        If a list cannot be read, or with every fault of its rows.

    Examples
    --------
    >>> import frame3d
    >>> path = frame3d.example_paths()["long_meadow_quonset"]
    >>> order = frame3d.take_off(frame3d.lay_out(frame3d.load_design(path)))
    >>> order.mass_kg > 0
    True
    """
    from frame3d.building import taken_off

    return taken_off(frame)


def draw(frame: Frame) -> SheetSet:
    """The set of sheets of ``frame``, the same that :func:`frame3d.build` writes.

    Raises
    ------
    DesignFaults
        If a list that the design names cannot be read.

    Examples
    --------
    >>> import frame3d
    >>> path = frame3d.example_paths()["long_meadow_quonset"]
    >>> sheets = frame3d.draw(frame3d.lay_out(frame3d.load_design(path)))
    >>> sheets.sheets[0].number
    1
    """
    from frame3d.frame_set import frame_set_of, lists_of, sheets_of, surveyed

    return sheets_of(frame_set_of(surveyed(frame), lists_of(frame)))


def write_model(frame: Frame, *paths: str | Path) -> None:
    """Write solids or triangles of ``frame``: STEP, STL, GLB or IFC, as each path ends.

    Parameters
    ----------
    frame : Frame
    *paths : str or Path
        In folders that are there; what stands there is replaced. STEP, STL and IFC are in mm, GLB
        in metres with y up, as glTF 2.0 has it.

    Raises
    ------
    DesignFaults
        If a list that the design names cannot be read: an IFC file tells on which sheet parts are.
    ValueError
        If a path ends in none of ``.step``, ``.stl``, ``.glb`` and ``.ifc``; nothing is written
        then.
    OutputError
        If a file cannot be written.

    Examples
    --------
    >>> write_model(None, "model.obj")
    Traceback (most recent call last):
    ...
    ValueError: model.obj: a model can be written as .step, .stl, .glb, .ifc
    """
    places = _checked(paths, (".step", ".stl", ".glb", ".ifc"), "a model")
    of_bodies = [place for place in places if place.suffix == ".ifc"]
    of_solids = [place for place in places if place.suffix != ".ifc"]
    if of_solids:
        from frame3d.solids.write.model_files import make_model, write_model_file

        model = make_model(frame)
        for place in of_solids:
            write_model_file(frame, model, place)
    if of_bodies:
        from frame3d.frame_set import drawn_on, frame_set_of, lists_of, surveyed
        from frame3d.ifc.model_ifc import write_ifc

        sheets = drawn_on(frame_set_of(surveyed(frame), lists_of(frame)))
        for place in of_bodies:
            write_ifc(frame, place, sheets)


def write_sheets(sheets: SheetSet, *paths: str | Path) -> None:
    """Write a set of sheets as DXF, PDF or SVG, as each path ends; an SVG holds them all.

    Raises
    ------
    ValueError
        If a path ends in none of ``.dxf``, ``.pdf`` and ``.svg``; nothing is written then.
    OutputError
        If a file cannot be written.

    Examples
    --------
    >>> write_sheets(None, "sheets.png")
    Traceback (most recent call last):
    ...
    ValueError: sheets.png: sheets can be written as .dxf, .pdf, .svg
    """
    places = _checked(paths, (".dxf", ".pdf", ".svg"), "sheets")
    from frame3d.sheets.write.dxf_write import write_dxf
    from frame3d.sheets.write.pdf_write import write_pdf
    from frame3d.sheets.write.svg_write import write_svg

    for place in places:
        if place.suffix == ".svg":
            write_svg(sheets, [sheet.number for sheet in sheets.sheets], place)
        else:
            (write_dxf if place.suffix == ".dxf" else write_pdf)(sheets, place)


def _checked(
    paths: tuple[str | Path, ...], endings: tuple[str, ...], what: str
) -> tuple[Path, ...]:
    """``paths``, each of which ends in one of ``endings``."""
    for path in paths:
        if Path(path).suffix not in endings:
            raise ValueError(f"{path}: {what} can be written as {', '.join(endings)}")
    return tuple(Path(path) for path in paths)
