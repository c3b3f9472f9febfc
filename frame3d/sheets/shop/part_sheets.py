"""The sheets of what the shop bends, cuts and drills from tube."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from frame3d.frame.describe.places import grid_text, numbers_text
from frame3d.frame.describe.through import Uses, hole_uses
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.parts import Tube
from frame3d.frame.model.roles import Role
from frame3d.geometry.full_size import ordinate_mm
from frame3d.sheets.annotation.annotations import Table, View
from frame3d.sheets.layout.joining import fewest_sheets
from frame3d.sheets.layout.part_layout import add_flow, add_piece
from frame3d.sheets.layout.sheet_set_builder import ASSEMBLY, SheetSetBuilder
from frame3d.sheets.shop.bend_tables import (
    bend_stops_mm,
    bend_table,
    hole_table,
    layout_table,
    letters,
    machine_notes,
    machine_tables,
    piece_table,
    swage_notes,
)
from frame3d.sheets.shop.bent_tube import bent_view, is_bent
from frame3d.sheets.shop.hoop_assembly import (
    HoopSheet,
    hoop_kinds,
    hoop_sheet,
    hoop_view,
    point_table,
)
from frame3d.sheets.shop.make_note import MAKE_NOTE
from frame3d.sheets.shop.rail_key import RAIL_ROLES, rail_key
from frame3d.sheets.shop.straight_tubes import (
    drawn_table,
    hole_kinds,
    is_plain,
    kind_table,
    piece_view,
    plain_table,
    section_table,
    true_size,
)
from frame3d.sheets.shop.tube_lengths import clock_key, straight_view
from frame3d.sheets.shop.tube_views import ACROSS, developed
from frame3d.site.survey import site_of
from frame3d.site.write.ground_words import marks_text

_CLOCK = (
    "Rotation is clockwise, looking along the tube from the start: 0° is the inside of the "
    "bend, at the bottom of the drawing; 90° points away from you. "
)
_STANDS_SQUARE_MM = 1.0
_LONGEST_HOOPS = 20
"""As many letters as a title has room for beside what the sheet is."""
_RAILS, _SOCKETS, _OTHERS = "Rails", "Sockets", "Straight tubes"
_FEW = 4
"""More rails than this are drawn on sheets of their own, whatever room these have."""
_FAMILIES = {
    **dict.fromkeys(RAIL_ROLES, _RAILS),
    **dict.fromkeys((Role.SOCKET, Role.SPLICE, Role.RIDGE_JOINT), _SOCKETS),
}
"""The sheets on which straight tubes stand; all others on the last."""
_NAMES = {Role.HOOP: "Hoop piece", Role.RIDGE_JOINT: "Ridge sleeve", Role.SPLICE: "Splice sleeve"}


def add_part_sheets(builder: SheetSetBuilder) -> None:
    """The hoops put together, then every part of tube once, with its count."""
    uses = hole_uses(builder.frame, builder.lengths)
    _hoop_assemblies(builder, uses)
    groups = builder.frame.parts_of_kind(Tube)
    for group in groups:
        if is_bent(group.part):
            _bent_piece(builder, group, uses)
    families: dict[str, list[PartCount[Tube]]] = {_RAILS: [], _SOCKETS: [], _OTHERS: []}
    for group in groups:
        if not is_bent(group.part):
            families[_FAMILIES.get(group.role, _OTHERS)].append(group)
    there = [(title, family) for title, family in families.items() if family]

    def way(joined: int) -> Callable[[], None]:
        """All on sheets of their own but the last ``joined`` of the families."""

        def draw() -> None:
            alone = len(there) - joined
            for title, family in there[:alone]:
                _straight(builder, title, family, uses)
            if joined:
                names = [title for title, _ in there[alone:]]
                title = f"{', '.join(names[:-1])} and {names[-1]}"
                pieces = [group for _, family in there[alone:] for group in family]
                _straight(builder, title[0] + title[1:].lower(), pieces, uses)

        return draw

    few = len(families[_RAILS]) <= _FEW
    ways = [0, *(n for n in (2, 3) if n <= len(there) and (few or n < len(there)))]
    fewest_sheets(builder, map(way, ways))


def _hoop_assemblies(builder: SheetSetBuilder, uses: Uses) -> None:
    """A sheet for each kind of hoop, its pieces put together and laid flat."""
    for numbers in hoop_kinds(builder.frame):
        sheet = hoop_sheet(builder.frame, numbers[0], uses)
        hoops = _hoops(numbers)
        view = hoop_view(sheet, f"{hoops.capitalize()}, laid flat")
        add_piece(
            builder,
            f"Hoop assembly, {hoops}",
            (view,),
            (point_table(sheet, hoops),),
            _hoop_notes(sheet, numbers),
            kind=ASSEMBLY,
            group="hoops",
        )


def _hoops(numbers: Sequence[int]) -> str:
    """The hoops in words that fit a title: a list in the notes has them all."""
    if len(numbers) == 1:
        return f"hoop {numbers[0]}"
    text = f"hoops {numbers_text(numbers)}"
    return text if len(text) <= _LONGEST_HOOPS else f"{len(numbers)} hoops"


def _hoop_notes(sheet: HoopSheet, numbers: Sequence[int]) -> tuple[str, ...]:
    other = f"hoops {numbers_text(numbers)}" if len(numbers) > 1 else f"hoop {numbers[0]}"
    sides = "Holes and bends are the same on both sides, and named on the left."
    sides = sides if sheet.mirrored else "Dimensions from the middle are negative on the left."
    return (
        f"{len(numbers)} needed like this: {other}. {sides}",
        "Seen from the front. Heights are above the leg ends; radii and points are on the "
        "centreline; the overall height is to the top of the tube. Each piece has its own sheet.",
        "Join the pieces on level ground on a full-size layout, and check the leg spacing "
        "before tightening the last bolts. Hoops catch the wind while they are raised: "
        "have enough people, and prop each one.",
        MAKE_NOTE,
    )


def _bent_piece(builder: SheetSetBuilder, group: PartCount[Tube], uses: Uses) -> None:
    tube, mark = group.part, group.mark
    name = _NAMES.get(group.role, group.role.value.capitalize())
    straight = straight_view(
        developed(tube),
        f"{mark}, {group.count} needed, before bending",
        ACROSS,
        mark=mark,
        letters=letters(len(tube.holes)),
        bends_mm=bend_stops_mm(tube, builder.lengths),
        overall="developed length",
    )
    bent = bent_view(tube, f"{mark} bent, laid on its chord", mark, builder.lengths)
    design = builder.frame.design
    tables: list[Table | View] = [
        piece_table(tube, design, builder.lengths),
        bend_table(tube, builder.lengths),
        *machine_tables(tube, design.order.bender, builder.lengths),
        hole_table(tube, uses.get(mark, ())),
        layout_table(tube, builder.lengths.system),
    ]
    if tube.holes:
        section = tube.section
        tables.append(clock_key(section.od_mm, section.wall_mm, "inside of the bend"))
    add_piece(
        builder,
        f"{name} {mark}",
        (straight, bent),
        tables,
        (*builder.lacks([mark]), *_notes(builder, group)),
    )


def _notes(builder: SheetSetBuilder, group: PartCount[Tube]) -> tuple[str, ...]:
    tube, bender = group.part, builder.frame.design.order.bender
    stops = bend_stops_mm(tube, builder.lengths)
    running = "Running dimensions start at the left end"
    if tube.holes and stops:
        running += ": above, to holes; below, to where bends start and end. "
    elif tube.holes or stops:
        running += ": to holes. " if tube.holes else ": to where bends start and end. "
    else:
        running = ""
    square = ""
    if ordinate_mm(tube.axis, 0.0) > _STANDS_SQUARE_MM:
        square = "; where a leg is square to the chord, at its far end"
    return (
        # Here too: on small paper the table that tells it may be on another sheet.
        f"{group.mark}: {group.count} needed, {true_size(tube, builder.lengths)}; "
        f"{grid_text(group.members)}. {MAKE_NOTE}",
        f"{running}{_CLOCK}Lengths and radii are of the centreline of the finished piece; "
        "distances on the blank are longer by the grip at its start. Work by the tables; "
        "figures in parentheses follow from the others there.",
        *machine_notes(tube, bender),
        *swage_notes(tube),
        "Ordinates run from the chord to the centreline, on the outside of the "
        f"bend{square}. Bend a first piece and lay it on the full-size layout before "
        "bending the others.",
    )


_STRAIGHT = (
    "Running dimensions: from the start of each piece, at the left, to its hole centres. "
    "Each piece is seen from rotation 0°; rotation is clockwise, looking along the tube "
    "from the start.",
    f"Lengths are overall, of the finished piece; add saw cuts. {MAKE_NOTE}",
)


def _straight(
    builder: SheetSetBuilder, title: str, groups: Sequence[PartCount[Tube]], uses: Uses
) -> None:
    """A family of straight tubes; rails with a key to their lines."""
    first = None
    if title.startswith(_RAILS):
        left, _, right, _ = builder.ground(_STRAIGHT).views
        first = rail_key(builder.frame, builder.lengths, right - left)
    drawn = [group for group in groups if not is_plain(group.part)]
    plain = [group for group in groups if is_plain(group.part)]
    kinds = hole_kinds(drawn, uses)
    words: list[Table | View] = [
        kind_table(kinds),
        section_table(groups, builder.lengths),
        drawn_table(drawn, builder.lengths),
        plain_table(plain),
    ]
    if kinds:
        section = drawn[0].part.section
        words.insert(0, clock_key(section.od_mm, section.wall_mm, "toward you"))
    views = [piece_view(group, uses, kinds, builder.lengths) for group in drawn]
    warned = dict.fromkeys(note for group in groups for note in swage_notes(group.part))
    notes: tuple[str, ...] = (*_STRAIGHT, *warned)
    if _SOCKETS.lower() in title.lower():
        notes = (*notes, _driving_mark(builder.frame))
    notes = (*builder.lacks(group.mark for group in groups), *notes)
    add_flow(builder, title, views, notes, words=words, first=first)


def _driving_mark(frame: Frame) -> str:
    mark = (
        f"Driving mark of sockets: all round the tube, {marks_text(frame)} from the start (the top)"
    )
    if site_of(frame).driving is None:
        return (
            f"{mark}. On level ground, drive to it; on other ground each socket has its own mark."
        )
    return f"{mark}: each socket has its own, as the socket plan tells it."
