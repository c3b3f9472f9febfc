"""Dimensions are live: redrawn by another program they say what they say now."""

from __future__ import annotations

import math

import drawn_frames as drawn
import ezdxf
import pytest
from drawing_judge import drawn_text
from live_text import live_text

from frame3d.design.reading.reader import read_design
from frame3d.design.tables.whole_design import DxfVersion, SheetStandard
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.sheets.primitives.primitives import (
    AngleDimension,
    LinearDimension,
    RadiusDimension,
    RunningDimension,
)
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_dimensions import Region, add_dimension
from frame3d.sheets.write.dxf_tables import new_drawing
from frame3d.sheets.write.dxf_write import document_of
from frame3d.units import LengthFormat, UnitSystem


def dimensions(doc):
    found = list(doc.modelspace().query("DIMENSION"))
    assert len(found) > 10
    return found


@pytest.mark.parametrize("name", sorted(example_paths()))
def test_every_dimension_of_the_examples_is_written_again_the_same(name):
    doc = document_of(draw_sheets(lay_out(read_design(example_paths()[name])))).doc
    found = dimensions(doc)
    assert len({d.dxf.dimtype & 7 for d in found}) >= 4
    assert [(drawn_text(d), live_text(d)) for d in found if drawn_text(d) != live_text(d)] == []
    # and none of them is typed over
    assert {d.dxf.get("text", "") for d in found} <= {"", "<>"}


@pytest.mark.parametrize("denominator", [2, 8, 64])
def test_fractions_of_every_fineness(denominator):
    design = drawn.design(UnitSystem.IMPERIAL, SheetStandard.US, "D")
    design.output.fraction = denominator
    doc = document_of(draw_sheets(drawn.frame(the_design=design))).doc
    assert [d for d in dimensions(doc) if drawn_text(d) != live_text(d)] == []


@pytest.mark.parametrize("decimals", [0, 1, 2])
def test_decimals_in_an_old_file(decimals):
    design = drawn.design(sheet_size="A2")
    design.output.decimals, design.output.dxf_version = decimals, DxfVersion.R2000
    doc = document_of(draw_sheets(drawn.frame(spacing=1234.567, the_design=design))).doc
    assert doc.acad_release == "R2000"
    found = dimensions(doc)
    assert [d for d in found if drawn_text(d) != live_text(d)] == []
    if decimals:
        assert any("." in live_text(d) for d in found)


def test_a_point_that_is_moved_changes_the_text():
    """The text follows the geometry: 1200 made 34 mm longer is 1234."""
    doc = drawn.document()
    moved = next(d for d in dimensions(doc) if live_text(d) == "1200" and d.dxf.dimtype & 7 == 6)
    moved.dxf.defpoint2 = moved.dxf.defpoint2 + ezdxf.math.Vec3(34, 0, 0)
    assert live_text(moved) == "1234"
    assert drawn_text(moved) == "1200"


@pytest.mark.parametrize(
    ("units", "style", "span", "text"),
    [
        # DXF reference, DIMZIN 3: zero feet left out, zero inches kept
        (1, {"dimlunit": 4, "dimdec": 4, "dimzin": 3, "dimfrac": 2}, 264.0, "22'-0\""),
        (1, {"dimlunit": 4, "dimdec": 4, "dimzin": 3, "dimfrac": 2}, 0.5, '1/2"'),
        (1, {"dimlunit": 4, "dimdec": 4, "dimzin": 3, "dimfrac": 2}, 75.5, "6'-3 1/2\""),
        (1, {"dimlunit": 4, "dimdec": 4, "dimzin": 3, "dimfrac": 2}, 11.97, '1\'-0"'),
        (4, {"dimlunit": 2, "dimdec": 1, "dimzin": 8, "dimrnd": 0.1}, 42.44, "42.4"),
        (4, {"dimlunit": 2, "dimdec": 1, "dimzin": 8}, 42.0, "42"),
        (4, {"dimlunit": 2, "dimdec": 0, "dimzin": 8, "dimpost": "(<>) clear"}, 99.5,
         "(100) clear"),
    ],
)  # fmt: skip
def test_the_reader_itself_against_the_reference(units, style, span, text):
    doc = ezdxf.new(units=units)
    base = {"dimlfac": 1.0, "dimrnd": 0.0, "dimpost": "", "dimdsep": ord(".")}
    doc.dimstyles.new("own", dxfattribs={**base, **style})
    dimension = doc.modelspace().new_entity(
        "DIMENSION", {"dimtype": 0, "dimstyle": "own", "defpoint2": (0, 0), "defpoint3": (span, 5),
                      "angle": 0.0},
    )  # fmt: skip
    assert live_text(dimension) == text


@pytest.mark.parametrize("noise", [-4e-8, 0.0, 4e-8])
@pytest.mark.parametrize(
    "units, decimals, size",
    [
        (UnitSystem.METRIC, 1, 38.05),
        (UnitSystem.METRIC, 0, 1234.5),
        (UnitSystem.IMPERIAL, 0, 25.4 * (100 + 1 / 32)),
    ],
)
def test_what_lies_half_way_between_two_steps_is_rounded_alike(units, decimals, size, noise):
    """Up, as our text is, though the points differ by a little less; found as 38.1 and 38."""
    lengths = LengthFormat(system=units, denominator=16, decimals=decimals)
    unit = 1 / units.mm_per_drawing_unit
    doc = new_drawing(lengths, DxfVersion.R2018)
    region = Region(unit=unit, shift=(164396.902, -987.65), scale=10, lengths=lengths)
    span, text = size + noise, lengths.text(size)
    across = (span * math.cos(0.4), span * math.sin(0.4))
    angle = math.radians(27.25) + noise / 1e3
    common = {"name": "", "text_at": (0.0, 0.0)}
    items = [
        LinearDimension(first=(0.0, 0.0), second=across, line_at=(0.0, 0.0), angle_rad=0.4,
                        text=text, witness=False, **common),
        LinearDimension(first=(span, 0.0), second=(0.0, 0.0), line_at=(0.0, 50.0), angle_rad=0.0,
                        text=text, **common),
        RunningDimension(datum=(7.0, 0.0), feature=(7.0 - span, 3.0), knee=(-span, 9.0),
                         foot=(-span, 20.0), end=(-span, 40.0), along_x=True, text=text,
                         text_at=(0.0, 0.0)),
        RadiusDimension(centre=(1.0, 2.0), on_arc=(1.0 + across[0], 2.0 + across[1]),
                        tail=(0.0, 0.0), shelf_end=(9.0, 0.0), text=f"R{text}", **common),
        AngleDimension(vertex=(3.0, 4.0), first_rad=0.7, second_rad=0.7 + angle, radius=90.0,
                       text=lengths.angle(angle), **common),
    ]  # fmt: skip
    for item in items:
        made = add_dimension(doc, item, region)
        assert live_text(made) == drawn_text(made) == item.text


def test_older_programs_get_running_sizes_and_angles_as_lines_and_text():
    """LibreCAD 2.2.0 left out all 240 ordinate dimensions of a set that it opened and saved.

    Every figure that a newer file has as a dimension stands in the older one too, once.
    """
    figures = {}
    for version in DxfVersion:
        design = drawn.design(sheet_size="A2")
        design.output.dxf_version = version
        doc = document_of(draw_sheets(drawn.frame(the_design=design))).doc
        live = [(d.dxf.dimtype & 7, drawn_text(d)) for d in doc.modelspace().query("DIMENSION")]
        blocks = [i for i in doc.modelspace().query("INSERT") if i.dxf.name.startswith("size ")]
        plain = [
            text.plain_text()
            for block in blocks
            for text in block.virtual_entities()
            if text.dxftype() == "MTEXT"
        ]
        figures[version] = sorted([*(text for _, text in live), *plain])
        kinds = {kind for kind, _ in live}
        if version is DxfVersion.R2000:
            assert not kinds & {5, 6} and len(plain) == len(blocks) > 20
        else:
            assert 6 in kinds and not blocks
    assert figures[DxfVersion.R2000] == figures[DxfVersion.R2018]
