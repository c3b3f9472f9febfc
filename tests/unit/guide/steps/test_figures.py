"""Figures of hold points, against closed forms."""

from __future__ import annotations

import math

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.figures import hoop_figures, socket_holes_mm, socket_tops
from frame3d.site.survey import site_of

FOOT, INCH = 304.8, 25.4


def tunnel(width: str, bays: int, **more) -> Frame:
    return lay_out(design_from_mapping({
        "profile": {"style": "quonset", "width": width},
        "bays": {"count": bays, "spacing": "4 ft"}, **more,
    }))  # fmt: skip


@pytest.mark.parametrize(("width", "feet"), [("20 ft", 98.0612), ("30 ft", 100.5783)])
def test_diagonals(width: str, feet: float) -> None:
    """Pythagoras: sqrt(20² + 96²) = 98.0612 ft and sqrt(30² + 96²) = 100.5783 ft."""
    assert site_of(tunnel(width, 24)).setting_out.diagonal_mm / FOOT == pytest.approx(
        feet, abs=5e-5
    )


@pytest.mark.parametrize(
    ("width", "bays", "sides"),
    [("30 ft", 24, (30, 40, 50)), ("20 ft", 24, (18, 24, 30)), ("24 ft", 4, (20, 15, 25))],
)
def test_the_largest_triangle_of_whole_feet(
    width: str, bays: int, sides: tuple[int, int, int]
) -> None:
    """3-4-5 in whole feet that lies within width and length: 3 k and 4 k, either way round."""
    found = site_of(tunnel(width, bays)).setting_out.square
    feet = (found.across_mm / FOOT, found.along_mm / FOOT, found.slant_mm / FOOT)
    assert feet == pytest.approx(sides)
    assert math.hypot(feet[0], feet[1]) == pytest.approx(feet[2])


def test_a_half_circle_on_the_ground() -> None:
    """A half circle of 6 m on legs: feet 6 m apart, top 3 m over the springing."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "leg_height": "1 m",
                    "ridge_height": "4 m"},
        "bays": {"count": 3, "spacing": "1.5 m"}, "hoop": {"tube": "48 x 2 mm"},
        "socket": {"tube": "60 x 3 mm", "exposed": "300 mm", "insertion": "300 mm"},
    }))  # fmt: skip
    figures = hoop_figures(frame)
    assert figures.foot_mm == pytest.approx(6000, abs=1e-6)
    # The leg reaches the ground: 300 mm in a socket of which 300 mm stand out.
    assert figures.rise_mm == pytest.approx(4000, abs=1.0)


def test_holes_and_tops_of_sockets() -> None:
    """12 in out of the ground, holes 4 1/2 and 9 1/2 in from the top: 7 1/2 and 2 1/2 in up."""
    socket = {"exposed": "12 in", "upper_hole": "4 1/2 in", "lower_hole": "9 1/2 in",
              "insertion": "12 in"}  # fmt: skip
    frame = tunnel("20 ft", 6, socket=socket)
    assert [height / INCH for height in socket_holes_mm(frame)] == pytest.approx([7.5, 2.5])
    across, top = socket_tops(frame)
    assert across == pytest.approx(20 * FOOT)
    assert top == pytest.approx(12 * INCH)
