"""Details of channel: each where the design has it, with its size, metal and screws in words."""

from __future__ import annotations

import pytest
from curtain_designs import BASE

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.sheets.annotation.annotations import Aligned, Note
from frame3d.sheets.details.detail_channel import (
    channel_corner_detail,
    channel_hoop_detail,
    channel_side_details,
)
from frame3d.sheets.details.details import DetailContext

WALL = {
    "end_wall": [{"at": "front"}], "door": [{"kind": "hinged", "height": "1900 mm"}],
    "bays": {"count": 2, "spacing": "1.5 m"}, "cover": {"listed_as": "parts"},
}  # fmt: skip


def site_of(**more) -> DetailContext:
    frame = lay_out(design_from_mapping(BASE | WALL | more))
    return DetailContext(frame=frame, lengths=lengths_of(frame))


@pytest.mark.parametrize("hip", ["board", "rail"])
def test_each_has_its_words_and_a_width(hip: str) -> None:
    site = site_of(side_opening={**BASE["side_opening"], "hip": hip})
    sides, hoop = channel_side_details(site), channel_hoop_detail(site)
    corner = channel_corner_detail(site)
    assert [one.name for one in sides] == [f"Channel on the hip {hip}", "Channel on the sill board"]
    for one in (*sides, hoop):
        said = " ".join(n.text for n in one.annotations if isinstance(n, Note))
        # The defaults of a metric design: 32 by 12 by 1.5 mm, screws 450 mm apart.
        assert "film channel 32 mm x 12 mm, 1.5 mm thick, stands out 12 mm" in said
        assert "Self-drilling screw ST5.5" in said and "at most 450 mm apart" in said
    for one in (*sides, hoop, corner):
        (size,) = (a for a in one.annotations if isinstance(a, Aligned))
        (x0, y0), (x1, y1) = size.first, size.second
        assert ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 == pytest.approx(32.0, abs=0.01)
        assert one.shown
    assert any("mitred at 45°" in n.text for n in corner.annotations if isinstance(n, Note))


def test_none_of_a_cover_that_is_figures() -> None:
    site = site_of(cover={"listed_as": "figures"})
    assert channel_side_details(site) == []
    assert channel_hoop_detail(site) is None and channel_corner_detail(site) is None
