"""Whole designs for property tests: anything that the design file can say, within reason."""

from __future__ import annotations

from hypothesis import strategies as st

from frame3d.catalog import clearance_mm, tube_section

HOOPS = {
    "imperial": ["NPS 1-1/4 STD", "1.66 in x 14 ga BWG", "2 in x 13 ga BWG", "NPS 1 STD"],
    "metric": ["EN 10255 DN32 medium", "42 x 2 mm", "48 x 2 mm", "50 x 2 mm"],
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


def that_take(tube: str, sockets: list[str]) -> list[str]:
    """The sockets that ``tube`` slides into; all of them where it slides into none."""
    fit = [
        s for s in sockets if clearance_mm(outer=tube_section(s), inner=tube_section(tube)) >= 0.2
    ]
    return fit or sockets


def mm(low: float, high: float, digits: int = 0) -> st.SearchStrategy[str]:
    """Lengths as a user writes them."""
    return st.floats(low, high).map(lambda value: f"{round(value, digits)} mm")


@st.composite
def profiles(draw, style: str | None = None) -> dict:
    style = style or draw(st.sampled_from(["gothic", "quonset"]))
    width = draw(st.integers(2500, 14000))
    profile = {
        "style": style,
        "measured": draw(st.sampled_from(["centres", "outside", "inside"])),
        "width": f"{width} mm",
    }
    if draw(st.integers(0, 3)):
        # In proportion, as tunnels are; what is not given is worked out.
        leg = draw(st.integers(300, 1800))
        rise = draw(st.floats(0.3, 0.55)) * width
        profile["leg_height"] = f"{leg} mm"
        profile["ridge_height"] = f"{round(leg + rise)} mm"
        if style == "gothic":
            profile["eave_radius"] = f"{round(draw(st.floats(0.25, 0.7)) * rise)} mm"
            profile["ridge_slope"] = f"{draw(st.integers(10, 30))} deg"
        elif rise < 0.49 * width:
            profile["eave_radius"] = f"{round(draw(st.floats(0.4, 0.8)) * rise)} mm"
        return profile
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


STUDS = {
    "imperial": (["2x4", "2x6", "4x4"], ["NPS 1-1/4 STD", "1.66 in x 14 ga BWG"]),
    "metric": (["47x100", "38x140", "47x150"], ["EN 10255 DN32 medium", "42 x 2 mm"]),
}
SILLS = {"imperial": "2x8", "metric": "47x200"}


@st.composite
def end_walls(draw, units: str) -> dict:
    timber, tubes = STUDS[units]
    studs = draw(st.sampled_from(["timber", "timber", "tube"]))
    tops = {"timber": ["notched", "bolted"], "tube": ["clamped", "flattened"]}[studs]
    wall = {
        "studs": studs,
        "timber": draw(st.sampled_from(timber)),
        "tube": draw(st.sampled_from(tubes)),
        "sill": SILLS[units],
        "top": draw(st.sampled_from(tops)),
        "largest_spacing": draw(mm(600, 2500)),
        "braces": draw(st.sampled_from(["none", "none", "pair", "all"])),
        "brace_height": draw(mm(500, 1600)),
        "girts": draw(st.lists(mm(400, 2600), max_size=2)),
    }
    if studs == "timber":
        wall["foot"] = draw(st.sampled_from(["sill", "ground"]))
    if wall.get("foot") == "sill" and draw(st.booleans()):
        wall |= draw(wall_anchors(units))
    if draw(st.integers(0, 4)) == 0:
        places = draw(st.lists(st.integers(-30, 30), max_size=4, unique=True))
        wall["positions"] = [f"{100 * n} mm" for n in places]
    return wall


ANCHORS = {
    "imperial": (["NPS 1 STD", "2 in x 13 ga BWG"], ["2x4", "4x4"]),
    "metric": (["EN 10255 DN25 medium", "48 x 2 mm"], ["47x100", "75x75", "100x100"]),
}


@st.composite
def wall_anchors(draw, units: str) -> dict:
    """What holds the sill of an end wall."""
    tubes, timber = ANCHORS[units]
    return {
        "anchors": draw(st.sampled_from(["stakes", "posts", "ground anchors"])),
        "anchor_spacing": draw(mm(300, 3000)),
        "anchor_depth": draw(mm(200, 1500)),
        "anchor_tube": draw(st.sampled_from(tubes)),
        "anchor_timber": draw(st.sampled_from(timber)),
        "anchor_rod": draw(mm(10, 30)),
        "anchor_plate": draw(mm(60, 200)),
    }


@st.composite
def stakings(draw) -> dict:
    """How it is staked out and driven; the levels are those of :func:`grounds`."""
    found = {
        "corner": draw(st.sampled_from(CORNERS)),
        "string": draw(st.sampled_from(["level", "slope"])),
        "most_slope": draw(st.floats(0.0, 8.0).map(lambda v: round(v, 2))),
        "hole_clear": draw(mm(0, 60)),
        "pad_margin": draw(mm(0, 2000)),
        "built_on": draw(st.sampled_from(["-", "2026-05-04"])),
    }
    if draw(st.booleans()):
        found["boards"] = draw(st.sampled_from(["level", "follow", "skirt", "fill"]))
    return found


@st.composite
def grounds(draw) -> dict:
    """A plane or a saddle under a tunnel, in percent and mm; how far off sockets were driven."""
    slope = st.floats(-6.0, 6.0).map(lambda v: round(v, 2))
    return {
        "across": draw(slope), "along": draw(slope),
        "saddle_mm": draw(st.sampled_from([0.0, 0.0, 80.0, -150.0])),
        "driven_off_mm": draw(st.sampled_from([None, 0.0, 15.0])),
    }  # fmt: skip


@st.composite
def doors(draw, at: str) -> dict:
    kind = draw(st.sampled_from(["hinged", "hinged", "sliding", "roll-up"]))
    door = {
        "at": at,
        "kind": kind,
        "width": draw(mm(700, 2200) if draw(st.integers(0, 4)) else mm(2200, 4000)),
        "height": draw(mm(1500, 2300)),
        "position": "0 mm" if draw(st.integers(0, 2)) else f"{draw(st.integers(-8, 8)) * 200} mm",
        "hand": draw(st.sampled_from(["left", "right"])),
        "swing": draw(st.sampled_from(["out", "in"])),
        "threshold": draw(st.sampled_from(["board", "none"])),
    }
    if kind != "roll-up":
        door["leaves"] = draw(st.sampled_from([1, 1, 2]))
    return door


@st.composite
def ties(draw) -> dict:
    return {
        "height": draw(mm(1500, 3500)),
        "every": draw(st.integers(1, 3)),
        "ends": draw(st.sampled_from(["with", "without"])),
        "joint": draw(st.sampled_from(["clamped", "plates"])),
        "post": draw(st.sampled_from(["none", "king post"])),
        "webs": draw(st.sampled_from([0, 2])),
        "web_foot": draw(st.floats(0.1, 0.6).map(lambda v: round(v, 2))),
        "web_top": draw(st.floats(0.2, 0.7).map(lambda v: round(v, 2))),
    }


@st.composite
def side_openings(draw) -> dict:
    return {
        "hip": draw(st.sampled_from(["board", "rail"])),
        "height": draw(mm(900, 1900)),
        "fixing": draw(st.sampled_from(["bolted", "clamped"])),
        "stock_length": draw(mm(3000, 6500)),
        "end_stop": draw(st.sampled_from(["0 mm", "250 mm", "300 mm"])),
    }


@st.composite
def covers(draw) -> dict:
    """Film, channel and end walls as parts."""
    return {
        "listed_as": draw(st.sampled_from(["parts", "parts", "parts", "figures"])),
        "layers": draw(st.sampled_from([1, 2])),
        "film_widths": draw(st.lists(mm(1000, 15000), max_size=3)),
        "channel_length": draw(mm(1500, 6500)),
        "channel_spacing": draw(mm(250, 600)),
        "wall_cover": draw(st.sampled_from(["film", "board", "twin-wall", "none"])),
    }


@st.composite
def curtains(draw) -> dict:
    """Curtains; with no sill board they are refused."""
    return {
        "hangs": draw(st.sampled_from(["one sheet", "separate"])),
        "overlap": draw(mm(50, 150)),
        "pocket": draw(mm(0, 400)),
        "clip_spacing": draw(mm(400, 900)),
        "cord_every": draw(st.integers(1, 3)),
        "winder": draw(st.sampled_from(["crank", "gear"])),
        "winder_end": draw(st.sampled_from(["front", "back"])),
    }


@st.composite
def furnishings(draw, units: str, furnished: bool) -> dict:
    """End walls, doors, ties and side openings: each in some designs only."""
    found: dict = {}
    ends = ["front", "back", "both"]
    at = draw(st.sampled_from(ends if furnished else ["none", "none", *ends]))
    if at != "none":
        found["end_wall"] = [{"at": at, **draw(end_walls(units))}]
        found["door"] = draw(st.lists(doors(at), max_size=draw(st.sampled_from([1, 1, 1, 2]))))
    if draw(st.integers(0, 2)) == 0:
        found["tie"] = [draw(ties())]
    if draw(st.integers(0, 2)) == 0:
        found["side_opening"] = draw(side_openings())
        if draw(st.integers(0, 1)):
            found["curtain"] = draw(curtains())
    if any(door["kind"] == "roll-up" for door in found.get("door", ())) and draw(st.booleans()):
        found.setdefault("curtain", draw(curtains()))
    if found.get("door") and draw(st.integers(0, 2)) == 0:
        found["hardware"] = {"door_fittings": draw(st.sampled_from(["made", "bought"]))}
    return found


def _one_ridge(lines: list[dict], plates: bool) -> list[dict]:
    """The rails with no second one under the ridge, and that clamped where plates are."""
    ridge = [line for line in lines if line.get("at") == "ridge"][:1]
    if plates and ridge:
        ridge[0]["fixing"] = "clamped"
    return [line for line in lines if line.get("at") != "ridge"] + ridge


@st.composite
def making(draw) -> dict:
    """What the shop is told, and the tolerances of parts."""
    return {
        "make": {
            "zinc": draw(st.sampled_from(["before making", "after making", "none"])),
            "holes": draw(
                st.sampled_from(["after bending", "before bending", "by the fabricator"])
            ),
            "tube_grade": draw(st.sampled_from(["by the fabricator", "EN 10219 S235JRH"])),
            "k_factor": draw(st.sampled_from([0.33, 0.4, 0.5])),
            "inside_radius": draw(mm(1, 12)),
        },
        "tolerances": {
            "general": draw(st.sampled_from(["f", "m", "c", "v"])),
            "cut_length": draw(mm(0, 3)),
            "bend_angle": draw(st.sampled_from(["0.5 deg", "1 deg"])),
            "bend_radius": draw(mm(1, 50)),
        },
        "order": {
            "bender": draw(st.sampled_from(["rolls", "rotary"])),
            "straight_end": draw(mm(0, 400)),
            "flat_bar_lengths": draw(st.lists(mm(300, 7000), min_size=1, max_size=2)),
        },
    }


@st.composite
def places(draw) -> str:
    """A place on the plot, near the tunnel or far from it."""
    across, along = (draw(st.integers(-40, 60)) * draw(st.sampled_from([200, 1000])) for _ in "xy")
    return f"{across} mm by {along} mm"


@st.composite
def plots(draw) -> dict:
    """Boundary, services and what stands nearby; the boundary may be any ring, crossed or open."""
    sides = st.sampled_from(["front", "back", "left", "right"])
    if draw(st.booleans()):
        boundary = [{"corner": place} for place in draw(st.lists(places(), max_size=6))]
        if draw(st.integers(0, 3)) == 0:
            boundary.append({"side": draw(sides), "tapes": [draw(mm(500, 40000)) for _ in "ab"]})
    else:
        boundary = [{"side": side, "distance": draw(mm(0, 30000))}
                    for side in draw(st.lists(sides, max_size=4))]  # fmt: skip
    for one in boundary:
        if draw(st.integers(0, 4)) == 0:
            one["setback"] = draw(mm(0, 9000))
    laid = st.sampled_from(["buried", "overhead"])
    found: dict = {
        "boundary": boundary,
        "service": [
            {"laid": draw(laid), "points": draw(st.lists(places(), min_size=2, max_size=4))}
            if draw(st.booleans())
            else {"laid": draw(laid), "side": draw(sides), "distance": draw(mm(0, 20000))}
            for _ in range(draw(st.integers(0, 3)))
        ],
        "nearby": [
            {"kind": draw(st.sampled_from(["building", "tree", "fence", "overhead line"])),
             "side": draw(sides), "distance": draw(mm(0, 20000)), "length": draw(mm(0, 15000)),
             "depth": draw(mm(0, 9000)), "starts": draw(mm(0, 9000))}
            for _ in range(draw(st.integers(0, 2)))
        ],
    }  # fmt: skip
    if draw(st.booleans()):
        found["surroundings"] = {"setback": draw(mm(0, 6000))}
    return found


@st.composite
def crews(draw) -> dict:
    """Who puts it up, however few."""
    return {
        "people": draw(st.integers(1, 12)),
        "hours": float(draw(st.integers(2, 14))),
        "start": draw(st.sampled_from(["-", "2027-01-31", "2028-02-29"])),
        "rest_days": draw(st.lists(st.sampled_from(["friday", "saturday", "sunday"]),
                                   unique=True)),
        "pace": draw(st.sampled_from(["slow", "middle", "quick"])),
    }  # fmt: skip


@st.composite
def designs(draw, most_bays: int = 30, furnished: bool = False, style: str | None = None) -> dict:
    """A design as a mapping; most can be built, the others must say why not."""
    units = draw(st.sampled_from(["imperial", "metric"]))
    profile = draw(profiles(style))
    tube = draw(st.sampled_from(HOOPS[units]))
    sockets = that_take(tube, SOCKETS[units])
    gothic = profile["style"] == "gothic"
    hoop = {
        "tube": tube,
        "pieces": draw(st.sampled_from([2, 2, 4, 3] if gothic else [1, 2, 3, 4, 5])),
        "splice": draw(st.sampled_from(["swage", "swage", "sleeve"])),
        "splice_fastener": draw(st.sampled_from(["bolts", "screws"])),
        "ridge_joint": draw(st.sampled_from(["sleeve", "plates"])),
        "ridge_tube": draw(st.sampled_from(sockets)),
        "smallest_bend": draw(st.sampled_from([3.0, 5.0])),
        "ridge_bend_radius": draw(mm(180, 500)),
    }
    if hoop["splice"] == "sleeve":
        hoop["splice_tube"] = draw(st.sampled_from(sockets))
    bays = draw(st.integers(1, most_bays))
    design = {
        "project": {"name": "Property"},
        "output": {
            "units": units,
            "sheets": draw(st.sampled_from(["iso", "us"])),
            "film": draw(st.sampled_from(["not shown", "shown"])),
        },
        "profile": profile,
        "bays": {"count": bays, "spacing": draw(mm(600, 2500))},
        "hoop": hoop,
        "socket": {"tube": draw(st.sampled_from(sockets))},
        "rail": _one_ridge(
            draw(st.lists(rails(units), max_size=4)), gothic and hoop["ridge_joint"] == "plates"
        ),
        "brace": draw(st.lists(braces(), max_size=2 if bays > 5 else 0)),
    }
    design |= draw(furnishings(units, furnished))
    if draw(st.integers(0, 2)) == 0:
        design |= draw(making())
    if draw(st.integers(0, 3)) == 0:
        design["cover"] = draw(covers())
    if draw(st.integers(0, 3)) == 0:
        design |= draw(plots())
    if draw(st.integers(0, 2)) == 0:
        design["staking"] = draw(stakings())
    if draw(st.integers(0, 3)) == 0:
        design["crew"] = draw(crews())
    if "curtain" in design or draw(st.booleans()):
        design["sill_board"] = {"stock_length": draw(mm(2400, 6000))}
    return design
