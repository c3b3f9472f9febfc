"""Classes of members: each is one that the schema has, with a type that it has."""

from __future__ import annotations

import ifcopenshell
import pytest

from frame3d.frame.model.parts import Part, Plate
from frame3d.frame.model.roles import Role
from frame3d.ifc.classes import class_of

SCHEMA = ifcopenshell.ifcopenshell_wrapper.schema_by_name("IFC4")
PLATE = Plate(name="plate", outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), thickness_mm=1.0)


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize("part", [Part(), PLATE])
def test_class_and_type_are_in_the_schema(role: Role, part: Part) -> None:
    kind = class_of(role, part)
    assert SCHEMA.declaration_by_name(kind.name).as_entity() is not None
    assert SCHEMA.declaration_by_name(f"{kind.name}Type").as_entity() is not None
    types = SCHEMA.declaration_by_name(f"{kind.name}TypeEnum").enumeration_items()
    assert kind.predefined in types


def test_a_plate_is_one_unless_its_role_says_more() -> None:
    assert class_of(Role.GUSSET, PLATE).name == "IfcPlate"
    assert class_of(Role.HINGE, PLATE).name == "IfcDiscreteAccessory"
    assert class_of(Role.HOOP, Part()).predefined == "USERDEFINED"
    assert class_of(Role.RAIL, Part()).predefined != "USERDEFINED"
