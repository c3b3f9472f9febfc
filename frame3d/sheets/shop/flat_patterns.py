"""Pieces bent from one plate, laid flat: outline, bend lines, holes; and how plates are joined."""

from __future__ import annotations

from frame3d.frame.describe.plate_joints import BentPlate, PlateJoint
from frame3d.frame.describe.wording import fine_lengths, sold_text
from frame3d.frame.model.members import Frame
from frame3d.sheets.annotation.annotations import (
    Annotation,
    Chain,
    Mark,
    Running,
    View,
    ViewEdge,
    Way,
)
from frame3d.sheets.primitives.primitives import (
    CircleStroke,
    Layer,
    Primitive,
    Stroke,
    polyline,
)
from frame3d.sheets.shop.welds import welded
from frame3d.units import LengthFormat

_CROSS = 0.75
"""Half the centre lines of a hole, as a share of its diameter."""
_ON_LEG: tuple[Way, ...] = ((0, 1, 1.0), (0, -1, 1.0), (0, 1, 3.0), (0, -1, 3.0))
"""A mark that does not stand on its leg has a leader to it."""
_BEYOND = 0.12
"""How far a bend line reaches past the plate, as a share of its width."""


def flat_view(frame: Frame, piece: BentPlate, lengths: LengthFormat) -> View:
    """The flat pattern of ``piece``: leg after leg from the left, bend lines dashed with dots."""
    long, wide = piece.length_mm, piece.width_mm
    primitives: list[Primitive] = list(
        polyline([(0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide), (0.0, 0.0)])
    )
    past = _BEYOND * wide
    primitives += [
        Stroke(start=(at, -past), end=(at, wide + past), layer=Layer.CENTRE)
        for at, _ in piece.bends
    ]
    holes = [hole for leg in piece.legs for hole in leg.holes]
    for x, y, across in holes:
        reach = _CROSS * across
        primitives += [
            CircleStroke(centre=(x, y), radius=across / 2),
            Stroke(start=(x - reach, y), end=(x + reach, y), layer=Layer.CENTRE),
            Stroke(start=(x, y - reach), end=(x, y + reach), layer=Layer.CENTRE),
        ]
    annotations: list[Annotation] = [
        Chain(points=((0.0, 0.0), (long, 0.0)), edge=ViewEdge.BOTTOM, rank=3, names=("flat",)),
        Chain(points=((0.0, 0.0), (0.0, wide)), edge=ViewEdge.LEFT),
        Running(
            datum=(0.0, 0.0),
            points=tuple((at, 0.0) for at, _ in piece.bends),
            edge=ViewEdge.BOTTOM,
        ),
    ]
    if holes:
        points = tuple((x, y) for x, y, _ in holes)
        annotations += [
            Running(datum=(0.0, wide), points=points, edge=ViewEdge.TOP),
            Running(datum=(0.0, 0.0), points=points, edge=ViewEdge.RIGHT),
        ]
    annotations += [
        Mark(
            text=leg.mark,
            at=((leg.start_mm + leg.end_mm) / 2, wide / 2),
            ways=_ON_LEG,
        )
        for leg in piece.legs
    ]
    return View(
        title=f"{piece.name} bent from one piece, {piece.count} needed",
        primitives=tuple(primitives),
        bounds=(0.0, 0.0, long, wide),
        annotations=tuple(annotations),
        caption=(_words(frame, piece, lengths),),
    )


def _words(frame: Frame, piece: BentPlate, lengths: LengthFormat) -> str:
    """Thickness, how it is bent, with what allowance, and the diameters of holes."""
    make, fine = frame.design.make, fine_lengths(lengths)
    ways = ["up" if up else "down" for _, up in piece.bends]
    turned = f"bend {' and '.join(dict.fromkeys(ways))} 90°" if len(set(ways)) == 1 else (
        f"bends from the left: {', '.join(ways)}, 90° each"
    )  # fmt: skip
    drills = sorted({across for leg in piece.legs for *_, across in leg.holes})
    said = [
        f"Flat pattern, {sold_text(lengths, piece.thickness_mm)} thick; dots and dashes: middle "
        f"of a bend; {turned}.",
        f"Inside radius {sold_text(lengths, make.inside_radius)}, K-factor {make.k_factor:g}: "
        f"allowance {fine.text(piece.allowance_mm, unit=True)} each.",
    ]
    for leg in piece.legs:
        sizes = sorted({across for *_, across in leg.holes})
        if sizes and len(drills) > 1:
            texts = ", ".join(fine.text(size, unit=True) for size in sizes)
            said.append(f"Holes in {leg.mark} Ø {texts}.")
    if len(drills) == 1:
        said.append(f"Holes Ø {fine.text(drills[0], unit=True)}.")
    return " ".join(said)


def joint_words(mark: str, joints: tuple[PlateJoint, ...], pieces: tuple[BentPlate, ...]) -> str:
    """How the plate of ``mark`` is joined to others: bent with them, or welded; or nothing."""
    said = []
    for piece in pieces:
        marks = [leg.mark for leg in piece.legs]
        if mark in marks:
            others = [other for other in marks if other != mark]
            said.append(f"one piece with {' and '.join(others)}, bent; see its flat pattern")
    for joint in welded(joints, pieces):
        ends = (joint.standing.mark, joint.on.mark)
        if mark not in ends:
            continue
        if mark == ends[0]:
            said.append(f"its edge welded to the face of {ends[1]}, fillet, both sides")
        else:
            said.append(f"{ends[0]} welded to its face")
    return "; ".join(dict.fromkeys(said))
