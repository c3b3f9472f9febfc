"""A design in which the checks find nothing, to spoil in one way at a time."""

from __future__ import annotations

import copy
import tomllib

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame

SOUND = """
[project]
name = "Sound"
[output]
units = "metric"
[profile]
style = "gothic"
width = "6 m"
ridge_height = "3.6 m"
leg_height = "1.2 m"
eave_radius = "1.2 m"
ridge_slope = "20 deg"
[hoop]
ridge_tube = "50 x 3 mm"
[bays]
count = 8
spacing = "1.5 m"
[[rail]]
at = "ridge"
[[rail]]
at = "sides"
height = "2.6 m"
[[brace]]
from_height = "450 mm"
to_height = "2250 mm"
[sill_board]
[side_opening]
end_stop = "0 mm"
[[tie]]
height = "2.4 m"
[[end_wall]]
[[door]]
[[machine]]
name = "Cart"
width = "0.8 m"
height = "1.6 m"
"""


def changed(**sections: object) -> dict:
    """The sound design with some sections replaced, or with fields of them replaced.

    A table that is given is laid over the one that is there; a list takes the place of
    the list that is there; None takes the section away.
    """
    mapping = copy.deepcopy(tomllib.loads(SOUND))
    for name, value in sections.items():
        if value is None:
            mapping.pop(name, None)
        elif isinstance(value, dict):
            mapping[name] = {**mapping.get(name, {}), **value}
        else:
            mapping[name] = value
    return mapping


def frame_of(**sections: object) -> Frame:
    """The frame of :func:`changed`."""
    return lay_out(design_from_mapping(changed(**sections)))
