"""From the design to the frame: every part, every place it goes, every mark."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable
from typing import NamedTuple

from frame3d.design.reading.reader import as_given
from frame3d.design.tables.whole_design import Design
from frame3d.design.values.field_info import limits_of
from frame3d.errors import ArchError, DesignError
from frame3d.frame.cover.channel import channel_members
from frame3d.frame.cover.curtains import curtain_members
from frame3d.frame.hoops.demands import check_apart, check_families_apart
from frame3d.frame.hoops.hoop_pieces import hoop_members
from frame3d.frame.hoops.ridge import ridge_end
from frame3d.frame.hoops.sockets import check_sockets, socket_members
from frame3d.frame.joining.bolts import fasteners_of
from frame3d.frame.joining.recording import joints_of
from frame3d.frame.joining.splices import check_splices
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.canonical import are_alike, canonical, shape_key
from frame3d.frame.model.grid import make_grid
from frame3d.frame.model.layout_context import HoopLine, LayoutContext, UnmarkedMember
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.parts import Hole, Part
from frame3d.frame.model.roles import Role
from frame3d.frame.model.settling import MOST_TRIES, settled, with_more_pieces
from frame3d.frame.model.surveyed import GroundUnder
from frame3d.frame.revisions.revision_index import check_revisions
from frame3d.frame.sides.bracing import brace_members, brace_stretches
from frame3d.frame.sides.rails import (
    check_rails,
    hoop_holes,
    is_ridge_bolted,
    rail_lines,
    rail_members,
    stretches,
)
from frame3d.frame.sides.side_openings import (
    hip_holes,
    hip_rails,
    hip_stretches,
    opening_members,
    side_vents,
)
from frame3d.frame.sides.sills import boards_fitted, sill_members
from frame3d.frame.ties.ties import tie_demands, tie_members, tie_stretches, ties_beside, trusses
from frame3d.frame.wall_bracing.end_walls import (
    door_openings,
    plan_end_walls,
    wall_demands,
    wall_members,
    wall_stretches,
)
from frame3d.geometry.arch.arch import Arch, ArchStyle
from frame3d.geometry.arch.arch_given import ArchGiven
from frame3d.geometry.arch.arch_solver import solve_arch
from frame3d.geometry.placement import Placement
from frame3d.units import LengthFormat, LengthText

MARKS = {
    Role.SOCKET: "S",
    Role.HOOP: "H",
    Role.SPLICE: "SL",
    Role.RIDGE_JOINT: "RJ",
    Role.RAIL: "R",
    Role.BRACE: "B",
    Role.SILL_BOARD: "SB",
    Role.SKIRT_BOARD: "SK",
    Role.JOINT_BLOCK: "JB",
    Role.HIP_BOARD: "HB",
    Role.HIP_RAIL: "HR",
    Role.END_STOP: "ES",
    Role.TIE: "T",
    Role.KING_POST: "KP",
    Role.WEB: "WB",
    Role.GUSSET: "GP",
    Role.STUD: "ST",
    Role.GIRT: "G",
    Role.WALL_SILL: "WS",
    Role.WALL_BRACE: "EB",
    Role.WALL_ANCHOR: "AN",
    Role.WALL_SKIRT: "WK",
    Role.DOOR_JAMB: "DJ",
    Role.DOOR_HEADER: "DH",
    Role.THRESHOLD: "TH",
    Role.DOOR_LEAF: "DL",
    Role.HINGE: "HI",
    Role.DOOR_TRACK: "DT",
    Role.ROLL_TUBE: "RT",
    Role.TRACK_NAILER: "TN",
    Role.BRACKET: "BK",
    Role.CURTAIN_GUIDE: "CG",
    Role.FLOOR_GUIDE: "FG",
    Role.CHANNEL: "FC",
    Role.CHANNEL_SCREW: "FS",
    Role.CURTAIN_TUBE: "CT",
    Role.CURTAIN_SCREW: "CS",
    Role.CURTAIN_CLIP: "CC",
    Role.CORD_EYE: "CE",
    Role.WINDER: "CW",
    Role.GUIDE_POST: "CP",
    Role.CLAMP: "C",
    Role.BOLT: "BT",
    Role.NUT: "N",
    Role.WASHER: "W",
    Role.SCREW: "SC",
}
"""First letters of the marks of each role."""
_SAME = Placement()


class _Site(NamedTuple):
    """What was measured: heights of the ground, and where hoops stand as driven."""

    ground: GroundUnder | None
    driven_mm: tuple[float, ...]


def lay_out(
    design: Design, ground: GroundUnder | None = None, driven_mm: tuple[float, ...] = ()
) -> Frame:
    """The frame that a design describes, complete, on level ground or on what was measured.

    With ``driven_mm``, a place along the tunnel for each hoop from 0 on, it is the frame as its
    sockets were driven: hoops stand there, and what lies between them is made to that.

    Raises
    ------
    DesignError
        If the design contradicts itself or asks for what cannot be made; names the
        field to change.

    Examples
    --------
    >>> from frame3d.design.reading.reader import read_design
    >>> from frame3d.examples import example_paths
    >>> frame = lay_out(read_design(example_paths()["long_meadow_gothic"]))
    >>> sum(1 for _ in frame.of(Role.SOCKET)) == 2 * len(frame.grid.hoop_y_mm)
    True
    """
    site = _Site(ground, driven_mm)
    frame = _fitted(design, site)
    while (shorter := with_more_pieces(frame)) is not None:
        try:
            frame = _laid_out(shorter, site)
        except DesignError:
            break  # no room for so many splices: the checks tell that the pieces are too long
    return frame


def _fitted(design: Design, site: _Site) -> Frame:
    """The frame, with other values for the defaults that do not fit."""
    for _ in range(MOST_TRIES):
        try:
            return _laid_out(design, site)
        except DesignError as error:
            fitting = settled(design, error)
            if fitting is None:
                raise as_given(design, error) from None
            design = fitting
    return _laid_out(design, site)


def _laid_out(design: Design, site: _Site) -> Frame:
    plan = boards_fitted(make_plan(design, site.ground, site.driven_mm))
    end = None
    if plan.is_gothic:
        size = plan.fasteners.hex.hole_mm
        end = ridge_end(plan, size if is_ridge_bolted(plan) else None)
    lines = rail_lines(plan, end)
    lines = (*lines, *hip_rails(plan, end, len(lines)))
    check_rails(plan, lines, end)
    made = trusses(plan, end, lines)
    walls = plan_end_walls(plan, lines, end, made)
    demands = (*tie_demands(plan, made), *wall_demands(walls))
    taken = (
        KeptClear(0.0, design.socket.insertion + 20),
        *stretches(lines),
        *brace_stretches(plan, end),
        *hip_stretches(plan, end),
        *tie_stretches(plan, made),
        *wall_stretches(walls),
    )
    sides, crown = hoop_holes(plan, lines)
    legs, hips = _leg_holes(plan), hip_holes(plan, end)
    bored = (
        ("socket", "the socket's bolts", legs),
        ("rail", "a rail", sides),
        ("side_opening.height", "the hip board", hips),
    )
    check_families_apart(bored, plan.say)
    common = (*legs, *sides, *hips)
    check_apart((*common, *crown), demands, plan.say)
    doors, vents = door_openings(walls), side_vents(plan, end)
    families: tuple[tuple[str, list[UnmarkedMember]], ...] = (
        ("socket", socket_members(plan)),
        ("hoop", hoop_members(plan, common, taken, crown, end, demands)),
        *((line.where, rail_members(plan, line, ties_beside(plan, made, line))) for line in lines),
        ("brace", brace_members(plan)),
        ("sill_board", sill_members(plan)),
        ("side_opening", opening_members(plan, end)),
        *((truss.where, tie_members(plan, (truss,))) for truss in made),
        *((one.wall.where, wall_members((one,))) for one in walls),
    )
    before = [draft for _, family in families for draft in family]
    families += (
        ("cover", channel_members(plan, end, doors, vents, before)),
        ("curtain", curtain_members(plan, vents, doors)),
    )
    drafts = [draft for _, family in families for draft in family]
    members = _marked(families)
    return Frame(
        design=design,
        grid=plan.grid,
        arch=plan.arch,
        members=members,
        doors=doors,
        vents=vents,
        joints=joints_of(drafts, members),
        ground=plan.ground,
    )


def make_plan(
    design: Design, ground: GroundUnder | None = None, driven_mm: tuple[float, ...] = ()
) -> LayoutContext:
    """What is worked out before any member is placed.

    Raises
    ------
    DesignError
        If the profile, the bays, the bolts or the fits contradict each other.
    """
    output = design.output
    say = LengthText(LengthFormat(
        system=output.units, denominator=output.fraction, decimals=max(1, output.decimals)
    ))  # fmt: skip

    fasteners = fasteners_of(design.hardware, say)
    hole_mm = max(fasteners.hex.hole_mm, fasteners.carriage.hole_mm)
    check_revisions(design)
    check_sockets(design, hole_mm, say)
    check_splices(design, say)
    _check_holes(design, hole_mm, say)
    arch = _arch(design, say)
    return LayoutContext(
        design=design,
        grid=make_grid(design.bays, arch.width_mm / 2, say, driven_mm),
        arch=arch,
        line=HoopLine.of(arch, design.socket.insertion - design.socket.exposed),
        fasteners=fasteners,
        say=say,
        ground=ground,
    )


def _check_holes(design: Design, hole_mm: float, say: LengthText) -> None:
    tubes = [("hoop.tube", design.hoop.tube), ("socket.tube", design.socket.tube)]
    tubes += [(f"rail[{n}].tube", r.tube) for n, r in enumerate(design.rail, start=1)]
    for where, tube in tubes:
        if hole_mm > 0.55 * tube.od_mm:
            raise DesignError(
                f"a {say(hole_mm)} hole leaves too little of {tube.name} "
                f"({say.tube(tube.od_mm)} outside); choose a larger tube or a smaller bolt "
                "in hardware",
                where,
            )


def _arch(design: Design, say: LengthText) -> Arch:
    profile, od_mm = design.profile, design.hoop.tube.od_mm
    gothic = profile.style is ArchStyle.GOTHIC
    given = ArchGiven(
        style=profile.style,
        width_mm=profile.width,
        ridge_height_mm=profile.ridge_height,
        leg_height_mm=profile.leg_height,
        leg_lean_rad=profile.leg_lean,
        eave_radius_mm=profile.eave_radius,
        top_radius_mm=profile.rafter_radius if gothic else profile.crown_radius,
        ridge_slope_rad=profile.ridge_slope,
        measured=profile.measured,
        tube_od_mm=od_mm,
        min_radius_mm=design.hoop.smallest_bend * od_mm,
        min_leg_height_mm=design.socket.exposed,
        default_leg_height_mm=design.socket.exposed,
    )
    try:
        return solve_arch(given, say=say, limits=limits_of("profile"))
    except ArchError as error:
        where = f"profile.{error.field}" if error.field else "profile"
        raise DesignError(str(error), where) from None


def _leg_holes(plan: LayoutContext) -> tuple[Hole, ...]:
    """Holes of each leg that meet those of the socket."""
    socket, size = plan.design.socket, plan.fasteners.hex.hole_mm
    if plan.design.sill_board:
        size = max(size, plan.fasteners.carriage.hole_mm)
    return tuple(
        Hole(at_mm=socket.insertion - at, diameter_mm=size)
        for at in (socket.lower_hole, socket.upper_hole)
    )


def _marked(families: Iterable[tuple[str, list[UnmarkedMember]]]) -> tuple[Member, ...]:
    """The drafts of all families as members: parts in one form, equal parts with equal marks.

    A family is the section of the design that asks for it, and its drafts.
    """
    # By identity first: hashing a bent tube with its holes costs more than placing it. Then by
    # value, which spares parts made anew for each bay the search for their one form.
    # The drafts are all alive here, so that no two of their parts share an identity.
    known: dict[tuple[Role, int], tuple[str, Part, Placement | None]] = {}
    marks = _Marks()
    members = []
    for source, draft in ((source, draft) for source, drafts in families for draft in drafts):
        key = (draft.role, id(draft.part))
        found = known.get(key)
        if found is None:
            found = known[key] = marks.of(draft.role, draft.part)
        mark, part, local = found
        placement = draft.placement if local is None else draft.placement.then(local)
        members.append(
            Member(
                mark=mark,
                role=draft.role,
                part=part,
                placement=placement,
                spot=draft.spot,
                source=draft.source or source,
            )
        )
    return tuple(members)


class _Marks:
    """The marks given so far, and the one form of each part that has one."""

    def __init__(self) -> None:
        self._equal: dict[tuple[Role, Part], tuple[str, Part, Placement | None]] = {}
        self._made: dict[Hashable, list[tuple[tuple[float, ...], Part, str]]] = {}
        self._used: Counter[Role] = Counter()

    def of(self, role: Role, part: Part) -> tuple[str, Part, Placement | None]:
        """The mark of a part, its one form, and where that stands in the part's own axes.

        None for a form that stands as the part does.
        """
        value = (role, part)
        if value not in self._equal:
            form, local = canonical(part)
            mark, form = self._alike(role, form)
            self._equal[value] = (mark, form, None if local == _SAME else local)
        return self._equal[value]

    def _alike(self, role: Role, form: Part) -> tuple[str, Part]:
        kinds, numbers = shape_key(form)
        group = self._made.setdefault((role, kinds), [])
        for others, other, mark in group:
            if are_alike(others, numbers):
                return mark, other
        self._used[role] += 1
        mark = f"{MARKS[role]}{self._used[role]}"
        group.append((numbers, form, mark))
        return mark, form
