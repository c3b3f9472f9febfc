"""A solid that is what its part says: single, valid, tight, and of the right volume.

Glossary
--------
shape : what the kernel returns, unchecked.
solid : a shape that has passed the four checks.
"""

from __future__ import annotations

import itertools

from msgspec import Struct
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.ShapeAnalysis import ShapeAnalysis_ShapeTolerance
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Solid

from frame3d.errors import SolidError
from frame3d.frame.measure.measures import ProfileStretch, is_pressed, stretches, volume_mm3
from frame3d.frame.model.bodies import Body, SplitRing, SweptRing, TurnedProfile
from frame3d.frame.model.parts import Part
from frame3d.frame.model.roles import Role

_INTEGRATION_SHARE = 1e-10
"""The share of the volume to which the kernel integrates adaptively."""


MOST_TOLERANCE_MM = 0.001
"""How far faces, edges and vertices that belong together may be apart: the kernel calls a solid
valid whatever it is, and others do not."""


class Solid(Struct, frozen=True, kw_only=True):
    """The checked solid of a part, in the part's own axes.

    Parameters
    ----------
    mark : str
        Of the members made of it.
    role : Role
    part : Part
    shape : TopoDS_Solid
        The kernel's solid, mm.
    volume_mm3 : float
        As the kernel integrates it.
    """

    mark: str
    role: Role
    part: Part
    shape: TopoDS_Solid
    volume_mm3: float


def checked(*, mark: str, role: Role, part: Part, shape: TopoDS_Shape) -> Solid:
    """The solid in ``shape``, once it has proved to be that of ``part``.

    Raises
    ------
    SolidError
        If ``shape`` is not exactly one solid, is not valid, has a tolerance of more than
        ``MOST_TOLERANCE_MM``, or its volume is off what the part's measures say by more
        than :func:`tolerance`. The message says which, and no more than is known.
    """
    found = solids_in(shape)
    if len(found) != 1:
        raise SolidError(
            f"{_name(mark, part)}: should be one solid, is {len(found)}; "
            "look for a hole or a cut that goes right across it"
        )
    if not BRepCheck_Analyzer(found[0]).IsValid():
        raise SolidError(f"{_name(mark, part)}: the solid that was made of it is not valid")
    widest = greatest_tolerance_mm(found[0])
    if not widest <= MOST_TOLERANCE_MM:
        raise SolidError(
            f"{_name(mark, part)}: its faces meet to within {widest:.2g} mm, where "
            f"{MOST_TOLERANCE_MM} mm is allowed"
        )
    expected, actual = volume_mm3(part), _quick_volume_mm3(found[0])
    allowed = tolerance(part) * abs(expected)
    if not abs(actual - expected) <= allowed:
        actual = integrated_volume_mm3(found[0])
    if not abs(actual - expected) <= allowed:
        raise SolidError(
            f"{_name(mark, part)}: should have {expected:.3f} mm³, has {actual:.3f} mm³, "
            f"which is {actual / expected - 1:+.2e} off where {tolerance(part):.0e} is allowed"
        )
    return Solid(mark=mark, role=role, part=part, shape=found[0], volume_mm3=actual)


def tolerance(part: Part) -> float:
    """Largest relative difference in volume that is allowed for a part.

    Where planes, cylinders, cones and tori meet in circles and lines both sides
    are exact and only rounding is left. Where a hole or a boss enters a round
    surface, a curve follows its edge to within 1e-7 mm. On a bend, and where a hole
    reaches into a taper, the kernel's integral is good to so much. Over the slanting cones of
    a pressed end, and over the tori of a turned profile, it is off by some 1e-9. The last
    limit is for what the formula leaves out at a hole that reaches into a taper on a bend, whose
    walls lie to one side of the axis.
    """
    return max(map(_tolerance, part.bodies))


def _tolerance(body: Body) -> float:
    if isinstance(body, SweptRing) and body.holes:
        if body.axis.is_straight:
            return 1e-7
        return 1e-5 if _bored_taper(body) else 1e-6
    if isinstance(body, SweptRing) and is_pressed(body):
        return 1e-8
    if isinstance(body, TurnedProfile) and _has_torus(body):
        return 1e-8
    return 1e-7 if isinstance(body, SplitRing) else 1e-9


def _has_torus(body: TurnedProfile) -> bool:
    """Whether an arc of its profile has its centre off the axis."""
    return any(
        bulge and abs((r0 + r1) / 2 - (z1 - z0) * (1 - bulge**2) / (4 * bulge)) > 1e-6
        for (r0, z0, bulge), (r1, z1, _) in itertools.pairwise(body.profile)
    )


def _bored_taper(tube: SweptRing) -> bool:
    tapers = [s for s in stretches(tube) if s.kind is ProfileStretch.TAPER]
    return any(
        taper.start_mm - hole.diameter_mm / 2 < hole.at_mm < taper.end_mm + hole.diameter_mm / 2
        for taper in tapers
        for hole in tube.holes
    )


def _quick_volume_mm3(shape: TopoDS_Shape) -> float:
    """Volume of ``shape`` by the kernel's fixed rule, mm³.

    Off by up to 1e-6 where a curved edge trims a face, but a twentieth of the time of
    :func:`integrated_volume_mm3`, which is asked where this one does not agree with the formula.
    """
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, True)
    volume: float = properties.Mass()
    return volume


def integrated_volume_mm3(shape: TopoDS_Shape) -> float:
    """Volume of ``shape`` as the kernel integrates it over its faces, mm³."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, _INTEGRATION_SHARE, True)
    volume: float = properties.Mass()
    return volume


def greatest_tolerance_mm(shape: TopoDS_Shape) -> float:
    """The greatest tolerance of any face, edge or vertex of ``shape``, mm."""
    greatest: float = ShapeAnalysis_ShapeTolerance().Tolerance(shape, 1)
    return greatest


def solids_in(shape: TopoDS_Shape) -> list[TopoDS_Solid]:
    """Every solid in ``shape``."""
    found, explorer = [], TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    while explorer.More():
        found.append(TopoDS.Solid_s(explorer.Current()))
        explorer.Next()
    return found


def _name(mark: str, part: Part) -> str:
    return f"{mark} ({type(part).__name__})"
