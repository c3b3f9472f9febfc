"""What joints of an end wall are made to, by name: its hoop, uprights, sill and level pieces.

Distances are X along what lies across the tunnel, and heights along what stands.
"""

from __future__ import annotations

import math

from frame3d.design.tables.whole_design import StudFoot
from frame3d.frame.end_walls.wall import Wall
from frame3d.frame.end_walls.wall_places import DoorPlace
from frame3d.frame.model.joints import Place, RunName
from frame3d.frame.model.roles import Role


def hoop_over(wall: Wall, x_mm: float) -> Place:
    """The end hoop over ``x_mm``."""
    side, at_mm, _ = wall.hoop_at(x_mm)
    return wall.plan.on_hoop(wall.hoop, side, at_mm)


def upright_at(wall: Wall, x_mm: float) -> Place:
    """The upright whose middle is at ``x_mm``: no two are so near to each other."""
    return Place(RunName(Role.STUD, wall.hoop, round(x_mm, 3)))


def jamb_at(wall: Wall, door: DoorPlace, away: float, z_mm: float = math.inf) -> Place:
    """The jamb of ``door`` on its left (-1) or its right (1), or at ``z_mm`` the sill under it."""
    reveal = door.left_mm if away < 0 else door.right_mm
    x_mm = reveal + away * wall.upright_mm / 2
    on_sill = wall.spec.stud_foot is StudFoot.SILL and z_mm < wall.spec.sill.thickness_mm
    return sill_at(wall, x_mm) if on_sill else upright_at(wall, x_mm)


def sill_at(wall: Wall, x_mm: float) -> Place:
    """The piece of the sill under ``x_mm``."""
    return Place(RunName(Role.WALL_SILL, wall.hoop), x_mm)


def header_at(wall: Wall, door: DoorPlace, x_mm: float) -> Place:
    """The header of ``door`` at ``x_mm``."""
    return Place(RunName(Role.DOOR_HEADER, wall.hoop, door.where), x_mm)


def behind_track(wall: Wall, door: DoorPlace, x_mm: float) -> Place:
    """What the brackets of a track are held to in timber: the header, or a nailer beside it."""
    return Place(RunName(Role.TRACK_NAILER, wall.hoop, door.where), x_mm)
