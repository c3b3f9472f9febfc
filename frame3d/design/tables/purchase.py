"""The table of the design about ordering: cutting, spares, grades, the user's own lists."""

from __future__ import annotations

import enum

from frame3d.design.tables.fields import DesignTable, FileName, LengthMm, Number, Text, Whole, field

_LONGEST_PATH = 200


class CuttingGoal(enum.Enum):
    """What the cutting plans save."""

    LEAST_WASTE = "least waste"
    LEAST_COST = "least cost"


class Order(DesignTable):
    """What is ordered and how it is cut: saw, stock, spares, prices.

    Nothing here changes the frame itself.
    """

    goal: CuttingGoal = field(
        "What the cutting plans save; least cost needs a price for every stock length",
        default="least waste",
    )
    planning_time: Number = field(
        "Seconds that the cutting plan of one section may take",
        default=5.0,
        ge=0.1,
        le=600,
        why="what is not proven the best by then is told with how far it may be from it",
    )
    tube_kerf: LengthMm = field(
        "Width of a saw cut in tube", imperial="1/8 in", metric="3 mm", ge=0, le=20
    )
    timber_kerf: LengthMm = field(
        "Width of a saw cut in boards", imperial="1/8 in", metric="3 mm", ge=0, le=20
    )
    end_trim: LengthMm = field(
        "Length of every bar or board that is cut away before it is used, both ends together",
        imperial="0 in",
        metric="0 mm",
        ge=0,
        le=500,
    )
    shortest_offcut: LengthMm = field(
        "Shortest offcut that is worth keeping", imperial="24 in", metric="600 mm", ge=0, le=6000
    )
    straight_end: LengthMm = field(
        "Straight length that the rolls must grip at each end of a bent piece; where the piece "
        "has less, the difference is added to what is cut and trimmed off after bending",
        imperial="0 in",
        metric="0 mm",
        ge=0,
        le=2000,
        why="ask the bender",
    )
    spare_percent: Number = field(
        "Spare hardware, in percent of what is needed",
        default=5.0,
        ge=0,
        le=100,
        why="some is lost in the grass (common practice)",
    )
    spare_least: Whole = field(
        "Spare hardware, at least so many of each size", default=2, ge=0, le=1000
    )
    bolt_pack: Whole = field("Bolts in a pack", default=1, ge=1, le=10000)
    nut_pack: Whole = field("Nuts in a pack", default=1, ge=1, le=10000)
    washer_pack: Whole = field("Washers in a pack", default=1, ge=1, le=10000)
    screw_pack: Whole = field("Screws in a pack", default=1, ge=1, le=10000)
    bolt_grade: Text = field(
        "Grade of bolts and nuts that is ordered",
        imperial="ASTM A307 grade A",
        metric="ISO 898-1 class 8.8",
        min_length=1,
        max_length=40,
        why="an ordinary bolt; no statement about strength",
    )
    finish: Text = field(
        "Finish of all hardware that is ordered",
        default="hot-dip galvanized",
        min_length=1,
        max_length=40,
    )
    zinc: Number | None = field(
        "Grams of zinc on each square metre of steel surface, to be counted in the masses of "
        "tubes and plates; left out, they are those of the bare steel",
        optional=True,
        ge=0,
        le=1500,
        why="7.14 for each micrometre of thickness",
    )
    price_file: FileName | None = field(
        "Your price list, a CSV file beside this design; frame3d takeoff writes one to fill in",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )
    stock_file: FileName | None = field(
        "Your list of lengths that can be bought and of what lies in the yard, a CSV file beside "
        "this design with the columns section, length, count, owned, price",
        optional=True,
        min_length=1,
        max_length=_LONGEST_PATH,
    )


__all__ = ["CuttingGoal", "Order"]
