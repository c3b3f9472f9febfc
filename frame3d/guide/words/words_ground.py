"""Words of the steps before anything stands: preparing and staking out."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.catalog import clearance_mm
from frame3d.design.tables.whole_design import Laid
from frame3d.frame.describe.wording import gap_text, limit_text
from frame3d.guide.steps.phases import made_members
from frame3d.guide.steps.step_content import Check, StepContext, Words
from frame3d.site.plot.plot import plot_of
from frame3d.site.write.earth_words import earth_findings

_MOST_LISTED = 40


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
            *earth_findings(site.survey),
            "Tell everybody what to do, where the first-aid kit is, and how to call for help.",
        ),
        checks=(
            *_mended(site),
            Check(what="Buried cables and pipes located and marked", figure="all of them"),
            Check(what="Overhead lines: distance the owner asks for", figure="kept"),
            *_services(site),
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


def _services(site: StepContext) -> Iterator[Check]:
    """Each service that the design has, by its name."""
    for run in plot_of(site.frame).runs if site.frame.design.service else ():
        what = f"{run.service.name}, {run.service.kind.value}, {run.service.laid.value}"
        if run.service.laid is Laid.BURIED:
            place = f"drawn {site.say(run.distance_mm)} from {run.near.name}"
            yield Check(what=f"{what}: {place}", figure="located and marked")
        else:
            yield Check(what=f"{what}: height of the lowest wire, from its owner",
                        figure=f"{site.say(run.service.height)} or more")  # fmt: skip


def _stopped(site: StepContext) -> tuple[str, ...]:
    """Why nothing is to be built from this guide; nothing where no error was found."""
    return site.status.told if site.status.is_stopped else ()


def _mended(site: StepContext) -> tuple[Check, ...]:
    if not site.status.is_stopped:
        return ()
    return (Check(what="Errors fixed in the design and all files made again", figure="none left"),)


def stake(site: StepContext) -> Words:
    """Corners, diagonals and the places of the sockets."""
    design, spacing = site.frame.design, site.survey.frame.grid.spacing_mm
    out, hoops = site.survey.setting_out, len(site.frame.grid.hoop_y_mm)
    corner, square = out.axes.name, out.square
    within = limit_text(site.form, design.tolerances.socket_spacing)
    return Words(
        title="Stake out and square",
        aim="Four square corners, and a mark for every socket.",
        cautions=("Stakes are driven too: drive none before buried cables and pipes are located.",),
        do=(
            *by_the_design(site),
            f"Begin at the {out.axes.corner.value} corner, socket {corner}: everything is "
            "measured from there. Stretch a string for its long side and set two stakes on it "
            f"{site.say(out.length_mm)} apart, at the centres of its corner sockets.",
            f"Square that corner with a 3-4-5 triangle: {site.say(square.along_mm)} "
            f"along the string, {site.say(square.across_mm)} across, "
            f"{site.say(square.slant_mm)} between the two points.",
            f"From there measure the width, {site.say(out.width_mm)} between socket centres, and "
            "set the other two corners.",
            f"Measure both diagonals: each must be {site.say(out.diagonal_mm)}. If they "
            "differ, move both far corners sideways by the same amount, so that the far end of "
            "the longer diagonal moves inward, and measure again.",
            f"Run the strings to batter boards {site.say(design.staking.stake_distance)} outside "
            "the corners, so that you can take them off for driving and put them back.",
            f"Lay a tape along each side and mark all {hoops} sockets from the end of {corner}, so "
            f"that errors do not add up: {_running(site)}.{_taped(site)}",
        ),
        checks=(
            Check(
                what="Both long sides, between corner socket centres",
                figure=site.say(out.length_mm),
            ),
            Check(what="Both ends, between socket centres", figure=site.say(out.width_mm)),
            Check(what="3-4-5 at the first corner: the diagonal between the two points",
                  figure=site.say(square.slant_mm)),
            Check(what="Both diagonals", figure=diagonals_text(site, out.diagonal_mm)),
            Check(
                what="Neighbouring socket marks",
                figure=f"{site.say(spacing)} apart, within {within}",
            ),
        ),
        why_bare="Stakes and strings are not parts of the frame.",
    )  # fmt: skip


def by_the_design(site: StepContext) -> tuple[str, ...]:
    """Whose figures are told where the sockets have been driven; nothing before that."""
    if site.survey.built is None:
        return ()
    return (
        "The sockets were measured as driven. Figures in this step are of the design, for those "
        "to be driven again; plan and lists tell where the others stand.",
    )


def _taped(site: StepContext) -> str:
    """How the tape is held where the string has a slope."""
    driving = site.survey.driving
    if driving is None or not driving.string.rise:
        return ""
    return " Hold the tape along the slope of the string, not level."


def _running(site: StepContext) -> str:
    """Running distances of the sockets from one end; of a long tunnel how they go on."""
    grid = site.survey.frame.grid
    places = grid.hoop_y_mm
    if len(places) <= _MOST_LISTED:
        return ", ".join(site.say(place) for place in places)
    first = ", ".join(site.say(place) for place in places[:8])
    return f"{first} and so on by {site.say(grid.spacing_mm)} to {site.say(places[-1])}"


def diagonals_text(site: StepContext, length_mm: float) -> str:
    """How long both diagonals are, and how much they may differ, as staking out has it."""
    slack = limit_text(site.form, site.survey.setting_out.difference_mm)
    return f"{site.say(length_mm)}; the two within {slack} of each other"
