"""Parts: what the shop makes or the merchant sells, each in its own axes.

Two parts that would be made the same way are equal, so counts, marks and cutting
lists come from equality alone. To make that exact, every length is snapped to a
grid of 1e-6 mm and every angle to 1e-10 rad when the part is made, and parts
that differ only by being turned end for end or about their own axis are brought
to one form by :mod:`frame3d.frame.model.canonical`.

A new kind of part is one class: it says its bodies, its words, what it is made of and whether it
is bought, and every output follows.
"""

from __future__ import annotations

import enum
import math
from collections.abc import Callable
from typing import ClassVar

from msgspec import Struct

from frame3d.catalog.sections import STEEL_KG_PER_MM3, BoltSize, Head, NutSize, WasherSize
from frame3d.frame.model.bodies import (
    BoardHole,
    Body,
    EdgeHole,
    ExtrudedOutline,
    Hole,
    SawnTimber,
    SplitRing,
    SweptRing,
    TurnedProfile,
)
from frame3d.frame.model.end_forms import (
    BoardEnd,
    Flat,
    Swage,
    board_end_words,
    tube_end_words,
)
from frame3d.frame.model.snapping import put, snap_mm, snap_path, snap_rad
from frame3d.geometry.outlines import polygon

Say = Callable[[float], str]
"""Writes a length, mm, with its unit, as finely as things are sold."""


class Material(enum.Enum):
    """What a part is made of, as written in a parts list."""

    STEEL = "galvanized steel"
    SHEET = "galvanized sheet steel"
    TIMBER = "treated lumber"


class Part(Struct, frozen=True, kw_only=True):
    """A thing that is made or bought, and placed in a frame. Every kind is a class of its own."""

    is_bought: ClassVar[bool] = False
    """Whether it comes as it is from the merchant, and is not made."""
    material: ClassVar[Material] = Material.STEEL

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Its shape: bodies that meet face to face, what is put through a hole last."""
        raise NotImplementedError(f"{type(self).__name__} says no bodies")

    @property
    def kg_per_mm3(self) -> float:
        """Its density."""
        return STEEL_KG_PER_MM3

    @property
    def over_all_mm(self) -> float | None:
        """Its length as lists give it, mm: its field ``length_mm``; None for what has none."""
        length: float | None = getattr(self, "length_mm", None)
        return length

    @property
    def section_name(self) -> str:
        """The section that it is cut from, or its name; empty for what is bought."""
        return ""

    def words(self, say: Say) -> str:
        """What it is, as a list has it; without the length of a tube or board."""
        raise NotImplementedError(f"{type(self).__name__} says no words")


class Tube(SweptRing, Part, frozen=True, kw_only=True):
    """A tube, straight or bent in one plane, drilled, its ends plain, swaged or flat."""

    @property
    def bodies(self) -> tuple[Body, ...]:
        """The tube itself."""
        return (self,)

    @property
    def section_name(self) -> str:
        """That of its section."""
        return self.section.name

    def words(self, say: Say) -> str:
        """Section, straight or bent, ends and holes."""
        bent = "straight" if self.axis.is_straight else "bent"
        ends = [tube_end_words(end) for end in (self.start, self.end) if end]
        return _with_holes(f"{self.section.name} tube, {bent}{_ends(ends)}", len(self.holes))


class Board(SawnTimber, Part, frozen=True, kw_only=True):
    """A board with its ends cut, and holes through its thickness or its depth."""

    material: ClassVar[Material] = Material.TIMBER

    @property
    def bodies(self) -> tuple[Body, ...]:
        """The board itself."""
        return (self,)

    @property
    def kg_per_mm3(self) -> float:
        """That of its section."""
        return self.section.density_kg_per_m3 * 1e-9

    @property
    def over_all_mm(self) -> float:
        """Between the longest points of its ends, mm."""
        return self.length_mm

    @property
    def section_name(self) -> str:
        """That of its section."""
        return self.section.name

    def words(self, say: Say) -> str:
        """Section, ends and holes."""
        ends = [board_end_words(end) for end in (self.start, self.end) if end]
        holes = len(self.holes) + len(self.edge_holes)
        return _with_holes(f"{self.section.name} board{_ends(ends)}", holes)


class RippedBoard(Board, frozen=True, kw_only=True):
    """A board whose far edge is ripped along a straight line; its ends are cut square.

    A kind of its own, so that boards of older builds are known by the shapes that they had.

    Parameters
    ----------
    left_mm : (float, float)
        What is left of the depth at the start and at the end.
    """

    left_mm: tuple[float, float]

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        Board.__post_init__(self)
        put(self, left_mm=(snap_mm(self.left_mm[0]), snap_mm(self.left_mm[1])))
        if self.start or self.end or self.edge_holes:
            raise ValueError("a ripped board has square ends, and holes through its thickness")

    @property
    def is_ripped(self) -> bool:
        """Whether anything is taken off: a gap that is deeper asks for all of the board."""
        return min(self.left_mm) < snap_mm(self.section.depth_mm)

    @property
    def depths_mm(self) -> tuple[float, float]:
        """What is left at the start and at the end."""
        return self.left_mm

    def words(self, say: Say) -> str:
        """Section, what is left of the depth, and holes."""
        if not self.is_ripped:
            return Board.words(self, say)
        first, second = map(say, sorted(self.left_mm))
        left = first if first == second else f"{first} and {second} at its ends"
        return _with_holes(f"{self.section.name} board ripped to {left}", len(self.holes))


class Plate(Part, frozen=True, kw_only=True):
    """A flat steel plate with drilled holes.

    Own axes: the outline lies in z = 0, the thickness rises along +z.

    Parameters
    ----------
    name : str
        What it is called in lists, for example ``ridge plate``.
    outline : tuple of (x, y), mm
        Corners, anticlockwise, not closed.
    thickness_mm : float
    holes : tuple of (x, y, diameter), mm
    """

    name: str
    outline: tuple[tuple[float, float], ...]
    thickness_mm: float
    holes: tuple[tuple[float, float, float], ...] = ()

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        corners = tuple((snap_mm(x), snap_mm(y)) for x, y in self.outline)
        holes = tuple(sorted((snap_mm(x), snap_mm(y), snap_mm(d)) for x, y, d in self.holes))
        put(self, outline=corners, holes=holes, thickness_mm=snap_mm(self.thickness_mm))

    @property
    def bodies(self) -> tuple[Body, ...]:
        """The outline, as thick as it is."""
        return (
            ExtrudedOutline(
                outline=self.outline, low_mm=0.0, high_mm=self.thickness_mm, holes=self.holes
            ),
        )

    @property
    def section_name(self) -> str:
        """Its name."""
        return self.name

    def words(self, say: Say) -> str:
        """Name, thickness and holes."""
        return _with_holes(f"{self.name}, {say(self.thickness_mm)} thick", len(self.holes))


class Bolt(Part, frozen=True, kw_only=True):
    """A bolt. Own axes: the underside of the head at z = 0, the shank along +z.

    Threads are not part of it: the shank is a plain bar.
    """

    is_bought: ClassVar[bool] = True
    size: BoltSize
    length_mm: float

    def __post_init__(self) -> None:
        """Put its sizes on the grid that parts are compared by."""
        put(self, length_mm=snap_mm(self.length_mm))

    @property
    def neck_mm(self) -> float:
        """Depth of the square neck of a carriage bolt: half its diameter; 0 for a hex head."""
        if self.size.head is Head.HEX:
            return 0.0
        return min(self.size.diameter_mm / 2, self.length_mm)

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Head, under a domed one a square neck as wide as the shank, and the shank."""
        size, neck = self.size, self.neck_mm
        shank = TurnedProfile.bar(size.diameter_mm, neck, self.length_mm)
        if size.head is Head.HEX:
            return hexagon(size.flats_mm, -size.head_height_mm, 0.0), shank
        edge, height, half = size.flats_mm / 2, size.head_height_mm, size.diameter_mm / 2
        # The tangent of half the angle of a cap's whole arc is its height by its edge's radius.
        bulge = math.tan(math.atan2(height, edge) / 2)
        dome = TurnedProfile(profile=((0.0, -height, bulge), (edge, 0.0, 0.0)))
        corners = ((-half, -half), (half, -half), (half, half), (-half, half))
        square = ExtrudedOutline(outline=corners, low_mm=0.0, high_mm=neck)
        return (dome, square, shank) if self.length_mm > neck else (dome, square)

    def words(self, say: Say) -> str:
        """Kind, size and length."""
        kind = "carriage bolt" if self.size.head is Head.CARRIAGE else "hex bolt"
        return f"{kind} {self.size.name} x {say(self.length_mm)}"


class Nut(Part, frozen=True, kw_only=True):
    """A hexagon nut with a plain hole. Own axes: thread along z, from 0 to the height."""

    is_bought: ClassVar[bool] = True
    size: NutSize

    @property
    def bodies(self) -> tuple[Body, ...]:
        """A hexagon with a hole of the thread's diameter."""
        size = self.size
        return (hexagon(size.flats_mm, 0.0, size.height_mm, size.diameter_mm),)

    def words(self, say: Say) -> str:
        """Kind and size."""
        return f"hex nut {self.size.name}"


class Washer(Part, frozen=True, kw_only=True):
    """A plain washer. Own axes: hole along z, from 0 to the thickness."""

    is_bought: ClassVar[bool] = True
    size: WasherSize

    @property
    def bodies(self) -> tuple[Body, ...]:
        """A flat ring."""
        size = self.size
        return (TurnedProfile.bar(size.outside_mm, 0.0, size.thickness_mm, size.inside_mm),)

    def words(self, say: Say) -> str:
        """Kind and size."""
        return f"flat washer {self.size.name}"


class ScrewKind(enum.Enum):
    """What a screw goes into, and what lists call it."""

    DRILLING = "self-drilling screw"
    LAG = "lag screw"


class Screw(Part, frozen=True, kw_only=True):
    """A screw with a hexagon head: self-drilling for steel, or a lag screw for timber.

    Own axes: the underside of the head at z = 0, the shank along +z.
    """

    is_bought: ClassVar[bool] = True
    name: str
    diameter_mm: float
    length_mm: float
    flats_mm: float
    head_height_mm: float
    kind: ScrewKind = ScrewKind.DRILLING

    @property
    def bodies(self) -> tuple[Body, ...]:
        """Head and shank."""
        head = hexagon(self.flats_mm, -self.head_height_mm, 0.0)
        return head, TurnedProfile.bar(self.diameter_mm, 0.0, self.length_mm)

    def words(self, say: Say) -> str:
        """Kind, size and length."""
        return f"{self.kind.value} {self.name} x {say(self.length_mm)}"


class ClampHalf(SplitRing, Part, frozen=True, kw_only=True):
    """One half of a tube coupler.

    Two halves, one on each tube, stand back to back on their bosses and turn on
    a rivet, which is part of them, to whatever angle the tubes make.
    """

    is_bought: ClassVar[bool] = True

    @property
    def bodies(self) -> tuple[Body, ...]:
        """The half itself."""
        return (self,)

    def words(self, say: Say) -> str:
        """Kind, and the tube that it is for."""
        return f"clamp half for {say(self.tube_od_mm)} tube"


def hexagon(
    flats_mm: float, low_mm: float, high_mm: float, bore_mm: float = 0.0
) -> ExtrudedOutline:
    """A hexagon whose flats face ±y, between two heights along z, perhaps with a bore; mm."""
    return ExtrudedOutline(
        outline=tuple(polygon(6, flats_mm)), low_mm=low_mm, high_mm=high_mm,
        holes=((0.0, 0.0, bore_mm),) if bore_mm else (),
    )  # fmt: skip


def _ends(words_of_ends: list[str]) -> str:
    """What was done to the two ends, in words: nothing, to one, to both, or to each its own."""
    made = list(filter(None, words_of_ends))
    if len(made) == 2 and made[0] == made[1]:
        return f", both ends {made[0]}"
    return "".join(f", one end {words}" for words in made)


def _with_holes(text: str, holes: int) -> str:
    if not holes:
        return text
    return f"{text}, {holes} hole{'s' if holes > 1 else ''}"


__all__ = [
    "Board",
    "BoardEnd",
    "BoardHole",
    "Bolt",
    "ClampHalf",
    "EdgeHole",
    "Flat",
    "Hole",
    "Material",
    "Nut",
    "Part",
    "Plate",
    "RippedBoard",
    "Say",
    "Screw",
    "ScrewKind",
    "Swage",
    "Tube",
    "Washer",
    "hexagon",
    "snap_mm",
    "snap_path",
    "snap_rad",
]
