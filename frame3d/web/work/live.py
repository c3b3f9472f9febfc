"""What the page shows of a frame at once: its figures, what was worked out, and the room in it."""

from __future__ import annotations

import math

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.summary import main_figures
from frame3d.units.data_tables import Json
from frame3d.web.work.read_designs import followed, readings


def frame_words(frame: Frame) -> dict[str, Json]:
    """The frame in figures and words, all but its members.

    Returns
    -------
    dict
        ``figures``: names and texts; ``worked_out`` and ``readings``: by field; ``members``:
        how many.
    """
    form = lengths_of(frame)
    return {
        "name": frame.design.project.name,
        "figures": main_figures(frame, mass=False),
        "worked_out": worked_out(frame),
        "readings": readings(frame.design, form),
        "members": len(frame.members),
        "parts": len({member.mark for member in frame.members}),
    }


def worked_out(frame: Frame) -> dict[str, str]:
    """What fields that are left out have become, by field, where the layout decides it."""
    form, arch, grid = lengths_of(frame), frame.arch, frame.grid

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True) if math.isfinite(length_mm) else "straight"

    measured = frame.design.profile.measured.value
    widths, heights = arch.widths(), arch.heights()
    found = {
        "profile.width": say(getattr(widths, f"{measured}_mm")),
        "profile.ridge_height": say(getattr(heights, f"{measured}_mm")),
        "profile.leg_height": say(arch.leg_height_mm),
        "profile.leg_lean": form.angle(arch.leg_lean_rad),
        "bays.count": str(len(grid.hoop_y_mm) - 1),
        "bays.spacing": say(grid.even.spacing_mm),
        "bays.length": say(grid.even.length_mm),
    }
    if arch.eave_radius_mm is not None:
        found["profile.eave_radius"] = say(arch.eave_radius_mm)
    top = "rafter_radius" if arch.style is ArchStyle.GOTHIC else "crown_radius"
    if arch.top_radius_mm is not None:
        found[f"profile.{top}"] = say(arch.top_radius_mm)
    if arch.style is ArchStyle.GOTHIC:
        found["profile.ridge_slope"] = form.angle(arch.ridge_slope_rad)
    return {**followed(frame.design, form), **found}
