"""Where the hoops of a frame stand on the sockets as they were driven.

A hoop stands square across the tunnel, through the middle between the tops of its two sockets:
that is how rails hold it. What its tops stand ahead of each other is told for each hoop
(:mod:`frame3d.site.built.differences`), and drawn nowhere. A socket that is driven again comes to
stand where the design has it, and a hoop that was not measured lies in line with its neighbours.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from msgspec.structs import replace

from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Grid, Side
from frame3d.site.built.as_built import AsBuilt
from frame3d.site.staking.socket_names import socket_name

_STEP_MM = 0.1
"""Places are taken in steps of this, finer than any tape: pieces that are alike stay alike."""
_LEAST_MM = 0.5
"""No hoop is off by more than this: the frame stands as it was designed."""


def driven_grid(frame: Frame, built: AsBuilt, again: Collection[str]) -> Grid:
    """The grid of ``frame``, which is that of its design, with its hoops as they were driven.

    Parameters
    ----------
    frame : Frame
    built : AsBuilt
    again : collection of str
        Sockets that are pulled and driven again.

    Returns
    -------
    Grid
        From its own first hoop on; the design's where no hoop is off by half a millimetre, or
        two would come to stand in each other's place.
    """
    grid = frame.grid
    off = {top.place.name: 0.0 if top.place.name in again else top.along_mm for top in built.tops}
    known = []
    for number, y in enumerate(grid.hoop_y_mm, start=1):
        pair = [off.get(socket_name(number, side)) for side in (Side.LEFT, Side.RIGHT)]
        if pair[0] is not None and pair[1] is not None:
            known.append((y, (pair[0] + pair[1]) / 2))
    if len(known) < 2:
        return grid
    at, offs = np.array(known).T
    ys = np.array(grid.hoop_y_mm)
    placed = ys + np.interp(ys, at, offs)
    placed = np.round((placed - placed[0]) / _STEP_MM) * _STEP_MM
    if np.abs(placed - ys).max() < _LEAST_MM or np.diff(placed).min() <= 0:
        return grid
    return replace(
        grid, hoop_y_mm=tuple(round(float(y), 1) for y in placed), designed_y_mm=grid.hoop_y_mm
    )
