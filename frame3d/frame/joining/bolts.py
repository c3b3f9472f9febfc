"""Bolts through things: the right stocked length, with washers and nut in place.

Glossary
--------
grip : the thickness held together, washers included.
shear plane : where two of the things held would slide on each other.
"""

from __future__ import annotations

import functools
import math

from frame3d.catalog import (
    bolt_size,
    choose_bolt_length,
    grip_to_length,
    nut_size,
    thread_length_mm,
    washer_size,
)
from frame3d.catalog.sections import BoltSize, Head, NutSize, WasherSize
from frame3d.design.tables.whole_design import FastenerSystem, Hardware
from frame3d.errors import CatalogError, DesignError
from frame3d.frame.model.joints import JointKind, Place, UnmarkedJoint
from frame3d.frame.model.layout_context import BoltStack, Fasteners, UnmarkedMember
from frame3d.frame.model.parts import Bolt, Nut, Washer
from frame3d.frame.model.roles import Role, Spot
from frame3d.geometry.placement import Placement, Vector, add, cross
from frame3d.units import LengthText

_MOST_WASHERS = 3
"""Washers that are put under a nut to take up plain shank (common practice, no source)."""
_CLAMP_BOLT = {FastenerSystem.INCH: "5/16-18", FastenerSystem.METRIC: "M8"}


def fasteners_of(hardware: Hardware, say: LengthText) -> Fasteners:
    """The bolts that the design names, with nut and washer of the same thread.

    Raises
    ------
    DesignError
        If a size is not in the catalogue.
    """
    frame = _size(hardware.frame_bolt, Head.HEX, "hardware.frame_bolt")
    board = _size(hardware.board_bolt, Head.CARRIAGE, "hardware.board_bolt")
    clamp = _size(_CLAMP_BOLT[hardware.system], Head.HEX, "hardware.system")
    sizes = {
        size.name: where
        for size, where in (
            (frame, "hardware.frame_bolt"),
            (board, "hardware.board_bolt"),
            (clamp, "hardware.system"),
        )
    }
    try:
        nuts = {name: nut_size(name) for name in sizes}
        washers = {name: washer_size(name) for name in sizes}
    except CatalogError as error:
        raise DesignError(str(error.args[0]), "hardware") from None
    return Fasteners(hex=frame, carriage=board, clamp=clamp, nuts=nuts, washers=washers, say=say)


def _size(name: str, head: Head, where: str) -> BoltSize:
    try:
        return bolt_size(name, head)
    except CatalogError as error:
        raise DesignError(str(error.args[0]), where) from None


def bolt_up(
    fasteners: Fasteners,
    size: BoltSize,
    *,
    seat: Vector,
    direction: Vector,
    thickness_mm: float,
    spot: Spot,
    where: str,
    joins: tuple[Place, ...] | UnmarkedJoint,
    washers: bool = True,
    plane_mm: float | None = None,
) -> list[UnmarkedMember]:
    """A bolt with its washers and nut through ``thickness_mm``.

    Parameters
    ----------
    seat : (3,) float, mm
        Where the bolt enters: on the face of the first thing that it goes through.
    direction : (3,) float
        Unit vector from the head to the nut.
    thickness_mm : float
        Of everything between that face and the last one.
    spot : Spot
    where : str
        The field to name when no stocked bolt is long enough.
    joins : tuple of Place, or UnmarkedJoint
        What it goes through, from the head on; or the joint that it is a bolt of besides others.
    washers : bool
        False for none; a carriage bolt never has one under its head.
    plane_mm : float or None
        Distance from ``seat`` to the last shear plane. Where a stocked length keeps its
        thread out of that plane, and still has thread where the nut sits, it is taken.

    Raises
    ------
    DesignError
        If no stocked bolt is long enough.
    """
    key = (size.name, size.head, thickness_mm, washers, plane_mm)
    stack = fasteners.stacks.get(key)
    if stack is None:
        stack = _stack(fasteners, size, thickness_mm, washers, plane_mm, where)
        fasteners.stacks[key] = stack
    axis = _axis(direction)
    joint = joins if isinstance(joins, UnmarkedJoint) else UnmarkedJoint(JointKind.BOLTED, joins)
    return [
        UnmarkedMember(
            role=role,
            part=part,
            spot=spot,
            placement=Placement(
                origin=add(seat, direction, distance_mm), x=axis.x, y=axis.y, z=axis.z
            ),
            joint=joint,
        )
        for role, part, distance_mm in stack
    ]


def _stack(
    fasteners: Fasteners,
    size: BoltSize,
    thickness_mm: float,
    washers: bool,
    plane_mm: float | None,
    where: str,
) -> BoltStack:
    """Bolt, washers and nut, each with its distance from the seat, mm.

    A frame has hundreds of bolts and a few of these.
    """
    nut, washer = fasteners.nuts[size.name], fasteners.washers[size.name]
    thick = washer.thickness_mm if washers else 0.0
    under_head = thick if size.head is Head.HEX else 0.0
    grip = thickness_mm + thick + under_head
    try:
        plane = None if plane_mm is None else plane_mm + under_head
        bolt = _bolt(size, nut, grip, plane)
    except CatalogError:
        say, needed = fasteners.say, grip_to_length(grip, nut.height_mm, size.pitch_mm)
        raise DesignError(
            f"a {size.name} {size.head.value} bolt through {say(thickness_mm)} must be "
            f"{say.least(needed)} long, and the longest stocked is "
            f"{say.most(size.lengths_mm[-1])}; use a thicker bolt, or thinner boards or tubes",
            where,
        ) from None
    more = _more_washers(size, bolt, nut, grip, thick)
    stack: list[tuple[Role, Bolt | Nut | Washer, float]] = [(Role.BOLT, bolt, -under_head)]
    if under_head:
        stack.append((Role.WASHER, _washer(washer), -under_head))
    if washers:
        stack += [(Role.WASHER, _washer(washer), thickness_mm + k * thick) for k in range(1 + more)]
    return (*stack, (Role.NUT, _nut(nut), thickness_mm + (1 + more) * thick))


def _more_washers(
    size: BoltSize, bolt: Bolt, nut: NutSize, grip_mm: float, washer_mm: float
) -> int:
    """Washers besides the usual one, so that the nut does not run onto the plain shank."""
    short = bolt.length_mm - thread_length_mm(size, bolt.length_mm) - grip_mm
    if short <= 0 or washer_mm == 0:
        return 0
    more = math.ceil(short / washer_mm)
    needed = grip_to_length(grip_mm + more * washer_mm, nut.height_mm, size.pitch_mm)
    return more if more <= _MOST_WASHERS and needed <= bolt.length_mm else 0


# Each made once: a frame has thousands of them and few that differ.
@functools.lru_cache(maxsize=256)
def _bolt(size: BoltSize, nut: NutSize, grip_mm: float, plane_mm: float | None) -> Bolt:
    needed = grip_to_length(grip_mm, nut.height_mm, size.pitch_mm)
    shortest = choose_bolt_length(size, needed)
    if plane_mm is not None:
        for length in size.lengths_mm:
            start = length - thread_length_mm(size, length)
            if length >= shortest and plane_mm - 1e-6 <= start <= grip_mm + 1e-6:
                return Bolt(size=size, length_mm=length)
    return Bolt(size=size, length_mm=shortest)


@functools.lru_cache(maxsize=64)
def _nut(size: NutSize) -> Nut:
    return Nut(size=size)


@functools.lru_cache(maxsize=64)
def _washer(size: WasherSize) -> Washer:
    return Washer(size=size)


# Bolts that stand alike in every bay have the same direction.
@functools.lru_cache(maxsize=1024)
def _axis(direction: Vector) -> Placement:
    """Axes whose z lies along ``direction``; x as level or as much along Y as it can be."""
    helper = (0.0, 1.0, 0.0) if abs(direction[1]) < 0.9 else (1.0, 0.0, 0.0)
    across = cross(helper, direction)
    return Placement.of(origin=(0.0, 0.0, 0.0), x=across, y=cross(direction, across))


def facing(origin: Vector, direction: Vector) -> Placement:
    """A placement at ``origin`` whose z lies along ``direction``."""
    axis = _axis(direction)
    return Placement(origin=origin, x=axis.x, y=axis.y, z=axis.z)
