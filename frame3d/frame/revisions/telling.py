"""A comparison of two designs as JSON, and as rows of words."""

from __future__ import annotations

import json

from frame3d import __version__
from frame3d.frame.describe.wording import fine_lengths, lengths_of
from frame3d.frame.model.part_records import Change, PartChange, PartRecord
from frame3d.frame.revisions.comparison import Comparison
from frame3d.schemas import Document
from frame3d.units import LengthFormat
from frame3d.units.data_tables import Json

HEADS = ("Change", "Old", "New", "Part", "Old qty", "New qty", "What")
HARDWARE_HEADS = ("Hardware, as it is sold", "Old qty", "New qty", "What")
FIT_HEADS = ("Old", "Part", "Made", "Fit", "As", "Left over")
LINES = (
    "A part is the same where its shape is, whatever its mark. Changed: it takes the place of "
    "another of its use, the nearest in shape. Moved: the same part, in other places or numbers.",
    'To keep the marks of an old build: frame3d build NEW --since FOLDER.',
)  # fmt: skip


def headline(found: Comparison) -> str:
    """How many made parts there are of each kind of change, and what of the hardware differs."""
    made = [one.change for one in _made(found)]
    if all(one.change is Change.SAME for one in found.changes):
        return f"All {len(made)} made parts and the hardware are the same, in the same places."
    counts = [f"{made.count(change)} {change.value}" for change in Change]
    differs = len(hardware_rows(found))
    return f"Made parts: {', '.join(counts)}. Hardware: {differs or 'none'} in other quantities."


def _made(found: Comparison) -> list[PartChange]:
    """Those that the shop makes; what is bought has a list of its own."""
    return [one for one in found.changes if (said := one.new or one.old) and not said.bought]


def hardware_rows(found: Comparison) -> list[tuple[str, ...]]:
    """A row for each thing bought of which more or fewer are needed."""
    return [
        (one.item, str(one.old or ""), str(one.new or ""), one.words)
        for one in found.hardware
        if one.words
    ]


def change_rows(found: Comparison) -> list[tuple[str, ...]]:
    """A row for each made part, what is changed first."""
    rows: list[tuple[str, ...]] = []
    form = lengths_of(found.new)
    for one in _made(found):
        said = one.new or one.old
        rows.append((
            one.change.value,
            one.old.mark if one.old else "",
            one.new.mark if one.new else "",
            _named(said) if said else "",
            str(one.old.count) if one.old else "",
            str(one.new.count) if one.new else "",
            _what(one, form),
        ))  # fmt: skip
    return rows


def _named(part: PartRecord) -> str:
    """Use and description; some kinds of part begin with the same words as their use."""
    told = part.description
    return told if told.startswith(part.role) else f"{part.role}: {told}"


def _what(one: PartChange, form: LengthFormat) -> str:
    if one.old is None or one.new is None:
        return ""
    if one.change is Change.CHANGED:
        return _difference(one.old, one.new, form)
    said = []
    if one.moved:
        said.append(f"{one.moved} in other places")
    if more := one.new.count - one.old.count:
        said.append(f"{abs(more)} {'more' if more > 0 else 'fewer'}")
    return ", ".join(said)


def _difference(old: PartRecord, new: PartRecord, form: LengthFormat) -> str:
    if old.description != new.description:
        return f"was {old.description}"
    if old.length_mm is None or new.length_mm is None:
        return "another outline or other holes"  # a plate
    if old.length_mm == new.length_mm:
        return "other holes, ends or bends"
    # As finely as a difference needs to be seen.
    for exact in (form, fine_lengths(form)):
        before, after = (exact.text(at, unit=True) for at in (old.length_mm, new.length_mm))
        if before != after:
            return f"{after} long, was {before}"
    return "another length, by less than is told"


def fit_rows(found: Comparison) -> list[tuple[str, ...]]:
    """A row for each part of the old design that is made: what fits of it."""
    return [
        (
            made.old.mark,
            _named(made.old),
            str(made.old.count),
            str(sum(count for _, count in made.fits)),
            ", ".join(f"{count} × {mark}" for mark, count in made.fits),
            str(made.over) if made.over else "",
        )
        for made in found.made
    ]


def comparison_text(found: Comparison) -> str:
    """All of it as JSON, as the schema ``comparison-1`` has it."""
    return json.dumps(_record(found), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _record(found: Comparison) -> dict[str, Json]:
    old, new = found.old.design.project, found.new.design.project
    return {
        "schema": Document.COMPARISON.value,
        "program": f"frame3d {__version__}",
        "old": {"name": old.name, "number": old.number, "revision": found.revisions[0]},
        "new": {"name": new.name, "number": new.number, "revision": found.revisions[1]},
        "counts": {change.value: found.count(change) for change in Change},
        "parts": [
            {
                "change": one.change.value,
                "old": _part(one.old),
                "new": _part(one.new),
                "in_other_places": one.moved,
            }
            for one in found.changes
        ],
        "already_made": [
            {
                "mark": made.old.mark,
                "count": made.old.count,
                "fits": [{"mark": mark, "count": count} for mark, count in made.fits],
                "left_over": made.over,
            }
            for made in found.made
        ],
        "to_make": [{"mark": mark, "count": count} for mark, count in found.to_make],
        "hardware": [{"item": one.item, "old": one.old, "new": one.new} for one in found.hardware],
    }


def _part(record: PartRecord | None) -> dict[str, Json] | None:
    if record is None:
        return None
    return {
        "mark": record.mark,
        "role": record.role,
        "description": record.description,
        "count": record.count,
        "bought": record.bought,
        "length_mm": record.length_mm,
        "shape": record.shape.text,
    }
