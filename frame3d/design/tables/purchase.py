"""The table of the design about ordering: cutting, spares, grades, the user's own lists."""

from __future__ import annotations

import enum

from frame3d.design.tables.fields import DesignTable, FileName, LengthMm, Number, Text, Whole, field

_LONGEST_PATH = 200


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
        "Width of a saw cut in tube", imperial="1/8 in", metric="3 mm", ge=0, le=20
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


__all__ = ["Bender", "CuttingGoal", "Order"]
