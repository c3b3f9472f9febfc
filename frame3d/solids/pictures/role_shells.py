"""What pictures are drawn from: the members of each role as one heap of triangles.

They are handed to the process that draws as numpy writes arrays (NPZ).
"""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from frame3d.geometry.placement import Vector

PERSON_MM = 1750.0
"""How tall the figure is that gives a picture its scale."""


class Shell(Struct, frozen=True, kw_only=True):
    """All the members of one role, in the frame's axes, in metres.

    Parameters
    ----------
    name : str
        Of the role.
    group : str
        What a legend calls all that have its colour.
    colour : (3,) float
        As a screen shows it, 0 to 1.
    positions, normals : (n, 3) float32
        As a graphics card takes them; good for 0.03 mm at 300 m.
    triangles : (m, 3) int32
    """

    name: str
    group: str
    colour: Vector
    positions: np.ndarray
    normals: np.ndarray
    triangles: np.ndarray


class Signs(Struct, frozen=True, kw_only=True):
    """What is written beside the figure that gives the scale, and before the front."""

    person: str = "1.75 m"
    front: str = "front"


PLAIN = Signs()


def packed_shells(shells: Sequence[Shell], signs: Signs = PLAIN) -> bytes:
    """``shells`` as bytes, with what is written."""
    arrays = {
        f"{number} {name}": getattr(shell, name)
        for number, shell in enumerate(shells)
        for name in Shell.__struct_fields__
    }
    file = io.BytesIO()
    np.savez(file, signs=np.array([signs.person, signs.front]), **arrays)
    return file.getvalue()


def read_shells(data: bytes) -> tuple[list[Shell], Signs]:
    """The shells that :func:`packed_shells` gave, in their order, and what is written."""
    with np.load(io.BytesIO(data)) as kept:
        person, front = kept["signs"].tolist()
        count = len(kept.files) // len(Shell.__struct_fields__)
        shells = [
            Shell(
                name=str(kept[f"{number} name"]),
                group=str(kept[f"{number} group"]),
                colour=tuple(kept[f"{number} colour"].tolist()),
                positions=kept[f"{number} positions"],
                normals=kept[f"{number} normals"],
                triangles=kept[f"{number} triangles"],
            )
            for number in range(count)
        ]
        return shells, Signs(person=person, front=front)
