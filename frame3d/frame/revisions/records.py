"""The parts of a frame as records, which a later build recognises them by."""

from __future__ import annotations

import enum
import hashlib
from collections.abc import Hashable

from frame3d.frame.describe.wording import describe, lengths_of
from frame3d.frame.model.canonical import are_alike, shape_key
from frame3d.frame.model.members import Frame, PartCount
from frame3d.frame.model.part_records import PartRecord, Shape
from frame3d.frame.model.parts import Part

_DIGITS = 16


def shape_of(part: Part) -> Shape:
    """The shape of a part in its one form; equal for parts that are made the same way."""
    kinds, numbers = shape_key(part)
    text = "\n".join(map(_named, kinds))
    return Shape(kind=hashlib.sha256(text.encode("utf-8")).hexdigest()[:_DIGITS], sizes=numbers)


def _named(kind: Hashable) -> str:
    """A kind in words that do not hang on where in the program it is defined."""
    if isinstance(kind, type):
        return kind.__name__
    if isinstance(kind, enum.Enum):
        return f"{type(kind).__name__}.{kind.name}"
    return repr(kind)


def same_shape(one: Shape, other: Shape) -> bool:
    """Whether the shop could not tell the two apart."""
    return (
        one.kind == other.kind
        and len(one.sizes) == len(other.sizes)
        and are_alike(one.sizes, other.sizes)
    )


def record_of(group: PartCount, frame: Frame) -> PartRecord:
    """A part of ``frame`` as a record."""
    length = group.part.over_all_mm
    return PartRecord(
        mark=group.mark,
        role=group.role.value,
        description=describe(group.part, lengths_of(frame)),
        count=group.count,
        bought=group.part.is_bought,
        length_mm=None if length is None else round(length, 3) + 0.0,
        shape=shape_of(group.part),
    )


def records_of(frame: Frame) -> tuple[PartRecord, ...]:
    """Every part of ``frame`` as a record, in the order of the marks' first use."""
    return tuple(record_of(group, frame) for group in frame.parts())
