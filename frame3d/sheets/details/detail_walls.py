"""Details of end walls and ties where they meet the hoop."""

from __future__ import annotations

from frame3d.frame.measure.board_measures import end_x_mm, shoulder_x_mm, tongue_mm
from frame3d.frame.model.members import Member, with_part
from frame3d.frame.model.parts import Board, ClampHalf, Plate, Tube
from frame3d.frame.model.roles import Role, Side
from frame3d.geometry.placement import ACROSS, ALONG, UP, Vector
from frame3d.sheets.annotation.annotations import Annotation, Chain, Note, Running, ViewEdge
from frame3d.sheets.details.details import (
    Detail,
    DetailContext,
    bolt_note,
    bolts_of,
    clamps_of,
    detail,
    face_point,
    nearest_on,
    of_role,
)
from frame3d.sheets.projection.projection import FRONT, RIGHT_SIDE
from frame3d.sheets.projection.section_plane import Plane
from frame3d.sheets.projection.section_view import section
from frame3d.sheets.projection.silhouettes import reach_of

_HALF_MM = 130.0


def stud_detail(site: DetailContext) -> Detail | None:
    """The top of an end wall stud at the hoop: timber in section, tube as seen from outside."""
    studs = list(site.frame.of(Role.STUD)) or list(site.frame.of(Role.DOOR_JAMB))
    if not studs:
        return None
    first = min(studs, key=lambda m: (m.spot.hoop, abs(m.placement.origin[0])))
    if isinstance(first.part, Board):
        return _timber_stud(site, with_part(first, Board))
    return _tube_stud(site, with_part(first, Tube))


def _timber_stud(site: DetailContext, stud: Member[Board]) -> Detail | None:
    """A timber stud cut along its middle, seen from the left."""
    part = stud.part
    low, high = reach_of(stud, ACROSS)
    middle = (low + high) / 2
    plane = Plane(projection=RIGHT_SIDE, at_mm=middle)
    top = reach_of(stud, UP)[1]
    near, far = reach_of(stud, ALONG)
    y = site.frame.grid.hoop_y_mm[stud.spot.hoop - 1]
    point = (middle, y, top)
    joints = site.frame.joints_with(stud, Role.HOOP)
    (hoop,), bolts = of_role(joints, Tube, Role.HOOP), bolts_of(joints)
    left, right = min(near, y - 40.0) - 70.0, max(far, y + 40.0) + 70.0
    window = (left, top - 170.0, right, top + 60.0)
    ring = face_point(section([hoop], plane, window), hoop)
    annotations: list[Annotation] = [
        *_notch_sizes(stud),
        Note(
            text=f"{stud.role.value.capitalize()} {site.name(stud)}",
            at=((near + far) / 2, top - 130.0),
        ),
        Note(text=f"Hoop {site.name(hoop)}", at=ring or _ring_point(hoop, point, y)),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    end = "front" if stud.spot.hoop == 1 else "back"
    side = "bevelled and notched to" if part.end and part.end.lap_mm else "bolted to"
    where = f"Cut along the stud, seen from the left; its top is {side} the hoop. {end} end."
    return detail(
        site,
        "End wall stud at the hoop",
        where.replace(f"{end} end", f"{end.capitalize()} end"),
        plane,
        window,
        annotations,
        of=(*_hoop(site, stud.spot.hoop), stud, *bolts),
        largest=4,
    )


def _hoop(site: DetailContext, number: int) -> list[Member[Tube]]:
    """The pieces of a hoop."""
    return [m for m in site.frame.of_kind(Tube, Role.HOOP) if m.spot.hoop == number]


def _ring_point(hoop: Member[Tube], point: Vector, y: float) -> tuple[float, float]:
    """A point in the wall of a hoop that the section does not cut across."""
    here = nearest_on(hoop, point)[1]
    section = hoop.part.section
    return RIGHT_SIDE.flat((point[0], y + section.od_mm / 2 - section.wall_mm / 2, here[2]))


def _notch_sizes(stud: Member[Board]) -> list[Annotation]:
    """Height of the notch and what it leaves of the depth, in the middle of the thickness."""
    part = stud.part
    for end, at_start in ((part.start, True), (part.end, False)):
        if end is None or not end.lap_mm:
            continue
        across = part.section.thickness_mm / 2
        low, high = tongue_mm(part, end)
        tip = end_x_mm(part, low, across, at_start=at_start)
        shoulder = shoulder_x_mm(part, across, at_start=at_start)

        def flat(x: float, up: float, across: float = across) -> tuple[float, float]:
            return RIGHT_SIDE.flat(stud.placement.point((x, up, across)))

        edges = [flat(tip, low), flat(tip, high)]
        cut = low if low > 1e-6 else high
        return [
            Chain(
                points=(flat(shoulder, cut), flat(tip, cut)), edge=ViewEdge.LEFT, names=("notch",)
            ),
            Chain(points=tuple(sorted(edges)), edge=ViewEdge.TOP),
        ]
    return []


def _tube_stud(site: DetailContext, stud: Member[Tube]) -> Detail | None:
    """A tube stud at the hoop, as seen from outside; nothing is cut."""
    ends = (stud.placement.origin, stud.placement.point((stud.part.length_mm, 0.0, 0.0)))
    top = max(ends, key=lambda p: p[2])
    y = site.frame.grid.hoop_y_mm[stud.spot.hoop - 1]
    plane = Plane(projection=FRONT, at_mm=-y + 500.0)
    joints = site.frame.joints_with(stud, Role.HOOP)
    (hoop,) = of_role(joints, Tube, Role.HOOP)
    bolts, clamps = bolts_of(joints), clamps_of(joints)
    window = (top[0] - _HALF_MM, top[2] - 1.3 * _HALF_MM, top[0] + _HALF_MM, top[2] + 90.0)
    half = stud.part.section.od_mm / 2
    annotations: list[Annotation] = [
        Note(
            text=f"{stud.role.value.capitalize()} {site.name(stud)}",
            at=(top[0], top[2] - 1.1 * _HALF_MM),
        ),
        Note(text=f"Hoop {site.name(hoop)}", at=_aside(hoop, top, window)),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    if clamps:
        place = min(clamps, key=lambda m: m.placement.origin[2])
        marks = " and ".join(dict.fromkeys(m.mark for m in clamps))
        annotations.append(
            Note(
                text=f"Clamp, {'halves' if ' and ' in marks else 'two halves'} {marks}",
                at=FRONT.flat(place.placement.point((0.0, place.part.tube_od_mm / 2, 0.0))),
            )
        )
        annotations.append(
            Chain(
                points=((top[0] - half, place.placement.origin[2]), (top[0] - half, top[2])),
                edge=ViewEdge.LEFT,
                names=("past the clamp",),
            )
        )
    where = "Seen from outside, nothing cut; the other studs are the same."
    return detail(
        site,
        "End wall stud at the hoop",
        where,
        plane,
        window,
        annotations,
        of=[*_hoop(site, stud.spot.hoop), stud, *clamps, *bolts],
    )


def _aside(
    hoop: Member[Tube], point: Vector, window: tuple[float, float, float, float]
) -> tuple[float, float]:
    """A point on the hoop's axis toward the right edge of the window."""
    here = nearest_on(hoop, (window[2] - 20.0, point[1], point[2]))[1]
    if not (window[0] < here[0] < window[2] and window[1] < here[2] < window[3]):
        here = nearest_on(hoop, point)[1]
    return FRONT.flat(here)


def tie_detail(site: DetailContext) -> Detail | None:
    """A tie where it meets the hoop on the right, as seen from the front; nothing is cut."""
    frame = site.frame
    ties = list(frame.of_kind(Tube, Role.TIE))
    if not ties:
        return None
    number = ties[0].spot.hoop
    row = [m for m in ties if m.spot.hoop == number]
    tie = max(row, key=lambda m: reach_of(m, ACROSS)[1])
    end = max((tie.placement.origin, tie.placement.point((tie.part.length_mm, 0.0, 0.0))))
    y = frame.grid.hoop_y_mm[number - 1]
    height = tie.placement.origin[2]
    node = (frame.arch.half_width_at(height), y, height)
    plane = Plane(projection=FRONT, at_mm=-y + 500.0)
    plates = [
        plate
        for plate in of_role(frame.joints_with(tie, Role.GUSSET), Plate, Role.GUSSET)
        if plate.spot.side is Side.RIGHT and frame.joints_with(plate, Role.HOOP)
    ]
    joints = [j for plate in plates for j in frame.joints_with(plate)] or [
        j for j in frame.joints_with(tie, Role.HOOP) if j.placement.origin[0] > 0.0
    ]
    (hoop,) = of_role(joints, Tube, Role.HOOP)
    bolts, clamps = bolts_of(joints), clamps_of(joints)
    window = (
        min(node[0], end[0]) - 170.0,
        height - 140.0,
        max(node[0], end[0]) + 110.0,
        height + 140.0,
    )
    low = height - tie.part.section.od_mm / 2
    on_tie = sorted(
        j.placement.origin[0] for plate in plates for j in frame.joints_with(plate, Role.TIE)
    )
    points = tuple((x, low) for x in (*on_tie, end[0]) if abs(x - node[0]) > 0.5)
    annotations: list[Annotation] = [
        Running(datum=(node[0], low), points=points, edge=ViewEdge.BOTTOM),
        Note(
            text=f"Tie {site.name(tie)}; its centreline is {site.say(height)} above ground",
            at=(window[0] + 40.0, height),
        ),
        Note(
            text=f"Hoop {site.name(hoop)}",
            at=_aside(hoop, (node[0], y, height - 100.0), window),
        ),
        *bolt_note(site, bolts, plane, ViewEdge.RIGHT),
    ]
    annotations += _held_by(site, plates, clamps)
    where = (
        f"Hoop {number}, right side, seen from the front, nothing cut. Dimensions below "
        "start at the node, where the centrelines meet."
    )
    of: list[Member] = [*_hoop(site, number), *row, *clamps, *bolts, *plates]
    return detail(site, "Tie at the hoop", where, plane, window, annotations, of=of)


def _held_by(
    site: DetailContext, plates: list[Member[Plate]], clamps: list[Member[ClampHalf]]
) -> list[Note]:
    """What holds the tie: a plate, or the halves of a coupler."""
    notes = []
    if plates:
        plate = plates[0]
        xs, ys = zip(*plate.part.outline, strict=True)
        corner = max(plate.part.outline, key=lambda p: p[0] + p[1])
        at = plate.placement.point(
            (
                0.9 * corner[0] + 0.1 * sum(xs) / len(xs),
                0.9 * corner[1] + 0.1 * sum(ys) / len(ys),
                0.0,
            )
        )
        notes.append(Note(text=f"Gusset plate {site.name(plate)}", at=FRONT.flat(at)))
    elif clamps:
        place = max(clamps, key=lambda m: m.placement.origin[0])
        at = place.placement.point((0.0, place.part.tube_od_mm / 2, 0.0))
        marks = " and ".join(dict.fromkeys(m.mark for m in clamps))
        two = "halves" if " and " in marks else "two halves"
        notes.append(Note(text=f"Clamp, {two} {marks}", at=FRONT.flat(at)))
    return notes
