"""Words of closing the frame: the channel and the film."""

from __future__ import annotations

from frame3d.design.tables.curtain import Hangs
from frame3d.frame.describe.closing import CURTAIN_USES, BoughtCover, bought_cover
from frame3d.frame.model.parts import Screw
from frame3d.frame.model.roles import SKIN, Role
from frame3d.frame.skin.channel_runs import RunKind
from frame3d.frame.skin.cover_film import CoverLines, cover_lines
from frame3d.guide.steps.step_content import Check, StepContext, Words


def channel(site: StepContext) -> Words:
    """The channel that holds the film."""
    lines = cover_lines(site.frame)
    own = bool(site.step.members)
    pieces = f"{lines.channel_pieces} pieces"
    if not own:
        pieces += f" of {site.say(lines.channel_stock_mm)}"
    return Words(
        title="Fix the channel for the film",
        aim=f"{site.say(lines.channel_mm)} of channel, in {pieces}.",
        cautions=("Cut channel has sharp ends: wear gloves and file them.",),
        do=(
            *(
                f"{_along(run.along)}: {run.count} run{'s' if run.count > 1 else ''} of "
                f"{site.say(run.length_mm)}, {run.pieces} piece{'s' if run.pieces > 1 else ''} "
                f"{'each' if run.count > 1 else 'in all'}."
                for run in lines.channel
            ),
            *(_how(site, lines) if own else _supplier()),
            "Channel ends must meet flush, with nothing left that could cut the film.",
        ),
        checks=(
            Check(what="Channel fixed, in all", figure=site.say(lines.channel_mm)),
            Check(what="Sharp ends and edges where the film touches", figure="none"),
        ),
        why_bare="" if own else "Channel is cut on site and is not in the model.",
    )


def _supplier() -> tuple[str, ...]:
    return ("Use the screws and spacing that the channel supplier gives; they are not in "
            "the lists.",)  # fmt: skip


def _how(site: StepContext, lines: CoverLines) -> tuple[str, ...]:
    screws = sum(fixing.member.role is Role.CHANNEL_SCREW for fixing in site.step.fixings)
    spacing = site.say(site.frame.design.cover.channel_spacing)
    found = [
        f"Screw every piece near both ends and at most {spacing} apart between: {screws} screws. "
        "What your channel supplier says comes first.",
        "Bend the pieces for the end hoops by hand over the hoop as you screw them on. Where one "
        "crosses a board, a rail, a bolt, a hinge or a bracket, notch its lips or stop it either "
        "side.",
    ]
    kinds = {run.kind for run in lines.channel}
    if kinds & {RunKind.HIPS, RunKind.SILLS}:
        found.append("Joints along the sides lie between hoops, as in the list.")
    if RunKind.DOOR in kinds:
        found.append("Mitre the two upper corners round each door at 45°.")
    return tuple(found)


def cover(site: StepContext) -> Words:
    """The film, last of all."""
    lines = cover_lines(site.frame)
    edge = "side"
    hanging: tuple[str, ...] = ()
    if site.frame.vents:
        edge = "hip"
        hanging = (_below_the_hips(site),)
    things = [one for one in bought_cover(site.frame) if one.use not in CURTAIN_USES]
    do = [f"{_sentence(one)}." for one in things]
    do += [
        f"End walls first. {wall.end.value.capitalize()} wall: cut from "
        f"{site.say(wall.width_mm)} by {site.say(wall.height_mm)}."
        for wall in lines.walls
    ]
    do += [
        f"Lay the film, {site.say(lines.film_width_mm)} by "
        f"{site.say(lines.film_length_mm)}, along one side, and pull it over with ropes and "
        "soft ties, everybody together.",
        "Fix it at the middle of one end, then of the other, then from the middle of each "
        f"{edge} outward, without folds, as tight as the supplier says for the day's "
        "temperature.",
        *hanging,
        "Trim only when all of it is fixed.",
        "Check film and channel after the first wind, and every bolt after a month.",
    ]
    return Words(
        title="Cover it",
        aim="Film goes on a frame that is braced, bolted and inspected.",
        cautions=(
            "Cover only on a calm day, early, with the whole crew: film pulls like a sail. "
            "If the wind comes up, let go rather than hold on.",
            "Nobody walks or leans on the hoops or on the film.",
        ),
        do=tuple(do),
        checks=(
            Check(what="All bracing and bolting steps ticked", figure="yes"),
            Check(what="Film over the hoops, width by length",
                  figure=f"{site.say(lines.film_width_mm)} by {site.say(lines.film_length_mm)}"),
            Check(what="Edge to edge over the hoops, without the fixing allowance",
                  figure=site.say(lines.girth_mm)),
            *_screws(site),
        ),
        why_bare="Film is bought by size and is not in the model.",
    )  # fmt: skip


def _screws(site: StepContext) -> tuple[Check, ...]:
    """All screws, where some came after the frame was inspected."""
    if not any(isinstance(member.part, Screw) for member in site.frame.of(*SKIN)):
        return ()
    count = sum(isinstance(member.part, Screw) for member in site.frame.members)
    return (Check(what="Screws in the whole frame", figure=str(count)),)


def _below_the_hips(site: StepContext) -> str:
    curtain = site.frame.design.curtain
    if curtain is not None and curtain.hangs is Hangs.SEPARATE:
        return "Cut the film off below the channel at the hips: the curtains hang from there."
    return (
        "Below the hips leave the film free: that is the curtain. Fix it to the sill boards only "
        "past the ends of the side openings."
    )


def _sentence(one: BoughtCover) -> str:
    """``1 film, 40 ft wide, 100 ft long, over the hoops``, and what is to be known of it."""
    note = f" ({one.note})" if one.note else ""
    return f"Have ready: {one.count} × {one.item}, {one.use}{note}"


def _along(place: str) -> str:
    """Where channel runs."""
    return f"Round the {place}" if " door" in place else f"Along the {place}"
