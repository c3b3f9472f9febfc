"""Tables of the design that concern the whole: project, output, hardware."""

from __future__ import annotations

import enum
from typing import Annotated, Literal

from pydantic import model_validator

from frame3d.design.tables.fields import (
    WHOLE_ONLY,
    AngleRad,
    Date,
    DesignTable,
    LengthMm,
    Text,
    field,
)
from frame3d.errors import DesignError
from frame3d.units import UnitSystem


class SheetStandard(enum.Enum):
    """Whose sheet sizes the drawings use."""

    ISO = "iso"
    US = "us"


class LayerNames(enum.Enum):
    """How the layers of the drawing files are called."""

    PLAIN = "plain"
    ISO_13567 = "iso 13567"


class ModelParts(enum.Enum):
    """Which parts are in a model file."""

    ALL = "all"
    MADE = "made"


class DxfVersion(enum.Enum):
    """Which programs can open the drawing files: those of that year and later ones."""

    R2018 = "R2018"
    R2000 = "R2000"


class FastenerSystem(enum.Enum):
    """Which bolts are bought."""

    INCH = "inch"
    METRIC = "metric"


class Project(DesignTable):
    """What the title block says."""

    name: Text = field("Name of the tunnel", min_length=1, max_length=60, default="New tunnel")
    number: Text = field(
        "Drawing number",
        min_length=1,
        max_length=16,
        default="T-01",
        why="ISO 7200 allows 16 characters",
    )
    revision: Text = field(
        "Revision of the drawings",
        min_length=1,
        max_length=2,
        default="-",
        why="ISO 7200 allows 2 characters (from memory)",
    )
    owner: Text = field("Who the drawings belong to", max_length=40, default="-")
    drawn_by: Text = field("Who drew it", max_length=20, default="-")
    approved_by: Text = field("Who approved it", max_length=20, default="-")
    date: Date = field(
        "Date of issue, year-month-day",
        default="-",
        why="never today's date by itself, so that two builds give the same files",
    )


class Output(DesignTable):
    """Units and paper."""

    units: UnitSystem = field("Units of everything that is printed", default="imperial")
    fraction: Annotated[Literal[2, 4, 8, 16, 32, 64], WHOLE_ONLY] = field(
        "Smallest fraction of an inch shown, as its denominator",
        default=16,
        why="1/16 in is what a tape measure shows",
    )
    decimals: Annotated[Literal[0, 1, 2], WHOLE_ONLY] = field(
        "Decimals of a millimetre shown", default=0, why="1 mm is what a tape measure shows"
    )
    sheets: SheetStandard = field("Whose sheet sizes are used", imperial="us", metric="iso")
    sheet_size: Literal["A4", "A3", "A2", "A1", "A0", "A", "B", "C", "D", "E"] = field(
        "Largest sheet: A4 to A0 (iso), A to E (us)",
        imperial="B",
        metric="A3",
        why="what an office printer takes",
    )
    layers: LayerNames = field(
        "Names of the layers in drawing files: plain English, or codes by ISO 13567",
        default="plain",
        why="anybody can read them",
    )
    dxf_version: DxfVersion = field(
        "Version of the drawing files; R2000 for old programs and machines",
        default="R2018",
    )
    mesh_tolerance: LengthMm = field(
        "How far triangles of model.stl and model.glb may be off a surface",
        default="0.5 mm",
        ge=0.01,
        le=10,
        why="less than a saw or a printer does",
    )
    mesh_angle: AngleRad = field(
        "Largest turn from one triangle to the next round a tube; twice as much elsewhere",
        default="12 deg",
        ge=0.017,
        le=0.36,
        why="30 faces round a tube look round, and the file can be mailed",
    )
    stl_parts: ModelParts = field(
        "What is in model.stl: all parts, or made ones alone, without bolts, screws and clamps",
        default="all",
    )
    step_parts: ModelParts = field("The same for model.step", default="all")

    @model_validator(mode="after")
    def _size_of_the_standard(self) -> Output:
        iso = len(self.sheet_size) == 2
        if iso != (self.sheets is SheetStandard.ISO):
            sizes = "A4, A3, A2, A1, A0" if self.sheets is SheetStandard.ISO else "A, B, C, D, E"
            raise DesignError(
                f'got "{self.sheet_size}", which is not one of the {self.sheets.value} sizes '
                f"({sizes}); change sheet_size or sheets",
                "sheet_size",
            )
        return self


class Hardware(DesignTable):
    """The bolts."""

    system: FastenerSystem = field("Which bolts are bought", imperial="inch", metric="metric")
    frame_bolt: Text = field(
        "Bolt through sockets, rails and splices", imperial="3/8-16", metric="M10"
    )
    board_bolt: Text = field("Carriage bolt through boards", imperial="3/8-16", metric="M10")
