"""Walks from the designs that a user starts from: a few whole-foot or whole-decimetre changes."""

from __future__ import annotations

import copy
import random

from frame3d.design.values.field_info import sections
from frame3d.design.values.starter_values import start_values
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem

STARTS = tuple((style, units) for style in ArchStyle for units in UnitSystem)
"""The four designs that ``frame3d new`` writes."""


def start(style: ArchStyle, units: UnitSystem, *, walls: bool = True) -> dict:
    """The design that ``frame3d new`` writes, as a mapping; its end walls only if asked for.

    Its bays are counted, as the steps below change their number or their width alone.
    """
    found = {
        name: tables if sections()[name].several else tables[0]
        for name, tables in copy.deepcopy(start_values(style, units)).items()
    }
    found["project"] = {"name": "Walk"}
    imperial = units is UnitSystem.IMPERIAL
    found["bays"] = {"count": 12 if imperial else 10, "spacing": "4 ft" if imperial else "1.5 m"}
    if not walls:
        del found["end_wall"], found["door"]
    return found


def length(units: UnitSystem, feet: float) -> str:
    """A length as a user writes it: in feet, or as many times 3 dm."""
    return f"{feet:g} ft" if units is UnitSystem.IMPERIAL else f"{round(3 * feet)} dm"


class Walk:
    """One to four changes of a starter, drawn from a seed; what they were stands in ``told``."""

    def __init__(self, seed: int, *, walls: bool = True) -> None:
        self.draw = random.Random(seed)
        self.units = self.draw.choice(list(UnitSystem))
        self.style = self.draw.choice(list(ArchStyle))
        self.design = start(self.style, self.units, walls=walls)
        names = self.draw.sample(sorted(_STEPS), self.draw.randint(1, 4))
        self.told = [self.style.value, self.units.value, *names]
        for name in names:
            _STEPS[name](self)

    def feet(self, low: int, high: int) -> str:
        """A whole number of feet, or of decimetres in the same range."""
        if self.units is UnitSystem.IMPERIAL:
            return f"{self.draw.randint(low, high)} ft"
        return f"{100 * self.draw.randint(round(3.05 * low), round(3.05 * high))} mm"

    def inches(self, low: int, high: int) -> str:
        """A multiple of 6 in, or of 50 mm in the same range."""
        if self.units is UnitSystem.IMPERIAL:
            return f"{self.draw.randrange(low, high + 1, 6)} in"
        return f"{50 * self.draw.randint(low // 2, high // 2)} mm"

    def table(self, name: str) -> dict:
        """A section, the first where there may be several; added where there is none."""
        if sections()[name].several:
            tables = self.design.setdefault(name, [])
            if not tables:
                tables.append({})
            return tables[0]
        return self.design.setdefault(name, {})

    def any_of(self, *values):
        """One of them."""
        return self.draw.choice(values)


def _rail(walk: Walk) -> None:
    walk.design["rail"].append({
        "at": "sides", "height": walk.feet(2, 11), "fixing": walk.any_of("bolted", "clamped"),
        "face": walk.any_of("inside", "outside"),
    })  # fmt: skip


def _rail_height(walk: Walk) -> None:
    walk.table("rail").pop("fraction", None)
    walk.table("rail")["height"] = walk.feet(2, 11)


def _rail_fraction(walk: Walk) -> None:
    walk.table("rail").pop("height", None)
    walk.table("rail")["fraction"] = walk.draw.randint(1, 9) / 10


def _brace(walk: Walk) -> None:
    walk.design["brace"].append({
        "from_hoop": walk.draw.randint(1, 4), "to_hoop": 5,
        "from_height": walk.feet(2, 3), "to_height": walk.feet(4, 8),
    })  # fmt: skip


def _hip_rail(walk: Walk) -> None:
    walk.table("side_opening").update(hip="rail", fixing=walk.any_of("bolted", "clamped"))


def _no_sill(walk: Walk) -> None:
    walk.design.pop("sill_board", None)


def _set(section: str, name: str, value):
    def step(walk: Walk) -> None:
        walk.table(section)[name] = value(walk)

    return step


_CORNERS = ["front left", "front right", "back left", "back right"]
_STEPS = {
    "width": _set("profile", "width", lambda w: w.feet(18, 24)),
    "ridge": _set("profile", "ridge_height", lambda w: w.feet(11, 13)),
    "leg": _set("profile", "leg_height", lambda w: w.feet(2, 4)),
    "bays": _set("bays", "count", lambda w: w.draw.randint(4, 24)),
    "spacing": _set("bays", "spacing", lambda w: w.feet(3, 6)),
    "rail": _rail,
    "rail height": _rail_height,
    "rail fraction": _rail_fraction,
    "rail face": _set("rail", "face", lambda w: w.any_of("inside", "outside")),
    "rail fixing": _set("rail", "fixing", lambda w: w.any_of("bolted", "clamped")),
    "brace": _brace,
    "brace from": _set("brace", "from_height", lambda w: w.feet(2, 4)),
    "brace to": _set("brace", "to_height", lambda w: w.feet(5, 9)),
    "brace hoop": _set("brace", "to_hoop", lambda w: w.any_of(1, 3, 4, 5)),
    "brace corners": _set("brace", "corners", lambda w: _CORNERS),
    "opening": _set("side_opening", "hip", lambda w: "board"),
    "hip height": _set("side_opening", "height", lambda w: w.feet(3, 5)),
    "hip rail": _hip_rail,
    "end stop": _set("side_opening", "end_stop", lambda w: w.inches(12, 42)),
    "hip stock": _set("side_opening", "stock_length", lambda w: w.feet(8, 20)),
    "sill stock": _set("sill_board", "stock_length", lambda w: w.feet(8, 20)),
    "no sill": _no_sill,
    "tie": _set("tie", "ends", lambda w: "without"),
    "tie height": _set("tie", "height", lambda w: w.feet(7, 10)),
    "tie every": _set("tie", "every", lambda w: w.draw.randint(1, 3)),
    "tie joint": _set("tie", "joint", lambda w: w.any_of("clamped", "plates")),
    "tie post": _set("tie", "post", lambda w: w.any_of("none", "king post")),
    "tie webs": _set("tie", "webs", lambda w: w.any_of(0, 2)),
    "hoop pieces": _set("hoop", "pieces", lambda w: w.any_of(2, 4)),
}

__all__ = ["STARTS", "Walk", "length", "start"]
