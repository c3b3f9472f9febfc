"""Designs with one mistake each: found by the rule that is for it, and by no other error."""

from __future__ import annotations

import functools
import re

import pytest
from finding_links import unlinked
from msgspec import structs
from site_frames import laid_on
from sound_design import frame_of

from frame3d.checks.all_checks import check_frame, rules
from frame3d.checks.findings.finding import Severity
from frame3d.checks.rules import doors, machines, making, practice
from frame3d.checks.rules import headroom_rules as headroom
from frame3d.checks.rules import site_rules as site
from frame3d.design.reading.reader import read_design
from frame3d.design.tables.whole_design import Accept, DoorKind, Swing
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.openings import Leaf
from frame3d.frame.model.roles import Role, Side

ROOM = {
    rule.name
    for module in (headroom, machines, doors, practice, making, site)
    for rule in module.RULES
}
RAIL = {"at": "ridge"}
SEEDS: dict[str, tuple[str, dict]] = {
    # What is spoilt: the rule that must find it, and the change.
    "a low ridge": (
        "walk-headroom",
        {
            "profile": {"width": "4 m", "ridge_height": "1.98 m", "leg_height": "0.6 m",
                        "eave_radius": "0.6 m"},
            "tie": None, "door": [{"kind": "roll-up", "height": "1.3 m"}], "machine": None,
            "rail": [], "brace": [{"to_height": "1300 mm"}], "side_opening": {"height": "700 mm"},
            "bays": {"count": 6, "spacing": "1 m"},
        },
    ),
    "a walking line at the wall": (
        "walk-headroom", {"clearance": {"walking_lines": ["0 m", "2.6 m"]}}),
    "a joint under the ridge": (
        "walk-headroom",
        {"clearance": {"head_height": "3.49 m"}, "tie": None},
    ),
    "a low tie": ("tie-headroom", {"tie": [{"height": "2.03 m"}]}),
    "a bed at the wall": (
        "bed-headroom", {"clearance": {"bed_edges": ["150 mm"], "bed_headroom": "2 m"}}),
    "a machine higher than the hoops": (
        "machine-inside", {"machine": [{"width": "1 m", "height": "3.4 m", "passes": "none"}]}),
    "a machine higher than the ties": (
        "machine-inside", {"machine": [{"width": "1 m", "height": "2.3 m", "passes": "none"}]}),
    "a machine too wide for the door": (
        "machine-door", {"machine": [{"width": "1 m", "height": "1.6 m"}]}),
    "a machine too high for the door": (
        "machine-door", {"machine": [{"width": "0.8 m", "height": "1.95 m"}]}),
    "a machine that cannot leave": (
        "machine-door",
        {"door": [{}, {"at": "back", "width": "1 m"}],
         "machine": [{"width": "0.8 m", "height": "1.6 m", "passes": "every"}]},
    ),
    "walls without a door": ("machine-door", {"door": None}),
    "a machine that must reach the bed": (
        "machine-wall",
        {"machine": [{"width": "0.8 m", "height": "1.6 m", "wall_distance": "300 mm"}]},
    ),
    "a narrow door": ("door-width", {"door": [{"width": "700 mm"}], "machine": None}),
    "a low door": ("door-height", {"door": [{"height": "1.9 m"}]}),
    "two doors hung back to back": (
        "door-neighbour",
        {"door": [{"width": "0.9 m", "position": "0.8 m", "height": "1.9 m", "hand": "right"},
                  {"width": "0.8 m", "position": "1.76 m", "height": "1.9 m", "hand": "left"}],
         "end_wall": [{"braces": "none"}], "machine": None},
    ),
    "a track past the last stud": (
        "track-free-end",
        {"door": [{"kind": "sliding", "width": "1 m", "hand": "right", "height": "2.05 m"}],
         "end_wall": [{"positions": ["-1.6 m"], "braces": "none"}], "machine": None},
    ),
    "a leaf on rough ground": ("door-ground", {"clearance": {"leaf_ground": "40 mm"}}),
    "many pieces": ("hoop-pieces", {"practice": {"hoop_pieces": 1}}),
    # Two walls of 3.91 mm and the play are 8.6 of 33.4 mm.
    "a swage in a thick wall": (
        "swage-reduction",
        {"rail": [{"at": "sides", "height": "2.6 m", "tube": "NPS 1 Sch 80"}]},
    ),
    "short stock": (
        "piece-stock", {"practice": {"hoop_stock": "4 m"}, "hoop": {"pieces": 2}}),
    "a short lorry": ("piece-transport", {"practice": {"transport_length": "5.5 m"}}),
    "a flat brace": (
        "brace-angle", {"brace": [{"from_height": "450 mm", "to_height": "1900 mm"}]}),
    "a steep brace": (
        "brace-angle",
        {"brace": [{"from_hoop": 2, "to_hoop": 3, "from_height": "450 mm",
                    "to_height": "3.2 m"}], "rail": [RAIL], "tie": None,
         "bays": {"count": 8, "spacing": "1.2 m"}},
    ),
    "a brace on one side only": (
        "brace-sets",
        {"brace": [{"from_height": "450 mm", "to_height": "2250 mm",
                    "corners": ["front left"]}]},
    ),
    "too few braces for the length": ("brace-sets", {"practice": {"brace_reach": "6 m"}}),
    "braces of both ends in one bay": (
        "wall-braces",
        {"bays": {"count": 1}, "brace": [], "door": None, "machine": None, "tie": None,
         "end_wall": [{"braces": "pair"}]},
    ),
    "braces left to the program in one bay": (
        "wall-unbraced",
        {"bays": {"count": 1}, "brace": [], "door": None, "machine": None, "tie": None},
    ),
    "shallow sockets": ("embedment", {"socket": {"length": "800 mm"}}),
    "closed sides": ("side-vents", {"side_opening": None}),
    "small openings": ("side-vents", {"side_opening": {"height": "600 mm"}}),
    "a long tunnel": ("length-to-width", {"bays": {"count": 30}, "practice": {
        "brace_reach": "60 m"}}),
    "a short tunnel": ("length-to-width", {"bays": {"count": 4, "spacing": "1.2 m"},
                       "brace": [{"from_hoop": 1, "to_hoop": 3, "from_height": "450 mm",
                                  "to_height": "2250 mm"}]}),
    "a door in the wind": (
        "door-facing", {"surroundings": {"front_faces": "south-west", "wind_from": "west"}}),
    "a fence at the side": (
        "way-round", {"nearby": [{"kind": "fence", "distance": "1 m", "height": "1 m"}]}),
    "a high tree": (
        "tree-distance", {"nearby": [{"kind": "tree", "distance": "8 m", "height": "12 m"}]}),
    "a house": (
        "building-distance",
        {"nearby": [{"kind": "building", "side": "back", "distance": "4 m", "height": "7 m"}]},
    ),
    "a wire over the end": (
        "line-distance",
        {"nearby": [{"kind": "overhead line", "side": "front", "distance": "2 m",
                     "height": "6 m"}]},
    ),
    "a wire along the side": (
        "line-distance",
        {"nearby": [{"kind": "overhead line", "side": "right", "distance": "1 m",
                     "height": "6 m"}]},
    ),
    "a rule misspelt": (
        "accept-unknown", {"accept": [{"rule": "walk-headrom", "reason": "well known"}]}),
    "an acceptance of nothing": (
        "accept-unused", {"accept": [{"rule": "embedment", "reason": "rock"}]}),
}  # fmt: skip


@functools.cache
def seeded(name):
    """The frame with one mistake."""
    return frame_of(**SEEDS[name][1])


def _with_doors(frame, *changes):
    """The frame with its doors' openings and leaves changed, its members true to scale."""
    made = [structs.replace(d, **c) for d, c in zip(frame.doors, changes, strict=True)]
    return structs.replace(frame, doors=tuple(made))


def _sliding(door, slide_mm):
    """What makes a sliding door of one without leaves: a leaf before the wall."""
    leaf = Leaf(
        low_x_mm=door.left_x_mm - 15.0, high_x_mm=door.right_x_mm + 15.0, bottom_mm=25.0,
        top_mm=door.top_mm + 15.0, near_y_mm=door.wall_y_mm - 60.0,
        far_y_mm=door.wall_y_mm - 12.0, slide_mm=slide_mm,
    )  # fmt: skip
    return {"kind": DoorKind.SLIDING, "leaves": (leaf,)}


def _slid_too_far(frame):
    """Its leaf slides over the end of the sill boards."""
    (door,) = frame.doors
    return _with_doors(frame, _sliding(door, -2400.0))


def _slid_before_another(frame):
    """A leaf passes the other door, whose curtain has been taken down with all it hung on."""
    first, _ = frame.doors
    curtains = (Role.BRACKET, Role.CURTAIN_GUIDE)
    left = tuple(m for m in frame.members if m.role not in curtains)
    return _with_doors(structs.replace(frame, members=left), _sliding(first, 1300.0), {})


def _swung_in(frame):
    """The leaf hangs on the inner face of the wall, above the sill."""
    (door,) = frame.doors
    leaves = tuple(
        structs.replace(leaf, near_y_mm=130.0, far_y_mm=177.0, bottom_mm=60.0)
        for leaf in door.leaves
    )
    return _with_doors(frame, {"swing": Swing.IN, "leaves": leaves})


def _before_the_brace(frame):
    """The opening is where a brace of the wall comes down."""
    brace = next(m for m in frame.of(Role.WALL_BRACE) if m.spot.side is Side.RIGHT)
    x = brace.placement.origin[0]
    return _with_doors(frame, {"left_x_mm": x - 550.0, "right_x_mm": x + 650.0})


def _boards_shifted(frame):
    """The boards of one side are nailed on half a bay late."""

    def shifted(member):
        if member.role is not Role.SILL_BOARD or member.spot.side is not Side.LEFT:
            return member
        x, y, z = member.placement.origin
        placement = structs.replace(member.placement, origin=(x, y + 700.0, z))
        return structs.replace(member, placement=placement)

    return structs.replace(frame, members=tuple(map(shifted, frame.members)))


def _another_bender(frame):
    """The frame was drawn for one bender and goes to another."""
    hoop = frame.design.hoop.model_copy(update={"smallest_bend": 30.0})
    design = frame.design.model_copy(update={"hoop": hoop})
    return structs.replace(frame, design=design)


ALTERED = {
    "a door over ground that falls across": (
        "door-low-ground",
        {},
        lambda frame: laid_on(frame, lambda x, y: -0.03 * x)[0],
    ),
    "a door that swings in against a tie": (
        "door-swing",
        {
            "tie": [{"height": "2.05 m"}],
            "clearance": {"head_height": "1.9 m"},
            "door": [{"width": "1.6 m"}],
        },
        _swung_in,
    ),
    "a leaf that slides too far": (
        "door-slide",
        {"door": [{"kind": "roll-up"}], "machine": None},
        _slid_too_far,
    ),
    "a leaf that slides before another door": (
        "door-neighbour",
        {
            "door": [
                {"kind": "roll-up", "width": "0.9 m", "position": "-0.9 m"},
                {"kind": "roll-up", "width": "0.9 m", "position": "0.9 m"},
            ],
            "machine": None,
        },
        _slid_before_another,
    ),
    "a door before the brace of its wall": (
        "door-way",
        {"door": [{"kind": "roll-up"}], "machine": None},
        _before_the_brace,
    ),
    "a machine that meets the brace of the wall": (
        "machine-way",
        {
            "door": [{"kind": "roll-up"}],
            "machine": [{"width": "0.9 m", "height": "1.85 m", "margin": "100 mm"}],
            "accept": [{"rule": "door-way", "reason": "people stoop there"}],
        },
        _before_the_brace,
    ),
    "boards that meet at the hoops": ("board-joints", {}, _boards_shifted),
    "a bender of large radius": ("bend-radius", {}, _another_bender),
}


@pytest.mark.parametrize("name", ALTERED)
def test_what_the_layout_never_does_is_found_too(name):
    rule, change, alter = ALTERED[name]
    sound = frame_of(**change)
    assert rule not in {finding.rule.name for finding in check_frame(sound)}
    found = check_frame(alter(sound))
    assert rule in {finding.rule.name for finding in found}
    # Bolts that are left behind are found as well, by the rules of clashes and fits.
    errors = {f.rule.name for f in found if f.severity is Severity.ERROR}
    assert errors & ROOM <= {rule}


@pytest.mark.parametrize("name", [*SEEDS, *ALTERED])
def test_a_finding_leads_to_what_it_names(name):
    altered = ALTERED.get(name)
    frame = altered[2](frame_of(**altered[1])) if altered else seeded(name)
    assert unlinked(frame, check_frame(frame)) == []


def test_members_that_are_too_low_are_all_of_them_along_the_tunnel():
    frame = seeded("a low tie")
    (found,) = [f for f in check_frame(frame) if f.rule.name == "tie-headroom"]
    ties = set(map(id, frame.of(Role.TIE)))
    assert len(ties) > 1 and ties <= set(map(id, found.members))


def test_all_that_stands_in_the_way_behind_a_door_is_led_to_and_what_is_named_comes_first():
    frame = _before_the_brace(frame_of(door=[{"kind": "roll-up"}], machine=None))
    (found,) = [f for f in check_frame(frame) if f.rule.name == "door-way"]
    assert found.field == "door[1]"
    assert found.members[0].mark in found.message
    assert Role.WALL_BRACE in {member.role for member in found.members}


def test_a_sliding_door_is_not_advised_to_slide():
    _, mapping, change = ALTERED["a leaf that slides too far"]
    found = [f for f in check_frame(change(frame_of(**mapping))) if f.rule.name == "door-slide"]
    assert found and all("sliding" not in f.advice for f in found)


def test_every_rule_of_the_room_has_a_mistake():
    spoilt = {rule for rule, _ in SEEDS.values()} | {rule for rule, _, _ in ALTERED.values()}
    assert ROOM - spoilt == set()
    assert len(SEEDS) + len(ALTERED) >= 25


def test_names_of_rules_are_unique_and_their_sources_stand():
    names = [rule.name for rule in rules()]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", name) for name in names)
    assert all(rule.source.strip() and rule.meaning.endswith(".") for rule in rules())


def test_a_rule_says_the_fault_that_it_looks_for():
    """A requirement in its place reads as if the rule looked for what is right."""
    required = re.compile(r"^(Every|No more than)\b|^(?!.*\b(not|less|fewer)\b).*\bat least\b")
    assert [rule.name for rule in rules() if required.search(rule.meaning)] == []
    assert required.search("Tubes overlap by at least 2.5 outside diameters at a joint.")


def test_the_sound_design_has_no_finding():
    assert [f"{f.rule.name}: {f.where}: {f.message}" for f in check_frame(frame_of())] == []


@pytest.mark.parametrize("name", SEEDS)
def test_a_mistake_is_found_by_its_rule_and_no_other_error(name):
    rule, _ = SEEDS[name]
    found = check_frame(seeded(name))
    assert rule in {finding.rule.name for finding in found}
    others = [f for f in found if f.severity is Severity.ERROR and f.rule.name != rule]
    assert [f"{f.rule.name}: {f.where}: {f.message}" for f in others] == []
    for finding in found:
        if finding.rule.name == rule and finding.margin is not None:
            assert finding.margin < 0


@pytest.mark.parametrize("name", [n for n, (r, _) in SEEDS.items() if "accept-" not in r])
def test_an_accepted_mistake_is_a_note_with_its_reason(name):
    rule, _ = SEEDS[name]
    frame = seeded(name)
    accepts = (Accept(rule=rule, where="", reason="known to the owner"), *frame.design.accept)
    design = frame.design.model_copy(update={"accept": accepts})
    found = check_frame(structs.replace(frame, design=design))
    assert all(f.severity is not Severity.ERROR for f in found)
    own = [f for f in found if f.rule.name == rule]
    assert own and all(f.severity is Severity.NOTE for f in own)
    assert {f.accepted for f in own} == {"known to the owner"}


@pytest.mark.parametrize("name", example_paths())
def test_the_examples_have_no_unexplained_finding_of_the_room(name):
    found = check_frame(lay_out(read_design(example_paths()[name])))
    unexplained = [f for f in found if f.rule.name in ROOM and f.accepted is None]
    assert [f"{f.rule.name}: {f.where}: {f.message}" for f in unexplained] == []
    assert all(f.rule.name not in ("accept-unknown", "accept-unused") for f in found)
