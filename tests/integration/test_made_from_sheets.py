"""Parts made from their sheets alone are those of the model, within what figures are rounded to.

What makes them (``made_from_sheets``) knows nothing of the package and takes no length from a line.
Volumes are held against those that the take-off weighs by, which come from the model and never from
a drawing. A figure that a sheet lacks makes it fail.
"""

from __future__ import annotations

import math

import ezdxf
import pytest
from made_from_sheets import board, made
from some_sheets import sheets_by

from frame3d import lay_out, load_design
from frame3d.examples import example_paths
from frame3d.frame.measure.measures import volume_mm3
from frame3d.frame.model.pressed import hole_clock_rad
from frame3d.sheets.shop.door_sheets import door_sheets
from frame3d.sheets.shop.part_sheets import add_part_sheets
from frame3d.sheets.shop.plate_pieces import plate_sheets
from frame3d.sheets.shop.timber_sheets import side_boards, wall_timber
from frame3d.sheets.write.dxf_write import write_dxf

GOTHIC, QUONSET = "long_meadow_gothic", "long_meadow_quonset"
WANTED = {
    (GOTHIC, "bent tube"): ("H1", "H2", "RJ1"),
    (GOTHIC, "straight tube"): ("S1", "R1", "DT1"),
    (GOTHIC, "board"): ("SB1", "ST1", "ST8", "DL3", "DL1"),
    (GOTHIC, "plate"): ("HI4", "HI5", "BK1"),
    (QUONSET, "bent tube"): ("H1", "H2"),
    (QUONSET, "straight tube"): ("S1", "DJ2", "R1"),
    (QUONSET, "board"): ("SB1", "DL1", "DL4"),
    (QUONSET, "plate"): ("HI1", "HI2", "BK4"),
}
CASES = [(name, kind, mark) for (name, kind), marks in WANTED.items() for mark in marks]


@pytest.fixture(scope="module")
def sets(tmp_path_factory):
    """The sheets of parts of both examples, and their parts by mark."""
    found = {}
    for name in (GOTHIC, QUONSET):
        frame = lay_out(load_design(example_paths()[name]))
        sheets = sheets_by(
            frame, add_part_sheets, side_boards, wall_timber, door_sheets, plate_sheets
        )
        path = tmp_path_factory.mktemp(name) / "sheets.dxf"
        write_dxf(sheets, path)
        found[name] = ezdxf.readfile(path), {group.mark: group.part for group in frame.parts()}
    return found


def same_places(got, wanted, step: float) -> bool:
    """Places within half a step of the figures, and drills within what they are told to."""
    return len(got) == len(wanted) and all(
        all(abs(a - b) <= step / 2 + 1e-3 for a, b in zip(one[:-1], other[:-1], strict=True))
        and abs(one[-1] - other[-1]) <= 0.26
        for one, other in zip(sorted(got), sorted(wanted), strict=True)
    )


@pytest.mark.parametrize(("name", "kind", "mark"), CASES)
def test_a_part_made_from_its_sheet_is_the_part(sets, name, kind, mark):
    doc, parts = sets[name]
    part, got = parts[mark], made(doc, mark, kind)
    step = 25.4 / 16 if name == GOTHIC else 1.0
    # Of a plate some 20 mm wide half of 1/16 in is 4 %; of anything long it is next to nothing.
    assert got.slack < (0.06 if kind == "plate" else 0.01)
    assert got.volume_mm3 == pytest.approx(volume_mm3(part), rel=got.slack)
    if kind.endswith("tube"):
        end = part.axis.end
        assert got.length_mm == pytest.approx(part.length_mm, abs=step / 2 + 1e-3)
        wanted = sorted((h.at_mm, hole_clock_rad(part, h), h.diameter_mm) for h in part.holes)
        assert len(got.holes) == len(wanted)
        for (at, turn, across), hole in zip(sorted(got.holes), wanted, strict=True):
            assert (at, across) == pytest.approx((hole[0], hole[2]), abs=step / 2 + 1e-3)
            assert abs(math.sin(turn - hole[1])) < 0.002  # through both walls: half a turn is same
        if got.chord_mm:
            # Each bend's length is rounded, and its turn with it.
            chord = math.hypot(end.x_mm, end.y_mm)
            assert got.chord_mm == pytest.approx(chord, abs=2 * step + 1e-3 * chord)
        return
    if kind == "plate":
        wanted = part.holes
        low = [min(corner[k] for corner in part.outline) for k in (0, 1)]
        assert same_places(got.holes, [(x - low[0], y - low[1], d) for x, y, d in wanted], step)
        return
    assert got.length_mm == pytest.approx(part.length_mm, abs=step / 2 + 1e-3)
    face = [(h.along_mm, h.up_mm, h.diameter_mm) for h in part.holes]
    assert same_places(got.holes, face, step)
    edge = [(h.along_mm, h.diameter_mm) for h in part.edge_holes]
    assert same_places(got.edge_holes, edge, step)


def spoilt(doc, old: str, new: str) -> int:
    """Write another text for one; how many there were. ``doc`` is changed."""
    count = 0
    for block in doc.blocks:
        for text in block.query("TEXT"):
            if text.dxf.text == old:
                text.dxf.text, count = new, count + 1
    return count


@pytest.mark.parametrize(
    ("mark", "kind", "old", "new"),
    [
        ("H1", "bent tube", "2.000 in OD × 0.095 in wall", "2.000 in OD × 0.083 in wall"),
        ("H1", "bent tube", "12'-0 15/16\"", "11'-0 15/16\""),
    ],
)
def test_a_sheet_that_tells_it_wrong_gives_another_part(sets, mark, kind, old, new):
    doc, parts = sets[GOTHIC]
    assert spoilt(doc, old, new)
    try:
        got = made(doc, mark, kind)
        assert got.volume_mm3 != pytest.approx(volume_mm3(parts[mark]), rel=got.slack)
    finally:
        spoilt(doc, new, old)


def test_a_hole_without_its_figure_cannot_be_made(sets):
    """What is not told is not guessed from the lines."""
    from made_from_sheets import SheetOf

    doc, _ = sets[GOTHIC]
    sheet = SheetOf(doc, "SB1")
    seen = sheet.view()
    sheet.view = lambda: seen
    seen.figures = [f for f in seen.figures if f.kind != 6 or f.is_upright]
    with pytest.raises(LookupError, match="no figure for a hole"):
        board(sheet)
