"""The figures of a site in words: what to move, drive, dig, correct."""

from __future__ import annotations

from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.roles import Side
from frame3d.site.built.as_built import AsBuilt, TopOff
from frame3d.site.driving.driving_plan import Driven
from frame3d.site.staking.squaring import Move
from frame3d.site.survey import Site
from frame3d.units import LengthFormat


def said(form: LengthFormat, length_mm: float) -> str:
    """A length with its unit, without a sign."""
    return form.text(abs(length_mm), unit=True)


def side_words(side: Side) -> str:
    """Where a rail runs."""
    return "in the middle" if side is Side.MIDDLE else f"on the {side.value}"


def move_words(form: LengthFormat, move: Move) -> str:
    """How a corner is moved: ``1/2" to the right, 2" toward the last hoop``; empty if it stays."""
    parts = []
    for length, plus, minus in (
        (move.right_mm, "to the right", "to the left"),
        (move.along_mm, "toward the last hoop", "toward the first hoop"),
    ):
        if form.rounded_mm(abs(length)) > 0:
            parts.append(f"{said(form, length)} {plus if length > 0 else minus}")
    return ", ".join(parts)


def driving_note(site: Site, driven: Driven) -> str:
    """What must be done for a socket besides driving it; empty where that is nothing."""
    form, parts = lengths_of(site.frame), []
    if driven.dig_mm:
        parts.append(f"dig away {said(form, driven.dig_mm)}, or {hole_words(site, driven)}")
    if driven.fill_mm:
        parts.append(
            f"fill {said(form, driven.fill_mm)}, or use a "
            f"{said(form, present(driven.longer_mm, 'longer socket'))} socket"
        )
    if driven.drill_mm:
        parts.append(
            f"drill {said(form, driven.drill_mm)} into the rock, and do not cut the socket short"
        )
    if driven.outside_mm:
        parts.append(
            f"is {said(form, driven.outside_mm)} outside the measured points; the ground is "
            "taken from the nearest point between them"
        )
    return "; ".join(parts)


def hole_words(site: Site, driven: Driven) -> str:
    """Where the lower hole comes to on the ground as it is."""
    form = lengths_of(site.frame)
    if form.rounded_mm(abs(driven.hole_mm)) == 0:
        return "the lower hole is at the ground"
    if driven.hole_mm < 0:
        return f"the lower hole is {said(form, driven.hole_mm)} under the ground"
    return f"the lower hole is only {said(form, driven.hole_mm)} above the ground"


def correction(form: LengthFormat, top: TopOff) -> str:
    """How a socket that is off is put right; empty where it is not off."""
    if not top.is_off:
        return ""
    across = 0.0 if top.right_mm is None else -top.right_mm
    parts = [move_words(form, Move(name="", right_mm=across, along_mm=-top.along_mm))]
    if top.up_mm is not None and form.rounded_mm(abs(top.up_mm)) > 0:
        parts.append(
            f"drive {said(form, top.up_mm)} deeper"
            if top.up_mm > 0
            else f"raise by {said(form, top.up_mm)}"
        )
    words = ", ".join(part for part in parts if part)
    return f"move {words}" if parts[0] else words


def hoop_note(form: LengthFormat, built: AsBuilt, number: int) -> str:
    """What is off about a hoop, in figures."""
    hoop = next(hoop for hoop in built.hoops if hoop.number == number)
    wide = "wider" if hoop.width_off_mm > 0 else "narrower"
    parts = []
    if form.rounded_mm(abs(hoop.width_off_mm)) > 0:
        parts.append(f"{said(form, hoop.width_off_mm)} {wide} than the design")
    for length, what in ((hoop.up_mm, "higher"), (hoop.twist_mm, "ahead")):
        if length is not None and form.rounded_mm(abs(length)) > 0:
            side = Side.RIGHT if length > 0 else Side.LEFT
            parts.append(f"{side.value} top {said(form, length)} {what}")
    return ", ".join(parts) or "as designed"
