"""The frame as driven: hoops, holes and boards from the moves of single sockets, by hand."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pytest
from jsonschema import Draft202012Validator

from frame3d.checks.all_checks import check_frame
from frame3d.design.reading.reader import design_from_mapping
from frame3d.design.reading.user_lists import GivenList
from frame3d.frame.describe.as_built import bay_text, model_name, titled
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.frame.model.part_records import Change
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role
from frame3d.frame.revisions.words import change_summary, revision_rows
from frame3d.frame_set import lists_of
from frame3d.guide.make_guide import guide_of
from frame3d.schemas import Document, document_schema
from frame3d.site.built.differences import Answer
from frame3d.site.survey import site_of, surveyed
from frame3d.site.write.built_words import answer_text, as_built_note
from frame3d.summary import summary_of
from frame3d.takeoff.take_off import take_off
from frame3d.takeoff.write.records import assumptions

HOOPS, BAY, WIDTH = 7, 1500.0, 6000.0
Moves = Mapping[str, tuple[float, float]]


def design(stock: str = "6.4 m") -> Frame:
    return lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": HOOPS - 1, "spacing": "1.5 m"},
        "rail": [{"at": "sides", "height": "1.5 m", "fixing": "bolted", "stock_length": stock}],
        "sill_board": {},
        "brace": [{"from_hoop": 1, "to_hoop": 2, "from_height": "0.5 m", "to_height": "1.8 m"}],
        "tolerances": {"socket_spacing": "10 mm", "persuasion": "12 mm", "spring": "25 mm"},
        "staking": {"built": "tops.csv", "built_on": "2026-05-09"},
    }))  # fmt: skip


@pytest.fixture(scope="module")
def frame() -> Frame:
    return design()


def driven(frame: Frame, moves: Moves, left_out: tuple[int, ...] = ()) -> Frame:
    """With tops measured, some of them moved to the right and along, mm."""
    rows = []
    for n in range(1, HOOPS + 1):
        for side, x in (("L", -WIDTH / 2), ("R", WIDTH / 2)):
            right, along = moves.get(f"{n}{side}", (0.0, 0.0))
            if n not in left_out:
                rows.append(f"{n}{side},{x + right} mm,{(n - 1) * BAY + along} mm,0 mm")
    text = "\n".join(("point,x,y,z", *rows))
    return surveyed(frame, {"built": GivenList(name="tops.csv", text=text)})


def both(hoop: int, along: float) -> dict[str, tuple[float, float]]:
    return {f"{hoop}L": (0.0, along), f"{hoop}R": (0.0, along)}


def holes_of(frame: Frame) -> dict[float, list[float]]:
    """Where the rails of each line are bored, along the tunnel, by how far across it lies."""
    found: dict[float, set[float]] = {}
    for rail in frame.of_kind(Tube, Role.RAIL):
        x, start, _ = rail.placement.origin
        for hole in rail.part.holes:
            y = round(start + rail.placement.x[1] * hole.at_mm, 1)
            found.setdefault(round(x), set()).add(y)
    return {x: sorted(ys) for x, ys in found.items()}


def test_what_stands_as_designed_is_the_frame_of_the_design(frame: Frame) -> None:
    built = driven(frame, {})
    assert built.designed is None and built.members == frame.members
    assert bay_text(built) == "1500 mm" and as_built_note(built) == ()


def test_rails_and_boards_go_by_the_hoops_as_they_stand(frame: Frame) -> None:
    """Hoop 2 stands 30 on, hoop 5 25 back: bays of 1530, 1470, 1500, 1475, 1525, 1500."""
    built = driven(frame, both(2, 30.0) | both(5, -25.0))
    meant = [0.0, 1530.0, 3000.0, 4500.0, 5975.0, 7500.0, 9000.0]
    assert built.grid.hoop_y_mm == pytest.approx(meant, abs=0.3)
    for line in holes_of(built).values():
        assert line == pytest.approx(meant, abs=0.3)
    runs: dict[str, float] = {}
    for board in built.of_kind(Board, Role.SILL_BOARD):
        runs[board.spot.side.value] = runs.get(board.spot.side.value, 0.0) + board.part.length_mm
    was = sum(b.part.length_mm for b in frame.of_kind(Board, Role.SILL_BOARD)) / 2
    assert runs["left"] == pytest.approx(was, abs=0.3) == pytest.approx(runs["right"], abs=0.3)
    hoops = sorted({round(m.placement.origin[1], 1) for m in built.of(Role.SOCKET)})
    assert hoops == pytest.approx(meant, abs=0.3)
    assert bay_text(built) == "1470 mm to 1530 mm"


def test_the_list_and_the_parts_have_one_size_each(frame: Frame) -> None:
    built = driven(frame, both(2, 30.0) | both(5, -25.0))
    ys = built.grid.hoop_y_mm
    listed = site_of(built).differences
    holes = [one for one in listed if one.what == "hole spacing of a rail"]
    assert holes and all(one.answer is not Answer.AGAIN for one in holes)
    for one in holes:
        first, second = (int(word) for word in one.where.rsplit("hoops ")[1].split(" to "))
        assert one.built_mm == pytest.approx(ys[second - 1] - ys[first - 1], abs=1e-6)
    lengths = sorted(one.built_mm for one in listed if one.what == "length of a sill board")
    made = sorted(b.part.length_mm for b in built.of_kind(Board, Role.SILL_BOARD))
    assert lengths == pytest.approx(made, abs=1e-6)


def test_a_hoop_is_drawn_between_its_tops_and_pulled_square(frame: Frame) -> None:
    """The right top of hoop 4 stands 8 ahead: its hoop stands 4 on, and pulls 4 at each leg."""
    built = driven(frame, {"4R": (0.0, 8.0)})
    assert built.grid.hoop_y_mm[3] - built.grid.hoop_y_mm[2] == pytest.approx(1504, abs=0.3)
    (ahead,) = (one for one in site_of(built).differences
                if one.what.startswith("right top ahead") and one.where == "hoop 4")  # fmt: skip
    assert ahead.built_mm == pytest.approx(8, abs=0.5) and ahead.answer is Answer.PULLED


def test_a_socket_that_is_driven_again_stands_as_designed(frame: Frame) -> None:
    """4R is 100 out and 40 on, so that it is pulled: the hoop is drawn where the design has it."""
    built = driven(frame, {"4R": (100.0, 40.0)} | both(2, 30.0))
    assert built.grid.hoop_y_mm[3] == pytest.approx(3 * BAY, abs=1.0)
    assert built.grid.hoop_y_mm[1] == pytest.approx(BAY + 30, abs=1.0)


def test_a_hoop_that_was_not_measured_lies_in_line_with_its_neighbours(frame: Frame) -> None:
    """Hoops 4 and 6 stand 30 on, 5 was not measured: 30 too."""
    built = driven(frame, both(4, 30.0) | both(6, 30.0), left_out=(5,))
    off = [now - n * BAY for n, now in enumerate(built.grid.hoop_y_mm)]
    assert off[3] == pytest.approx(off[4], abs=0.2) == pytest.approx(off[5], abs=0.2)


def test_the_frame_as_driven_has_no_fault_that_the_design_has_not(frame: Frame) -> None:
    built = driven(frame, both(2, 30.0) | both(5, -25.0))
    assert {f.rule.name for f in check_frame(built)} == {f.rule.name for f in check_frame(frame)}
    assert len(built.joints) == len(frame.joints)


def test_no_piece_grows_past_what_can_be_bought() -> None:
    """Rails of 6000 stock over four bays of 1500: as driven 40 more, so they are joined anew."""
    frame = design("6 m")
    stock = frame.design.rail[0].stock_length
    assert max(m.part.length_mm for m in frame.of_kind(Tube, Role.RAIL)) > stock - 1500
    built = driven(frame, both(1, -20.0) | both(7, 20.0) | both(4, 10.0))
    assert max(m.part.length_mm for m in built.of_kind(Tube, Role.RAIL)) <= stock
    for line in holes_of(built).values():
        assert line == pytest.approx(built.grid.hoop_y_mm, abs=0.3)
    assert take_off(built, lists_of(built, {})).findings == ()


def test_parts_keep_the_marks_of_the_design_and_revisions_say_what_changed(frame: Frame) -> None:
    built = driven(frame, both(2, 30.0))
    assert built.since is not None and built.since.words == "the design"
    assert change_summary(built.since)[0] == "Compared with the design."
    assert revision_rows(built)[0][:2] == ("AB", "2026-05-09")
    hoop = next(iter(built.of(Role.HOOP)))
    assert hoop.mark == next(iter(frame.of(Role.HOOP))).mark
    changed = {c.old.mark for c in built.since.changes if c.old and c.change is Change.CHANGED}
    assert any(mark.startswith("R") for mark in changed)
    now = {m.mark for m in built.of(Role.RAIL)} - {m.mark for m in frame.of(Role.RAIL)}
    assert now and now <= built.since.altered


def test_models_titles_and_summary_are_marked_with_the_day(frame: Frame) -> None:
    built = driven(frame, both(2, 30.0))
    assert model_name(built) == "frame AS BUILT 2026-05-09" and model_name(frame) == "frame"
    assert titled(built).endswith(", AS BUILT 2026-05-09")
    assert assumptions(take_off(built))[0].startswith("AS BUILT 2026-05-09: ")
    assert not any("AS BUILT" in text or "{" in text for text in assumptions(take_off(frame)))
    summary = summary_of(built)
    schema = json.loads(document_schema(Document.SUMMARY))
    assert not list(Draft202012Validator(schema).iter_errors(json.loads(json.dumps(summary))))
    assert summary["as_built"]["hoops_mm"] == pytest.approx(built.grid.hoop_y_mm)


def test_a_changed_width_is_told_as_what_is_done_about_it(frame: Frame) -> None:
    built = driven(frame, {"3R": (15.0, 0.0), "6R": (-15.0, 0.0)})
    told = {one.where: answer_text(lengths_of(frame), one) for one in site_of(built).differences
            if one.what == "width between the tops"}  # fmt: skip
    assert told["hoop 3"].startswith("spread by 1") and told["hoop 6"].startswith("pulled in by 1")


def test_findings_on_the_ground_are_of_the_frame_that_is_drawn() -> None:
    """Levels that fall 40 in 100 along, with a wall and a door at the end that was driven 30 on."""
    frame = lay_out(design_from_mapping({
        "output": {"units": "metric"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m"},
        "bays": {"count": HOOPS - 1, "spacing": "1.5 m"},
        "end_wall": [{"at": "back"}],
        "door": [{"at": "back", "kind": "hinged", "width": "1200 mm", "height": "2 m"}],
        "staking": {"levels": "levels.csv", "built": "tops.csv"},
    }))  # fmt: skip
    levels = "".join(f"{n + 1}{side},{-60 * n} mm\n" for n in range(HOOPS) for side in "LR")
    tops = "".join(
        f"{n + 1}{side},{x} m,{n * BAY + (30 if n == HOOPS - 1 else 0)} mm\n"
        for n in range(HOOPS) for side, x in (("L", -3), ("R", 3))
    )  # fmt: skip
    built = surveyed(frame, {
        "levels": GivenList(name="levels.csv", text=f"point,z\n{levels}"),
        "built": GivenList(name="tops.csv", text=f"point,x,y\n{tops}"),
    })  # fmt: skip
    assert built.designed is not None and built.ground is not None
    there, found = {id(member) for member in built.members}, check_frame(built)
    assert {"hole-under", "socket-short", "string-unmet"} & {f.rule.name for f in found}
    assert all(id(member) in there for finding in found for member in finding.members)
    assert {one.door for wall in site_of(built).walls for one in wall.doors} == set(built.doors)


def test_the_guide_says_whose_figures_it_sets_out_by(frame: Frame) -> None:
    """The plan has diagonals as driven, and these steps those of the design."""

    def steps(one: Frame) -> list[bool]:
        return ["are of the design" in " ".join(step.words.do) for step in guide_of(one).steps]

    assert not any(steps(frame))
    assert sum(steps(driven(frame, both(4, 4.0)))) == 2
