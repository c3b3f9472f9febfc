"""The site survey and the guide that is worked by: neither tells what the other does not."""

from __future__ import annotations

import html
import re

import pytest
from site_frames import laid_on

from frame3d.catalog.sections import TimberSection
from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.parts import RippedBoard
from frame3d.guide.make_guide import guide_of
from frame3d.guide.write.guide_html import page_html
from frame3d.site.survey import site_of
from frame3d.site.write.site_report import findings
from frame3d.units import LengthFormat, LengthText, UnitSystem

_IN_CHECKS = ("Between a leaf", "Under the shut", "Socket ")
"""Begin what the guide has as figures to check, or in the words of its step."""


def told(studs: str) -> tuple[list[str], str]:
    """Findings on a slope that water runs down to the tunnel, and the text of the guide."""
    level = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.4 m",
                    "leg_height": "1 m"},
        "bays": {"count": 3, "spacing": "1.5 m"},
        "rail": [{"at": "ridge"}],
        "end_wall": [{"at": "both", "studs": studs, "sill": "47x150"}],
        "door": [{"at": "front", "kind": "sliding"}, {"at": "back", "width": "1 m"}],
    }))  # fmt: skip
    frame, _ = laid_on(level, lambda x, y: 0.03 * x - 0.04 * y + 2e-6 * (y - 1500) ** 2)
    page = page_html(guide_of(frame, drawn=False))
    text = html.unescape(re.sub(r"<[^>]+>", " ", page)).replace("\xa0", " ")
    return list(findings(site_of(frame))), text


@pytest.mark.parametrize("studs", ["timber", "tube"])
def test_what_the_site_asks_for_is_in_the_guide(studs: str) -> None:
    found, guide = told(studs)
    asked = [one for one in found if not one.startswith(_IN_CHECKS)]
    for word in ("Step at the", "Fill the ground up to the", "Dig up to", "ditch"):
        assert any(word in one for one in asked), word
    assert [one for one in asked if one.rstrip(".") not in guide] == []


def test_a_skirt_that_is_left_whole_is_not_called_ripped() -> None:
    """A gap deeper than the board asks for all of it, and stays open in part."""
    section = TimberSection(name="47x150", thickness_mm=47.0, depth_mm=150.0)
    whole = RippedBoard(section=section, length_mm=1000.0, left_mm=(150.0, 150.0))
    cut = RippedBoard(section=section, length_mm=1000.0, left_mm=(150.0, 90.0))
    say = LengthText(LengthFormat(system=UnitSystem.METRIC, decimals=0))
    assert whole.words(say) == "47x150 board"
    assert cut.words(say) == "47x150 board ripped to 90 mm and 150 mm at its ends"
