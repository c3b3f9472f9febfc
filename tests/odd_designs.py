"""Whole designs with what few ask for: odd sizes, sections given by numbers, every table.

``whole_designs`` draws what tunnels are like; here some of it is pushed to where the schema
ends, and the tables that it leaves to their defaults are filled in.
"""

from __future__ import annotations

import copy
import math
import re

from hypothesis import strategies as st
from whole_designs import CORNERS, designs, mm

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame

BOLTS = {"inch": ["1/4-20", "5/16-18", "3/8-16", "7/16-14", "1/2-13"],
         "metric": ["M6", "M8", "M10", "M12"]}  # fmt: skip
SIZES = {"iso": ["A4", "A3", "A2", "A1", "A0"], "us": ["A", "B", "C", "D", "E"]}
COMPASS = ["north", "north-east", "east", "south-east", "south", "south-west", "west",
           "north-west"]  # fmt: skip
TIMBERS = {
    "imperial": ["1x6", "2x4", "2x6", "2x10", "2x12", "4x4", "6x6", "5/4x6"],
    "metric": ["22x100", "25x200", "38x89", "38x235", "47x75", "47x150"],
}
NAMES = ["Property", "W", "Ærø & Søn's <tunnel> No. 7 “north”", "Long name " * 5]


@st.composite
def tubes(draw, low: float = 25.0, high: float = 70.0) -> dict:
    """A tube by its numbers."""
    outside = round(draw(st.floats(low, high)), 1)
    return {"outside": f"{outside} mm", "wall": f"{round(draw(st.floats(1.2, 4.0)), 2)} mm"}


@st.composite
def timbers(draw, units: str):
    """A board by its name or by its numbers."""
    if draw(st.booleans()):
        return draw(st.sampled_from(TIMBERS[units]))
    thick = draw(st.integers(18, 75))
    return {"thickness": f"{thick} mm", "depth": f"{draw(st.integers(max(thick, 60), 260))} mm"}


@st.composite
def outputs(draw, units: str) -> dict:
    sheets = draw(st.sampled_from(["iso", "us"]))
    return {
        "units": units, "sheets": sheets,
        "sheet_size": draw(st.sampled_from(SIZES[sheets])),
        "fraction": draw(st.sampled_from([2, 4, 8, 16, 32, 64])),
        "decimals": draw(st.sampled_from([0, 1, 2])),
        "layers": draw(st.sampled_from(["plain", "iso 13567"])),
        "dxf_version": draw(st.sampled_from(["R2018", "R2000"])),
    }  # fmt: skip


@st.composite
def machines(draw) -> dict:
    machine = {
        "name": draw(st.sampled_from(["Machine", "Bed former", "M" * 40])),
        "passes": draw(st.sampled_from(["one", "every", "none"])),
        "margin": draw(mm(0, 400)),
    }
    if draw(st.integers(0, 2)) == 0:
        corners = draw(
            st.lists(
                st.tuples(st.integers(-900, 900), st.integers(0, 2200)), min_size=3, max_size=7
            )
        )
        if draw(st.integers(0, 3)):  # in order round a middle; else as they come, most refused
            u, v = (sum(c[k] for c in corners) / len(corners) for k in (0, 1))
            corners.sort(key=lambda c: math.atan2(c[1] - v, c[0] - u))
        machine["corners"] = [f"{x} mm at {z} mm" for x, z in corners]
    else:
        width, height = draw(st.integers(300, 4000)), draw(st.integers(300, 3500))
        machine |= {"width": f"{width} mm", "height": f"{height} mm"}
        if draw(st.booleans()):
            machine["top_width"] = f"{draw(st.integers(0, width))} mm"
            machine["shoulder_height"] = f"{draw(st.integers(0, height))} mm"
    if draw(st.booleans()):
        machine["wall_distance"] = draw(mm(0, 2000))
    return machine


@st.composite
def neighbours(draw) -> dict:
    return {
        "name": draw(st.sampled_from(["Neighbour", "Barn", "N" * 40])),
        "kind": draw(st.sampled_from(
            ["building", "tree", "tunnel", "fence", "overhead line", "other"])),
        "side": draw(st.sampled_from(["front", "back", "left", "right"])),
        "distance": draw(mm(0, 20000)), "height": draw(mm(0, 30000)),
    }  # fmt: skip


@st.composite
def surroundings(draw) -> dict:
    """The tables that change nothing in the frame: people, machines, ground, neighbours, order."""
    return {
        "machine": draw(st.lists(machines(), max_size=2)),
        "nearby": draw(st.lists(neighbours(), max_size=2)),
        "surroundings": {"front_faces": draw(st.sampled_from(COMPASS)),
                         "wind_from": draw(st.sampled_from(COMPASS))},
        "clearance": {
            "walking_lines": draw(st.lists(
                st.integers(-2000, 2000).map(lambda x: f"{x} mm"), max_size=3)),
            "walking_width": draw(mm(0, 1500)),
            "bed_edges": draw(st.lists(mm(0, 2500), max_size=3)),
            "bed_headroom": draw(mm(100, 2500)),
            "leaf_gap": draw(mm(0, 60)), "leaf_ground": draw(mm(0, 120)),
        },
        "tolerances": {"set_out": draw(st.sampled_from(["tape", "neighbour"])),
                       "spread": draw(st.sampled_from(["normal", "uniform"])),
                       "socket_spacing": draw(mm(0, 60)), "persuasion": draw(mm(0, 40))},
        "staking": {"corner": draw(st.sampled_from(CORNERS)),
                    "string": draw(st.sampled_from(["level", "slope"])),
                    "baseline": draw(mm(0, 5000)), "stake_distance": draw(mm(300, 4000))},
        "order": {
            "straight_end": draw(mm(0, 600)), "end_trim": draw(mm(0, 50)),
            "bender": draw(st.sampled_from(["rolls", "rotary"])),
            "tube_kerf": draw(mm(0, 6)), "planning_time": 0.3,
            "spare_percent": float(draw(st.integers(0, 30))),
            "bolt_pack": draw(st.sampled_from([1, 25, 100])),
            "bar_lengths": draw(st.sampled_from([[], ["6 m"], ["20 ft", "24 ft"]])),
            "flat_bar_lengths": draw(st.lists(mm(300, 7000), min_size=1, max_size=3)),
            "groups": draw(st.sampled_from([[], ["yard: steel + timber", "shop: hex + doors"]])),
        },
        "revision": draw(st.sampled_from([
            [], [{}], [{"mark": "A", "date": "2026-10-01", "what": "First issue", "who": "A. B."},
                       {"mark": "B", "what": "Longer " * 28}],
        ])),
        "labels": draw(st.sampled_from([
            {}, {"each": "piece", "rows": 14, "columns": 4}, {"columns": 1, "skip": 7},
        ])),
        "cover": {"side_allowance": draw(mm(0, 1500)), "end_allowance": draw(mm(0, 2500)),
                  "channel_length": draw(mm(500, 7000))},
    }  # fmt: skip


@st.composite
def hardware(draw) -> dict:
    system = draw(st.sampled_from(["inch", "metric"]))
    found = {"system": system}
    if draw(st.booleans()):
        found["frame_bolt"] = draw(st.sampled_from(BOLTS[system]))
        found["board_bolt"] = draw(st.sampled_from(BOLTS[system]))
    return found


@st.composite
def sockets(draw, tube) -> dict:
    length, upper = draw(st.integers(500, 1800)), draw(st.integers(30, 200))
    lower = upper + draw(st.integers(40, 250))
    exposed = lower + draw(st.integers(20, 300))
    return {
        "tube": tube, "length": f"{max(length, exposed + 200)} mm", "exposed": f"{exposed} mm",
        "upper_hole": f"{upper} mm", "lower_hole": f"{lower} mm",
        "insertion": f"{lower + draw(st.integers(30, 200))} mm",
    }  # fmt: skip


@st.composite
def extremes(draw) -> dict:
    """A profile and bays at the ends of what the schema takes."""
    kind = draw(st.sampled_from(["wide and low", "tiny", "steep", "long", "close", "far"]))
    gothic = draw(st.booleans())
    profile: dict = {"style": "gothic" if gothic else "quonset"}
    bays = {"count": draw(st.integers(1, 5)), "spacing": draw(mm(900, 2000))}
    width, leg = draw(st.integers(3000, 9000)), draw(st.integers(300, 1500))
    share = draw(st.floats(0.35, 0.5))
    if kind == "wide and low":
        width, share = draw(st.integers(12000, 30000)), draw(st.floats(0.1, 0.3))
    elif kind == "tiny":
        width, leg, share = draw(st.integers(1000, 2200)), draw(st.integers(300, 700)), 0.5
    elif kind == "steep":
        width, leg, share = (
            draw(st.integers(2000, 6000)),
            draw(st.integers(300, 4000)),
            draw(st.floats(0.5, 0.95 if gothic else 0.5)),
        )
    elif kind == "long":
        bays = {"length": draw(mm(60000, 300000)), "largest_spacing": draw(mm(1000, 6000))}
    elif kind == "close":
        bays["spacing"] = draw(mm(300, 500))
    else:
        bays["spacing"] = draw(mm(3500, 6000))
    profile |= {"width": f"{width} mm", "leg_height": f"{leg} mm",
                "ridge_height": f"{round(leg + share * width)} mm"}  # fmt: skip
    return {"profile": profile, "bays": bays}


@st.composite
def odd_designs(draw, most_bays: int = 12) -> dict:
    """A design as a mapping, most of it as ``designs`` draws it, some of it anything."""
    design = draw(designs(most_bays=most_bays, furnished=draw(st.booleans())))
    units = design["output"]["units"]
    if draw(st.booleans()):
        design["output"] = draw(outputs(units))
    if draw(st.integers(0, 2)) == 0:
        design |= draw(extremes())
        gothic = design["profile"]["style"] == "gothic"
        design["hoop"]["pieces"] = draw(st.sampled_from([2, 4] if gothic else [1, 2, 3, 4, 5]))
    elif draw(st.integers(0, 3)) == 0:
        design["bays"] = {"length": draw(mm(1500, 1500 * most_bays)),
                          "largest_spacing": draw(mm(700, 2500))}  # fmt: skip
    if draw(st.booleans()):
        design |= draw(surroundings())
    design["project"] = {"name": draw(st.sampled_from(NAMES)), "date": "2025-02-28",
                         "owner": draw(st.sampled_from(["-", "O" * 40])),
                         "number": draw(st.sampled_from(["T-01", "T" * 16]))}  # fmt: skip
    if draw(st.integers(0, 2)) == 0:
        design["hardware"] = draw(hardware())
    if draw(st.integers(0, 2)) == 0:
        design["socket"] = draw(sockets(design["socket"]["tube"]))
    _vary_sections(draw, design, units)
    return design


def _vary_sections(draw, design: dict, units: str) -> None:
    """Other tubes and boards, overlaps and overhangs than those that the units come with."""
    rare = st.integers(0, 3).map(lambda n: n == 0)
    for rail in design["rail"]:
        if draw(rare):
            rail |= {
                "tube": draw(tubes(high=60)),
                "overhang": draw(mm(10, 600)),
                "overlap": draw(mm(20, 300)),
                "stock_length": draw(mm(1500, 9000)),
            }
    for brace in design["brace"]:
        if draw(rare):
            brace |= {"tube": draw(tubes(high=60)), "overhang": draw(mm(20, 400))}
    for tie in design.get("tie", []):
        if draw(rare):
            tie |= {
                "tube": draw(tubes(high=60)),
                "overhang": draw(mm(20, 300)),
                "webs": draw(st.sampled_from([0, 2])),
            }
    for wall in design.get("end_wall", []):
        if draw(rare):
            wall |= {
                "sill": draw(timbers(units)),
                "timber": draw(timbers(units)),
                "brace_tube": draw(tubes(high=55)),
                "embedment": draw(mm(100, 1200)),
            }
    for door in design.get("door", []):
        if draw(rare):
            door["leaf"] = draw(timbers(units))
            if draw(st.booleans()):
                door["header"] = draw(timbers(units))
    if "sill_board" in design and draw(rare):
        design["sill_board"] |= {
            "timber": draw(timbers(units)), "bottom": draw(mm(0, 150)),
            "overhang": draw(mm(20, 400)), "block_length": draw(mm(150, 600)),
        }  # fmt: skip
    if "side_opening" in design and draw(rare):
        design["side_opening"] |= {
            "timber": draw(timbers(units)), "stop": draw(timbers(units)),
            "overhang": draw(mm(20, 400)), "block_length": draw(mm(150, 600)),
            "end_stop": draw(mm(0, 2500)), "tube": draw(tubes(high=60)),
        }  # fmt: skip
    hoop = design["hoop"]
    if draw(rare):
        hoop |= {"overlap": draw(mm(60, 400)), "ridge_overlap": draw(mm(80, 500))}
    if draw(rare):
        hoop["smallest_bend"] = round(draw(st.floats(1.5, 12)), 1)


_FIELD = re.compile(r"(\w+)(?:\[(\d+)\])?(?:\.(\w+))?")
_MOST_DROPPED = 15
_NEEDED = ("width", "style", "tube")


def frame_within(mapping: dict) -> tuple[Frame, dict] | None:
    """The frame of ``mapping`` without what is refused, and what is left of the mapping.

    One odd rail or door would else keep all of a design from being looked at. None where the
    shape itself is refused.
    """
    left = copy.deepcopy(mapping)
    for _ in range(_MOST_DROPPED):
        try:
            return lay_out(design_from_mapping(left)), left
        except (DesignError, DesignFaults) as error:
            where = error.where if isinstance(error, DesignError) else error.faults[0].where
        if not take_out(left, where):
            return None
    return None


def take_out(mapping: dict, where: str) -> bool:
    """Take the field or table that a refusal names out of ``mapping``; False if it must stay."""
    found = _FIELD.match(where)
    if found is None:
        return False
    section, number, name = found.groups()
    given = mapping.get(section)
    if isinstance(given, list) and given:
        given.pop(min(int(number), len(given)) - 1 if number else -1)
        return True
    if not isinstance(given, dict):
        return False
    if name in given and name not in _NEEDED:
        del given[name]
    elif section in ("sill_board", "side_opening", "hardware"):
        del mapping[section]
    elif section == "profile" and {"eave_radius", "ridge_slope"} & set(given):
        given.pop("eave_radius" if "eave_radius" in given else "ridge_slope")
    else:
        return False
    return True
