"""The take-off of a frame: everything that is ordered, cut, carried and paid for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from frame3d.design.reading.reader import file_beside
from frame3d.design.reading.user_lists import GivenList, GivenLists
from frame3d.design.tables.whole_design import Design
from frame3d.frame.describe.cut_lengths import cut_pieces
from frame3d.frame.describe.key_figures import total_mass_kg
from frame3d.frame.describe.places import grid_text
from frame3d.frame.describe.set_status import UNCHECKED, MissingList, SetStatus
from frame3d.frame.model.members import Frame
from frame3d.frame.model.parts import ClampHalf
from frame3d.takeoff.quantities.bolted_joints import BoltedJoint, bolted_joints
from frame3d.takeoff.quantities.closing import closing_lines
from frame3d.takeoff.quantities.cost import CostLine, cost_lines, missing_items
from frame3d.takeoff.quantities.cuts import SectionPlan, section_plans
from frame3d.takeoff.quantities.handling import (
    Carried,
    RaisedHoop,
    carried_parts,
    raised_hoops,
    zinc_kg,
)
from frame3d.takeoff.quantities.hardware import HardwareRow, hardware_rows
from frame3d.takeoff.quantities.prices import Prices, half_clamps, read_prices
from frame3d.takeoff.quantities.stock import StockRow, read_stock
from frame3d.takeoff.quantities.surfaces import surface_mm2

_PRICES = ("prices", "nothing has a price")
_STOCK = ("stock", "the cutting plans do not use what you have on hand")


class UserLists(Struct, frozen=True, kw_only=True):
    """What the user's own lists say: prices and stock; and those that were not given."""

    prices: Prices
    stock: tuple[StockRow, ...]
    missing: tuple[MissingList, ...] = ()


class Takeoff(Struct, frozen=True, kw_only=True):
    """Everything that is taken off a frame.

    Parameters
    ----------
    frame : Frame
    sections : tuple of SectionPlan
        A cutting plan for each section of tube and timber.
    hardware : tuple of HardwareRow
    joints : tuple of BoltedJoint
    carried : tuple of Carried
        Every part that is made, the heaviest first.
    hoops : tuple of RaisedHoop
    cost : tuple of CostLine
    prices : Prices
        The price list of the design; empty where it names none.
    stock : tuple of StockRow
        The stock list of the design.
    findings : tuple of str
        What the reader must know before ordering.
    status : SetStatus
        What stands against ordering at all, and which lists were not given.
    """

    frame: Frame
    sections: tuple[SectionPlan, ...]
    hardware: tuple[HardwareRow, ...]
    joints: tuple[BoltedJoint, ...]
    carried: tuple[Carried, ...]
    hoops: tuple[RaisedHoop, ...]
    cost: tuple[CostLine, ...]
    prices: Prices
    stock: tuple[StockRow, ...]
    findings: tuple[str, ...]
    status: SetStatus = UNCHECKED

    @property
    def told(self) -> tuple[str, ...]:
        """Status and findings."""
        return (*self.status.told, *self.findings)

    @property
    def uncut(self) -> int:
        """How many pieces cannot be cut from the stock that there is."""
        return sum(piece.count for section in self.sections for piece in section.unplanned)

    @property
    def currency(self) -> str:
        """Of the price list; empty where it names none."""
        return self.prices.currency

    @property
    def mass_kg(self) -> float:
        """Mass of all parts, hardware included, without zinc, kg."""
        return total_mass_kg(self.frame)

    @property
    def surface_mm2(self) -> float:
        """Surface of all tubes and plates that zinc would coat, mm²."""
        return math.fsum(surface_mm2(g.part) * g.count for g in self.frame.parts())

    @property
    def zinc_kg(self) -> float:
        """Mass of the zinc that the design asks to be counted, kg."""
        zinc = self.frame.design.order.zinc
        return math.fsum(zinc_kg(g.part, zinc) * g.count for g in self.frame.parts())


def load_solver() -> None:
    """Load the solver now, where the caller can hold Ctrl-C back, and not amid a plan."""
    import ortools.sat.python.cp_model  # noqa: F401 - loaded for later, not used here


def read_user_lists(frame: Frame, given: GivenLists | None = None) -> UserLists:
    """The price and stock lists that the design of ``frame`` names.

    Parameters
    ----------
    frame : Frame
    given : mapping or None
        The lists as they were handed over; no file is opened then, and those that the design
        names and that are not among them are ``missing``. None: the files are read.

    Raises
    ------
    DesignError
        If a file cannot be read; names the field.
    ListFaults
        With every fault of one file.
    """
    design, prices = frame.design, Prices()
    stock: tuple[StockRow, ...] = ()
    missing: list[MissingList] = []
    source = _source(design, design.order.price_file, _PRICES, given, missing)
    if source is not None:
        prices = read_prices(source)
    source = _source(design, design.order.stock_file, _STOCK, given, missing)
    if source is not None:
        known = frozenset(section.name for section in cut_pieces(frame))
        stock = read_stock(source, known)
    return UserLists(prices=prices, stock=stock, missing=tuple(missing))


def _source(
    design: Design,
    name: str | None,
    kind: tuple[str, str],
    given: GivenLists | None,
    missing: list[MissingList],
) -> Path | GivenList | None:
    """Where a list is read from; None where there is none, or, one more missing, was not given."""
    if name is None:
        return None
    if given is None:
        return file_beside(design, name)
    what, without = kind
    if what not in given:
        missing.append(MissingList(what=what, name=name, without=without))
    return given.get(what)


def take_off(
    frame: Frame, lists: UserLists | None = None, status: SetStatus = UNCHECKED
) -> Takeoff:
    """The take-off of ``frame``.

    Parameters
    ----------
    frame : Frame
    lists : UserLists or None
        As :func:`read_user_lists` gives them; None to read them now.
    status : SetStatus

    Raises
    ------
    DesignError, ListFaults
        As :func:`read_user_lists`.
    """
    lists = lists or read_user_lists(frame)
    sections = section_plans(frame, lists.stock, lists.prices)
    hardware = hardware_rows(frame, lists.prices)
    joints = bolted_joints(frame)
    cost = cost_lines(frame, sections, hardware, lists.prices)
    cost = (*cost, *closing_lines(frame, lists.prices))
    findings = [finding for section in sections for finding in section.findings]
    findings += _joint_findings(joints)
    left_out = {one.what for one in lists.missing}
    named = frame.design.order.price_file is not None and _PRICES[0] not in left_out
    if named and missing_items(cost):
        findings.append(
            f"{len(missing_items(cost))} items have no price in "
            f"{frame.design.order.price_file} and are not in the sum"
        )
    if named:
        findings += halves_told(lists.prices, hardware, str(frame.design.order.price_file))
    return Takeoff(
        frame=frame,
        sections=sections,
        hardware=hardware,
        joints=joints,
        carried=carried_parts(frame),
        hoops=raised_hoops(frame),
        cost=cost,
        prices=lists.prices,
        stock=lists.stock,
        findings=tuple(findings),
        status=status,
    )


def halves_told(prices: Prices, hardware: Sequence[HardwareRow], name: str) -> list[str]:
    """What to rename in a price list that has clamps by halves; nothing where it has none."""
    halves = half_clamps(prices)
    if not halves:
        return []
    clamps = list(dict.fromkeys(
        row.item for row in hardware if isinstance(row.members[0].part, ClampHalf)
    ))  # fmt: skip
    told = f'{name} has a price for "{halves[0]}"'
    if len(halves) > 1:
        told += f" and {len(halves) - 1} more like it"
    told += ", which is not used: clamps are sold complete. "
    if not clamps:
        return [told + "This design has no clamps; remove the row"]
    names = "; ".join(f'"{item}"' for item in clamps)
    return [f"{told}Rename the item and give the price of a whole clamp; here they are {names}"]


def _joint_findings(joints: tuple[BoltedJoint, ...]) -> list[str]:
    told = []
    for joint in joints:
        through = ", ".join(joint.held)
        if joint.is_clash:
            told.append(
                f"{joint.mark} at {grid_text(joint.members)}: clamps overlap; move one of "
                "the braces or rails that meet there"
            )
        elif joint.grip_mm is None:
            told.append(f"{joint.mark} through {through}: it has no nut")
        elif not joint.can_tighten:
            told.append(
                f"{joint.mark} through {through}: the nut runs out of thread before it is "
                "tight; put more washers under it"
            )
    return told
