"""Words of the steps before anything stands: preparing, staking out, driving sockets."""

from __future__ import annotations

import math

from frame3d.catalog import clearance_mm
from frame3d.frame.describe.wording import fine_lengths
from frame3d.frame.model.roles import Role
from frame3d.guide.steps.figures import (
    diagonal_mm,
    diagonal_slack_mm,
    socket_holes_mm,
    socket_tops,
    squaring,
)
from frame3d.guide.steps.phases import made_members
from frame3d.guide.steps.step_content import Check, StepContext, Words

LEVEL_MM = 6.0
"""How far tops may be off their line, about 1/4 in (common practice, no source)."""
_MOST_LISTED = 40

__all__ = ["LEVEL_MM", "prepare", "sockets", "stake"]


def prepare(site: StepContext) -> Words:
    """Before anything is touched."""
    frame, hoop, socket = site.frame, site.frame.design.hoop, site.frame.design.socket
    made = len(made_members(frame))
    bought = sum(1 for member in frame.members if member.part.is_bought)
    play = clearance_mm(outer=socket.tube, inner=hoop.tube)
    return Words(
        title="Before you begin",
        aim="Everything and everybody is there, and nothing is in the way above or below.",
        cautions=(
            *_stopped(site),
            "Have buried cables, pipes and drains located and marked before any stake or socket "
            "is driven. Wait for the answer.",
            "Look up: hoops, rails and ladders must stay away from overhead lines. Ask the owner "
            "of the line what distance to keep.",
            "Choose a calm day for every step in which something stands that is not braced, and "
            "agree who says stop.",
        ),
        do=(
            "Ask your local code office and, where it says so, a licensed professional about "
            "loads, foundations and permits.",
            "Read the instructions of the suppliers of tube, fittings, film and channel; where "
            "they differ from this guide, they hold.",
            "Count what was delivered against the list below, and write its mark on every part.",
            f"Measure the tube that was delivered. Try one hoop leg in a socket before any socket "
            f"is driven: it must go in {site.say(socket.insertion)} by hand.",
            "Lay the parts of each step where they will be used, off the ground.",
            "Tell all who help what to do, where the first-aid kit is, and how to reach help.",
        ),
        checks=(
            *_mended(site),
            Check(what="Buried services located and marked", figure="all of them"),
            Check(what="Overhead lines: distance that their owner asks for", figure="kept"),
            Check(what="Parts delivered, without hardware", figure=f"{made} pieces"),
            Check(what="Hardware delivered, without spares", figure=f"{bought} pieces"),
            Check(
                what="Play of a hoop leg in a socket (inside of the one less outside of the other)",
                figure=_fine(site, play),
            ),
        ),
        why_bare="Nothing is put up yet.",
    )


def _stopped(site: StepContext) -> tuple[str, ...]:
    """Why nothing is to be built from this guide; nothing where no error was found."""
    return site.status.told if site.status.is_stopped else ()


def _mended(site: StepContext) -> tuple[Check, ...]:
    if not site.status.is_stopped:
        return ()
    return (Check(what="Errors mended in the design and all files made anew", figure="none left"),)


def stake(site: StepContext) -> Words:
    """Corners, diagonals and the places of the sockets."""
    frame, grid = site.frame, site.frame.grid
    width, triangle = 2 * grid.socket_x_mm, squaring(frame)
    slack = diagonal_slack_mm(frame)
    spacing = frame.design.tolerances.socket_spacing
    hoops = len(grid.hoop_y_mm)
    return Words(
        title="Stake out and square",
        aim="Four corners that are square, and a mark for every socket.",
        cautions=("Stakes are driven too: no stake before the buried services are located.",),
        do=(
            f"Stretch a string for the first long side and set two stakes on it "
            f"{site.say(grid.length_mm)} apart: the centres of its corner sockets.",
            f"Make the first corner square with a 3-4-5 triangle: {site.say(triangle.along_mm)} "
            f"along the string, {site.say(triangle.across_mm)} across, and "
            f"{site.say(triangle.hypotenuse_mm)} between the two points.",
            f"From there measure the width, {site.say(width)} between centres of the sockets, and "
            "set the other two corners.",
            f"Measure both diagonals. They must be equal; each is {site.say(diagonal_mm(frame))}. "
            "While they differ, slide both corners of one end sideways so that the corner at which "
            "the longer diagonal ends moves inward, and measure again.",
            "Carry the strings to batter boards outside of the corners, so that they can be taken "
            "off for driving and put back.",
            f"Lay a tape along each side and mark the {hoops} sockets from one end, all from the "
            f"same zero, so that errors do not add up: {_running(site)}.",
        ),
        checks=(
            Check(
                what="Both long sides, between centres of the corner sockets",
                figure=site.say(grid.length_mm),
            ),
            Check(what="Both ends, between centres of the sockets", figure=site.say(width)),
            Check(what="3-4-5 at the first corner: the long side of the triangle",
                  figure=site.say(triangle.hypotenuse_mm)),
            Check(
                what="Both diagonals",
                figure=f"{site.say(diagonal_mm(frame))}, and within {_fine(site, slack)} of each "
                "other",
            ),
            Check(
                what="Marks of neighbouring sockets",
                figure=f"{site.say(grid.spacing_mm)} apart, within {site.say(spacing)}",
            ),
        ),
        why_bare="Stakes and strings are no parts of the frame.",
    )  # fmt: skip


def sockets(site: StepContext) -> Words:
    """Driving to the string."""
    frame, socket = site.frame, site.frame.design.socket
    upper, lower = socket_holes_mm(frame)
    across, top = socket_tops(frame)
    count = sum(1 for _ in frame.of(Role.SOCKET))
    lean = frame.arch.leg_lean_rad
    upright = (
        f"leaning inward at the top by {site.form.angle(abs(lean))}, as the hoop's legs do"
        if abs(lean) > math.radians(0.05)
        else "plumb both ways"
    )
    return Words(
        title="Drive the sockets",
        aim=f"{count} sockets, their tops on two level lines, their holes across the tunnel.",
        cautions=(
            "Do not drive before buried services are located.",
            "Keep hands off the socket while it is struck; wear eye and ear protection. A cap or a "
            "bolt across the top keeps the tube from flaring and splitting.",
        ),
        do=(
            f"Mark every socket {site.say(socket.exposed)} from its upper end. This is the driving "
            f"mark: it stops at the ground, and {site.say(socket.length - socket.exposed)} is "
            "below it.",
            f"The driving mark lies {site.say(lower)} below the lower hole. A hole that goes into "
            "the ground cannot be used.",
            "Drive the four corner sockets first, with the holes across the tunnel, " f"{upright}.",
            f"Stretch a string along each side at the height of the tops, {site.say(top)} above "
            "the ground where it is level. The two sides must be level across from each other.",
            "Drive the others to the string. Where the ground rises or falls, the tops stay on the "
            "string and the driving marks do not meet the ground; no lower hole may go in. Where "
            "it does so by more than a hand's breadth, take levels first: frame3d site with your "
            "levels chooses the string and gives each socket a driving mark of its own.",
            "A socket that meets rock is drilled for, not cut short: short ones weaken the frame.",
        ),
        checks=(
            Check(what="Tops of one side, off the string",
                  figure=f"none more than {site.say(LEVEL_MM)}"),
            Check(what="Tops across from each other, level",
                  figure=f"within {site.say(LEVEL_MM)}"),
            Check(what="Lower hole above the ground, on level ground", figure=site.say(lower)),
            Check(what="Upper hole above the ground, on level ground", figure=site.say(upper)),
            Check(what="Between neighbours along a side, centre to centre",
                  figure=f"{site.say(frame.grid.spacing_mm)}, within "
                  f"{site.say(frame.design.tolerances.socket_spacing)}"),
            Check(what="Across, between centres at the top", figure=site.say(across)),
            Check(what="Both diagonals again, at the tops of the corner sockets",
                  figure=f"{site.say(math.hypot(across, frame.grid.length_mm))}, within "
                  f"{_fine(site, diagonal_slack_mm(frame))} of each other"),
        ),
    )  # fmt: skip


def _running(site: StepContext) -> str:
    """Running distances of the sockets from one end; of a long tunnel how they go on."""
    places = site.frame.grid.hoop_y_mm
    if len(places) <= _MOST_LISTED:
        return ", ".join(site.say(place) for place in places)
    first = ", ".join(site.say(place) for place in places[:8])
    return f"{first} and so on by {site.say(site.frame.grid.spacing_mm)} to {site.say(places[-1])}"


def _fine(site: StepContext, length_mm: float) -> str:
    """A small length, to 1/64 in or 0.1 mm however coarse the drawings are."""
    return fine_lengths(site.form).text(length_mm, unit=True)
