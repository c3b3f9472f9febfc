"""Whole designs for property tests: anything that the design file can say, within reason."""

from __future__ import annotations

from hypothesis import strategies as st

HOOPS = {
    "imperial": ["NPS 1-1/4 STD", "1.66 in x 14 ga BWG", "2 in x 13 ga BWG", "NPS 1 STD"],
    "metric": ["EN 10255 DN32 medium", "42 x 2 mm", "48 x 2 mm", "60 x 3 mm"],
}
SOCKETS = {
    "imperial": ["2 in x 11 ga BWG", "2.375 in x 10 ga BWG", "NPS 2 STD"],
    "metric": ["50 x 3 mm", "60 x 3 mm", "EN 10255 DN50 medium"],
}
RAILS = {
    "imperial": ["NPS 1 STD", "1.375 in x 14 ga BWG"],
    "metric": ["EN 10255 DN25 medium", "32 x 2 mm"],
}
CORNERS = ["front left", "front right", "back left", "back right"]


def mm(low: float, high: float, digits: int = 0) -> st.SearchStrategy[str]:
    """Lengths as a user writes them."""
    return st.floats(low, high).map(lambda value: f"{round(value, digits)} mm")


@st.composite
def profiles(draw) -> dict:
    style = draw(st.sampled_from(["gothic", "quonset"]))
    profile = {
        "style": style,
        "measured": draw(st.sampled_from(["centres", "outside", "inside"])),
        "width": draw(mm(2500, 14000)),
    }
    for name, low, high, share in (
        ("ridge_height", 1800, 7500, 0.9),
        ("leg_height", 300, 2500, 0.6),
        ("eave_radius", 250, 2500, 0.3),
    ):
        if draw(st.floats(0, 1)) < share:
            profile[name] = draw(mm(low, high))
    if draw(st.integers(0, 4)) == 0:
        profile["leg_lean"] = f"{draw(st.integers(0, 8))} deg"
    if style == "gothic" and draw(st.booleans()):
        profile["ridge_slope"] = f"{draw(st.integers(5, 45))} deg"
    if style == "gothic" and draw(st.integers(0, 5)) == 0:
        profile["rafter_radius"] = "straight"
    return profile


@st.composite
def rails(draw, units: str) -> dict:
    rail = {"tube": draw(st.sampled_from(RAILS[units]))}
    rail["fixing"] = draw(st.sampled_from(["bolted", "clamped"]))
    if draw(st.integers(0, 3)) == 0:
        rail["at"] = "ridge"
        return rail
    rail["at"] = "sides"
    rail["face"] = draw(st.sampled_from(["inside", "outside"]))
    if draw(st.booleans()):
        rail["fraction"] = draw(st.floats(0.05, 0.95).map(lambda v: round(v, 3)))
    else:
        rail["height"] = draw(mm(600, 4000))
    return rail


@st.composite
def braces(draw) -> dict:
    low = draw(st.integers(450, 900))
    first = draw(st.integers(1, 3))
    return {
        "from_hoop": first,
        "to_hoop": first + draw(st.integers(1, 3)),
        "from_height": f"{low} mm",
        "to_height": f"{low + draw(st.integers(300, 1800))} mm",
        "corners": draw(st.lists(st.sampled_from(CORNERS), min_size=1, max_size=4, unique=True)),
    }


@st.composite
def designs(draw, most_bays: int = 30) -> dict:
    """A design as a mapping; most can be built, the others must say why not."""
    units = draw(st.sampled_from(["imperial", "metric"]))
    hoop = {
        "tube": draw(st.sampled_from(HOOPS[units])),
        "pieces": draw(st.integers(1, 5)),
        "splice": draw(st.sampled_from(["swage", "swage", "sleeve"])),
        "splice_fastener": draw(st.sampled_from(["bolts", "screws"])),
        "ridge_joint": draw(st.sampled_from(["sleeve", "plates"])),
        "ridge_tube": draw(st.sampled_from(SOCKETS[units])),
        "smallest_bend": draw(st.sampled_from([3.0, 5.0])),
        "ridge_bend_radius": draw(mm(180, 500)),
    }
    if hoop["splice"] == "sleeve":
        hoop["splice_tube"] = draw(st.sampled_from(SOCKETS[units]))
    design = {
        "project": {"name": "Property"},
        "output": {"units": units, "sheets": draw(st.sampled_from(["iso", "us"]))},
        "profile": draw(profiles()),
        "bays": {"count": draw(st.integers(1, most_bays)), "spacing": draw(mm(600, 2500))},
        "hoop": hoop,
        "socket": {"tube": draw(st.sampled_from(SOCKETS[units]))},
        "rail": draw(st.lists(rails(units), max_size=4)),
        "brace": draw(st.lists(braces(), max_size=2)),
    }
    if draw(st.booleans()):
        design["sill_board"] = {"stock_length": draw(mm(2400, 6000))}
    return design
