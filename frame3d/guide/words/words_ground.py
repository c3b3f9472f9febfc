"""Words of the steps before anything stands: preparing, staking out, driving sockets."""

from __future__ import annotations

import math

from frame3d.catalog import clearance_mm
from frame3d.frame.describe.wording import gap_text, limit_text
from frame3d.frame.model.roles import Role
from frame3d.guide.steps.figures import (
    diagonal_mm,
    socket_holes_mm,
    socket_tops,
    squaring,
)
from frame3d.guide.steps.phases import made_members
from frame3d.guide.steps.step_content import Check, StepContext, Words
from frame3d.units import UnitSystem

LEVEL_MM = 6.0
"""How far tops may be off their line, about 1/4 in (common practice, no source)."""
_MOST_LISTED = 40
_HAND = {UnitSystem.IMPERIAL: "4 in", UnitSystem.METRIC: "100 mm"}
"""By how much ground may be out before levels are worth taking (common practice, no source)."""

__all__ = ["LEVEL_MM", "prepare", "sockets", "stake"]


def prepare(site: StepContext) -> Words:
    """Before anything is touched."""
    frame, hoop, socket = site.frame, site.frame.design.hoop, site.frame.design.socket
    made = len(made_members(frame))
    bought = sum(1 for member in frame.members if member.part.is_bought)
    play = clearance_mm(outer=socket.tube, inner=hoop.tube)
    return Words(
        title="Before you begin",
        aim="Everything and everybody is on site, and nothing is in the way above or below ground.",
        cautions=(
            *_stopped(site),
            "Have buried cables, pipes and drains located and marked before driving any "
            "stake or socket. Wait for the answer.",
            "Look up: keep hoops, rails and ladders away from overhead lines. Ask the "
            "line's owner what distance to keep.",
            "Choose a calm day for every step that leaves something standing unbraced, and "
            "agree who calls a stop.",
        ),
        do=(
            "Ask your building department and, where required, a licensed professional "
            "about loads, foundations and permits.",
            "Read the instructions of your tube, fittings, film and channel suppliers; "
            "where they differ from this guide, follow theirs.",
            "Count the delivery against the list below, and write its mark on every part.",
            "Measure the delivered tube. Try one hoop leg in a socket before driving any "
            f"socket: it must go in {site.say(socket.insertion)} by hand.",
            "Lay out the parts of each step where they will be used, off the ground.",
            "Tell everybody what to do, where the first-aid kit is, and how to call for help.",
        ),
        checks=(
            *_mended(site),
            Check(what="Buried cables and pipes located and marked", figure="all of them"),
            Check(what="Overhead lines: distance the owner asks for", figure="kept"),
            Check(what="Parts delivered, without hardware", figure=f"{made} pieces"),
            Check(what="Hardware delivered, without spares", figure=f"{bought} pieces"),
            Check(
                what="Play of a hoop leg in a socket (socket inside diameter less leg "
                "outside diameter)",
                figure=gap_text(site.form, play),
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
    return (Check(what="Errors fixed in the design and all files made again", figure="none left"),)


def stake(site: StepContext) -> Words:
    """Corners, diagonals and the places of the sockets."""
    frame, grid = site.frame, site.frame.grid
    width, triangle = 2 * grid.socket_x_mm, squaring(frame)
    spacing = frame.design.tolerances.socket_spacing
    hoops = len(grid.hoop_y_mm)
    return Words(
        title="Stake out and square",
        aim="Four square corners, and a mark for every socket.",
        cautions=("Stakes are driven too: drive none before buried cables and pipes are located.",),
        do=(
            "Stretch a string for the first long side and set two stakes on it "
            f"{site.say(grid.length_mm)} apart, at the centres of its corner sockets.",
            f"Square the first corner with a 3-4-5 triangle: {site.say(triangle.along_mm)} "
            f"along the string, {site.say(triangle.across_mm)} across, "
            f"{site.say(triangle.hypotenuse_mm)} between the two points.",
            f"From there measure the width, {site.say(width)} between socket centres, and "
            "set the other two corners.",
            f"Measure both diagonals: each must be {site.say(diagonal_mm(frame))}. If they "
            "differ, move both far corners sideways by the same amount, so that the far end of "
            "the longer diagonal moves inward, and measure again.",
            "Run the strings to batter boards outside the corners, so that you can take "
            "them off for driving and put them back.",
            f"Lay a tape along each side and mark all {hoops} sockets from the same end, so "
            f"that errors do not add up: {_running(site)}.",
        ),
        checks=(
            Check(
                what="Both long sides, between corner socket centres",
                figure=site.say(grid.length_mm),
            ),
            Check(what="Both ends, between socket centres", figure=site.say(width)),
            Check(what="3-4-5 at the first corner: the diagonal between the two points",
                  figure=site.say(triangle.hypotenuse_mm)),
            Check(
                what="Both diagonals",
                figure=_diagonals(site, diagonal_mm(frame)),
            ),
            Check(
                what="Neighbouring socket marks",
                figure=f"{site.say(grid.spacing_mm)} apart, within {site.say(spacing)}",
            ),
        ),
        why_bare="Stakes and strings are not parts of the frame.",
    )  # fmt: skip


def sockets(site: StepContext) -> Words:
    """Driving to the string."""
    frame, socket = site.frame, site.frame.design.socket
    upper, lower = socket_holes_mm(frame)
    across, top = socket_tops(frame)
    count = sum(1 for _ in frame.of(Role.SOCKET))
    lean = frame.arch.leg_lean_rad
    upright = (
        f"leaning inward at the top by {site.form.angle(abs(lean))}, like the hoop's legs"
        if abs(lean) > math.radians(0.05)
        else "plumb both ways"
    )
    return Words(
        title="Drive the sockets",
        aim=f"{count} sockets, tops on two level lines, holes across the tunnel.",
        cautions=(
            "Do not drive before buried cables and pipes are located.",
            "Keep hands off the socket while driving; wear eye and ear protection. A cap or "
            "a bolt across the top keeps the tube from flaring and splitting.",
        ),
        do=(
            f"Mark every socket {site.say(socket.exposed)} from its top end. This is the "
            "driving mark. On level ground, drive until it is at the ground, with "
            f"{site.say(socket.length - socket.exposed)} below it.",
            f"The driving mark is {site.say(lower)} below the lower hole. A hole driven into "
            "the ground cannot be used.",
            "Drive the four corner sockets first, with the holes across the tunnel, " f"{upright}.",
            f"Stretch a string along each side at the height of the tops, {site.say(top)} "
            "above level ground. The two strings must be level with each other.",
            "Drive the others to the string. Where the ground rises or falls, keep the tops "
            "on the string and ignore the driving marks, but keep every lower hole above "
            "ground. "
            f"If the ground is out by more than {_HAND[site.form.system]}, survey it first: "
            "frame3d site chooses the string from your levels and gives each socket its own "
            "driving mark.",
            "Where you hit rock, drill it; do not cut the socket short.",
        ),
        checks=(
            Check(what="Tops of one side, off the string",
                  figure=f"no more than {site.say(LEVEL_MM)}"),
            Check(what="Opposite tops, level",
                  figure=f"within {site.say(LEVEL_MM)}"),
            Check(what="Lower hole above the ground, on level ground", figure=site.say(lower)),
            Check(what="Upper hole above the ground, on level ground", figure=site.say(upper)),
            Check(what="Between neighbours along a side, centre to centre",
                  figure=f"{site.say(frame.grid.spacing_mm)}, within "
                  f"{site.say(frame.design.tolerances.socket_spacing)}"),
            Check(what="Across, between centres at the top", figure=site.say(across)),
            Check(what="Both diagonals again, at the tops of the corner sockets",
                  figure=_diagonals(site, math.hypot(across, frame.grid.length_mm))),
        ),
    )  # fmt: skip


def _running(site: StepContext) -> str:
    """Running distances of the sockets from one end; of a long tunnel how they go on."""
    places = site.frame.grid.hoop_y_mm
    if len(places) <= _MOST_LISTED:
        return ", ".join(site.say(place) for place in places)
    first = ", ".join(site.say(place) for place in places[:8])
    return f"{first} and so on by {site.say(site.frame.grid.spacing_mm)} to {site.say(places[-1])}"


def _diagonals(site: StepContext, length_mm: float) -> str:
    """How long both diagonals are, and how much they may differ, as staking out has it."""
    slack = limit_text(site.form, site.frame.design.tolerances.diagonals)
    return f"{site.say(length_mm)}; the two within {slack} of each other"
