"""Cutting plans of a frame: pieces and stock of each section, and the plan for them."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from frame3d.catalog.sections import TimberSection
from frame3d.design.tables.whole_design import CuttingGoal, Order
from frame3d.errors import CuttingError
from frame3d.frame.describe.cut_lengths import CutPiece, Section, cut_pieces
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.roles import Role
from frame3d.takeoff.cutting.pieces_and_bars import CuttingRules, Piece, Stock
from frame3d.takeoff.cutting.plan_cuts import CuttingPlan, Goal, plan_cuts
from frame3d.takeoff.quantities.prices import Prices
from frame3d.takeoff.quantities.stock import StockRow, overruled, stocks_for
from frame3d.units import LengthFormat

_NOISE_MM = 1e-3
_IN_PIECES = "make stock_length in its table shorter"
_SHORTENED = {
    Role.HOOP: "use more pieces (hoop.pieces)", Role.RAIL: _IN_PIECES, Role.HIP_RAIL: _IN_PIECES,
    Role.SILL_BOARD: _IN_PIECES, Role.HIP_BOARD: _IN_PIECES,
    Role.CHANNEL: "make cover.channel_length shorter",
}  # fmt: skip
_AS_IT_IS = "change the design so that this part is shorter; it is made in one piece"


class SectionPlan(Struct, frozen=True, kw_only=True):
    """The pieces of one section and how they are cut.

    Parameters
    ----------
    section : TubeSection, TimberSection, ChannelSection or FlatBarSection
    pieces : tuple of Piece
        All of them, by cut length.
    stocks : tuple of Stock
        What there was to cut from.
    kerf_mm : float
    plan : CuttingPlan or None
        None where nothing could be planned.
    unplanned : tuple of Piece
        Pieces that the plan leaves out.
    findings : tuple of str
        Why, and what else the reader must know.
    """

    section: Section
    pieces: tuple[Piece, ...]
    stocks: tuple[Stock, ...]
    kerf_mm: float
    plan: CuttingPlan | None
    unplanned: tuple[Piece, ...]
    findings: tuple[str, ...]


def section_plans(
    frame: Frame, listed: tuple[StockRow, ...], prices: Prices
) -> tuple[SectionPlan, ...]:
    """The cutting plan of every section of ``frame``."""
    return tuple(
        _section_plan(frame, section, cut, listed, prices)
        for section, cut in cut_pieces(frame).items()
    )


def _section_plan(
    frame: Frame,
    section: Section,
    cut: Sequence[CutPiece],
    listed: tuple[StockRow, ...],
    prices: Prices,
) -> SectionPlan:
    order, form = frame.design.order, lengths_of(frame)
    rules = CuttingRules(
        kerf_mm=order.timber_kerf if isinstance(section, TimberSection) else order.tube_kerf,
        end_trim_mm=order.end_trim,
        shortest_kept_mm=order.shortest_offcut,
    )
    pieces = tuple(Piece(mark=one.mark, length_mm=one.length_mm, count=one.count) for one in cut)
    longest = max(piece.length_mm for piece in pieces) + order.end_trim
    stocks = stocks_for(section, longest, frame.design, listed, prices, form)
    reach = max((stock.length_mm for stock in stocks), default=0.0) - order.end_trim
    fitting = tuple(piece for piece in pieces if piece.length_mm <= reach + _NOISE_MM)
    too_long = tuple(piece for piece in pieces if piece.length_mm > reach + _NOISE_MM)
    findings = list(filter(None, [overruled(section, frame.design, listed, form)]))
    roles = {member.mark: member.role for member in frame.members} if too_long else {}
    findings += [
        _too_long(section, piece, reach, form, _SHORTENED.get(roles[piece.mark], _AS_IT_IS))
        for piece in too_long
    ]
    goal, told = _goal(order, section, stocks)
    findings += told
    plan = None
    if fitting:
        try:
            plan = plan_cuts(fitting, stocks, rules, goal=goal, seconds=order.planning_time)
        except CuttingError as error:
            findings.append(f"{section.name}: {error}")
    if plan is not None and not plan.proven:
        findings.append(
            f"{section.name}: the cutting plan is not proven best; another could buy at "
            f"most {plan.gap:.1%} less"
        )
    return SectionPlan(
        section=section,
        pieces=pieces,
        stocks=stocks,
        kerf_mm=rules.kerf_mm,
        plan=plan,
        unplanned=too_long if plan is not None else pieces,
        findings=tuple(findings),
    )


def _too_long(
    section: Section, piece: Piece, reach_mm: float, form: LengthFormat, shortened: str
) -> str:
    return (
        f"{section.name}: {piece.mark} needs {form.text(piece.length_mm, unit=True)}, and "
        f"the longest stock gives {form.text(max(0.0, reach_mm), unit=True)}; list longer "
        f"stock in order.stock_file, or {shortened}"
    )


def _goal(order: Order, section: Section, stocks: Sequence[Stock]) -> tuple[Goal, list[str]]:
    """The goal of the plan: least cost only where every stock length has a price."""
    if order.goal is CuttingGoal.LEAST_WASTE:
        return Goal.LEAST_WASTE, []
    lacking = [stock.name for stock in stocks if not stock.owned and stock.price is None]
    if not lacking:
        return Goal.LEAST_COST, []
    told = (
        f"{section.name}: cut for least waste, because {', '.join(lacking)} has no price; "
        "least cost needs one for every stock length"
    )
    return Goal.LEAST_WASTE, [told]
