"""Words of the hoops: made up flat, then raised."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.frame.describe.as_built import bay_text
from frame3d.frame.describe.places import numbers_text
from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Role, Side
from frame3d.guide.steps.figures import axis_points, hoop_figures, socket_tops
from frame3d.guide.steps.phases import Phase
from frame3d.guide.steps.step_content import Check, StepContext, Words
from frame3d.guide.steps.steps import legs_bolted
from frame3d.takeoff.quantities.handling import raised_hoops

_ORDER = {Role.HOOP: 0, Role.SPLICE: 0, Role.RIDGE_JOINT: 1}


def hoops(site: StepContext) -> Words:
    """Pieces joined on the ground."""
    frame, figures = site.frame, hoop_figures(site.frame)
    hoop = frame.design.hoop
    count = len(frame.grid.hoop_y_mm)
    do = [
        "Lay the pieces of one hoop flat on level blocks, in this order from left foot "
        f"over the top to right foot: {'; '.join(_orders(site))}.",
    ]
    if len(list(frame.of(Role.HOOP))) > count * (1 + _has_ridge(site)):
        do.append(
            f"Push every splice together the full {site.say(hoop.overlap)}, until the holes "
            f"line up, and fasten it with its {hoop.splice_fastener.value}."
        )
    if _has_ridge(site):
        do.append(
            "Join the two halves at the ridge with the ridge joint, keeping the hoop flat "
            "and untwisted."
        )
    later = _later(site)
    if later:
        do.append(
            f"Bolts of these joints that also hold a part of step {later} go in at that "
            "step; until then keep those holes lined up with a nail or a spare bolt."
        )
    do.append("Write the hoop number on its left leg; 1 is at the front.")
    return Words(
        title="Assemble the hoops on the ground",
        aim=f"{count} hoops, joined flat, each ready to raise in one piece.",
        cautions=("Bent tube springs: hold both pieces when you pull a splice apart.",),
        do=tuple(do),
        checks=(
            Check(what="Between leg ends, centre to centre, hoop at rest",
                  figure=site.say(figures.foot_mm)),
            Check(what="From the line through both leg ends to the tube centreline at the top",
                  figure=site.say(figures.rise_mm)),
            Check(what="Hoop lies flat, not twisted", figure="all of it"),
            Check(what="Hoops assembled", figure=str(count)),
        ),
    )  # fmt: skip


def raising(site: StepContext) -> Words:
    """Hoops into their sockets, one after the other."""
    frame, socket = site.frame, site.frame.design.socket
    weights = raised_hoops(frame)
    heaviest = max(weights, key=lambda one: one.mass_kg)
    across, _ = socket_tops(frame)
    held = legs_bolted(site.steps)
    own = bool(site.step.fixings)
    pin = (
        "bolt it with its two bolts through socket and leg, nuts hand tight"
        if own
        else "put a nail through one of its holes"
        + (f", until step {held[0]} bolts it" if held else "")
    )
    do = [
        "Start at the front, with hoop 1. Carry the hoop to its sockets, one person at each "
        "leg and at least one guiding the top.",
        f"Walk it upright, set both legs in, and push each one {site.say(socket.insertion)} "
        f"into its socket (mark the leg beforehand); then {pin}.",
        "Before letting go of the first hoop, hold it both ways along the tunnel with "
        f"temporary braces, or ropes to stakes. {_until_braced(site)}",
        "Raise the next hoop and tie it to the one before at the top and at both sides, "
        f"{bay_text(frame)} apart.",
    ]
    do += _ties(site)
    return Words(
        title="Raise the hoops",
        aim=f"{len(frame.grid.hoop_y_mm)} hoops standing in their sockets, none of them loose.",
        cautions=(
            "Hoops catch the wind while they are raised: stop when it rises.",
            "Look for overhead lines again before the first hoop goes up.",
            f"The heaviest hoop is {site.form.mass(heaviest.mass_kg)}. Lift with "
            f"{heaviest.hands} people, knees bent, backs straight.",
            "Never leave a hoop standing unless it is pinned in its sockets and held at the top.",
        ),
        do=tuple(do),
        checks=(
            Check(what="Each leg in its socket, to the mark on the leg",
                  figure=site.say(socket.insertion)),
            Check(what="Between neighbours at the top, centre to centre",
                  figure=bay_text(frame)),
            Check(what="Plumb line from the top of the first and last hoops: distance to each "
                       "socket's centre, at socket-top height",
                  figure=f"{site.say(across / 2)} on both sides"),
            Check(what="Temporary braces on the first hoop, both ways", figure="in place"),
            Check(what="Hoops raised", figure=str(len(frame.grid.hoop_y_mm))),
        ),
        why_bare="" if own else "It raises the hoops assembled in step "
                                f"{site.number_of(Phase.HOOPS)}.",
    )  # fmt: skip


def _has_ridge(site: StepContext) -> bool:
    """True for hoops in two halves with a joint at the ridge."""
    return any(True for _ in site.frame.of(Role.RIDGE_JOINT))


def _orders(site: StepContext) -> Iterator[str]:
    """The marks of the pieces from foot to foot, for each kind of hoop."""
    kinds: dict[tuple[str, ...], list[int]] = {}
    for number in range(1, len(site.frame.grid.hoop_y_mm) + 1):
        here = [m for m in site.step.members if m.spot.hoop == number and m.role is Role.HOOP]
        left = [m for m in here if _middle_x(m) <= 0]
        right = [m for m in here if _middle_x(m) > 0]
        kinds.setdefault(tuple(m.mark for m in _rising(left, right)), []).append(number)
    for marks, numbers in kinds.items():
        which = f"hoop{'s' if len(numbers) > 1 else ''} {numbers_text(numbers)}: "
        yield (which if len(kinds) > 1 else "") + " – ".join(marks)


def _middle_x(member: Member) -> float:
    return float(axis_points(member, 3)[:, 0].mean())


def _rising(left: list[Member], right: list[Member]) -> list[Member]:
    def height(member: Member) -> float:
        return float(axis_points(member, 3)[:, 2].mean())

    return [*sorted(left, key=height), *sorted(right, key=height, reverse=True)]


def _later(site: StepContext) -> str:
    """Numbers of later steps whose hardware goes through a joint of the hoops."""
    numbers = []
    for step in site.steps:
        if step.number <= site.step.number:
            continue
        if any(
            sum(1 for held in fixing.held if held.role in _ORDER) > 1 for fixing in step.fixings
        ):
            numbers.append(step.number)
    return " and ".join(map(str, numbers))


def _until_braced(site: StepContext) -> str:
    """How long the temporary braces stay."""
    number = site.number_of(Phase.BRACES)
    if number is None:
        return (
            "This design has no braces along its sides, so the temporary braces stay until "
            "a professional says what replaces them."
        )
    legs = max(legs_bolted(site.steps), default=0)
    bolted = f" and every leg is bolted to its socket (step {legs})" if legs > number else ""
    return f"They stay until the braces of step {number} are tight{bolted}."


def _ties(site: StepContext) -> list[str]:
    """What ties the hoops together as they are raised: the pieces of the highest rail."""
    for phase, what in ((Phase.RIDGE, "ridge rail"), (Phase.RAILS, "highest rails")):
        for step in site.steps:
            if step.phase is phase:
                return [_piece_by_piece(site, step.number, what, list(step.members))]
    return [
        "No rail ties the hoops of this design together: every hoop keeps its temporary "
        "braces until its permanent ones are in. Ask your supplier or a professional what "
        "those are."
    ]


def _piece_by_piece(site: StepContext, number: int, what: str, members: list[Member]) -> str:
    top = max(member.placement.origin[2] for member in members)
    line = [m for m in members if top - m.placement.origin[2] < 1.0
            and m.spot.side in (Side.LEFT, Side.MIDDLE)]  # fmt: skip
    line.sort(key=lambda member: member.placement.origin[1])
    parts = [f"{m.mark} at hoops {m.spot.hoop} to {m.spot.to_hoop or m.spot.hoop}" for m in line]
    if len(parts) > 8:
        parts = [*parts[:6], f"and so on, {len(parts)} pieces in all"]
    return (
        f"Put the {what} on piece by piece as the hoops go up (step {number}): "
        f"{', '.join(parts)}. That way no more hoops stand untied than one piece reaches."
    )
