"""A comparison under loads for the page: its tables, pictures and words; cautions first."""

from __future__ import annotations

from frame3d.design.reading.reader import design_from_text
from frame3d.errors import DesignFaults, Fault
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame
from frame3d.loads.comparison import Comparison
from frame3d.loads.write.pages import title_of
from frame3d.loads.write.pictures import DARKER, band_picture, frame_picture
from frame3d.loads.write.words import basis, cautions, grids, sources
from frame3d.units.data_tables import Json
from frame3d.web.requests.given import design_from
from frame3d.web.work.read_designs import NAME

_WIDE, _HIGH = 480, 300
"""Of a picture of the frame, its own units."""


def other_frame(packed: str) -> Frame | None:
    """The frame of the other design that came with a request; None without one.

    Raises
    ------
    DesignFaults
        With all faults of that design, each saying that it is of the other one.
    """
    given = design_from(packed)
    if given is None:
        return None
    try:
        return laid_out(design_from_text(given.text, given.name))
    except DesignFaults as error:
        raise DesignFaults([_of_the_other(fault, given.name) for fault in error.faults],
                           NAME) from error  # fmt: skip


def _of_the_other(fault: Fault, name: str) -> Fault:
    at = f"{name}, line {fault.line}" if fault.line else name
    where = f"{fault.where}: " if fault.where else ""
    return Fault(where="", message=f"{at}: {where}{fault.message}")


def shown(found: Comparison) -> dict[str, Json]:
    """All that the page shows of a comparison, in the order in which it is to be read."""
    given = found.frame.design.loads
    return {
        "cautions": list(cautions(found)),
        "title": title_of(found).replace(f" ({NAME}) beside ", " (on the page) beside "),
        "notes": list(found.notes),
        "bands": band_picture(found.indices).text
        if any(index.value for index in found.indices)
        else "",
        "tables": [
            {
                "key": grid.key, "title": grid.title, "header": list(grid.header),
                "rows": [list(row) for row in grid.rows], "note": grid.note,
            }
            for grid in grids(found)
        ],
        "pictures": [
            {
                "svg": frame_picture(picture, found.own.weakest[shape].point_mm, _WIDE, _HIGH).text,
                "caption": f"Under {shape.value}: {found.own.weakest[shape].words}, "
                f"{found.own.weakest[shape].how}.",
            }
            for shape, picture in found.own.pictures.items()
        ],
        "pictures_note": DARKER,
        "basis": list(basis(given, found)),
        "sources": list(sources(given)),
    }  # fmt: skip
