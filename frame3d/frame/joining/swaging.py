"""How far the end of a tube can be reduced."""

from __future__ import annotations

from frame3d.catalog.sections import TubeSection
from frame3d.frame.model.end_forms import Swage

MOST_REDUCED = 0.25
"""Of the outside diameter, in one go and cold: thick walls split or fold past that (common
practice, no source). A tube that is to slide into its like loses two walls and the play, so this
is a limit of the wall: about one ninth of the diameter."""


def reduction(section: TubeSection, swage: Swage) -> float:
    """By which share of its outside diameter a tube is made smaller.

    Examples
    --------
    >>> tube = TubeSection(name="", od_mm=40.0, wall_mm=3.0)
    >>> round(reduction(tube, Swage(od_mm=33.0, length_mm=100.0, taper_mm=12.0)), 6)
    0.175
    """
    return 1.0 - swage.od_mm / section.od_mm


def reduction_trouble(section: TubeSection, swage: Swage) -> bool:
    """Whether that is more than can be counted on."""
    return reduction(section, swage) > MOST_REDUCED + 1e-9
