"""Walks from the designs that a user starts from, with end walls and doors of all kinds."""

from __future__ import annotations

import random

from walks import STARTS, start

from frame3d.units import UnitSystem

_TOPS = {"timber": ["notched", "bolted"], "tube": ["clamped", "flattened"]}


class WallWalk:
    """A starter with another end wall and other doors, drawn from a seed."""

    def __init__(self, seed: int) -> None:
        self.draw = random.Random(seed)
        self.style, self.units = self.draw.choice(STARTS)
        self.inches = self.units is UnitSystem.IMPERIAL
        self.design = start(self.style, self.units)
        self.design["end_wall"] = [self._wall()]
        self.design["door"] = [self._door() for _ in range(self.draw.choice([0, 1, 1, 1, 2]))]
        if self._one_in(4):
            self.design["hardware"] = self._hardware()
        if self._one_in(4):
            self.design["rail"][1]["fixing"] = self.draw.choice(["bolted", "clamped"])
        if self._one_in(4):
            self.design["bays"]["count"], self.design["brace"] = self.draw.choice([1, 2, 3]), []

    def _one_in(self, many: int) -> bool:
        return self.draw.randrange(many) == 0

    def _length(self, low: int, high: int) -> str:
        """A multiple of 2 in, or of 50 mm: about as many."""
        count = self.draw.randint(low, high)
        return f"{2 * count} in" if self.inches else f"{50 * count} mm"

    def _wall(self) -> dict:
        studs = self.draw.choice(["timber", "tube"])
        wall = {"studs": studs, "top": self.draw.choice(_TOPS[studs])}
        if studs == "timber":
            wall["foot"] = self.draw.choice(["sill", "ground"])
        if self._one_in(3):
            wall["largest_spacing"] = self._length(12, 36)
        if self._one_in(2):
            wall["girts"] = list(
                dict.fromkeys(self._length(6, 60) for _ in range(self.draw.randint(1, 3)))
            )
        if self._one_in(3):
            wall["braces"] = self.draw.choice(["none", "pair", "all"])
        if self._one_in(3):
            wall["brace_height"] = self._length(8, 40)
        return wall

    def _door(self) -> dict:
        kind = self.draw.choice(["hinged", "sliding", "roll-up"])
        door = {
            "at": self.draw.choice(["front", "back", "both"]), "kind": kind,
            "width": self._length(14, 48), "height": self._length(30, 46),
            "hand": self.draw.choice(["left", "right"]), "swing": self.draw.choice(["in", "out"]),
            "threshold": self.draw.choice(["board", "none"]),
        }  # fmt: skip
        if kind != "roll-up":
            door["leaves"] = self.draw.choice([1, 2])
        if self._one_in(2):
            door["position"] = self.draw.choice(["", "-"]) + self._length(0, 36)
        return door

    def _hardware(self) -> dict:
        if self.inches:
            return {"system": "inch", "board_bolt": self.draw.choice(["1/4-20", "1/2-13"])}
        return {"system": "metric", "board_bolt": self.draw.choice(["M6", "M12"])}


__all__ = ["WallWalk"]
