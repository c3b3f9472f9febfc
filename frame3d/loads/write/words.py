"""What is told of a comparison, in the same words everywhere: cautions first, then tables."""

from __future__ import annotations

from msgspec import Struct

from frame3d.design.tables.loads import BoardsHold, Loads, LoadShape
from frame3d.frame.describe.wording import lengths_of
from frame3d.loads.cautions import cautions_beside
from frame3d.loads.compare.indices import Index, Order, order_of
from frame3d.loads.comparison import Comparison, Tried
from frame3d.loads.model.assumed import USUAL, assumptions
from frame3d.loads.shapes.unit_loads import SOURCES

_MOST_TRIED = 14
_POINT = "one common stress, or the load at which no stable position is left"
"""What both designs are brought to: the comparison point."""


class Grid(Struct, frozen=True, kw_only=True):
    """A table of texts with its title, header and what is to be known to read it."""

    key: str
    title: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


def cautions(found: Comparison) -> tuple[str, ...]:
    """What stands first wherever the comparison is shown."""
    return cautions_beside(other=found.other is not None)


def grids(found: Comparison) -> tuple[Grid, ...]:
    """The tables, without those that have nothing to show."""
    made = (
        _index_grid(found), _weak_grid(found), _feet_grid(found), _tried_grid(found),
        _difference_grid(found),
    )  # fmt: skip
    return tuple(grid for grid in made if grid.rows)


def number(value: float | None) -> str:
    """A ratio to two digits behind the point; a dash for none."""
    return "-" if value is None else f"{value:.2f}"


def _index_grid(found: Comparison) -> Grid:
    return Grid(
        key="indices",
        title="Against the other design",
        header=("Load", "Index", "Band", "Reaches it", "Least with", "Most with"),
        rows=tuple(_index_row(index) for index in found.indices),
        note=f"The comparison point is {_POINT}. Below 1 this design reaches it sooner than the "
        "other, under a load of the same shape. The band is the range of the index over what "
        "nobody knows (soil, legs in sockets, pressure inside). Where it lies on both sides of 1, "
        "the order is undecided.",
    )


def _index_row(index: Index) -> tuple[str, ...]:
    if index.value is None:
        return index.shape.value, "-", "-", f"not compared: {index.reason}", "-", "-"
    least = min(index.by, key=lambda words: index.by[words])
    most = max(index.by, key=lambda words: index.by[words])
    return (
        index.shape.value, number(index.value), f"{number(index.low)} to {number(index.high)}",
        index.verdict, _narrow(least), _narrow(most),
    )  # fmt: skip


def _narrow(words: str) -> str:
    """An assumption as a narrow column has room for it, without breaking a word."""
    return "first set" if words == USUAL else words


def _weak_grid(found: Comparison) -> Grid:
    own, form = found.own, lengths_of(found.frame)
    rows = []
    for shape, weakest in own.weakest.items():
        ending = own.endings[own.worse[shape], USUAL]
        rows.append((
            shape.value, weakest.words, weakest.how,
            "stress" if ending.by_stress else "stability",
            number(ending.amplified), form.text(ending.sway_mm, unit=True),
        ))  # fmt: skip
    return Grid(
        key="weakest",
        title="Where this design reaches the comparison point",
        header=("Load", "Where", "What it does", "By", "Second order", "Sway"),
        rows=tuple(rows),
        note="Second order: the greatest stress with the frame's own deflection counted, divided "
        "by the greatest stress without it. Sway: the greatest movement sideways. Both are told "
        "where the index is taken, as facts; they are no limits of anything.",
    )


def _feet_grid(found: Comparison) -> Grid:
    return Grid(
        key="sockets",
        title="At the sockets: this design divided by the other",
        header=("Load", "Greatest pull upward", "Greatest push sideways"),
        rows=tuple(
            (shape.value, number(up), number(aside))
            for shape, (up, aside) in found.feet.items()
            if up is not None or aside is not None
        ),
        note="Greatest at any one socket, same unit load, without own weight; above 1 is more "
        "than in the other design. A dash where the other design has none.",
    )


def _tried_grid(found: Comparison) -> Grid:
    shapes = tried_shapes(found)
    rows = [_tried_row(found, one, shapes) for one in found.tried[:_MOST_TRIED]]
    return Grid(
        key="changes",
        title="What changes it most",
        header=("Changed alone", *(shape.value for shape in shapes), "Sway", "Mass", "Cost"),
        rows=tuple(rows),
        note="Of this design itself, one change at a time; 1 is as it is, above 1 it reaches the "
        "comparison point later. 'Not sooner' is all that is said where the frame gets there "
        "later without a part: what is stiff draws load, so the part that got there first has "
        "less of it or is gone, which is no reason to leave it out. Under the first set of "
        "assumptions; 'undecided' where taking the legs as hinged reverses the order in wind. "
        "Sway: the greatest movement sideways under equal loads. Cost by the design's own price "
        "list, where that prices everything. No index counts what braces do while the hoops are "
        "being raised and covered.",
    )


def tried_shapes(found: Comparison) -> list[LoadShape]:
    """The shapes that changes were tried under."""
    return list(dict.fromkeys(shape for one in found.tried for shape in one.index))


def _tried_row(found: Comparison, one: Tried, shapes: list[LoadShape]) -> tuple[str, ...]:
    if one.reason:
        words = (
            f"{one.words}, not tried: with this change the design cannot be laid out or calculated"
        )
        return (words, *("-" for _ in range(len(shapes) + 3)))
    form = lengths_of(found.frame)
    mass = "-" if one.mass_kg is None else _signed(one.mass_kg, form.mass(abs(one.mass_kg)))
    cost = "-" if one.cost is None else _signed(one.cost, f"{abs(one.cost):.0f}")
    return one.words, *(_banded(one, shape) for shape in shapes), number(one.sway), mass, cost


def _banded(one: Tried, shape: LoadShape) -> str:
    """A ratio; where hinged legs reverse the order, that it is undecided and the band.

    Of what leaves parts out none above 1: in a hurry it would be read as a reason to.
    """
    if shape not in one.index:
        return "-"
    value, low, high = one.index[shape]
    if one.leaves_out and high > 1 and order_of(low, high) is not Order.ALIKE:
        sooner = order_of(low, low) is Order.SOONER
        return f"{number(low)} or not sooner" if sooner else "not sooner"
    if low < 1 < high and order_of(low, high) is Order.UNDECIDED:
        return f"{number(low)} to {number(high)}, undecided"
    return number(value)


def _signed(value: float, text: str) -> str:
    return f"{text} {'less' if value < 0 else 'more'}"


def _difference_grid(found: Comparison) -> Grid:
    kind = "The two designs are of different kinds. " if found.is_of_another_kind else ""
    return Grid(
        key="differences",
        title="How the two differ",
        header=("What", "Here", "There"),
        rows=tuple(_parted(text) for text in found.differences),
        note=f"{kind}An index compares whole frames, and does not tell which of these does it."
        if found.differences
        else "",
    )


def _parted(text: str) -> tuple[str, str, str]:
    name, _, both = text.partition(": ")
    here, _, there = both.partition(" here, ")
    return name, here, there.removesuffix(" there")


def basis(given: Loads, found: Comparison) -> tuple[str, ...]:
    """What the figures rest on, in sentences; what moves freely is told before them."""
    assumed = [words for words in assumptions(given) if words != USUAL]
    first = assumptions(given)[USUAL]
    notes = [
        f"First set of assumptions: {first.soil.name.lower()} soil, {first.legs}, the worse of "
        "the two pressures inside."
    ]
    notes.append(
        "Boards: sill boards and hip boards are counted as bars on bolts that give way, without "
        "the play in their holes, so they hold more here than they do."
        if given.boards is BoardsHold.BOLTED
        else "Boards: sill boards and hip boards hold nothing here ([loads] boards)."
    )
    other = [*assumed, "the other pressure inside", "a lower and a higher common stress"]
    notes.append(f"The band goes through, one at a time: {', '.join(other)}.")
    notes.append(
        f"Both designs are brought to the comparison point, in second order: {_POINT}. That stress "
        "is a means of comparing and says nothing about a steel."
    )
    if LoadShape.CROP in given.shapes and LoadShape.CROP not in found.own.names:
        notes.append("This design has no ties for a crop to hang from: that load is left out.")
    return tuple(notes)


def sources(given: Loads) -> tuple[str, ...]:
    """Where the shapes of load are from."""
    return tuple(f"{shape.value}: {SOURCES[shape]}" for shape in given.shapes)
