"""A design of one's own: a typical one, and the answers to five questions.

How wide, how long, which form, what drives in, how the sides open. What is not answered stays as
the typical design has it; what hangs on an answer follows, as in any new design.
"""

from __future__ import annotations

import enum

from msgspec import Struct

from frame3d.design.tables.fields import Table
from frame3d.design.values.defaults import units_of
from frame3d.design.values.field_info import sections
from frame3d.design.values.starter_values import start_values
from frame3d.design.writing.starters import Figures, followed_figures, units_meant
from frame3d.geometry.arch.arch import ArchStyle
from frame3d.units import UnitSystem


class Drives(enum.Enum):
    """What drives in; the value is the key of the answer."""

    NOTHING = "nothing"
    WALKED = "walked"
    COMPACT = "compact"
    LOADED = "loaded"

    @property
    def words(self) -> str:
        """The answer as people see it."""
        return _DRIVES[self]


class Sides(enum.Enum):
    """How the sides open; the value is the key of the answer."""

    CLOSED = "closed"
    HIP = "hip"
    ROLLED = "rolled"

    @property
    def words(self) -> str:
        """The answer as people see it."""
        return _SIDES[self]


_DRIVES = {
    Drives.NOTHING: "Nothing: people and barrows",
    Drives.WALKED: "A machine that is walked behind",
    Drives.COMPACT: "A small tractor",
    Drives.LOADED: "A tractor with what it carries",
}
_SIDES = {
    Sides.CLOSED: "Not at all",
    Sides.HIP: "Up to a hip board, film tied up by hand",
    Sides.ROLLED: "Curtains wound up with a crank",
}
_I, _M = UnitSystem.IMPERIAL, UnitSystem.METRIC
_MACHINES: dict[Drives, dict[UnitSystem, Table]] = {
    Drives.WALKED: {
        _I: {"name": "Walked behind", "width": "3 ft", "height": "4 ft"},
        _M: {"name": "Walked behind", "width": "900 mm", "height": "1200 mm"},
    },
    Drives.COMPACT: {
        _I: {"name": "Small tractor", "width": "5 ft", "height": "7 ft"},
        _M: {"name": "Small tractor", "width": "1500 mm", "height": "2100 mm"},
    },
    Drives.LOADED: {
        _I: {"name": "Tractor with its load", "width": "7 ft", "height": "8 ft"},
        _M: {"name": "Tractor with its load", "width": "2100 mm", "height": "2400 mm"},
    },
}
"""Sizes to begin with (common practice, no source): the user's own machine is measured."""
_DOORS: dict[Drives, dict[UnitSystem, Table]] = {
    Drives.NOTHING: {
        _I: {"kind": "hinged", "width": "4 ft"}, _M: {"kind": "hinged", "width": "1200 mm"},
    },
    Drives.WALKED: {
        _I: {"kind": "hinged", "width": "5 ft", "leaves": 2},
        _M: {"kind": "hinged", "width": "1500 mm", "leaves": 2},
    },
    Drives.COMPACT: {
        _I: {"kind": "roll-up", "width": "7 ft", "height": "7 ft 6 in"},
        _M: {"kind": "roll-up", "width": "2100 mm", "height": "2250 mm"},
    },
    Drives.LOADED: {
        _I: {"kind": "roll-up", "width": "9 ft", "height": "8 ft 6 in"},
        _M: {"kind": "roll-up", "width": "2700 mm", "height": "2550 mm"},
    },
}  # fmt: skip
"""A front door a foot to each side of the machine and half a foot over it (common practice)."""


class Answers(Struct, frozen=True, kw_only=True):
    """What was answered; None for as the typical design has it.

    Parameters
    ----------
    width, length : str or None
        As typed.
    style : ArchStyle or None
    drives : Drives or None
    sides : Sides or None
    """

    width: str | None = None
    length: str | None = None
    style: ArchStyle | None = None
    drives: Drives | None = None
    sides: Sides | None = None


def answered(design: Table, answers: Answers) -> Table:
    """The typical ``design``, a file as tomllib gives it, with these answers.

    A length that cannot be read is put in as it is, for whoever reads the design.
    """
    figures = Figures(width=answers.width, length=answers.length)
    meant = units_meant(figures)
    given = answers.width is not None or answers.length is not None
    units = meant if given and meant is _M else units_of(design)
    tables = {
        name: value if isinstance(value, list) else [value]
        for name, value in design.items()
        if isinstance(value, dict | list)
    }
    begun = {name: [dict(table) for table in own] for name, own in tables.items()}
    begun["output"] = [{**table, "units": units.value} for table in begun.get("output", [{}])]
    if answers.style is not None and answers.style.value != begun["profile"][0].get("style"):
        _take_form(begun, answers.style, units)
    followed_figures(begun, figures, units)
    if answers.drives is not None:
        _let_in(begun, answers.drives, units)
    if answers.sides is not None:
        _open_sides(begun, answers.sides, units)
    return {
        **{name: value for name, value in design.items() if not isinstance(value, dict | list)},
        **{name: own if sections()[name].several else own[0] for name, own in begun.items() if own},
    }


def with_small_doors(design: Table) -> Table:
    """The design with hinged doors of the usual size, where the hoop has no room for its own."""
    ends = [door["at"] for door in design.get("door", []) if "at" in door]
    doors: list[Table] = [{"kind": "hinged"}, *({"at": end, "kind": "hinged"} for end in ends)]
    return {**design, "door": doors}


def _take_form(begun: dict[str, list[Table]], style: ArchStyle, units: UnitSystem) -> None:
    """The other form of hoop, as a new design has it, as wide as before."""
    start = start_values(style, units)
    width = begun["profile"][0]["width"]
    followed_figures(start, Figures(width=width), units)
    for name in ("profile", "rail", "brace", "side_opening"):
        if name in begun:
            begun[name] = start[name]


def _let_in(begun: dict[str, list[Table]], drives: Drives, units: UnitSystem) -> None:
    """A front door for it, and its outline for the checks."""
    begun["machine"] = [_MACHINES[drives][units]] if drives in _MACHINES else []
    if "end_wall" not in begun:
        return
    others = [door for door in begun.get("door", []) if door.get("at", "front") == "back"]
    begun["door"] = [_DOORS[drives][units], *others]


def _open_sides(begun: dict[str, list[Table]], sides: Sides, units: UnitSystem) -> None:
    if sides is Sides.CLOSED:
        begun["side_opening"] = []
    elif not begun.get("side_opening"):
        style = ArchStyle(begun["profile"][0]["style"])
        begun["side_opening"] = start_values(style, units)["side_opening"]
    begun["curtain"] = [{}] if sides is Sides.ROLLED else []
