"""Tables of the design that give the shape: profile and bays."""

from typing import Self

from pydantic import model_validator

from frame3d.design.tables.fields import AngleRad, DesignTable, LengthMm, RadiusMm, Whole, field
from frame3d.errors import DesignError
from frame3d.geometry.arch.arch import ArchStyle, Measured


class Profile(DesignTable):
    """The shape of the hoops. Give what you know; the rest is worked out."""

    style: ArchStyle = field(
        "Hoop (bow) shape: gothic (pointed) or quonset (round)", default="gothic"
    )
    measured: Measured = field(
        "How width and ridge height are measured: to tube centres, outside, or inside (clear)",
        default="centres",
    )
    width: LengthMm | None = field("Width at the ground", optional=True, ge=1000, le=30000)
    ridge_height: LengthMm | None = field(
        "Height of the ridge above the ground", optional=True, ge=1000, le=20000
    )
    leg_height: LengthMm | None = field(
        "Height where the straight leg ends and the bend starts (springing)",
        optional=True,
        ge=0,
        le=8000,
    )
    leg_lean: AngleRad | None = field(
        "Inward lean of the legs; 0 deg is plumb", optional=True, ge=0, le=0.3
    )
    eave_radius: LengthMm | None = field(
        "Eave bend radius, to the centreline", optional=True, gt=0, le=30000
    )
    crown_radius: LengthMm | None = field(
        "Quonset: crown radius, to the centreline", optional=True, gt=0, le=1e6
    )
    rafter_radius: RadiusMm | None = field(
        'Gothic: rafter radius, to the centreline, or "straight"', optional=True, gt=0
    )
    ridge_slope: AngleRad | None = field(
        "Gothic: rafter slope at the ridge, from level", optional=True, gt=0, le=1.4
    )

    @model_validator(mode="after")
    def _fields_of_the_style(self) -> Self:
        wrong = {
            ArchStyle.QUONSET: ("rafter_radius", "ridge_slope"),
            ArchStyle.GOTHIC: ("crown_radius",),
        }
        for name in wrong[self.style]:
            if getattr(self, name) is not None:
                other = "gothic" if self.style is ArchStyle.QUONSET else "quonset"
                raise DesignError(
                    f"{name} belongs to a {other} profile, but style is {self.style.value}; "
                    f"remove {name} or change style",
                    name,
                )
        if self.width is None and self.ridge_height is None:
            raise DesignError(
                "gives neither width nor ridge_height; give at least one, preferably both"
            )
        return self


class Bays(DesignTable):
    """How many hoops, and how far apart, between centres."""

    count: Whole | None = field(
        "Number of bays; there is one hoop more", optional=True, ge=1, le=400
    )
    spacing: LengthMm | None = field(
        "Hoop spacing, centre to centre", optional=True, ge=300, le=6000
    )
    length: LengthMm | None = field(
        "Length from the first hoop to the last", optional=True, ge=300, le=600000
    )
    largest_spacing: LengthMm | None = field(
        "With length: bays are equal and no wider than this", optional=True, ge=300, le=6000
    )
