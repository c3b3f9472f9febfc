"""Small frames for tests of loads: of either family, at random, and without what holds them."""

from __future__ import annotations

import functools
import random
import re
from typing import TypeVar

from msgspec.structs import replace

from frame3d.catalog.sections import TubeSection
from frame3d.design.reading.reader import design_from_mapping, design_from_text
from frame3d.design.tables.fields import DesignTable, Table
from frame3d.design.tables.whole_design import Design
from frame3d.errors import DesignFaults
from frame3d.examples import example_paths
from frame3d.frame.located import laid_out
from frame3d.frame.model.members import Frame

__all__ = [
    "SMALL",
    "changed",
    "random_design",
    "short_example",
    "small_frame",
    "with_thicker_walls",
]

T = TypeVar("T", bound=DesignTable)

SMALL: Table = {
    "output": {"units": "metric"},
    "profile": {"style": "quonset", "width": "5 m", "ridge_height": "2.6 m",
                "leg_height": "0.4 m"},
    "bays": {"count": 2, "spacing": "1.5 m"},
    "rail": [{"at": "ridge"}, {"at": "sides", "fraction": 0.5}],
    "brace": [{"from_hoop": 1, "to_hoop": 3, "to_height": "1.4 m",
               "corners": ["front left", "front right"]}],
}  # fmt: skip
"""Three hoops with rails and two braces, alike on both sides."""


def changed(**sections: object) -> Table:
    """The small design with other sections; None leaves one out."""
    return {name: value for name, value in {**SMALL, **sections}.items() if value is not None}


def small_frame(**sections: object) -> Frame:
    """The frame of the small design with other sections."""
    return laid_out(design_from_mapping(changed(**sections)))


@functools.cache
def short_example(name: str, bays: int = 4) -> Frame:
    """An example with fewer bays."""
    text = example_paths()[name].read_text("utf-8")
    text = re.sub(r"(?m)^count = \d+", f"count = {bays}", text)
    text = re.sub(r'(?m)^length = "24 m"', f'length = "{1.5 * bays} m"', text)
    return laid_out(design_from_text(text))


def random_design(seed: int) -> Table:
    """A small frame at random that can be laid out: either family, with and without ties."""
    for attempt in range(50):
        chance = random.Random(1000 * seed + attempt)
        design = _one(chance)
        try:
            laid_out(design_from_mapping(design))
        except DesignFaults:
            continue
        return design
    raise AssertionError(f"no design can be laid out from seed {seed}")


def _one(chance: random.Random) -> Table:
    gothic = chance.random() < 0.5
    width = chance.uniform(4.0, 9.0)
    legs = f"{chance.uniform(0.4, 1.4):.2f} m"
    profile = {"style": "quonset", "width": f"{width:.2f} m", "leg_height": legs}
    if gothic:
        profile |= {
            "style": "gothic", "ridge_height": f"{width * chance.uniform(0.52, 0.62):.2f} m",
            "eave_radius": f"{chance.uniform(1.0, 1.5):.2f} m", "ridge_slope": "20 deg",
        }  # fmt: skip
    bays = chance.randint(2, 4)
    tubes = ["EN 10255 DN32 medium", "EN 10255 DN40 medium", "EN 10255 DN25 medium"]
    design: Table = {
        "output": {"units": "metric"},
        "profile": profile,
        "bays": {"count": bays, "spacing": f"{chance.uniform(1.0, 2.2):.2f} m"},
        "hoop": {"tube": chance.choice(tubes), "pieces": chance.choice([2, 4])},
        "rail": [{"at": "ridge"}, *(
            {"at": "sides", "fraction": round(chance.uniform(0.25, 0.7), 2)}
            for _ in range(chance.randint(0, 1)))],
        "brace": [{"from_hoop": 1, "to_hoop": bays + 1,
                   "corners": chance.choice([["front left", "back right"],
                                             ["front left", "front right"]])}],
    }  # fmt: skip
    if gothic:
        design["hoop"]["ridge_bend_radius"] = "400 mm"  # room for a thicker sleeve
    if chance.random() < 0.5:
        design["tie"] = [{"every": chance.choice([1, 2]), "webs": chance.choice([0, 2])}]
    return design


def with_thicker_walls(design: Design, factor: float) -> Design:
    """The same design with every tube's wall ``factor`` times as thick.

    Outside diameters are kept, but of what slides over another tube: that keeps its bore.
    """

    def wall(tube: TubeSection, *, over: bool = False) -> TubeSection:
        more = (factor - 1) * tube.wall_mm
        return replace(tube, name=f"{tube.name}, thicker", wall_mm=tube.wall_mm + more,
                       od_mm=tube.od_mm + 2 * more * over)  # fmt: skip

    def table(one: T, **over: bool) -> T:
        tubes = {
            name: wall(tube, over=over.get(name, False))
            for name in type(one).model_fields
            if isinstance(tube := getattr(one, name), TubeSection)
        }
        return one.model_copy(update=tubes)

    return design.model_copy(
        update={
            "hoop": table(design.hoop, ridge_tube=True, splice_tube=True),
            "socket": table(design.socket, tube=True),
            "rail": tuple(map(table, design.rail)),
            "brace": tuple(map(table, design.brace)),
            "tie": tuple(map(table, design.tie)),
        }
    )
