"""Words of the curtains: pockets, tube, clips, winder and cords."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from frame3d.design.tables.curtain import Hangs, Winder
from frame3d.errors import present
from frame3d.frame.describe.closing import CURTAIN_USES, bought_cover
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.openings import door_name
from frame3d.frame.model.roles import Role
from frame3d.frame.skin.curtain_figures import Curtains, curtains_of
from frame3d.frame.skin.door_curtains import DoorCurtain, door_curtains
from frame3d.guide.steps.step_content import Check, StepContext, Words


def curtains(site: StepContext) -> Words:
    """All curtains with what winds and holds them: sides first, then roll-up doors."""
    sides, doors = curtains_of(site.frame), door_curtains(site.frame)
    do = [
        f"Have ready: {one.count} × {one.item}, {one.use}."
        for one in bought_cover(site.frame)
        if one.use in CURTAIN_USES
    ]
    aims = []
    if sides is not None:
        do += _sides(site)
        aims.append("Both sides open and shut from one end.")
    if doors:
        do += _doors(site, doors)
        aims.append("Each roll-up door is wound from its crank.")
    return Words(
        title="Hang the curtains",
        aim=" ".join([*aims, "Film under wind is for its supplier."]),
        cautions=(
            "A crank that is let go spins back: keep faces, sleeves and hair away from it.",
            *_post_caution(site),
        ),
        do=(*do, "Wind each curtain up and down once before anybody relies on it."),
        checks=(*(_checks(site, sides) if sides else ()), *_door_checks(site, doors)),
    )


def _sides(site: StepContext) -> list[str]:
    design = present(site.frame.design.curtain, "curtain")
    end = design.winder_end.value
    do = [
        "Screw the eyes for the cords on at the hoops, by turns at the sill board and the hip.",
        "Join the pieces of each roll tube on the ground, the swages pushed home, and screw the "
        "joints. No screw may stand out where film is wound.",
        "Fix the curtains in the channel at the hips, from the middle outward."
        if design.hangs is Hangs.SEPARATE
        else "The curtains are the lower edges of the film over the hoops, which hang free.",
        f"Lay the film once round the tube and put on the clips, at most "
        f"{site.say(design.clip_spacing)} apart. The tube hangs level and reaches past the boards "
        f"at the {end} end.",
    ]
    if design.pocket > 0:
        do.append("Fix the pockets over the ends of the curtains, open toward the middle.")
    if design.winder is Winder.GEAR:
        do.append(
            f"Drive the guide posts at the {end} end, {site.say(design.post_depth)} deep and "
            "plumb, and put the gear boxes on them and on the tubes."
        )
    else:
        do.append(
            f"Put the cranks on the tubes at the {end} end. A crank must be hooked up or tied: a "
            "rolled curtain turns it back."
        )
    do.append("Lead the cords zigzag outside of the curtains through the eyes, and tie them tight.")
    return do


def _doors(site: StepContext, doors: Sequence[DoorCurtain]) -> list[str]:
    design = present(site.frame.design.curtain, "curtain")
    # Bars are listed as curtain tubes: without its mark nobody knows which of them is the bar.
    at_ends = (m for m in site.step.members if m.spot.to_hoop is None)
    bars = ", ".join(dict.fromkeys(m.mark for m in at_ends if m.role is Role.CURTAIN_TUBE))
    return [
        "Roll-up doors: lay the film once round the roll tube and put on the clips, at most "
        f"{site.say(design.clip_spacing)} apart. It hangs on the side of the tube that is at the "
        "wall, behind the guides.",
        f"Lay the lower edge once round the bar ({bars}) and clip it there; the bar hangs level "
        "between the guides.",
        *(
            f"Put the crank of the {door_name(site.frame.doors, one.door)} on the end of its tube, "
            "and hook it up or tie it: a bar that is up turns it back."
            for one in doors
        ),
    ]


def _door_checks(site: StepContext, doors: Sequence[DoorCurtain]) -> Iterator[Check]:
    for one in doors:
        name = door_name(site.frame.doors, one.door)
        yield Check(what=f"{name.capitalize()}, from the middle of the tube to that of the bar, "
                    "shut", figure=site.say(one.hangs_mm))  # fmt: skip
        yield Check(what=f"{name.capitalize()}, turns of the tube from shut to open",
                    figure=f"{one.turns:.0f}")  # fmt: skip
        yield Check(what=f"{name.capitalize()}, force at the crank, friction not counted",
                    figure=_force(site, one.force_n))  # fmt: skip


def _post_caution(site: StepContext) -> tuple[str, ...]:
    if not any(member.role is Role.GUIDE_POST for member in site.step.members):
        return ()
    return ("Have buried cables and pipes located before you drive the guide posts.",)


def _checks(site: StepContext, figures: Curtains) -> tuple[Check, ...]:
    say = site.say
    overlap = present(site.frame.design.curtain, "curtain").overlap
    return (
        Check(what="Shut curtain below the top edge of the sill boards", figure=say(overlap)),
        Check(what="From the channel to the tube along the shut curtain",
              figure=say(figures.hangs_mm)),
        Check(what="Turns of the tube from shut to open", figure=f"{figures.turns:.0f}"),
        Check(what="Roll under the hip when open, diameter", figure=say(figures.rolled_mm)),
        Check(what=f"{lengths_of(site.frame).mass_word.capitalize()} of one tube and its film",
              figure=lengths_of(site.frame).mass(figures.tube_kg + figures.film_kg)),
        Check(what="Force at the crank, friction not counted",
              figure=_force(site, figures.crank_force_n)),
    )  # fmt: skip


def _force(site: StepContext, newton: float) -> str:
    """As people know it: what that mass weighs in the hand."""
    return f"{newton:.0f} N, as {lengths_of(site.frame).mass(newton / 9.80665)} weigh"
