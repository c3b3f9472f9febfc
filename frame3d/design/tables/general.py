"""Tables of the design that concern the whole: project, revisions, output, hardware."""

import enum
from typing import Annotated, Literal, Self

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


class PrintedSet(enum.Enum):
    """Sheets that are printed by themselves, for those who need no others."""

    SITE = "site"
    SHOP = "shop"
    ERECTION = "erection"


class FilmShown(enum.Enum):
    """Whether film is in the model."""

    NOT_SHOWN = "not shown"
    SHOWN = "shown"


class OrderFiles(enum.Enum):
    """Files that an order needs besides the take-off."""

    REQUESTS = "requests"
    LABELS = "labels"


class FastenerSystem(enum.Enum):
    """Which bolts are bought."""

    INCH = "inch"
    METRIC = "metric"


class ClampBolts(enum.Enum):
    """Whether clamps are sold with their bolts."""

    INCLUDED = "included"
    APART = "bought separately"


class DoorFittings(enum.Enum):
    """How hinges, hangers and brackets of doors are come by."""

    MADE = "made"
    BOUGHT = "bought"


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
    owner: Text = field("Owner of the drawings", max_length=40, default="-")
    drawn_by: Text = field("Drawn by", max_length=20, default="-")
    approved_by: Text = field("Approved by", max_length=20, default="-")
    date: Date = field(
        "Date of issue, year-month-day",
        default="-",
        why="today's date is never filled in, so that two builds give the same files",
    )


class Revision(DesignTable):
    """A revision of the drawings. The last one is the revision in the title block."""

    mark: Text = field(
        "Its index, such as A",
        min_length=1,
        max_length=2,
        default="A",
        why="ISO 7200 allows 2 characters (from memory)",
    )
    date: Date = field(
        "Date, year-month-day",
        default="-",
        why="today's date is never filled in, so that two builds give the same files",
    )
    what: Text = field(
        "What was changed", min_length=3, max_length=200, default="state what was changed"
    )
    who: Text = field("Who changed it", max_length=20, default="-")


class Output(DesignTable):
    """Units and paper."""

    units: UnitSystem = field("Units used in everything printed", default="imperial")
    fraction: Annotated[Literal[2, 4, 8, 16, 32, 64], WHOLE_ONLY] = field(
        "Finest fraction of an inch shown: its denominator, such as 16",
        default=16,
        why="a tape measure reads to 1/16 in",
    )
    decimals: Annotated[Literal[0, 1, 2], WHOLE_ONLY] = field(
        "Decimals of a millimetre shown", default=0, why="a tape measure reads to 1 mm"
    )
    sheets: SheetStandard = field("Sheet sizes: ISO or US", imperial="us", metric="iso")
    sheet_size: Literal["A4", "A3", "A2", "A1", "A0", "A", "B", "C", "D", "E"] = field(
        "Largest sheet: A4 to A0 (iso), A to E (us)",
        imperial="B",
        metric="A3",
        why="fits an office printer; the next larger where the plan at 1:100 (1/8 in to the foot) "
        "is in fewer pieces on it",
    )
    layers: LayerNames = field(
        "Layer names in drawing files: plain English, or ISO 13567 codes",
        default="plain",
        why="anyone can read them",
    )
    dxf_version: DxfVersion = field(
        "DXF version; use R2000 for older programs and machines and for LibreCAD: running sizes "
        "and angles, which these may leave out, are lines and text in it",
        default="R2018",
    )
    mesh_tolerance: LengthMm = field(
        "How far the triangles of model.stl and model.glb may be from the true surface",
        default="0.5 mm",
        ge=0.01,
        le=10,
        why="finer than a saw or a printer works",
    )
    mesh_angle: AngleRad = field(
        "Largest angle from one triangle to the next round a tube; double elsewhere",
        default="12 deg",
        ge=0.017,
        le=0.36,
        why="30 faces look round, and the file stays small enough to mail",
    )
    stl_parts: ModelParts = field(
        "What model.stl holds: all parts, or only those you make, without bolts, screws and clamps",
        default="all",
    )
    step_parts: ModelParts = field("The same for model.step", default="all")
    film: FilmShown = field(
        "Film, wire and cords in model.step, model.glb and view.html, under names of their own; "
        "never in model.stl",
        default="not shown",
        why="film hides the frame, and its thickness means nothing",
    )
    sets: tuple[PrintedSet, ...] = field(
        "Sheets printed apart too, as PDF files in the folder sheets: site (socket plan), shop "
        "(parts, hoops, schedules), erection (views, hoops, details)",
        default=[],
        max_length=3,
        why="sheets.pdf has them all",
    )
    order_files: tuple[OrderFiles, ...] = field(
        "What a build writes into the folder order: requests for quotation by kind of supplier, "
        "labels for made parts",
        default=[],
        max_length=2,
        why="frame3d takeoff --out writes both",
    )

    @model_validator(mode="after")
    def _size_of_the_standard(self) -> Self:
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

    system: FastenerSystem = field("Bolt sizes: inch or metric", imperial="inch", metric="metric")
    frame_bolt: Text = field("Bolt for sockets, rails and splices", imperial="3/8-16", metric="M10")
    board_bolt: Text = field("Carriage bolt for boards", imperial="3/8-16", metric="M10")
    door_bar_thickness: LengthMm = field(
        "Thickness of the plates of doors: hinges, hangers, brackets, guides",
        imperial="3/16 in", metric="5 mm", ge=3, le=8,
        why="flat bar that is stocked (common practice, no source)",
    )  # fmt: skip
    door_bar_width: LengthMm = field(
        "Width of the flat bar that straps and track brackets of doors are cut from; wider where "
        "a bolt needs it",
        imperial="1 1/2 in", metric="40 mm", ge=35, le=60,
        why="flat bar that is stocked (common practice, no source)",
    )  # fmt: skip
    clamp_bolts: ClampBolts = field(
        "Whether clamps for tube are sold with their bolts and nuts",
        default="included",
        why="clamps are sold complete (common practice, no source)",
    )
    door_fittings: DoorFittings = field(
        "Hinges, hangers, brackets and guides of doors: made from flat bar as they are drawn, or "
        "bought complete with pins and rollers",
        default="made",
        why="what is sold has other sizes; drawings show those that are made",
    )
