"""Which class of IFC 4 members are of, by what they are for.

References
----------
ISO 16739-1:2018, Industry Foundation Classes: IfcMemberTypeEnum and its like say what each of
the predefined types is; what is none of them is USERDEFINED and called by its role.
"""

from __future__ import annotations

from msgspec import Struct

from frame3d.frame.model.parts import Part, Plate
from frame3d.frame.model.roles import Role

_OWN = "USERDEFINED"


class IfcClass(Struct, frozen=True, kw_only=True):
    """A class with one of its predefined types.

    Parameters
    ----------
    name : str
        Of the class, as in the standard.
    predefined : str
    """

    name: str
    predefined: str = _OWN

    @property
    def is_fastener(self) -> bool:
        """Whether it has a nominal diameter and length."""
        return self.name == "IfcMechanicalFastener"


_MEMBERS = {
    Role.RAIL: "PURLIN", Role.HIP_RAIL: "PURLIN", Role.BRACE: "BRACE", Role.WALL_BRACE: "BRACE",
    Role.SILL_BOARD: "PLATE", Role.SKIRT_BOARD: "PLATE", Role.WALL_SILL: "PLATE",
    Role.WALL_SKIRT: "PLATE", Role.WALL_ANCHOR: "POST",
    Role.TIE: "COLLAR", Role.KING_POST: "POST", Role.WEB: "STRUT", Role.STUD: "STUD",
    Role.DOOR_JAMB: "POST",
}  # fmt: skip
_OTHERS = {
    Role.SOCKET: IfcClass(name="IfcPile", predefined="DRIVEN"),
    Role.DOOR_HEADER: IfcClass(name="IfcBeam", predefined="LINTEL"),
    Role.BOLT: IfcClass(name="IfcMechanicalFastener", predefined="BOLT"),
    Role.CURTAIN_CLIP: IfcClass(name="IfcDiscreteAccessory"),
    Role.CORD_EYE: IfcClass(name="IfcDiscreteAccessory"),
    Role.WINDER: IfcClass(name="IfcDiscreteAccessory"),
    Role.CURTAIN_SCREW: IfcClass(name="IfcMechanicalFastener", predefined="SCREW"),
    Role.CHANNEL: IfcClass(name="IfcDiscreteAccessory"),
    Role.CHANNEL_SCREW: IfcClass(name="IfcMechanicalFastener", predefined="SCREW"),
    Role.SCREW: IfcClass(name="IfcMechanicalFastener", predefined="SCREW"),
    Role.NUT: IfcClass(name="IfcMechanicalFastener"),
    Role.WASHER: IfcClass(name="IfcMechanicalFastener"),
    Role.CLAMP: IfcClass(name="IfcMechanicalFastener"),
    Role.BRACKET: IfcClass(name="IfcDiscreteAccessory", predefined="BRACKET"),
    Role.HINGE: IfcClass(name="IfcDiscreteAccessory"),
    Role.FLOOR_GUIDE: IfcClass(name="IfcDiscreteAccessory"),
    Role.SPLICE: IfcClass(name="IfcDiscreteAccessory"),
    Role.RIDGE_JOINT: IfcClass(name="IfcDiscreteAccessory"),
}


def class_of(role: Role, part: Part) -> IfcClass:
    """The class of members with ``role`` that are ``part``.

    Examples
    --------
    >>> class_of(Role.RAIL, Part())
    IfcClass(name='IfcMember', predefined='PURLIN')
    """
    if role in _OTHERS:
        return _OTHERS[role]
    if isinstance(part, Plate):
        return IfcClass(name="IfcPlate")
    return IfcClass(name="IfcMember", predefined=_MEMBERS.get(role, _OWN))
