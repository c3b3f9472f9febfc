"""The examples without end walls, doors, side openings and ties: hoops and what ties them."""

from __future__ import annotations

import functools
import tomllib

from frame3d.design.reading.reader import design_from_mapping
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame

_LEFT_OUT = ("end_wall", "door", "side_opening", "tie", "machine", "accept")


@functools.cache
def bare(name: str) -> Frame:
    """The example ``name`` without what its ends and sides have."""
    mapping = tomllib.loads(example_paths()[name].read_text("utf-8"))
    kept = {section: value for section, value in mapping.items() if section not in _LEFT_OUT}
    return lay_out(design_from_mapping(kept))
