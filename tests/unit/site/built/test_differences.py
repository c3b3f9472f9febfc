"""The frame as driven beside its design: sizes from the moves of single sockets, by hand."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.describe.as_built import as_built_mark
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.revisions.words import revision_rows, shown_revision
from frame3d.sheets.sets.built_listing import built_listing
from frame3d.site.built.differences import Answer, Difference, sockets_again
from frame3d.site.survey import Site, site_of, surveyed
from frame3d.site.write.built_words import built_record, differences_table

HOOPS, BAY, WIDTH = 7, 1500.0, 6000.0
DOOR = 1200.0


@pytest.fixture(scope="module")
def frame() -> Frame:
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": HOOPS - 1, "spacing": "1.5 m"},
        "rail": [{"at": "sides", "height": "1.5 m", "fixing": "bolted"}],
        "sill_board": {},
        "end_wall": [{"at": "front"}],
        "door": [{"at": "front", "kind": "hinged", "width": "1200 mm", "height": "2 m"}],
        "tolerances": {"socket_spacing": "10 mm", "across": "10 mm", "top_height": "10 mm",
                       "persuasion": "12 mm", "spring": "25 mm"},
        "staking": {"built": "tops.csv", "built_on": "2026-05-09"},
    }))  # fmt: skip


Moves = Mapping[str, tuple[float, float, float]]


def driven(frame: Frame, moves: Moves) -> Site:
    """With every top measured, some of them moved to the right, along and up, mm."""
    rows = []
    for n in range(HOOPS):
        for side, x in (("L", -WIDTH / 2), ("R", WIDTH / 2)):
            right, along, up = moves.get(f"{n + 1}{side}", (0.0, 0.0, 0.0))
            rows.append(f"{n + 1}{side},{x + right} mm,{n * BAY + along} mm,{up} mm")
    text = "\n".join(("point,x,y,z", *rows))
    return site_of(surveyed(frame, {"built": GivenList(name="tops.csv", text=text)}))


def of(site: Site, what: str, where: str = "") -> list[Difference]:
    return [one for one in site.differences if what in one.what and where in one.where]


def test_what_was_driven_as_designed_fits(frame: Frame) -> None:
    site = driven(frame, {})
    assert {one.answer for one in site.differences} == {Answer.FITS}
    assert max(abs(one.off_mm) for one in site.differences) < 1e-3
    assert len(of(site, "width")) == HOOPS
    assert len(of(site, "board")) == sum(1 for m in frame.members if m.role.value == "sill board")


def test_a_hoop_that_stands_ahead_has_its_holes_drilled(frame: Frame) -> None:
    """30 mm along: the bay before is 1530 long, the one behind 1470, and 30 is over two holes."""
    site = driven(frame, {"2L": (0, 30, 0), "2R": (0, 30, 0)})
    for side in ("left", "right"):
        (before,) = of(site, "hole", f"{side}, hoops 1 to 2")
        (after,) = of(site, "hole", f"{side}, hoops 2 to 3")
        assert before.built_mm == pytest.approx(BAY + 30, abs=0.2)
        assert after.built_mm == pytest.approx(BAY - 30, abs=0.2)
        assert before.answer is after.answer is Answer.DRILL
    assert sockets_again(site.differences) == ()


def test_a_socket_too_far_out_is_driven_again_and_nothing_is_bored_for_it(frame: Frame) -> None:
    """100 mm to the right is more than play and spring; 40 along would else be drilled."""
    site = driven(frame, {"4R": (100, 40, 0)})
    (width,) = of(site, "width", "hoop 4")
    assert width.built_mm == pytest.approx(math.hypot(WIDTH + 100, 40), abs=0.5)
    assert width.answer is Answer.AGAIN and sockets_again(site.differences) == ("4R",)
    assert Answer.DRILL not in {one.answer for one in site.differences}
    assert built_record(site.frame)["drive_again"] == ["4R"]


@pytest.mark.parametrize(("move", "answer"), [(25, Answer.LONGER), (-25, Answer.CUT)])
def test_a_board_ends_where_its_bay_does(frame: Frame, move: float, answer: Answer) -> None:
    site = driven(frame, {f"{HOOPS}L": (0, move, 0), f"{HOOPS}R": (0, move, 0)})
    changed = [one for one in of(site, "board") if one.answer is not Answer.FITS]
    assert len(changed) == 2
    for one in changed:
        assert one.answer is answer and one.off_mm == pytest.approx(move, abs=0.3)


def test_a_header_goes_with_the_hoop_of_its_wall(frame: Frame) -> None:
    """40 higher on the right: 40 x 1200 / 6000 = 8 out over the door, 20 higher in its middle."""
    site = driven(frame, {"1R": (0, 0, 40)})
    (height,) = of(site, "height")
    (level,) = of(site, "out of level")
    assert height.off_mm == pytest.approx(20, abs=0.3)
    assert level.built_mm == pytest.approx(40 * DOOR / WIDTH, abs=0.2)


def test_lists_sheets_and_revisions_say_as_built(frame: Frame) -> None:
    site = driven(frame, {"4R": (100, 0, 0)})
    built = site.frame
    assert as_built_mark(frame) == "" and as_built_mark(built) == "AS BUILT 2026-05-09"
    assert shown_revision(built) == revision_rows(built)[0][0] == "AB"
    assert revision_rows(built)[0][1:3] == (
        "2026-05-09", f"As built: {2 * HOOPS} socket tops measured (tops.csv)"
    )  # fmt: skip
    assert revision_rows(frame) == ()
    table, listed = differences_table(site), built_listing(built, lengths_of(built))
    assert len(table.rows) == len(listed.rows) == len(site.differences)
    assert listed.rows[0][5:] == ("pull and drive again", "4R")
    assert table.rows[0]["again"] == "4R"
