"""Words of the step that drives the sockets, on level ground or on the ground of the levels."""

from __future__ import annotations

import math

from frame3d.frame.describe.wording import limit_text
from frame3d.frame.model.roles import Side
from frame3d.guide.steps.figures import socket_tops
from frame3d.guide.steps.step_content import Check, StepContext, Words
from frame3d.guide.words.words_ground import by_the_design, diagonals_text
from frame3d.site.built.differences import Answer
from frame3d.site.driving.driving_plan import Driven
from frame3d.site.write.built_words import again_words, answer_counts, answer_text, size_words
from frame3d.site.write.ground_words import ground_statement
from frame3d.site.write.words import driving_note


def sockets(site: StepContext) -> Words:
    """Driving to the string."""
    frame, driving = site.survey.frame, site.survey.driving  # as designed: they are driven to that
    sloped = driving is not None and bool(driving.string.rise)
    across, _ = socket_tops(frame)
    lines = "two strings of one slope" if sloped else "two level lines"
    return Words(
        title="Drive the sockets",
        aim=f"{len(site.survey.sockets)} sockets, tops on {lines}, holes across the tunnel.",
        cautions=(
            "Do not drive before buried cables and pipes are located.",
            "Keep hands off the socket while driving; wear eye and ear protection. A cap or "
            "a bolt across the top keeps the tube from flaring and splitting.",
        ),
        do=(
            *by_the_design(site),
            *(_on_level_ground(site) if driving is None else _on_real_ground(site)),
            "Where you hit rock, drill it; do not cut the socket short.",
            *_as_driven(site),
        ),
        checks=(
            Check(what="Tops of one side, off the string",
                  figure=f"no more than {_limit(site, frame.design.tolerances.top_height)}"),
            Check(what="Opposite tops, off level",
                  figure=f"no more than {_limit(site, 2 * frame.design.tolerances.top_height)}"),
            *_holes(site),
            Check(what="Between neighbours along a side, centre to centre",
                  figure=f"{site.say(frame.grid.spacing_mm)}, within "
                  f"{_limit(site, frame.design.tolerances.socket_spacing)}"),
            Check(what="Across, between centres at the top", figure=site.say(across)),
            Check(what="Both diagonals again, at the tops of the corner sockets",
                  figure=diagonals_text(site, math.hypot(across, frame.grid.length_mm))),
        ),
    )  # fmt: skip


def _as_driven(site: StepContext) -> tuple[str, ...]:
    """What is still to do where the tops were measured; nothing before that."""
    survey = site.survey
    if survey.built is None:
        return ()
    told = f"As driven, by {survey.survey.name_of('built')}: {answer_counts(survey)}."
    on_site = (Answer.DRILL, Answer.CUT, Answer.LONGER)
    return (
        " ".join((told, *again_words(survey))),
        *(
            f"{size_words(survey, one)}: {answer_text(site.form, one)}."
            for one in survey.differences
            if one.answer in on_site
        ),
    )


def _limit(site: StepContext, length_mm: float) -> str:
    return limit_text(site.form, length_mm)


def _on_level_ground(site: StepContext) -> tuple[str, ...]:
    socket, one = site.frame.design.socket, site.survey.sockets[0]
    return (
        f"{ground_statement(site.survey)} Where it rises more, take levels, name their list in "
        "[staking] levels and make this guide again: each socket then has its own driving mark.",
        f"Mark every socket {site.say(one.mark_mm)} from its top end. This is the "
        "driving mark. On level ground, drive until it is at the ground, with "
        f"{site.say(one.embedded_mm)} below it.",
        f"The driving mark is {site.say(one.mark_mm - socket.lower_hole)} below the lower hole. A "
        "hole driven into the ground cannot be used.",
        _corners_first(site),
        f"Stretch a string along each side at the height of the tops, {site.say(one.top_mm)} "
        "above level ground. The two strings must be level with each other.",
        "Drive the others to the string. Where the ground rises or falls, keep the tops "
        "on the string and ignore the driving marks.",
    )


def _on_real_ground(site: StepContext) -> tuple[str, ...]:
    return (
        ground_statement(site.survey),
        *(
            f"Mark the sockets on the {side.value} from their top ends, each by its own driving "
            f"mark: {_each(site, _of(site, side))}."
            for side in (Side.LEFT, Side.RIGHT)
        ),
        _corners_first(site),
        "Stretch a string along each side over the tops of its two corner sockets. Above the "
        f"ground as it is they stand {_corner_heights(site)}. The two strings are level with "
        "each other across the tunnel.",
        "Drive the others to the string: the top on the string, the driving mark at the ground, "
        "once that is dug away where it must be.",
        *(
            f"Socket {driven.place.name}: {note}."
            for driven in site.survey.sockets
            if (note := driving_note(site.survey, driven))
        ),
        "What later steps call level ground lies "
        f"{site.say(site.frame.design.socket.exposed * site.survey.sockets[0].place.plumb_share)} "
        "under the strings: measure heights down from them.",
    )


def _corners_first(site: StepContext) -> str:
    lean = site.frame.arch.leg_lean_rad
    upright = (
        f"leaning inward at the top by {site.form.angle(abs(lean))}, like the hoop's legs"
        if abs(lean) > math.radians(0.05)
        else "plumb both ways"
    )
    return f"Drive the four corner sockets first, with the holes across the tunnel, {upright}."


def _of(site: StepContext, side: Side) -> list[Driven]:
    return [driven for driven in site.survey.sockets if driven.place.side is side]


def _each(site: StepContext, sockets: list[Driven]) -> str:
    return ", ".join(f"{one.place.name} {site.say(one.mark_mm)}" for one in sockets)


def _corner_heights(site: StepContext) -> str:
    """How high the tops of the four corner sockets stand over the ground as it is."""
    both = [_of(site, side) for side in (Side.LEFT, Side.RIGHT)]
    corners = dict.fromkeys(one.place.name for row in both for one in (row[0], row[-1]))
    known = {driven.place.name: driven for driven in site.survey.sockets}
    return ", ".join(f"{site.say(known[name].exposed_mm)} at {name}" for name in corners)


def _holes(site: StepContext) -> tuple[Check, ...]:
    """Heights of the holes: of every socket on level ground, else the least."""
    socket = site.frame.design.socket
    share = site.survey.sockets[0].place.plumb_share
    if site.survey.driving is None:
        least, where = site.survey.sockets[0].hole_mm, "on level ground"
    else:
        least = min(one.hole_mm + one.dig_mm for one in site.survey.sockets)
        where = "the least of all"
    upper = least + (socket.lower_hole - socket.upper_hole) * share
    return (
        Check(what=f"Lower hole above the ground, {where}", figure=site.say(least)),
        Check(what=f"Upper hole above the ground, {where}", figure=site.say(upper)),
    )
