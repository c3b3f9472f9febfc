"""End walls and doors on the ground, in tables and words."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.frame.describe.wall_feet import sentences_of_frame
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.parts import RippedBoard
from frame3d.frame.sides.ground_answers import CLOSED_MM
from frame3d.site.earthwork.end_walls import DoorGround, WallGround
from frame3d.site.survey import Site
from frame3d.site.write.door_words import door_answers, door_sentences
from frame3d.units import LengthFormat
from frame3d.units.data_tables import DataColumn, DataTable, Quantity, Value


def walls_table(site: Site) -> DataTable:
    """Every piece of an end wall that lies on the ground or stands in it."""
    rows: list[dict[str, Value]] = [
        {"end": wall.end.value, "piece": one.member.mark, "what": one.member.role.value,
         "from": one.low_x_mm, "to": one.high_x_mm, "gap": one.gap_mm, "dig": one.dig_mm,
         "above": None if one.embedded_mm is None else one.above_mm,
         "embedded": one.embedded_mm}
        for wall in site.walls for one in wall.pieces
    ]  # fmt: skip
    return DataTable(
        key="walls", title="End walls on this ground",
        columns=(
            DataColumn(key="end", header="end"), DataColumn(key="piece", header="piece"),
            DataColumn(key="what", header="what"), _length("from", "from the middle"),
            _length("to", "to"), _length("gap", "gap under it"), _length("dig", "dig"),
            _length("above", "above the ground"), _length("embedded", "in the ground"),
        ),
        rows=tuple(rows),
        note="Places are from the middle of the tunnel, to the right as seen from the front.",
    )  # fmt: skip


def doors_table(site: Site) -> DataTable:
    """Thresholds and leaves over the ground."""
    rows: list[dict[str, Value]] = [
        {"end": wall.end.value, "door": one.door.where, "left": one.steps_mm[0],
         "right": one.steps_mm[1], "clear": one.clear_mm, "gap": one.gap_mm}
        for wall in site.walls for one in wall.doors
    ]  # fmt: skip
    return DataTable(
        key="doors", title="Doors on this ground",
        columns=(
            DataColumn(key="end", header="end"), DataColumn(key="door", header="door"),
            _length("left", "step at the left"), _length("right", "step at the right"),
            _length("clear", "leaf clears the highest ground by"),
            _length("gap", "gap under the shut leaf"),
        ),
        rows=tuple(rows),
        note="A step is from the ground up to the threshold, or to the height that the door is "
        "measured from.",
    )  # fmt: skip


def _length(key: str, header: str) -> DataColumn:
    return DataColumn(key=key, header=header, quantity=Quantity.LENGTH)


def sill_sentences(site: Site, wall: WallGround) -> Iterator[str]:
    """What is done about the gap under the sill of an end wall, and dug for it; same to all."""
    form, name = lengths_of(site.frame), f"the sill of the {wall.end.value} wall"
    if wall.hangs_mm > CLOSED_MM:
        yield from _gap_sentences(form, wall, name)
    dig = max((one.dig_mm for one in wall.pieces if one.embedded_mm is None), default=0.0)
    if form.rounded_mm(dig) > 0:
        yield f"Dig up to {form.text(dig, unit=True)} for {name}."


def _gap_sentences(form: LengthFormat, wall: WallGround, name: str) -> Iterator[str]:
    yield (
        f"The ground lies up to {form.text(wall.hangs_mm, unit=True)} below {name}, which stays "
        "level: pack it where studs stand."
    )
    if wall.skirts:
        marks = ", ".join(dict.fromkeys(one.member.mark for one in wall.skirts))
        boards = [one.member.part for one in wall.skirts]
        ripped = any(isinstance(board, RippedBoard) and board.is_ripped for board in boards)
        part = "a part of " if wall.open_mm > CLOSED_MM else ""
        yield (
            f"Skirt boards ({marks}) close {part}the gap under {name}: "
            f"{'ripped edge down, ' if ripped else ''}outer face flush with the sill's, screwed "
            "from above through the sill."
        )
    if wall.open_mm > CLOSED_MM:
        yield (
            f"Up to {form.text(wall.open_mm, unit=True)} stays open under {name}: fill up in "
            "thin layers that are tamped."
        )


def wall_findings(site: Site) -> Iterator[str]:
    """What hangs, strikes or stands open at the end walls."""
    for wall in site.walls:
        yield from sill_sentences(site, wall)
        for door in wall.doors:
            yield from _of_door(site, door)


def wall_assumptions(site: Site) -> Iterator[str]:
    """What the end walls' figures rest on, and what is not in them."""
    lying = [one for wall in site.walls for one in wall.pieces if one.embedded_mm is None]
    if lying:
        yield (
            "Sills of end walls are level: doors, girts and sheets hang on them. Whatever holds "
            "them, nothing is known here of what it holds."
        )
    yield from sentences_of_frame(site.frame)
    if any(one.embedded_mm is not None for wall in site.walls for one in wall.pieces):
        yield "Uprights that are set into the ground are as deep in it as the design has it."


def _of_door(site: Site, door: DoorGround) -> Iterator[str]:
    yield from door_sentences(site, door.door)
    yield from door_answers(site, door)
