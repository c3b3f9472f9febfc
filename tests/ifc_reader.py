"""IFC files as IfcOpenShell has them: what is wrong with them, and their shapes for the kernel."""

from __future__ import annotations

import ast
import tempfile
import warnings
from pathlib import Path
from unittest import mock

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.validate
import numpy as np
from OCP.BRep import BRep_Builder
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

_MM_PER_M = 1000.0


def faults_of(file: ifcopenshell.file) -> list[str]:
    """What breaks the schema IFC4 or one of its EXPRESS rules."""
    log = ifcopenshell.validate.json_logger()
    # It has pytest rewrite 700 rules for the words of its messages, which takes 15 s a time; and
    # it leaves the file of its rules open.
    with mock.patch("_pytest.assertion.rewrite.rewrite_asserts", _named), warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)
        ifcopenshell.validate.validate(file, log, express_rules=True)
    return [str(one.get("message", one)) for one in log.statements]


def _named(mod: ast.Module, **_: object) -> None:
    """Let each rule say its own text when it is broken."""
    for node in ast.walk(mod):
        if isinstance(node, ast.Assert):
            node.msg = ast.copy_location(ast.Constant(ast.unparse(node.test)), node)


def exact_shape(element: ifcopenshell.entity_instance) -> TopoDS_Shape:
    """The shape of an element in its own axes, m: surfaces as the file says them, no triangles."""
    settings = ifcopenshell.geom.settings()
    settings.set("iterator-output", ifcopenshell.ifcopenshell_wrapper.SERIALIZED)
    made = ifcopenshell.geom.create_shape(settings, element)
    shape = TopoDS_Shape()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shape.brep"
        path.write_text(made.geometry.brep_data)
        BRepTools.Read_s(shape, str(path), BRep_Builder())
    return shape


def volume_and_centre(shape: TopoDS_Shape) -> tuple[float, np.ndarray]:
    """Volume, mm³, and its centre, mm."""
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found, 1e-6)
    at = found.CentreOfMass()
    return found.Mass() * _MM_PER_M**3, np.array((at.X(), at.Y(), at.Z())) * _MM_PER_M


def members_of(file: ifcopenshell.file) -> dict[str, list[ifcopenshell.entity_instance]]:
    """The elements that are members by their mark, in the order of the file."""
    found: dict[str, list[ifcopenshell.entity_instance]] = {}
    for element in file.by_type("IfcElement"):
        if element.is_a("IfcDoor"):
            continue
        found.setdefault(element.Tag, []).append(element)
    return found
