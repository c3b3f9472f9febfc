"""The general notes of make: what a shop must know of every part, said once for a whole set.

What the design does not know stands as "by the fabricator". What a class or a term of a standard
means is the standard's to say; its number is given.
"""

from __future__ import annotations

import math

from frame3d.catalog.sections import ChannelSection, TimberSection, TubeSection
from frame3d.design.tables.making import BY_FABRICATOR, HolesWhen, ZincWhen
from frame3d.design.tables.purchase import Bender
from frame3d.frame.describe.wording import lengths_of, sold_text
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import Board, Material, Part, Plate, Tube
from frame3d.units import LengthText

MATERIAL_HEADS = ("Section", "Used for", "Actual size", "Standard and grade")


def materials(frame: Frame) -> tuple[tuple[str, str, str, str], ...]:
    """A row for each section and thickness of plate: name, what for, size, standard and grade."""
    make, form = frame.design.make, lengths_of(frame)
    say = LengthText(form)
    uses: dict[TubeSection | TimberSection | ChannelSection | float, dict[str, None]] = {}
    for group in frame.parts():
        part = group.part
        if isinstance(part, Tube | Board | Channel):
            uses.setdefault(part.section, {})[group.role.value] = None
        elif isinstance(part, Plate):
            uses.setdefault(part.thickness_mm, {})[group.role.value] = None
    rows = []
    for section, roles in uses.items():
        if isinstance(section, TubeSection):
            size = f"{say.tube(section.od_mm)} OD × {say.tube(section.wall_mm)} wall"
            name, grade = section.name, make.tube_grade
        elif isinstance(section, TimberSection):
            sizes = (section.thickness_mm, section.depth_mm)
            size = " × ".join(form.text(length, unit=True) for length in sizes)
            name, grade = section.name, _timber(frame)
        elif isinstance(section, ChannelSection):
            name, grade = section.name, Material.SHEET.value
            size = f"{sold_text(form, section.thickness_mm)} thick"
        else:
            name, size, grade = "steel plate", sold_text(form, section), make.plate_grade
        rows.append((name, ", ".join(roles), size, grade))
    return tuple(rows)


def material_words(frame: Frame, part: Part) -> str:
    """What ``part`` is made of, as :func:`materials` has it; empty for what is bought."""
    name = "steel plate" if isinstance(part, Plate) else part.section_name
    size = sold_text(lengths_of(frame), part.thickness_mm) if isinstance(part, Plate) else None
    for section, _, sized, grade in materials(frame):
        if section == name and size in (None, sized):
            return f"{section}, {sized}; {grade}"
    return ""


def _timber(frame: Frame) -> str:
    """Grade and species of lumber; once where neither is known."""
    make = frame.design.make
    return ", ".join(dict.fromkeys((make.timber_grade, make.timber_species)))


def make_notes(frame: Frame) -> tuple[str, ...]:
    """Everything that holds for all parts, a sentence or two on each thing."""
    found = [
        f"Materials by the table. Bolts and nuts: {frame.design.order.bolt_grade}, "
        f"{frame.design.order.finish}. {BY_FABRICATOR.capitalize()} means that the design does "
        "not know it: agree on it before making.",
        _tolerances(frame),
        _edges(frame),
        *_zinc(frame),
        _holes(frame),
        _bends(frame),
    ]
    if any(isinstance(group.part, Plate) for group in frame.parts()):
        found.append(_plates(frame))
    if any(isinstance(group.part, Board) for group in frame.parts()):
        found.append(
            f"Lumber: {frame.design.make.timber_treatment}. Treat all cuts and holes made after "
            "treatment (common practice)."
        )
    return tuple(found)


def short_make_notes(frame: Frame) -> tuple[str, ...]:
    """The same without materials, for a file of one part."""
    return make_notes(frame)[1:]


def _tolerances(frame: Frame) -> str:
    given, form = frame.design.tolerances, lengths_of(frame)

    def within(length_mm: float | None, else_say: str) -> str:
        return else_say if length_mm is None else f"±{sold_text(form, length_mm)}"

    diameter = given.hole_diameter
    larger = "H13" if diameter is None else f"up to {sold_text(form, diameter)} larger"
    angle = (
        BY_FABRICATOR
        if given.bend_angle is None
        else f"±{math.degrees(given.bend_angle):.3g}°"
    )  # fmt: skip
    return (
        f"Tolerances: ISO 2768-1, class {given.general.value}, where nothing else is said; what is "
        "longer than its tables go, by the fabricator. "
        f"Cut length: {within(given.cut_length, 'by that class')}. "
        f"Places of holes along a part: {within(given.drilling, '')}. "
        f"Diameters of holes: {larger}, never smaller. "
        f"Bend angles: {angle}. Bend radii: {within(given.bend_radius, BY_FABRICATOR)}. "
        f"Swaged diameters: ±{LengthText(form).tube(given.swage)}."
    )


def _edges(frame: Frame) -> str:
    size = LengthText(lengths_of(frame)).tube(frame.design.make.edges)
    return (
        f"Edges of steel by ISO 13715: broken, up to {size}; no burrs outside, none in bores that "
        "another tube slides into."
    )


def _zinc(frame: Frame) -> tuple[str, ...]:
    make = frame.design.make
    if make.zinc is ZincWhen.NONE:
        return ("No zinc on tube and plate.",)
    repair = f"Repair zinc after drilling, cutting and welding: {make.zinc_repair}."
    if make.zinc is ZincWhen.UNKNOWN:
        return (f"Galvanizing of tube and plate, before or after making: by the fabricator. "
                f"{repair}",)  # fmt: skip
    if make.zinc is ZincWhen.BEFORE:
        return (f"Tube and plate are galvanized before making. {repair}",)
    return (
        "Tube and plate are galvanized after making. Closed ends need holes for venting and "
        "draining: by the galvanizer. Zinc makes holes and bores narrower: allow for it, or clear "
        f"them after. {repair}",
    )


def _holes(frame: Frame) -> str:
    when = frame.design.make.holes
    if when is HolesWhen.UNKNOWN:
        return "Holes of bent tubes before or after bending: by the fabricator."
    if when is HolesWhen.AFTER:
        return (
            "Drill bent tubes after bending: bending stretches holes and moves them along the "
            "tube. Distances are along the centreline."
        )
    return (
        "Drill bent tubes before bending, where the part drawings show holes. Bending stretches "
        "and moves holes in a bend: prove the first piece before drilling the others."
    )


def _bends(frame: Frame) -> str:
    machine = "rolls" if frame.design.order.bender is Bender.ROLLS else "a rotary bender"
    return (
        f"Bends are given for {machine} and as they are when finished; springback and settings of "
        "the machine are left to the bender."
    )


def _plates(frame: Frame) -> str:
    make, form = frame.design.make, lengths_of(frame)
    return (
        f"Plates that are bent: inside radius {sold_text(form, make.inside_radius)}, "
        f"K-factor {make.k_factor:g}; correct both by a trial bend. Welds are shown by place and "
        "kind; their size and procedure: by the fabricator."
    )
