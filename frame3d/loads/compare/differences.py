"""In what two designs differ, so that a comparison is read for what it is."""

from __future__ import annotations

from collections.abc import Callable

from frame3d.frame.describe.as_built import bay_text
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.units import LengthText


def differences(own: Frame, other: Frame) -> tuple[str, ...]:
    """What differs, each as ``hoops: 25 here, 17 there``; lengths in the units of ``own``."""
    say = LengthText(lengths_of(own))
    asked: tuple[tuple[str, Callable[[Frame], str]], ...] = (
        ("kind", lambda f: f"{f.arch.style.value}, {f.arch.form.value}"),
        ("width", lambda f: say(f.arch.width_mm)),
        ("ridge height", lambda f: say(f.arch.ridge_height_mm)),
        ("leg height", lambda f: say(f.arch.leg_height_mm)),
        ("length", lambda f: say(f.grid.length_mm)),
        ("hoops", lambda f: f"{len(f.grid.hoop_y_mm)} at {bay_text(f)}"),
        ("tube of the hoops", lambda f: f.design.hoop.tube.name),
        ("sockets in the ground", lambda f: say(f.design.socket.length - f.design.socket.exposed)),
        ("lines of rails", lambda f: str(len(f.design.rail))),
        ("hoops with ties", _tied),
        ("braces", lambda f: str(sum(1 for _ in f.of(Role.BRACE)))),
    )
    found = [(name, get(own), get(other)) for name, get in asked]
    return tuple(f"{name}: {here} here, {there} there" for name, here, there in found
                 if here != there)  # fmt: skip


def is_of_another_kind(own: Frame, other: Frame) -> bool:
    """Whether the two are gothic and quonset, or differ by a quarter in width or height."""
    if own.arch.style is not other.arch.style:
        return True
    pairs = (
        (own.arch.width_mm, other.arch.width_mm),
        (own.arch.ridge_height_mm, other.arch.ridge_height_mm),
    )
    return any(max(pair) > 1.25 * min(pair) for pair in pairs)


def _tied(frame: Frame) -> str:
    return str(len({member.spot.hoop for member in frame.of(Role.TIE)}))
