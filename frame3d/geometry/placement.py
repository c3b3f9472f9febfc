"""Placements: where a part's own axes stand in the frame.

Glossary
--------
placement : a proper rotation followed by a shift; never a mirror image, since a
    part that has been cut cannot be turned into its mirror image.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    import numpy as np

Vector = tuple[float, float, float]
ACROSS, ALONG, UP, DOWN = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
"""Ways in the axes of the frame: to the right, along the tunnel, up and down."""


def vector(x: float, y: float, z: float) -> Vector:
    """Three floats as a vector, with negative zero made positive."""
    return (float(x) + 0.0, float(y) + 0.0, float(z) + 0.0)


def add(a: Vector, b: Vector, times: float = 1.0) -> Vector:
    """``a + times * b``."""
    return (a[0] + times * b[0], a[1] + times * b[1], a[2] + times * b[2])


def opposite(a: Vector) -> Vector:
    """The other way."""
    return (-a[0], -a[1], -a[2])


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product ``a × b``."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def unit(a: Vector) -> Vector:
    """``a`` at length 1; ``ValueError`` for the zero vector."""
    size = math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])
    if size == 0:
        raise ValueError("the zero vector has no direction")
    return (a[0] / size, a[1] / size, a[2] / size)


class Placement(Struct, frozen=True, kw_only=True):
    """A part's own x, y and z directions and its origin, in frame axes.

    Parameters
    ----------
    origin : (3,) float, mm
    x, y, z : (3,) float
        Unit vectors, right-handed and square to each other.

    Examples
    --------
    >>> up = Placement.of(origin=(0, 0, 100), x=(0, 0, 1), y=(1, 0, 0))
    >>> up.point((5, 0, 0))
    (0.0, 0.0, 105.0)
    """

    origin: Vector = (0.0, 0.0, 0.0)
    x: Vector = (1.0, 0.0, 0.0)
    y: Vector = (0.0, 1.0, 0.0)
    z: Vector = (0.0, 0.0, 1.0)

    @classmethod
    def of(cls, *, origin: Vector, x: Vector, y: Vector) -> Placement:
        """The placement whose x lies along ``x`` and whose y is nearest to ``y``.

        Parameters
        ----------
        origin : (3,) float, mm
        x, y : (3,) float
            Need not be unit vectors, nor square to each other, but not parallel.

        Raises
        ------
        ValueError
            If ``x`` or ``y`` is zero or they are parallel.
        """
        ax, ay, az = unit(x)
        bx, by, bz = y
        back = -(bx * ax + by * ay + bz * az)
        bx, by, bz = unit((bx + back * ax, by + back * ay, bz + back * az))
        return cls(
            origin=vector(*origin),
            x=(ax + 0.0, ay + 0.0, az + 0.0),
            y=(bx + 0.0, by + 0.0, bz + 0.0),
            z=(ay * bz - az * by + 0.0, az * bx - ax * bz + 0.0, ax * by - ay * bx + 0.0),
        )

    def direction(self, local: Vector) -> Vector:
        """The direction ``local``, given in the part's own axes, in frame axes."""
        # Written out: this is called for every member, and a loop costs three times as much.
        (a, b, c), x, y, z = local, self.x, self.y, self.z
        return (
            x[0] * a + y[0] * b + z[0] * c + 0.0,
            x[1] * a + y[1] * b + z[1] * c + 0.0,
            x[2] * a + y[2] * b + z[2] * c + 0.0,
        )

    def point(self, local: Vector) -> Vector:
        """The point ``local``, mm in the part's own axes, in frame axes."""
        # Written out as well: called even more often.
        (a, b, c), x, y, z, origin = local, self.x, self.y, self.z, self.origin
        return (
            origin[0] + (x[0] * a + y[0] * b + z[0] * c) + 0.0,
            origin[1] + (x[1] * a + y[1] * b + z[1] * c) + 0.0,
            origin[2] + (x[2] * a + y[2] * b + z[2] * c) + 0.0,
        )

    def then(self, local: Placement) -> Placement:
        """The placement of something placed by ``local`` within this one."""
        return Placement(
            origin=self.point(local.origin),
            x=self.direction(local.x),
            y=self.direction(local.y),
            z=self.direction(local.z),
        )

    def matrix(self) -> np.ndarray:
        """The (4, 4) float homogeneous matrix, mm."""
        import numpy as np  # only here: a check of a design does without, and loads faster

        result = np.eye(4)
        for column, axis in enumerate((self.x, self.y, self.z, self.origin)):
            result[:3, column] = axis
        return result
