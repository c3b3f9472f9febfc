"""Which uprights of an end wall are braced, on which side, and from which height.

The design says which studs and how high; a brace gives way to what lies there: a girt, a
header, a hinge, the way through a door. Where nothing is free it stands where it was
asked for, and the checks tell what it strikes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from frame3d.design.reading.reader import is_left_out
from frame3d.design.tables.whole_design import DoorKind, Fixing, StudFoot, WallBraces
from frame3d.errors import DesignError
from frame3d.frame.doors.jamb_heights import FOOT_MM, bearing_height, guide_heights
from frame3d.frame.doors.leaves import band_heights, bracket_places
from frame3d.frame.end_walls.studs import sill_bolt_heights
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace, Upright, UprightKind
from frame3d.frame.joining.clamps import BAND_MM, EAR_MM, WIDTH_MM
from frame3d.frame.joining.stops import KeptClear
from frame3d.frame.model.end_forms import flat_width_mm
from frame3d.frame.model.openings import DoorOpening
from frame3d.frame.space.sweeps import sweeps_of
from frame3d.frame.wall_bracing.brace_lines import (
    Braced,
    BraceLine,
    Opposite,
    ends_x,
    line_of,
    next_hoop,
    plane_x,
    top_distance,
)
from frame3d.geometry.convex import hull, separation

_ROOM_MM = 10.0
_LEAST_RISE_MM = 200.0
_STEEPEST_RAD = math.radians(75)
"""A steeper brace holds nothing (common practice, no source)."""
_STEP_MM, _MOST_STEPS = 10.0, 60
_APART_MM = 5.0
_NEAR_MM = 400.0
"""Within which a level piece is looked at: no foot and no line of a brace takes up more."""
_BOLT_MM = 12.0
"""Half of what a bolt's head, nut and washer take up on an upright."""
HINGE_MM = 24.0
"""Half of what a hinge takes up of a jamb's height: its coupler, or its two screws."""
OVERHANG_MM = 40.0
"""How far a brace goes on past a coupler."""


def braced(
    wall: Wall,
    uprights: tuple[Upright, ...],
    doors: tuple[DoorPlace, ...],
    openings: Sequence[DoorOpening],
    opposite: Opposite,
) -> tuple[Braced, ...]:
    """The uprights that get a brace, each with its brace's side and height.

    Parameters
    ----------
    wall : Wall
    uprights : tuple of Upright
        Those of the design: not the ones that a track needs.
    doors : tuple of DoorPlace
    openings : sequence of DoorOpening
        The same doors with their leaves, and those that open into the same bay.
    opposite : Opposite

    Returns
    -------
    tuple of Braced
        Fewer than the design asks for where those of the other end are in the way; or than usual,
        where it leaves that to the program and no more can be.

    Raises
    ------
    DesignError
        If the design asks for braces and no upright can have one.
    """
    spec = wall.spec
    if spec.braces is WallBraces.NONE:
        return ()
    choice = _Choice(wall, uprights, doors, openings, opposite)
    whole = [u for u in uprights if u.kind is not UprightKind.CRIPPLE]
    if spec.braces is WallBraces.ALL:
        clear = [found for u in whole if (found := choice.clear(u)) is not None]
        able = clear or [found for u in whole if (found := choice.able(u)) is not None]
        if able:
            return tuple(found for found in able if not choice.is_struck(found))
    # The best first, so that few of them have the line of a brace searched for.
    whole.sort(key=lambda u: (abs(abs(u.x_mm) - wall.plan.arch.width_mm / 4), abs(u.x_mm)))
    chosen = [choice.first([u for u in whole if sign * u.x_mm > 1.0]) for sign in (-1, 1)]
    if None in chosen and not choice.is_free:
        raise DesignError(
            f"no stud can be braced from {wall.plan.say(spec.brace_height)} up to the next "
            "hoop at less than 75 deg, clear of the ridge joint, rails and ties; change "
            'brace_height, add studs, or set braces = "none"',
            f"{wall.where}.braces",
        )
    return tuple(found for found in chosen if found and not choice.is_struck(found))


def _swings_in(door: DoorOpening) -> bool:
    return door.kind is DoorKind.HINGED and door.swing.value == "in"


class _Choice:
    """What one wall leaves free for braces."""

    def __init__(
        self,
        wall: Wall,
        uprights: tuple[Upright, ...],
        doors: tuple[DoorPlace, ...],
        openings: Sequence[DoorOpening],
        opposite: Opposite,
    ) -> None:
        self.wall, self.uprights, self.doors, self.opposite = wall, uprights, doors, opposite
        self.openings = openings
        self.sweeps = [sweep for one in openings if _swings_in(one) for sweep in sweeps_of(one)]
        self.half_mm = wall.spec.brace_tube.od_mm / 2
        self.is_free = is_left_out(wall.plan.design, f"{wall.where}.braces")
        self._lines: dict[tuple[float, float, float], BraceLine] = {}

    def _line(self, brace: Braced) -> BraceLine:
        """Its centreline, which is asked for several times and searched for once."""
        key = (brace.upright.x_mm, brace.side, brace.height_mm)
        if key not in self._lines:
            self._lines[key] = line_of(self.wall, brace)
        return self._lines[key]

    def first(self, uprights: Sequence[Upright]) -> Braced | None:
        """The first upright that can be braced clear of everything; else the first that can be.

        From the design's height as it is there, or else from what a low hoop leaves of it. Where
        braces are left to the program, none stands in a door's way.
        """
        for strict, sides in itertools.product((True, False), (1, 2)):
            for upright in uprights:
                found = self.clear(upright, sides, strict=strict)
                if found is not None:
                    return found
        for upright, side in ((u, side) for u in uprights for side in _sides(u)):
            found = self._nearest(upright, side, strict=True)
            if found is not None:
                return found
        able = [found for u in uprights if (found := self.able(u)) is not None]
        if self.is_free:
            able = [one for one in able if self._passes_doors(one) and not self._strikes_tie(one)]
        return next((one for one in able if not self.is_struck(one)), able[0] if able else None)

    def is_struck(self, brace: Braced) -> bool:
        """Whether what stands at the other end is surely in its way."""
        return self._is_barred(brace, 0.0)

    def _is_barred(self, brace: Braced, room_mm: float) -> bool:
        if self.opposite.bays > 2:
            return False
        return self.opposite.bars(ends_x(self.wall, brace), self.half_mm, room_mm)

    def able(self, upright: Upright) -> Braced | None:
        """The brace from the height that the design gives, whatever it strikes."""
        found = Braced(
            upright=upright, side=_sides(upright)[0], height_mm=self.wall.spec.brace_height
        )
        return found if not _is_at_head(found) and self._reaches(found) else None

    def clear(self, upright: Upright, sides: int = 2, *, strict: bool = False) -> Braced | None:
        """The brace nearest to the design's height that strikes nothing.

        One that passes what lies in its way only at the design's height will do unless ``strict``.
        """
        for side in _sides(upright)[:sides]:
            first = Braced(upright=upright, side=side, height_mm=self.wall.spec.brace_height)
            if not (self._passes(first) and self._reaches(first)):
                continue
            found = self._nearest(upright, side, strict=strict)
            if found is not None:
                return found
        return None

    def _nearest(self, upright: Upright, side: float, *, strict: bool) -> Braced | None:
        """The brace on one side nearest to the design's height that strikes nothing."""
        if not _meets_hoop(self.wall, upright, side):
            return None
        tried = [
            Braced(upright=upright, side=side, height_mm=height)
            for height in _heights(self.wall.spec.brace_height)
        ]
        tried = [one for one in tried if not _is_at_head(one) and self._rises(one)]
        # The lower it begins, the steeper it is: few lines must be searched for.
        if not (tried and self._leans(max(tried, key=lambda one: one.height_mm))):
            return None
        steep_mm = 0.0
        for found in tried:
            if found.height_mm <= steep_mm:
                continue
            if not self._leans(found):
                steep_mm = found.height_mm
            elif self._is_free(found) and (not strict or self._passes(found)):
                return found
        return None

    def _passes(self, brace: Braced) -> bool:
        """Whether it stands beside every door's way, every leaf that swings in, and the studs."""
        wall, x = self.wall, plane_x(self.wall, brace.upright, brace.side)
        half = self.half_mm
        if self._is_barred(brace, BAND_MM + EAR_MM + _APART_MM):
            return False
        if self._strikes_tie(brace) or self._strikes_rail(brace):
            return False
        if any(
            abs(u.x_mm - x) < wall.upright_mm / 2 + half + _APART_MM
            for u in self.uprights
            if u is not brace.upright
        ):
            return False
        return self._passes_doors(brace)

    def _passes_doors(self, brace: Braced) -> bool:
        """Whether it stands beside every door's way and every leaf that swings in."""
        wall, half, ends = self.wall, self.half_mm, ends_x(self.wall, brace)
        if any(
            brace.height_mm < door.top_mm
            and door.left_x_mm - half - 1.0 < max(ends)
            and min(ends) < door.right_x_mm + half + 1.0
            for door in self.openings
        ):
            return False
        sweeps = [sweep for sweep in self.sweeps if brace.height_mm < sweep.leaf.top_mm]
        if not sweeps:
            return True
        wide = half if wall.is_timber else half + BAND_MM + 1.0
        ys = wall.y(wall.front_mm), wall.plan.grid.hoop_y_mm[next_hoop(wall) - 1]
        plan = hull((at + off, y) for at, y in zip(ends, ys, strict=True) for off in (-wide, wide))
        gap = wall.plan.design.clearance.leaf_gap
        return not any(separation(sweep.plan, plan) < gap for sweep in sweeps)

    def _strikes_rail(self, brace: Braced) -> bool:
        """Whether its coupler on the hoop lies at a rail, or at what holds one."""
        wall, ears = self.wall, BAND_MM + EAR_MM + _APART_MM
        at_mm = top_distance(wall, brace.upright, brace.side)
        if wall.is_timber and wall.lines:
            at_mm = self._line(brace).at_mm
        return any(
            abs(line.at_mm - at_mm)
            < self.half_mm
            + line.rail.tube.od_mm / 2
            + ears
            + (ears if line.rail.fixing is Fixing.CLAMPED else 0.0)
            for line in wall.lines
        )

    def _strikes_tie(self, brace: Braced) -> bool:
        """Whether its upper end lies at a tie, which runs beside the hoop there."""
        if not self.wall.tie_heights_mm:
            return False
        line = self._line(brace)
        low = line.high[2] - self.half_mm - BAND_MM - EAR_MM - WIDTH_MM
        high = line.high[2] + OVERHANG_MM + BAND_MM + EAR_MM + WIDTH_MM
        return any(low < at < high for at in self.wall.tie_heights_mm)

    def _is_free(self, brace: Braced) -> bool:
        """Whether nothing else is on its upright at its foot, or in its line at the wall."""
        at = brace.height_mm
        foot = KeptClear.around(at, _BOLT_MM if self.wall.is_timber else WIDTH_MM / 2)
        if any(foot.overlaps(fixing) for fixing in self._fixings(brace.upright)):
            return False
        near = [
            level
            for level in self._levels(brace.upright)
            if level.start_mm - _NEAR_MM < at < level.end_mm + _NEAR_MM
        ]
        if not near:
            return True
        own = _own(self.wall, brace, self._line(brace).angle_rad)
        return not any(own.overlaps(level) for level in near)

    def _reaches(self, brace: Braced) -> bool:
        """Whether it rises from its stud to a free place of the next hoop, and not too steeply."""
        return (
            _meets_hoop(self.wall, brace.upright, brace.side)
            and self._rises(brace)
            and self._leans(brace)
        )

    def _rises(self, brace: Braced) -> bool:
        """Whether its foot is on its upright and well below the hoop."""
        wall, upright, height = self.wall, brace.upright, brace.height_mm
        half = wall.upright_mm / 2
        top = min(wall.z_under(upright.x_mm - half), wall.z_under(upright.x_mm + half))
        return max(0.0, upright.foot_mm) + 100 <= height and height + _LEAST_RISE_MM <= top

    def _leans(self, brace: Braced) -> bool:
        """Whether it is not too steep; asked last, since its line must be searched for."""
        return self._line(brace).angle_rad <= _STEEPEST_RAD

    def _levels(self, upright: Upright) -> Iterator[KeptClear]:
        """Girts, headers and nailers, which run past the upright."""
        wall = self.wall
        half = (wall.spec.timber.thickness_mm if wall.is_timber else wall.spec.tube.od_mm) / 2
        more = 0.0 if wall.is_timber else BAND_MM + EAR_MM
        for z in wall.spec.girts:
            yield KeptClear.around(z, half + more)
        for door in self.doors:
            if upright.door is door or door.door.kind is DoorKind.SLIDING:
                yield KeptClear(door.top_mm - more, door.header_top_mm + more)

    def _fixings(self, upright: Upright) -> Iterator[KeptClear]:
        """Hinges, feet of roll tubes, and the bolts of a sill on edge."""
        wall, door = self.wall, upright.door
        if wall.spec.stud_foot is not StudFoot.SILL:
            if wall.is_timber:
                for z in sill_bolt_heights(wall):
                    yield KeptClear.around(z, _BOLT_MM)
            else:
                yield KeptClear(0.0, wall.spec.sill.depth_mm)
        if door is None or upright.kind is not UprightKind.JAMB:
            return
        if door.door.kind is DoorKind.HINGED:
            for bracket_place in bracket_places(wall, door, 1):
                for z in band_heights(bracket_place):
                    yield KeptClear.around(z, HINGE_MM)
        elif door.door.kind is DoorKind.ROLL_UP:
            for z in (*guide_heights(wall, door), bearing_height(wall, door)):
                yield KeptClear.around(z, FOOT_MM / 2)


def _heights(wish_mm: float) -> Iterator[float]:
    """Heights from the nearest to the place that is asked for outward, higher ones first."""
    yield wish_mm
    for k in range(1, _MOST_STEPS + 1):
        yield wish_mm + k * _STEP_MM
        yield wish_mm - k * _STEP_MM


def _own(wall: Wall, brace: Braced, angle: float) -> KeptClear:
    """What a brace takes up in height at the wall: its foot, and its line as far as the girts.

    ``angle`` is that of its line to the ground, rad.
    """
    sin, cos, od_mm = math.sin(angle), math.cos(angle), wall.spec.brace_tube.od_mm
    if wall.is_timber:
        half = flat_width_mm(wall.spec.brace_tube) / 2
        # The flat begins two holes before its bolt, and leaves the stud at its back.
        below = 2.0 * wall.plan.fasteners.hex.hole_mm * sin + half * cos
        above = wall.spec.timber.depth_mm / 2 * math.tan(angle) + half / cos
    else:
        inside = wall.girt_axis_mm > wall.axis_mm
        depth = abs(wall.girt_axis_mm - wall.axis_mm) + wall.spec.tube.od_mm / 2
        ears = max(WIDTH_MM / 2, (od_mm / 2 + BAND_MM + EAR_MM) * cos)
        below = max(ears, OVERHANG_MM * sin + od_mm / 2 * cos)
        above = max(ears, depth * math.tan(angle) + od_mm / 2 / cos if inside else 0.0)
    return KeptClear(brace.height_mm - below - _APART_MM, brace.height_mm + above + _APART_MM)


def _is_at_head(brace: Braced) -> bool:
    """Whether its foot lies at the header of the door that its upright belongs to."""
    door = brace.upright.door
    return door is not None and door.top_mm - 60 < brace.height_mm < door.header_top_mm + 60


def _meets_hoop(wall: Wall, upright: Upright, side: float) -> bool:
    """Whether the next hoop is free where a brace on that side of the upright meets it."""
    place = top_distance(wall, upright, side)
    reach = WIDTH_MM / 2 + _ROOM_MM
    high = wall.plan.line.half.length_mm if wall.ridge is None else wall.ridge.clear_from_mm
    if not wall.plan.design.socket.insertion + reach <= place <= high - reach:
        return False
    if any(abs(at - place) < 2 * WIDTH_MM for at in wall.tied_mm):
        return False
    return not any(
        abs(line.at_mm - place) < reach + line.rail.tube.od_mm / 2 + WIDTH_MM / 2
        for line in wall.lines
    )


def _sides(upright: Upright) -> tuple[float, ...]:
    """The sides that a brace may lie on, the better first: away from the middle, or the door.

    Before the reveal of its own door a jamb has no brace.
    """
    if upright.door is not None and upright.kind is UprightKind.JAMB:
        return (-1.0 if upright.x_mm < upright.door.left_mm else 1.0,)
    away = -1.0 if upright.x_mm < 0 else 1.0
    return (away, -away)
