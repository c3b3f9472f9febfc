"""What members are called in model files, and the material that they have there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TypedDict

from frame3d.frame.describe.unmade import Unmade, names_in_model
from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Role, Side
from frame3d.solids.write.role_colours import Colour, role_colour


class GltfSurface(TypedDict):
    """How a material takes the light (glTF 2.0, section 3.9.2)."""

    baseColorFactor: list[float]
    metallicFactor: float
    roughnessFactor: float


class GltfMaterial(TypedDict):
    """What members of one role look like (glTF 2.0, section 3.9)."""

    name: str
    pbrMetallicRoughness: GltfSurface


def role_material(role: Role) -> GltfMaterial:
    """The material of ``role`` as glTF 2.0 has it."""
    return {
        "name": role.value,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*_linear(role_colour(role)), 1.0],
            "metallicFactor": 0.2,
            "roughnessFactor": 0.6,
        },
    }


def _linear(colour: Colour) -> list[float]:
    """``colour`` from sRGB to linear light (IEC 61966-2-1)."""
    return [round(v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4, 6) for v in colour]


def member_name(member: Member, part: str | None = None) -> str:
    """Mark and spot, for example ``H1 hoop 3 left`` or ``R2 hoops 1-4 right 2``.

    ``part`` is what its part is called, if not by its mark. The last number is the member's place
    among its kind there, from the second on.
    """
    spot = member.spot
    if spot.to_hoop is None or spot.to_hoop == spot.hoop:
        place = f"hoop {spot.hoop}"
    else:
        place = f"hoops {spot.hoop}-{spot.to_hoop}"
    # In the middle of a hoop there is no other side to tell it from.
    side = "" if spot.side is Side.MIDDLE else f" {spot.side.value}"
    order = f" {spot.order}" if spot.order > 1 else ""
    return f"{part or member.mark} {place}{side}{order}"


def member_names(members: Iterable[Member], unmade: Iterable[Unmade] = ()) -> list[str]:
    """The name of each member, with a number behind it where a spot holds several.

    That of a member of a part in ``unmade`` begins with what the model lacks of it.
    """
    called = names_in_model(unmade)
    seen: Counter[str] = Counter()
    names = []
    for member in members:
        name = member_name(member, called.get(member.mark))
        seen[name] += 1
        names.append(f"{name} ({seen[name]})" if seen[name] > 1 else name)
    return names
