"""The tables of a plan file, as somebody writes them."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict, Field, JsonValue

MOST_CHOICES = 100_000


class _Table(BaseModel):
    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, populate_by_name=True,
        arbitrary_types_allowed=True,
    )  # fmt: skip


class StudyTable(_Table):
    """What is compared, by what, and how many."""

    base: str | None = Field(
        default=None, description="the design file that is varied, beside the plan"
    )
    ask: list[str] = Field(
        default=[],
        description='a list of names of figures, as in ask = ["cost", "mass_kg"]',
    )
    conditions: list[str] = Field(
        default=[], description='a list such as ["errors = 0", "headroom_mm >= 2 m"]'
    )
    goals: list[str] = Field(
        default=[], description='a list such as ["cost down", "headroom_mm up"]'
    )
    sample: int | None = Field(
        default=None, ge=1, le=1_000_000,
        description="a whole number from 1: how many designs to draw by a Latin hypercube; "
                    "without it, all combinations",
    )  # fmt: skip
    seed: int = Field(
        default=1, ge=0, description="a whole number from 0, by which the sample is drawn"
    )


class VaryTable(_Table):
    """A field that varies, or several that go together."""

    field: str | None = Field(
        default=None, description='a field of the design, such as "profile.width"'
    )
    fields: list[str] | None = Field(
        default=None,
        min_length=1,
        description='fields that vary together, ["hoop.tube", "socket.tube"]',
    )
    values: list[JsonValue] | None = Field(
        default=None, min_length=1, max_length=MOST_CHOICES,
        description="a list of values, or of lists with one for each of fields",
    )  # fmt: skip
    from_: str | int | float | None = Field(
        default=None, alias="from", description='the first value, such as "5 m"'
    )
    to: str | int | float | None = Field(default=None, description='the last value, such as "8 m"')
    step: str | int | float | None = Field(
        default=None, description='how far one value is from the next, such as "250 mm"'
    )


class PlanTable(_Table):
    """A whole plan."""

    study: StudyTable = Field(default_factory=StudyTable, description="a section [study]")
    vary: list[VaryTable] = Field(
        min_length=1, description="sections [[vary]], one for each field that varies"
    )
