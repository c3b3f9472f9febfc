"""Parts as a build keeps them in its summary, and what became of each since an older build.

Glossary
--------
shape : what a part is as it is made, whatever its mark: its kinds as a hash, and its numbers.
record : a part's shape with its mark, use and count, read from a summary or made from a frame.
"""

from __future__ import annotations

import enum
import math
import re

from msgspec import Struct

_KIND = re.compile("[0-9a-f]{16}")


class Shape(Struct, frozen=True, kw_only=True):
    """The shape of a part in its one form.

    Parameters
    ----------
    kind : str
        Hash of all that is no number: kinds of body and end, sections, how many holes.
    sizes : tuple of float
        Its numbers in a fixed order, mm, rad and mm².
    """

    kind: str
    sizes: tuple[float, ...]

    @property
    def text(self) -> str:
        """Both on one line, from which :func:`read_shape` makes it again, to the last digit."""
        return " ".join((self.kind, *map(repr, self.sizes)))


def read_shape(text: str) -> Shape:
    """The shape that :attr:`Shape.text` wrote.

    Raises
    ------
    ValueError
        If it is none.
    """
    kind, *sizes = text.split()
    if not _KIND.fullmatch(kind):
        raise ValueError("it does not begin with a kind")
    shape = Shape(kind=kind, sizes=tuple(map(float, sizes)))
    if not all(map(math.isfinite, shape.sizes)):
        raise ValueError("a number of it is not finite")
    return shape


class PartRecord(Struct, frozen=True, kw_only=True):
    """A distinct part of a frame.

    Parameters
    ----------
    mark, role, description : str
    count : int
        How many the frame has; 0 of one that it has no more.
    bought : bool
        Whether it comes as it is from the merchant.
    length_mm : float or None
    shape : Shape
    """

    mark: str
    role: str
    description: str
    count: int
    bought: bool
    length_mm: float | None
    shape: Shape


class Change(enum.Enum):
    """What became of a part."""

    CHANGED = "changed"
    NEW = "new"
    GONE = "gone"
    MOVED = "moved"
    SAME = "same"


class PartChange(Struct, frozen=True, kw_only=True):
    """A part of two designs: ``old`` is None for what is new, ``new`` for what is gone.

    A changed part is one that takes the place of another of its use; ``moved`` of the new ones
    stand where none stood before, None where places are not known.
    """

    change: Change
    old: PartRecord | None
    new: PartRecord | None
    moved: int | None = None


class Since(Struct, frozen=True, kw_only=True):
    """What a frame is compared with, and keeps the marks of.

    Parameters
    ----------
    revision : str
        Of the older build's title block.
    changes : tuple of PartChange
        Of every part of both.
    retired : tuple of PartRecord
        Parts of older builds that are in the frame no more: nothing else may have their marks.
    name : str
        What it is called where it is no older build.
    """

    revision: str
    changes: tuple[PartChange, ...]
    retired: tuple[PartRecord, ...]
    name: str = ""

    def of(self, mark: str) -> PartChange | None:
        """What became of the part with this mark of the new frame."""
        return next((c for c in self.changes if c.new and c.new.mark == mark), None)

    @property
    def words(self) -> str:
        """The older build by its revision, if it had one."""
        if self.name:
            return self.name
        return "the older build" if self.revision == "-" else f"revision {self.revision}"

    @property
    def altered(self) -> frozenset[str]:
        """The marks of the parts that are changed or new."""
        told = (Change.CHANGED, Change.NEW)
        return frozenset(c.new.mark for c in self.changes if c.new and c.change in told)

    @property
    def gone(self) -> tuple[PartRecord, ...]:
        """The parts of the older build that are made no more, those with another in place too."""
        return tuple(
            c.old for c in self.changes if c.old and c.change in (Change.GONE, Change.CHANGED)
        )
