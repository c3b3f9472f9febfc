"""Curtains of roll-up doors: figures against plain sums, parts against what the door has."""

from __future__ import annotations

import math

import pytest
from curtain_designs import ROLL_UP
from finding_links import of_one_value

from frame3d.checks.rules.door_curtains import RULES, check_door_curtains
from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignFaults
from frame3d.frame.describe.closing import bought_cover
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.fittings import CrankHandle
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.skin.door_curtains import door_curtains, most_torque_nmm, wound_at
from frame3d.guide.make_guide import guide_of
from frame3d.summary import summary_of


def laid(**more) -> Frame:
    return lay_out(design_from_mapping(ROLL_UP | more))


@pytest.fixture(scope="module")
def frame() -> Frame:
    return laid()


def test_the_roll_and_the_bar_agree() -> None:
    """By winding millimetre after millimetre (any text on rolls: π/4 (D² - d²) = t L)."""
    tube, shut, tube_mm, bar, thick = 2171.2, 26.0, 42.4, 32.0, 0.15
    area, risen = math.pi / 4 * tube_mm**2, 0.0
    while shut + risen < tube - math.sqrt(4 * area / math.pi) / 2 - bar / 2 - 5:
        area, risen = area + thick, risen + 1.0
    opened, rolled = wound_at(tube, shut, tube_mm, bar, thick)
    assert abs(opened - (shut + risen)) <= 1.0
    assert math.isclose(rolled, math.sqrt(4 * area / math.pi), abs_tol=0.01)


@pytest.mark.parametrize(("bar", "film", "thick"), [(3.5, 0.7, 0.15), (0.2, 4.0, 2.0), (9, 1, 3)])
def test_the_most_torque_is_the_most_of_all_places(bar: float, film: float, thick: float) -> None:
    hangs, wound, tube = 2100.0, 2000.0, 42.4
    every = max(
        (bar + film * (1 - s / hangs)) * 9.80665 * math.sqrt(tube**2 + 4 * thick * s / math.pi) / 2
        for s in (wound * k / 20000 for k in range(20001))
    )
    assert math.isclose(most_torque_nmm(bar, film, hangs, wound, tube, thick), every, rel_tol=1e-6)


def test_film_runs_behind_the_guides_and_the_bar_between_them(frame: Frame) -> None:
    for one in door_curtains(frame):
        near = [m for m in frame.members if abs(m.placement.origin[1] - one.roll.y_mm) < 300]
        middle = (one.door.left_x_mm + one.door.right_x_mm) / 2
        film, bar = ((middle - w / 2, middle + w / 2) for w in (one.width_mm, one.bar_mm))
        inner = [abs(m.placement.origin[0]) - m.part.section.od_mm / 2 for m in near
                 if m.role is Role.CURTAIN_GUIDE]  # fmt: skip
        assert bar[1] < min(inner) < film[1]
        bars = [m for m in near if m.role is Role.CURTAIN_TUBE]
        assert math.isclose(sum(m.part.length_mm for m in bars), one.bar_mm)
        # In the plane of the film, which hangs at the tube's own side that is at the wall.
        tube = next(m for m in near if m.role is Role.ROLL_TUBE)
        gap = abs(bars[0].placement.origin[1] - tube.placement.origin[1])
        assert math.isclose(gap, tube.part.section.od_mm / 2)


def test_a_steel_bar_and_polyethylene_weigh_what_they_do(frame: Frame) -> None:
    """7850 kg/m³ (EN 1991-1-1, table A.4); 920 kg/m³ as the design has it."""
    one, curtain = door_curtains(frame)[0], frame.design.curtain
    ring = math.pi / 4 * (32.0**2 - 28.0**2)
    assert math.isclose(one.bar_kg, ring * one.bar_mm * 7850e-9, rel_tol=1e-3)
    assert math.isclose(one.film_kg, one.hangs_mm * one.width_mm * 0.15 * 920e-9)
    assert math.isclose(one.force_n * curtain.crank_radius / 1000, one.torque_nm)
    assert one.turns == pytest.approx((one.rolled_mm - 42.4) / 0.3)


def test_a_crank_hangs_at_the_hand_of_each_door(frame: Frame) -> None:
    cranks = list(frame.of_kind(CrankHandle, Role.WINDER))
    # As seen from outside: the left of the front is at -x, that of the back at +x.
    assert [m.placement.origin[0] > 0 for m in cranks] == [False, True]
    assert all(m.placement.z == (0.0, 0.0, -1.0) for m in cranks)
    right = laid(door=[{**ROLL_UP["door"][0], "hand": "right"}])
    assert [m.placement.origin[0] > 0 for m in right.of(Role.WINDER)] == [True, False]


def test_lists_guide_and_summary_have_it(frame: Frame) -> None:
    films = [one for one in bought_cover(frame) if one.use == "door curtains"]
    assert [one.width_mm for one in films] == [one.width_mm for one in door_curtains(frame)]
    told = next(
        s for s in guide_of(frame, drawn=False).steps if s.words.title == "Hang the curtains"
    )
    assert any("Roll-up doors" in line for line in told.words.do)
    assert not any("eyes" in line for line in told.words.do)
    summary = summary_of(frame)
    assert [one["door"] for one in summary["door_curtains"]] == ["front door", "back door"]
    assert {m.role for m in told.step.members} <= SKIN


def test_none_without_the_table_and_a_cover_of_parts_tells_it() -> None:
    frame = lay_out(design_from_mapping({k: v for k, v in ROLL_UP.items() if k != "curtain"}))
    assert door_curtains(frame) == () and not list(frame.of(Role.CURTAIN_TUBE))
    assert {one.rule.name for one in check_door_curtains(frame)} == {"door-curtain-none"}
    with pytest.raises(DesignFaults, match="neither"):
        lay_out_faults({**ROLL_UP, "door": []})


def lay_out_faults(mapping: dict) -> None:
    from frame3d.building import laid_out

    laid_out(design_from_mapping(mapping))


DOOR = ROLL_UP["door"][0]
BROKEN = {
    "door-curtain-bar": {"curtain": {"tube": "101.6 x 4 mm"}},
    "door-curtain-roll": {
        "curtain": {"film_thickness": "3 mm", "film_density": 100.0, "tube": "20 x 2 mm"},
        "end_wall": [{"at": "both", "tube": "20 x 2 mm"}],
        "door": [{**DOOR, "width": "1200 mm", "height": "2700 mm"}],
    },
    "door-curtain-crank": {"curtain": {"shaft": "0 mm"}},
    "door-curtain-force": {
        "curtain": {"tube": "76 x 5 mm", "crank_radius": "50 mm", "film_density": 3000.0,
                    "film_thickness": "1 mm"},
        "door": [{**DOOR, "width": "3600 mm"}],
    },
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_each_rule_has_a_design_that_breaks_it_alone(name: str) -> None:
    findings = check_door_curtains(laid(**BROKEN[name]))
    assert {one.rule.name for one in findings} == {name}
    assert all(one.message and one.advice and one.field and one.members for one in findings)
    assert of_one_value(findings) == []


def test_every_rule_is_broken_here(frame: Frame) -> None:
    assert {*BROKEN, "door-curtain-none"} == {rule.name for rule in RULES}
    assert check_door_curtains(frame) == []


def test_bars_are_tube_from_stock(frame: Frame) -> None:
    assert all(isinstance(m.part, Tube) for m in frame.of(Role.CURTAIN_TUBE))
