"""Which drawings each step has."""

from __future__ import annotations

from frame3d.design.tables.ends import End
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.roles import Role
from frame3d.guide.pictures.canvas import Canvas
from frame3d.guide.pictures.closeup import Closeups
from frame3d.guide.pictures.overview import (
    ProjectedMembers,
    break_of,
    corner_projection,
    draw_film,
    draw_ground,
    elevation,
    mark_kinds,
)
from frame3d.guide.pictures.plans import hoop_pictures, socket_picture, stake_picture
from frame3d.guide.steps.phases import Phase, made_members
from frame3d.guide.steps.step_content import Picture
from frame3d.guide.steps.steps import Step, given

_NEAR_WALL_MM = 700.0


class Pictures:
    """The drawings of the steps of a frame."""

    def __init__(self, frame: Frame, steps: tuple[Step, ...]) -> None:
        self.frame, self.steps = frame, steps
        self.cut, self.projection = break_of(frame), corner_projection()
        self.view = ProjectedMembers(self.projection, self.cut)
        self.step_of = {id(member): step.number for step in steps for member in step.all_members}
        self.closeups = Closeups(frame, self.step_of)

    def of(self, step: Step) -> tuple[Picture, ...]:
        """The drawings of ``step``: what stands after it, and joints from near."""
        near = self.closeups.of(step)
        match step.phase:
            case Phase.PREPARE:
                return (self._whole("The finished frame, without its cover."),)
            case Phase.STAKE:
                return (stake_picture(self.frame),)
            case Phase.SOCKETS:
                return (self._standing(step, step.members), socket_picture(self.frame))
            case Phase.HOOPS:
                return (*hoop_pictures(self.frame), *near)
            case Phase.RAISE:
                return (self._standing(step, step.moved), *near)
            case Phase.WALLS | Phase.DOORS:
                return (self._end(step), *near)
            case Phase.INSPECT:
                return (self._whole("The frame before it is covered."),)
            case Phase.CHANNEL:
                return (self._channel(step),)
            case Phase.COVER:
                return (self._covered(step),)
        return (self._standing(step, step.members), *near)

    def _before(self, step: Step) -> list[Member]:
        """What stands before a step."""
        raised = next(one.number for one in self.steps if one.phase is Phase.RAISE)
        lying = (Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT)
        return [
            member
            for member in made_members(self.frame)
            if self.step_of[id(member)] < step.number
            and (member.role not in lying or step.number > raised)
        ]

    def _standing(self, step: Step, new: tuple[Member, ...]) -> Picture:
        canvas = Canvas()
        draw_ground(canvas, self.frame, self.projection, self.cut)
        self.view.draw(canvas, self._before(step), new)
        mark_kinds(canvas, self.projection, step.members, self.cut)
        return canvas.picture(
            "The frame after this step, from the front and right; new parts are dark."
            + self.cut.caption
        )

    def _whole(self, caption: str) -> Picture:
        canvas = Canvas()
        draw_ground(canvas, self.frame, self.projection, self.cut)
        self.view.draw(canvas, (), made_members(self.frame))
        return canvas.picture(caption + self.cut.caption)

    def _channel(self, step: Step) -> Picture:
        last = len(self.frame.grid.hoop_y_mm)
        along = (Role.SILL_BOARD, Role.SKIRT_BOARD, Role.HIP_BOARD, Role.HIP_RAIL)
        new = [
            member
            for member in made_members(self.frame)
            if member.role in along
            or (
                member.spot.hoop in (1, last)
                and member.role in (Role.HOOP, Role.RIDGE_JOINT, Role.SPLICE)
            )
        ]
        chosen = {id(member) for member in new}
        canvas = Canvas()
        old = [member for member in self._before(step) if id(member) not in chosen]
        self.view.draw(canvas, old, new)
        round_doors = " and round the doors" if self.frame.doors else ""
        return canvas.picture(f"Channel runs along the dark lines{round_doors}." + self.cut.caption)

    def _covered(self, step: Step) -> Picture:
        canvas = Canvas()
        self.view.draw(canvas, self._before(step), ())
        draw_film(canvas, self.frame, self.projection, self.cut)
        return canvas.picture("The film over the hoops." + self.cut.caption)

    def _end(self, step: Step) -> Picture:
        """An end from outside; only what stands near it."""
        back = step.end is End.BACK
        wall = self.frame.grid.length_mm if back else 0.0
        roles = (Role.HOOP, Role.SPLICE, Role.RIDGE_JOINT, Role.SOCKET)
        hoop = len(self.frame.grid.hoop_y_mm) if back else 1
        old = [
            member for member in self._before(step)
            if (member.role in roles and member.spot.hoop == hoop)
            or (self._at_end(member, step) and abs(member.placement.origin[1] - wall)
                < _NEAR_WALL_MM)
        ]  # fmt: skip
        canvas = Canvas()
        elevation(canvas, self.frame, old, step.members, back)
        return canvas.picture(f"The {given(step.end).value} end from outside; new parts are dark.")

    def _at_end(self, member: Member, step: Step) -> bool:
        one = next(s for s in self.steps if s.number == self.step_of[id(member)])
        return one.end is step.end
