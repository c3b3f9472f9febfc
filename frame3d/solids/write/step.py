"""STEP (AP214): an assembly of named members that share one solid for each part.

The tree is frame, then a group for each role, then members; the solid, its colour
and its mark are written once for each distinct part, and a member is a reference
to it with its placement. It goes straight to the kernel's document: a member costs
about 0.07 ms and 640 bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.gp import gp_Trsf
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity, Message_Printer
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_Controller, STEPControl_StepModelType
from OCP.StepData import StepData_StepModel
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

from frame3d import __version__
from frame3d.errors import OutputError
from frame3d.frame.describe.as_built import model_name
from frame3d.frame.describe.unmade import Unmade, names_in_model
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.geometry.placement import Placement
from frame3d.solids.kernel.solid import Solid
from frame3d.solids.write.model_names import member_names
from frame3d.solids.write.step_entities import settle, text, texts
from frame3d.writing import write_whole

# The same frame gives the same bytes, so the header has no time of its own.
_TIME_STAMP = "2000-01-01T00:00:00"
_PROBE_BYTES = 1 << 20


def write_step(
    frame: Frame, solids: Mapping[str, Solid], path: Path, unmade: Sequence[Unmade] = ()
) -> None:
    """Write every member of ``frame`` into a STEP file.

    Parameters
    ----------
    frame : Frame
    solids : mapping of mark to Solid
        As :func:`frame3d.solids.parts.make_solids.make_solids` returns them.
    path : Path
    unmade : sequence of Unmade
        Parts that are not as they should be; one without a solid is there by its name and places.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    with _document() as document:
        called = names_in_model(unmade)
        _fill(document, frame, solids, unmade)
        with quiet(), _curves_in_space_alone():
            writer = STEPCAFControl_Writer()
            writer.SetColorMode(False)
            writer.SetNameMode(True)
            if not writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs):
                raise OutputError(f"{path} cannot be written: the kernel refused the model")
            model = writer.ChangeWriter().Model()
            settle(model, {called.get(mark, mark): solid.role for mark, solid in solids.items()})
            _head(model)
            write_whole(path, lambda temporary: _save(writer, temporary))


_CURVES = "write.surfacecurve.mode"


@contextmanager
def _curves_in_space_alone() -> Iterator[None]:
    """Leave out each edge's curve in the parameters of its two faces.

    Readers have parameters of their own and work these out anyway; they are more than half of a
    file with bored bends. What is read back is as valid and as exact without.
    """
    STEPControl_Controller.Init_s()  # before that the choice is not there to be made
    before = Interface_Static.IVal_s(_CURVES)
    Interface_Static.SetIVal_s(_CURVES, 0)
    try:
        yield
    finally:
        Interface_Static.SetIVal_s(_CURVES, before)


def location(placement: Placement) -> TopLoc_Location:
    """``placement`` as the kernel has it."""
    rows = zip(placement.x, placement.y, placement.z, placement.origin, strict=True)
    transformation = gp_Trsf()
    transformation.SetValues(*(value for row in rows for value in row))
    return TopLoc_Location(transformation)


@contextmanager
def _document() -> Iterator[TDocStd_Document]:
    application = XCAFApp_Application.GetApplication_s()
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    application.InitDocument(document)
    try:
        yield document
    finally:
        # The application keeps every document that is not closed.
        if document.IsOpened():
            application.Close(document)


def _fill(
    document: TDocStd_Document,
    frame: Frame,
    solids: Mapping[str, Solid],
    unmade: Sequence[Unmade],
) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    root = _group(shapes, model_name(frame))
    parts: dict[str, TDF_Label] = {}
    groups: dict[Role, TDF_Label] = {}
    called = names_in_model(unmade)
    for member, name in zip(frame.members, member_names(frame.members, unmade), strict=True):
        mark = member.mark
        if mark not in parts:
            parts[mark] = _part(shapes, solids.get(mark), called.get(mark, mark))
        if member.role not in groups:
            groups[member.role] = _group(shapes, member.role.value)
        placed = shapes.AddComponent(groups[member.role], parts[mark], location(member.placement))
        _call(placed, name)
    for role, group in groups.items():
        _call(shapes.AddComponent(root, group, TopLoc_Location()), role.value)
    shapes.UpdateAssemblies()


def _part(shapes: XCAFDoc_ShapeTool, solid: Solid | None, name: str) -> TDF_Label:
    """A product; one without a solid is there by its name and places."""
    if solid is None:
        return _group(shapes, name)
    label = shapes.AddShape(solid.shape, False)
    _call(label, name)
    return label


def _group(shapes: XCAFDoc_ShapeTool, name: str) -> TDF_Label:
    label = shapes.NewShape()
    _call(label, name)
    return label


def _call(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))


def _head(model: StepData_StepModel) -> None:
    """Give the file a header that depends on nothing but the version."""
    header = APIHeaderSection_MakeHeader(model)
    header.SetName(text("frame"))
    header.SetTimeStamp(text(_TIME_STAMP))
    header.SetOriginatingSystem(text(f"frame3d {__version__}"))
    header.SetAuthorisation(text(""))
    header.SetAuthor(texts(""))
    header.SetOrganization(texts(""))


def _save(writer: STEPCAFControl_Writer, path: Path) -> None:
    # The kernel reports a file that cannot be opened or written without its reason, which
    # Python tells when it tries the same.
    path.touch()
    if writer.Write(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        with path.open("ab") as file:
            file.write(bytes(_PROBE_BYTES))
        raise OSError(f"the kernel could not write {path.name}")


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the kernel's chatter off the standard output, and its voice as it was."""
    levels = [(printer, printer.GetTraceLevel()) for printer in _printers()]
    for printer, _ in levels:
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
    try:
        yield
    finally:
        for printer, level in levels:
            printer.SetTraceLevel(level)


def _printers() -> list[Message_Printer]:
    return list(Message.DefaultMessenger_s().Printers())
