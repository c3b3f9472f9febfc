"""The figures that tell one frame from another, for screen, summary and cover sheet alike."""

from __future__ import annotations

import math

from frame3d.frame.describe.as_built import bay_text
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Tube
from frame3d.frame.model.roles import Role
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.space.crown import crown_of
from frame3d.frame.space.sweeps import clear_width_mm, is_all_clear
from frame3d.geometry.arch.arch import ArchStyle, Measured, Measures
from frame3d.units import LengthText

_SHOWN = (
    Role.HOOP,
    Role.SPLICE,
    Role.SOCKET,
    Role.RAIL,
    Role.BRACE,
    Role.TIE,
    Role.KING_POST,
    Role.WEB,
    Role.SILL_BOARD,
    Role.SKIRT_BOARD,
    Role.HIP_BOARD,
    Role.HIP_RAIL,
    Role.STUD,
    Role.GIRT,
    Role.WALL_BRACE,
    Role.WALL_ANCHOR,
    Role.DOOR_JAMB,
    Role.DOOR_LEAF,
)


def main_figures(frame: Frame, *, mass: bool = True) -> list[tuple[str, str]]:
    """The figures that tell one frame from another, as names and texts; the mass if asked for."""
    form, arch, grid = lengths_of(frame), frame.arch, frame.grid
    socket = frame.design.socket

    def three(measures: Measures) -> str:
        return (
            f"{form.text(measures.centres_mm, unit=True)} centres, "
            f"{form.text(measures.outside_mm, unit=True)} outside, "
            f"{form.text(measures.inside_mm, unit=True)} clear inside"
        )

    hoops = len(grid.hoop_y_mm)
    figures = [
        ("Form", f"{arch.style.value}, {arch.form.value}"),
        ("Width at ground", three(arch.widths())),
        ("Ridge height", _ridge_height(frame)),
        ("Leg height", form.text(arch.leg_height_mm, unit=True)),
        ("Length between centres of end hoops", form.text(grid.length_mm, unit=True)),
        ("Bays", f"{hoops - 1} of {bay_text(frame)}"),
        ("Hoops, sockets", f"{hoops}, {member_count(frame, Role.SOCKET)}"),
        ("Sockets in the ground", form.text(socket.length - socket.exposed, unit=True)),
    ]
    if mass:
        figures.append(
            (f"{form.mass_word.capitalize()} of all parts", form.mass(total_mass_kg(frame)))
        )
    figures += _openings(frame)
    if arch.chosen:
        figures.insert(4, ("Sized by rule", ", ".join(chosen_by_rule(frame))))
    return figures


def _ridge_height(frame: Frame) -> str:
    """The ridge as made, and where it was asked for by a face of the profile, what was asked."""
    say, crown, asked = LengthText(lengths_of(frame)), crown_of(frame), frame.design.profile
    # At a gothic ridge no tube is where the centrelines meet: a bent sleeve passes below it.
    pointed = frame.arch.style is ArchStyle.GOTHIC
    to = "where the centrelines meet" if pointed else "the hoop's centreline"
    text = (
        f"{say(crown.axis_mm)} to {to}, {say(crown.over_all_mm)} overall, "
        f"{say(crown.clear_mm)} clear"
    )
    if asked.ridge_height is None or asked.measured is Measured.CENTRES:
        return text
    return f"{text}; {say(asked.ridge_height)} {asked.measured.value} as given in the design"


def _openings(frame: Frame) -> list[tuple[str, str]]:
    """The main figures of doors, side openings and cover."""
    form = lengths_of(frame)
    say = LengthText(form)
    figures = [
        (
            f"Door in the {door.end.value} wall",
            f"{door.kind.value}, opening {say(door.width_mm)} by {say(door.height_mm)}"
            + ("" if is_all_clear(door) else f", {say(clear_width_mm(door))} clear when open"),
        )
        for door in frame.doors
    ]
    cover = cover_lines(frame)
    if frame.vents:
        figures.append(
            (
                "Side openings",
                f"{say(frame.vents[0].girth_mm)} high, {form.area(cover.vent_mm2)}, "
                f"{100 * cover.vent_share:.0f} % of the floor",
            )
        )
    figures.append(
        ("Film over the hoops", f"{say(cover.film_width_mm)} by {say(cover.film_length_mm)}")
    )
    return figures


def section_figures(frame: Frame) -> list[tuple[str, str]]:
    """Of what tube and timber each kind of member is made: kinds, and names of sections."""
    found: dict[str, list[str]] = {}
    for role in _SHOWN:
        names = dict.fromkeys(
            m.part.section.name for m in frame.of(role) if isinstance(m.part, Tube | Board)
        )
        if names:
            kind = f"{role.value}s".replace("leafs", "leaves")
            found.setdefault(", ".join(names), []).append(kind)
    return [
        (f"{kinds[0].capitalize()}{''.join(f', {kind}' for kind in kinds[1:])}", names)
        for names, kinds in found.items()
    ]


def chosen_by_rule(frame: Frame) -> list[str]:
    """What of the arch the program chose, in words."""
    return [name.replace("_", " ") for name in frame.arch.chosen]


def member_count(frame: Frame, role: Role) -> int:
    """How many members of a kind there are."""
    return sum(1 for _ in frame.of(role))


def total_mass_kg(frame: Frame) -> float:
    """Mass of all parts, hardware included, without zinc, kg."""
    # Only here: it needs numpy, which a check of a design does not wait for.
    from frame3d.frame.measure.measures import mass_kg

    return math.fsum(mass_kg(group.part) * group.count for group in frame.parts())
