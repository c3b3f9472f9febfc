"""Sill boards on the ground, in tables, figures and words: each bay, and what can be done."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.design.tables.staking import GroundBoards
from frame3d.errors import present
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.sides.board_joints import boards_needed
from frame3d.frame.sides.ground_answers import CLOSED_MM, Answer, BoardsOnGround
from frame3d.frame.sides.skirts import bays_text
from frame3d.site.survey import Site
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value

_BLOCKS, _BOLTS = 2, 4
"""Blocks of a skirt board at most, and bolts of a block."""
_STEP_MM = 1.0


def bays_table(site: Site) -> DataTable:
    """Gap and digging under the boards of each bay, as on level ground and as taken."""
    found = present(site.boards, "levels and sill boards")
    skirts = {(s.side, s.bay): s for s in found.taken.skirts}
    rows: list[dict[str, Value]] = []
    for level, taken in zip(found.level.gaps, found.taken.gaps, strict=True):
        skirt = skirts.get((level.side, level.bay))
        rows.append(
            {"side": level.side.value, "bay": level.bay, "gap": level.gap_mm,
             "dig": level.dig_mm, "first": skirt.depths_mm[0] if skirt else None,
             "last": skirt.depths_mm[1] if skirt else None, "left": taken.gap_mm,
             "dug": taken.dig_mm}
        )  # fmt: skip
    return DataTable(
        key="bays", title="Under the sill boards, bay by bay",
        columns=(
            DataColumn(key="side", header="side"),
            DataColumn(key="bay", header="bay", quantity=Quantity.COUNT),
            _length("gap", "gap, board level"), _length("dig", "dig, board level"),
            _length("first", "skirt at its first hoop"), _length("last", "skirt at its last hoop"),
            _length("left", "gap left"), _length("dug", "dig"),
        ),
        rows=tuple(rows),
        note="A bay has the number of its first hoop. Gaps are the widest, digging the deepest.",
    )  # fmt: skip


def answers_table(site: Site) -> DataTable:
    """What each answer leaves, takes and costs in boards, bolts and earth."""
    found = present(site.boards, "levels and sill boards")
    return DataTable(
        key="boards", title="Sill boards on this ground",
        columns=(
            DataColumn(key="boards", header="boards"), DataColumn(key="taken", header="taken"),
            _length("left", "gap left"), _length("dig", "dig"),
            DataColumn(key="more", header="more boards", quantity=Quantity.COUNT),
            DataColumn(key="bolts", header="more bolts", quantity=Quantity.COUNT),
            DataColumn(key="steps", header="steps", quantity=Quantity.COUNT),
            DataColumn(key="fill", header="fill", quantity=Quantity.VOLUME),
            DataColumn(key="dug", header="earth dug", quantity=Quantity.VOLUME),
            DataColumn(key="unfit", header="does not do in"),
        ),
        rows=tuple(
            {"boards": one.kind.value, "taken": "yes" if one.kind is found.kind else "",
             "left": one.gap_mm, "dig": one.dig_mm, "more": _more_boards(site, one),
             "bolts": len(one.skirts) * _BLOCKS * _BOLTS, "steps": _steps(one),
             "fill": one.fill_mm3 / 1e9, "dug": one.dig_mm3 / 1e9,
             "unfit": bays_text(one.unfit)}
            for one in found.answers
        ),
        note="More boards are whole ones of the stock length, for skirts and the blocks behind "
        f"them. Fill has banks at 1:2 on both sides. {_cost(found)}",
    )  # fmt: skip


def _cost(found: BoardsOnGround) -> str:
    """How to have what each answer costs: the whole order of the frame with it, side by side."""
    others = (one.kind.value for one in found.answers if one.kind is not found.kind)
    tries = " ".join(f"--try staking.boards={name}" for name in others)
    return f"With a price list, frame3d takeoff with {tries} shows what each costs in the order."


def _length(key: str, header: str) -> DataColumn:
    return DataColumn(key=key, header=header, quantity=Quantity.LENGTH)


def _more_boards(site: Site, answer: Answer) -> int:
    sill = site.frame.design.sill_board
    if sill is None or not answer.skirts:
        return 0
    lengths = [skirt.high_mm - skirt.low_mm for skirt in answer.skirts]
    lengths += [sill.block_length] * (_BLOCKS * len(answer.skirts))
    return boards_needed(lengths, sill.stock_length)


def _steps(answer: Answer) -> int:
    return sum(
        abs(a - b) > _STEP_MM
        for rises in answer.rises_mm.values()
        for a, b in zip(rises, rises[1:], strict=False)
    )


def board_figures(site: Site) -> Iterator[tuple[str, str]]:
    """What hangs, what is done about it, and why."""
    found = site.boards
    if found is None:
        return
    say = lengths_of(site.frame).text
    level = found.level
    yield (
        "Under level sill boards",
        f"gaps up to {say(level.gap_mm, unit=True)}, digging up to {say(level.dig_mm, unit=True)}",
    )
    yield "Sill boards", f"{found.kind.value}: {_why(site, found)}"


def _why(site: Site, found: BoardsOnGround) -> str:
    if not found.by_rule:
        return "as the design has it"
    say = lengths_of(site.frame).text
    sill = present(site.frame.design.sill_board, "sill boards")
    closed = say(sill.bottom + CLOSED_MM, unit=True)
    if not found.fitting:
        return f"no answer closes every bay to {closed}"
    if found.kind is GroundBoards.LEVEL:
        return f"no gap is wider than {closed}"
    before = [one for one in found.answers[: found.answers.index(found.taken)] if one.unfit]
    left = ", ".join(f"{one.kind.value} leaves {say(one.gap_mm, unit=True)}" for one in before)
    return f"the first that closes every bay to {closed}; {left}"


def board_assumptions(site: Site) -> Iterator[str]:
    """What the boards' figures rest on."""
    if site.boards is None:
        return
    closed = lengths_of(site.frame).text(CLOSED_MM, unit=True)
    yield (
        f"Gaps under the boards are along the line of the sockets. One up to {closed} wider than "
        "on level ground is left as it is (common practice). Measure the ground again before "
        "ripping a skirt board."
    )
