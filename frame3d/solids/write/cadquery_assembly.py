"""A frame as a cadquery assembly, for whoever goes on with it there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from frame3d.frame.model.members import Frame
from frame3d.solids.parts.make_solids import make_solids
from frame3d.solids.write.model_names import member_names
from frame3d.solids.write.role_colours import role_colour
from frame3d.solids.write.step import location

if TYPE_CHECKING:
    import cadquery


def to_cadquery(frame: Frame) -> cadquery.Assembly:
    """Every member of ``frame`` in its place, mm; equal parts share one solid.

    Returns
    -------
    cadquery.Assembly
        Called ``frame``, with one child for each member: named as in the model files, coloured
        by role, its ``obj`` the ``Workplane`` of its part, which members of that part share.

    Raises
    ------
    ImportError
        If cadquery is not there; it is an extra of this package, since it brings 500 MB.
    SolidError
        If a part cannot be made.

    Examples
    --------
    A part of one's own, here a bench from the first hoop to the last, added and exported:

    >>> import tempfile
    >>> import cadquery
    >>> import frame3d
    >>> frame = frame3d.lay_out(frame3d.design_from({
    ...     "profile": {"style": "quonset", "width": "10 ft"},
    ...     "bays": {"count": 2, "spacing": "4 ft"},
    ... }))
    >>> whole = to_cadquery(frame)
    >>> long, members = frame.grid.length_mm, len(frame.members)
    >>> bench = cadquery.Workplane("XY").box(600, long, 40).edges("|Z").fillet(20)
    >>> place = cadquery.Location((0, long / 2, 800))
    >>> whole = whole.add(bench, name="bench", loc=place, color=cadquery.Color("tan"))
    >>> len(whole.children) - members
    1
    >>> path = f"{tempfile.mkdtemp()}/tunnel.step"
    >>> whole = whole.export(path)
    >>> len(cadquery.importers.importStep(path).solids().vals()) - members
    1
    """
    try:
        import cadquery
    except ImportError as missing:
        raise ImportError(
            "to_cadquery needs cadquery; install it with: pip install 'frame3d[cadquery]'"
        ) from missing

    parts = {
        mark: cadquery.Workplane(obj=cadquery.Shape.cast(solid.shape))
        for mark, solid in make_solids(frame).items()
    }
    whole = cadquery.Assembly(name="frame")
    for member, name in zip(frame.members, member_names(frame.members), strict=True):
        whole.add(
            parts[member.mark],
            name=name,
            loc=cadquery.Location(location(member.placement)),
            color=cadquery.Color(*role_colour(member.role)),
        )
    return whole
