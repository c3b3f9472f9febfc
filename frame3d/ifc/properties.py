"""What is told of members beside their shape: properties, quantities, material."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.measure.measures import mass_kg, volume_mm3
from frame3d.frame.model.members import Frame, PartCount
from frame3d.ifc.classes import IfcClass
from frame3d.ifc.global_ids import GlobalIds
from frame3d.ifc.part21 import Lines, Measure, Ref, Value

PART_SET = "Frame3d_Part"
_QUANTITIES = {
    "IfcMember": "Qto_MemberBaseQuantities",
    "IfcBeam": "Qto_BeamBaseQuantities",
    "IfcPile": "Qto_PileBaseQuantities",
    "IfcPlate": "Qto_PlateBaseQuantities",
}
"""Sets of quantities that the standard has for a class; others have our own properties alone."""
_WITHOUT_LENGTH = "IfcPlate"


def add_properties(
    lines: Lines,
    ids: GlobalIds,
    frame: Frame,
    group: PartCount,
    kind: IfcClass,
    members: Sequence[Ref],
    sheets: Mapping[str, str],
) -> None:
    """Tell of all members that are one part what that part is."""
    sets = [_own(lines, ids, frame, group, sheets)]
    if kind.name in _QUANTITIES:
        sets.append(_quantities(lines, ids, group, kind))
    for number, one in enumerate(sets):
        key = ids.of("properties of", group.mark, number)
        lines.add("IFCRELDEFINESBYPROPERTIES", key, None, None, None, members, one)


def add_materials(lines: Lines, ids: GlobalIds, members: Mapping[str, Sequence[Ref]]) -> None:
    """Say what members are made of: by material, all that are of it."""
    for name, refs in members.items():
        category = "wood" if name.startswith("timber") else "steel"
        material = lines.add("IFCMATERIAL", name, None, category)
        key = ids.of("material", name)
        lines.add("IFCRELASSOCIATESMATERIAL", key, None, None, None, refs, material)


def _own(
    lines: Lines, ids: GlobalIds, frame: Frame, group: PartCount, sheets: Mapping[str, str]
) -> Ref:
    part, mark, form = group.part, group.mark, lengths_of(frame)
    length = part.over_all_mm
    told: dict[str, Measure | None] = {
        "Mark": Measure("IFCIDENTIFIER", mark),
        "Role": Measure("IFCLABEL", group.role.value),
        "Description": Measure("IFCTEXT", describe(part, form)),
        "Section": Measure("IFCLABEL", part.section_name) if part.section_name else None,
        "Length": Measure("IFCPOSITIVELENGTHMEASURE", length) if length else None,
        "LengthAsText": Measure("IFCLABEL", form.text(length, unit=True)) if length else None,
        "Mass": Measure("IFCMASSMEASURE", mass_kg(part)),
        "Material": Measure("IFCLABEL", part.material.value),
        "Bought": Measure("IFCBOOLEAN", part.is_bought),
        "CountInFrame": Measure("IFCINTEGER", group.count),
        "Sheet": Measure("IFCLABEL", sheets[mark]) if mark in sheets else None,
    }
    values = [
        lines.once("IFCPROPERTYSINGLEVALUE", name, None, value, None)
        for name, value in told.items()
        if value
    ]
    key = ids.of(PART_SET, mark)
    return lines.add("IFCPROPERTYSET", key, None, PART_SET, None, values)


def _quantities(lines: Lines, ids: GlobalIds, group: PartCount, kind: IfcClass) -> Ref:
    part = group.part
    found: list[Value] = []
    if part.over_all_mm and kind.name != _WITHOUT_LENGTH:
        found.append(lines.once("IFCQUANTITYLENGTH", "Length", None, None, part.over_all_mm, None))
    volume = volume_mm3(part) * 1e-9
    found.append(lines.once("IFCQUANTITYVOLUME", "NetVolume", None, None, volume, None))
    found.append(lines.once("IFCQUANTITYWEIGHT", "NetWeight", None, None, mass_kg(part), None))
    name = _QUANTITIES[kind.name]
    key = ids.of(name, group.mark)
    return lines.add("IFCELEMENTQUANTITY", key, None, name, None, None, found)
