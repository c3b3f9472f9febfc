"""What the kernel leaves to chance in a STEP model, put in by a fixed rule.

The kernel numbers the members of an assembly from a count that runs on through the
process, and writes colours in the order of addresses in memory. Here members are
numbered from 1 and colours added in the order of the parts, so that the same frame
gives the same bytes. A colour is written once for each role.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from OCP.Interface import Interface_HArray1OfHAsciiString
from OCP.Standard import Standard_Transient
from OCP.StepData import StepData_SelectType, StepData_StepModel
from OCP.StepRepr import StepRepr_HArray1OfRepresentationItem, StepRepr_NextAssemblyUsageOccurrence
from OCP.StepShape import (
    StepShape_AdvancedBrepShapeRepresentation,
    StepShape_ManifoldSolidBrep,
    StepShape_ShapeDefinitionRepresentation,
)
from OCP.StepVisual import (
    StepVisual_ColourRgb,
    StepVisual_FillAreaStyle,
    StepVisual_FillAreaStyleColour,
    StepVisual_FillStyleSelect,
    StepVisual_HArray1OfFillStyleSelect,
    StepVisual_HArray1OfPresentationStyleAssignment,
    StepVisual_HArray1OfPresentationStyleSelect,
    StepVisual_HArray1OfSurfaceStyleElementSelect,
    StepVisual_MechanicalDesignGeometricPresentationRepresentation,
    StepVisual_PresentationStyleAssignment,
    StepVisual_PresentationStyleSelect,
    StepVisual_StyledItem,
    StepVisual_SurfaceSide,
    StepVisual_SurfaceSideStyle,
    StepVisual_SurfaceStyleElementSelect,
    StepVisual_SurfaceStyleFillArea,
    StepVisual_SurfaceStyleUsage,
)
from OCP.TCollection import TCollection_HAsciiString

from frame3d.frame.model.roles import Role
from frame3d.solids.write.role_colours import Colour, role_colour

K = TypeVar("K", bound=Standard_Transient | StepData_SelectType)


def text(value: str) -> TCollection_HAsciiString:
    """``value`` as the kernel has it."""
    return TCollection_HAsciiString(value)


def texts(value: str) -> Interface_HArray1OfHAsciiString:
    """A list of the one text ``value``."""
    return _list_of_one(Interface_HArray1OfHAsciiString, text(value))


def settle(model: StepData_StepModel, role_of: Mapping[str, Role]) -> None:
    """Number the members of ``model`` and colour its solids.

    Parameters
    ----------
    model : StepData_StepModel
        As transferred, before it is written.
    role_of : mapping of mark to Role
        For every product that has a solid.
    """
    entities = [model.Value(number) for number in range(1, model.NbEntities() + 1)]
    members = (e for e in entities if isinstance(e, StepRepr_NextAssemblyUsageOccurrence))
    for number, member in enumerate(members, start=1):
        member.SetId(text(str(number)))
    styles: dict[Role, StepVisual_PresentationStyleAssignment] = {}
    for entity in entities:
        if not isinstance(entity, StepShape_ShapeDefinitionRepresentation):
            continue
        shape = entity.UsedRepresentation()
        if not isinstance(shape, StepShape_AdvancedBrepShapeRepresentation):
            continue
        role = role_of[_product_name(entity)]
        if role not in styles:
            styles[role] = _style(role_colour(role))
        model.AddWithRefs(_coloured(shape, styles[role]))


def _product_name(entity: StepShape_ShapeDefinitionRepresentation) -> str:
    definition = entity.Definition().Value().Definition().Value()
    name: str = definition.Formation().OfProduct().Name().ToCString()
    return name


def _list_of_one(kind: type[K], value: Standard_Transient | StepData_SelectType) -> K:
    result: K = kind(1, 1)
    result.SetValue(1, value)
    return result


def _selected(kind: type[K], value: Standard_Transient) -> K:
    result: K = kind()
    result.SetValue(value)
    return result


def _style(colour: Colour) -> StepVisual_PresentationStyleAssignment:
    """Surfaces filled with ``colour`` on both sides, in the seven steps of the standard."""
    rgb = StepVisual_ColourRgb()
    rgb.Init(text(""), *colour)
    fill = StepVisual_FillAreaStyleColour()
    fill.Init(text(""), rgb)
    area = StepVisual_FillAreaStyle()
    fills = _selected(StepVisual_FillStyleSelect, fill)
    area.Init(text(""), _list_of_one(StepVisual_HArray1OfFillStyleSelect, fills))
    surface = StepVisual_SurfaceStyleFillArea()
    surface.Init(area)
    side = StepVisual_SurfaceSideStyle()
    element = _selected(StepVisual_SurfaceStyleElementSelect, surface)
    side.Init(text(""), _list_of_one(StepVisual_HArray1OfSurfaceStyleElementSelect, element))
    usage = StepVisual_SurfaceStyleUsage()
    usage.Init(StepVisual_SurfaceSide.StepVisual_ssBoth, side)
    assignment = StepVisual_PresentationStyleAssignment()
    chosen = _selected(StepVisual_PresentationStyleSelect, usage)
    assignment.Init(_list_of_one(StepVisual_HArray1OfPresentationStyleSelect, chosen))
    return assignment


def _coloured(
    shape: StepShape_AdvancedBrepShapeRepresentation,
    style: StepVisual_PresentationStyleAssignment,
) -> StepVisual_MechanicalDesignGeometricPresentationRepresentation:
    items = (shape.ItemsValue(number) for number in range(1, shape.NbItems() + 1))
    solid = next(item for item in items if isinstance(item, StepShape_ManifoldSolidBrep))
    styled = StepVisual_StyledItem()
    styled.SetName(text("colour"))
    styled.SetStyles(_list_of_one(StepVisual_HArray1OfPresentationStyleAssignment, style))
    # Not by Init, which takes any entity and loses this one.
    styled.SetItem(solid)
    result = StepVisual_MechanicalDesignGeometricPresentationRepresentation()
    result.Init(
        text(""),
        _list_of_one(StepRepr_HArray1OfRepresentationItem, styled),
        shape.ContextOfItems(),
    )
    return result
