"""The table of the design about ordering: cutting, spares, grades, the user's own lists."""

import enum
from typing import Annotated, Self

from annotated_types import Ge, Le
from msgspec import Struct
from pydantic import AfterValidator, model_validator

from frame3d.design.tables.fields import (
    Date,
    DesignTable,
    FileName,
    LengthMm,
    Number,
    Text,
    Whole,
    field,
)
from frame3d.errors import DesignError

_LONGEST_PATH = 200
_LONGEST_NAME = 24
SUPPLY_KINDS = ("steel", "timber", "fasteners", "cover", "doors")
"""Kinds of supplier that an order is parted by, where it says nothing else."""


class SupplyGroup(Struct, frozen=True, kw_only=True):
    """Things that are asked for together: a name, kinds of supplier, beginnings of items."""

    name: str
    kinds: tuple[str, ...]
    beginnings: tuple[str, ...]


def supply_group(text: str) -> SupplyGroup:
    """The group that a text such as ``yard: steel + timber`` names.

    It has no comma, as forms part the items of a list by commas.

    Raises
    ------
    ValueError
        If it is none.
    """
    name, colon, rest = (part.strip() for part in text.partition(":"))
    parts = tuple(filter(None, (part.strip() for part in rest.split("+"))))
    if not colon or not name or not parts or len(name) > _LONGEST_NAME or "," in text:
        raise ValueError(
            f'got "{text}"; it must be a name of at most {_LONGEST_NAME} characters, a colon, and '
            f"what is asked for there: {', '.join(SUPPLY_KINDS)}, or how an item of the take-off "
            'begins, with + between and no comma: "yard: steel + timber + hex bolt"'
        )
    return SupplyGroup(
        name=name,
        kinds=tuple(part for part in parts if part in SUPPLY_KINDS),
        beginnings=tuple(part for part in parts if part not in SUPPLY_KINDS),
    )


def _group_text(text: str) -> str:
    supply_group(text)
    return text


class CuttingGoal(enum.Enum):
    """What the cutting plans save."""

    LEAST_WASTE = "least waste"
    LEAST_COST = "least cost"


class Bender(enum.Enum):
    """What kind of machine bends the tubes."""

    ROLLS = "rolls"
    ROTARY = "rotary"


class Order(DesignTable):
    """Ordering and cutting: saw, stock, spares, prices.

    Nothing here changes the frame itself.
    """

    goal: CuttingGoal = field(
        "What the cutting plans minimize; least cost needs a price for every stock length",
        default="least waste",
    )
    planning_time: Number = field(
        "Time limit for the cutting plan of each section, seconds",
        default=5.0,
        ge=0.1,
        le=600,
        why="a plan not proven best by then is reported with how much could still be saved",
    )
    tube_kerf: LengthMm = field(
        "Width of a saw cut in tube, channel and flat bar",
        imperial="1/8 in",
        metric="3 mm",
        ge=0,
        le=20,
    )
    timber_kerf: LengthMm = field(
        "Width of a saw cut in boards", imperial="1/8 in", metric="3 mm", ge=0, le=20
    )
    end_trim: LengthMm = field(
        "Trim: length cut off every bar or board before use, both ends together",
        imperial="0 in",
        metric="0 mm",
        ge=0,
        le=500,
    )
    shortest_offcut: LengthMm = field(
        "Shortest offcut worth keeping", imperial="24 in", metric="600 mm", ge=0, le=6000
    )
    straight_end: LengthMm = field(
        "Grip length: straight length the bender needs at each end of a bent piece; where "
        "the piece has less, the difference is added to the cut length and trimmed off "
        "after bending",
        imperial="0 in",
        metric="0 mm",
        ge=0,
        le=2000,
        why="ask the bender",
    )
    bender: Bender = field(
        "Machine that bends the tubes: rolls, or a rotary bender with a die for each radius",
        default="rolls",
        why="few rotary benders have dies for the radii of hoops (common practice)",
    )
    spare_percent: Number = field(
        "Spare hardware, percent of the quantity needed",
        default=5.0,
        ge=0,
        le=100,
        why="some gets lost in the grass (common practice)",
    )
    spare_least: Whole = field(
        "Spare hardware, at least this many of each size", default=2, ge=0, le=1000
    )
    bolt_pack: Whole = field("Bolts in a pack", default=1, ge=1, le=10000)
    nut_pack: Whole = field("Nuts in a pack", default=1, ge=1, le=10000)
    washer_pack: Whole = field("Washers in a pack", default=1, ge=1, le=10000)
    screw_pack: Whole = field("Screws in a pack", default=1, ge=1, le=10000)
    bolt_grade: Text = field(
        "Grade of bolts and nuts to order",
        imperial="ASTM A307 grade A",
        metric="ISO 898-1 class 8.8",
        min_length=1,
        max_length=40,
        why="an ordinary bolt; says nothing about the strength of the frame",
    )
    finish: Text = field(
        "Finish of all hardware to order",
        default="hot-dip galvanized",
        min_length=1,
        max_length=40,
    )
    bar_lengths: tuple[Annotated[LengthMm, Ge(300), Le(30000)], ...] = field(
        "Lengths of bar you can buy, for all tube. Default: those of the catalogue, and those "
        "that rails name",
        default=[],
        max_length=12,
        why="for sections in your stock list that list decides",
    )
    flat_bar_lengths: tuple[Annotated[LengthMm, Ge(300), Le(15000)], ...] = field(
        "Lengths of flat bar you can buy, for the straps and bent plates of doors",
        imperial=["20 ft"],
        metric=["6 m"],
        min_length=1,
        max_length=12,
        why="the usual trade length (common practice, no source)",
    )
    groups: tuple[Annotated[Text, AfterValidator(_group_text)], ...] = field(
        "What you ask for together, in place of one request each for steel, timber, fasteners, "
        "cover and doors: a name, a colon, then such kinds or beginnings of items with + between",
        default=[],
        max_length=12,
        why="one request for each kind of supplier",
    )
    reply_by: Date = field(
        "Date by which you want quotations, year-month-day", default="-", why="left blank"
    )
    deliver_by: Date = field(
        "Date by which you want the goods, year-month-day", default="-", why="left blank"
    )
    alternatives: Text = field(
        "What you accept in place of what is asked for; requests for quotation say it",
        default="only what we agree to; say what differs",
        min_length=1,
        max_length=100,
    )
    zinc: Number | None = field(
        "Zinc coating, grams per square metre of steel surface, added to the weights of "
        "tubes and plates. Default: weights are of bare steel",
        optional=True,
        ge=0,
        le=1500,
        why="7.14 per micrometre of thickness",
    )
    price_file: FileName | None = field(
        "Your price list, a CSV file in this design's folder; frame3d takeoff writes a blank one",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )
    stock_file: FileName | None = field(
        "Your list of stock lengths you can buy and of what you have on hand, a CSV file "
        "in this design's folder with the columns section, length, count, owned, price",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        """A group is named once, and so is what is in it."""
        seen: dict[str, str] = {}
        for group in self.supply_groups:
            for text in (f"{group.name}:", *group.kinds, *group.beginnings):
                if (key := text.casefold()) in seen:
                    raise DesignError(
                        f'"{text.removesuffix(":")}" is in two groups, {seen[key]} and '
                        f"{group.name}; leave it in one",
                        "groups",
                    )
                seen[key] = group.name
        return self

    @property
    def supply_groups(self) -> tuple[SupplyGroup, ...]:
        """The user's own groups."""
        return tuple(supply_group(text) for text in self.groups)
