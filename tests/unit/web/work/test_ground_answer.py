"""The ground that the page draws, against heights of planes at the places of its grid."""

from __future__ import annotations

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.lay_out import lay_out
from frame3d.site.survey import site_of, surveyed
from frame3d.web.work.ground_answer import ground_answer

LENGTH, HALF, EXPOSED, LOWER = 6000.0, 3000.0, 300.0, 240.0


@pytest.mark.parametrize("corner", ["front left", "back right"])
@pytest.mark.parametrize(("along", "string"), [(-0.01, "level"), (-0.02, "slope")])
def test_the_surface_is_the_plane_under_the_string(corner: str, along: float, string: str) -> None:
    """What is drawn as level is the string less the exposure: on a slope the ground is at 0."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
        "socket": {"length": "1000 mm", "exposed": "300 mm", "lower_hole": "240 mm"},
        "staking": {"corner": corner, "string": string},
    }))  # fmt: skip
    sign = 1 if "left" in corner else -1
    # x and y of the list are from the corner; the plane is over the place from the first hoop.
    rows = [(x, y) for x in (-3000.0, 9000.0) for y in (-3000.0, 9000.0)]
    first = 0.0 if "front" in corner else LENGTH
    text = "x,y,z\n" + "".join(f"{sign * x} mm,{y - first} mm,{along * y} mm\n" for x, y in rows)
    answer = ground_answer(surveyed(frame, {"levels": GivenList(name="l.csv", text=text)}))
    scene = answer["scene"]
    xs, ys, zs = (scene["surface"][key] for key in ("xs", "ys", "zs"))
    assert (xs[0], xs[-1], ys[0], ys[-1]) == (-4500.0, 4500.0, -1500.0, 7500.0)
    stands = {one["name"]: one["out"] for one in scene["sockets"]}
    for one in scene["sockets"]:
        x = -HALF if one["side"] == "left" else HALF
        assert one["x"] == pytest.approx(x) and one["out"] == pytest.approx(
            one["top"] - one["ground"], abs=0.02
        )
        i, j = (min(range(len(row)), key=lambda n: abs(row[n] - at))
                for row, at in ((xs, x), (ys, one["y"])))  # fmt: skip
        if abs(ys[j] - one["y"]) < 1e-6:
            assert zs[j * len(xs) + i] == pytest.approx(EXPOSED - stands[one["name"]], abs=0.6)
    if string == "slope":
        assert max(map(abs, zs)) < 0.6
    else:
        rise = zs[len(xs) * (len(ys) - 1)] - zs[0]
        assert rise == pytest.approx(along * (ys[-1] - ys[0]), abs=0.1)


def test_level_ground_has_nothing_to_draw() -> None:
    frame = lay_out(design_from_mapping({
        "profile": {"style": "quonset", "width": "20 ft"}, "bays": {"count": 3, "spacing": "4 ft"},
    }))  # fmt: skip
    answer = ground_answer(frame)
    assert answer["scene"] is None and answer["marks"] == answer["earth"] == []
    assert answer["is"] == "level"


def test_pieces_of_earth_make_the_volumes_of_the_list() -> None:
    """What the page sums while the string is dragged is what the sheets tell where it is not."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": 4, "spacing": "1.5 m"},
    }))  # fmt: skip
    text = "x,y,z\n0,0,0\n6 m,0,-200 mm\n0,6 m,150 mm\n6 m,6 m,-50 mm\n3 m,3 m,300 mm\n"
    built = surveyed(frame, {"levels": GivenList(name="l.csv", text=text)})
    pieces = ground_answer(built)["earth"]
    meant = site_of(built).earthwork.pads[0].moved
    net = sum(area * sum(heights) / 3 / 1000 for area, *heights in pieces)
    assert net == pytest.approx((meant.cut_mm3 - meant.fill_mm3) / 1e9, abs=1e-3)
    assert all(heights == sorted(heights) for _, *heights in pieces)
    over = site_of(built).earthwork.over
    assert sum(area for area, *_ in pieces) == pytest.approx(over.area_mm2 / 1e6, rel=1e-6)
