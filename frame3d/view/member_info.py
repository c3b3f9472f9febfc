"""What the members of a scene are: roles, parts and places, short enough to send.

Said once for each distinct part and once for each place; a member is two numbers.
"""

from __future__ import annotations

import functools
import zlib
from collections.abc import Sequence

from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.measure.measures import mass_kg
from frame3d.frame.model.channel import Channel
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Board, Bolt, Part, Tube
from frame3d.frame.model.roles import Role, Side, Spot
from frame3d.solids.write.role_colours import colour_group
from frame3d.units import LengthFormat
from frame3d.units.data_tables import Json

SMALL = frozenset({Role.BOLT, Role.NUT, Role.WASHER, Role.SCREW})
"""Roles of what is bought by the box: many, and seen only from near by."""


def members_of(frame: Frame, counts: Sequence[PartCount] | None = None) -> dict[str, Json]:
    """The members of ``frame``, in its order, as plain values for JSON.

    Returns
    -------
    dict
        ``roles``: for each role its name, the group that a legend shows it in, its colour on
        light and on ``dark`` grounds (``#rrggbb``), how many members, and whether it is small.
        ``parts``: for each distinct part its mark, role (by number), what it is, section,
        length as text and in mm, mass as text, a key of how it is made (``form``), and how many.
        ``places``: words. ``part_of`` and ``place_of``: for each member the numbers of its part
        and its place. ``size_mm``: half the width, the length and the height of the frame's
        lines. ``front``: where the front end faces, in words and in degrees from north through
        east; None where the design does not say.
    """
    counts = frame.parts() if counts is None else counts
    form = lengths_of(frame)
    found = {count.role for count in counts}
    roles = [role for role in Role if role in found]
    number_of = {count.mark: number for number, count in enumerate(counts)}
    # By identity first, as a bolt and all that goes with it share one spot.
    known: dict[int, int] = {}
    places: dict[Spot, int] = {}
    words: dict[str, int] = {}
    place_of = []
    for member in frame.members:
        spot = member.spot
        place = known.get(id(spot))
        if place is None:
            place = places.get(spot)
            if place is None:
                place = places[spot] = words.setdefault(place_words(spot), len(words))
            known[id(spot)] = place
        place_of.append(place)
    return {
        "roles": [_role(role, counts) for role in roles],
        "parts": [
            {"mark": count.mark, "role": roles.index(count.role), "count": count.count,
             **_told(count.part, form)}
            for count in counts
        ],
        "places": list(words),
        "part_of": [number_of[member.mark] for member in frame.members],
        "place_of": place_of,
        "size_mm": [
            frame.grid.socket_x_mm, frame.grid.length_mm, frame.arch.ridge_height_mm,
        ],
        "front": _front(frame),
        "units": form.system.value,
        "fraction": form.denominator,
        "decimals": form.decimals,
    }  # fmt: skip


def _front(frame: Frame) -> dict[str, Json] | None:
    site = frame.design.surroundings
    if site.front_faces is None:
        return None
    return {"faces": site.front_faces.value, "degrees": site.front_faces.degrees}


def place_words(spot: Spot) -> str:
    """Where a member stands, in words: ``hoop 3, left, number 2``."""
    if spot.to_hoop is None or spot.to_hoop == spot.hoop:
        place = f"hoop {spot.hoop}"
    else:
        place = f"hoops {min(spot.hoop, spot.to_hoop)} to {max(spot.hoop, spot.to_hoop)}"
    side = "middle" if spot.side is Side.MIDDLE else spot.side.value
    order = f", number {spot.order}" if spot.order > 1 else ""
    return f"{place}, {side}{order}"


def _role(role: Role, counts: Sequence[PartCount]) -> dict[str, Json]:
    group = colour_group(role)
    return {
        "role": role.value,
        "group": group.name,
        "colour": group.light,
        "dark": group.dark,
        "count": sum(count.count for count in counts if count.role is role),
        "small": role in SMALL,
    }


@functools.lru_cache(maxsize=1024)  # parts are values and never change
def _told(part: Part, form: LengthFormat) -> dict[str, Json]:
    """What there is to say of a part, whatever frame it is in; not to be written to."""
    length_mm = part.over_all_mm
    return {
        "what": describe(part, form),
        "section": _section(part),
        "length": "" if length_mm is None else form.text(length_mm, unit=True),
        "length_mm": None if length_mm is None else round(length_mm, 3),
        "mass": form.mass(mass_kg(part)),
        # Equal parts have equal ones, in other frames too; holes count, which no mesh shows.
        "form": f"{zlib.crc32(repr(part).encode()):08x}",
    }


def _section(part: Part) -> str:
    """What it is cut from, or its size; empty where there is no such name."""
    if isinstance(part, Tube | Board | Channel):
        return part.section.name
    if isinstance(part, Bolt):
        return part.size.name
    return ""
