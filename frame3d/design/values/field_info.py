"""What the models know about their fields, in one flat form.

The messages, the commented design file and the defaults are all made from these
facts, so that none of them can contradict the models.

Glossary
--------
section : a table of a design file, ``[hoop]``, or one of several, ``[[rail]]``.
"""

from __future__ import annotations

import enum
import functools
import math
from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin

import annotated_types
from msgspec import Struct
from pydantic.config import JsonValue
from pydantic.fields import FieldInfo

from frame3d.design.tables.fields import DesignTable, FieldKind
from frame3d.design.tables.whole_design import Design
from frame3d.units import UnitSystem

_Annotated = Any
"""An annotation of a field, or what is in one: classes, forms of typing, metadata."""


class FieldFacts(Struct, frozen=True, kw_only=True):
    """One field of a section.

    Parameters
    ----------
    name, meaning, why : str
        As the model has them; ``why`` is empty where no reason is given.
    kind : FieldKind
    choices : tuple of str or int
        What is allowed, for a choice; empty otherwise.
    several : bool
        True when the field holds a list; kind, choices and limits are those of an item.
    optional : bool
        True when the field may be left out and then has no value.
    imperial, metric : str, int, float, list or None
        The default as a user would write it.
    low, high : float or None
        Limits in mm, rad, or as the plain number.
    low_itself, high_itself : bool
        Whether the limit itself is allowed.
    shortest, longest : int or None
        Length of the text or of the list.
    """

    name: str
    meaning: str
    why: str
    kind: FieldKind
    choices: tuple[str | int, ...]
    several: bool
    optional: bool
    imperial: JsonValue
    metric: JsonValue
    low: float | None
    high: float | None
    low_itself: bool
    high_itself: bool
    shortest: int | None
    longest: int | None

    def default(self, units: UnitSystem) -> JsonValue:
        """The default in these units, as a user would write it; None for none."""
        return self.imperial if units is UnitSystem.IMPERIAL else self.metric


class TableInfo(Struct, frozen=True, kw_only=True):
    """One table of the design file.

    Parameters
    ----------
    name, meaning : str
    model : subclass of DesignTable
    several : bool
        True when the file may hold more than one, as ``[[name]]``.
    needed : bool
        True when it must be in the file.
    optional : bool
        True when it may be absent and then has no value; the others get their defaults.
    fields : dict of str to FieldFacts
        In the order of the model.
    most : int or None
        How many there may be.
    """

    name: str
    meaning: str
    model: type[DesignTable]
    several: bool
    needed: bool
    optional: bool
    fields: dict[str, FieldFacts]
    most: int | None

    @property
    def header(self) -> str:
        """The line that begins it in a file."""
        return f"[[{self.name}]]" if self.several else f"[{self.name}]"


_JUST_MORE = 1e-6
NEEDED = ("profile", "bays")
"""The sections without which no design can be; all others have defaults or may be absent."""


@functools.cache  # the models never change while the program runs
def sections() -> dict[str, TableInfo]:
    """Every section of a design by name, in the order of the model."""
    return {name: _section(name, info) for name, info in Design.model_fields.items()}


def limits_of(section: str) -> dict[str, tuple[float, float]]:
    """The least and the greatest value that each length and angle of a section may have."""
    kinds = (FieldKind.LENGTH, FieldKind.RADIUS, FieldKind.ANGLE)
    return {
        facts.name: (
            -math.inf if facts.low is None else facts.low if facts.low_itself
            else facts.low + _JUST_MORE,
            math.inf if facts.high is None else facts.high,
        )
        for facts in sections()[section].fields.values()
        if facts.kind in kinds
    }  # fmt: skip


def _section(name: str, info: FieldInfo) -> TableInfo:
    several = get_origin(info.annotation) is tuple
    leaves = _leaves(info.annotation)
    model = next(
        leaf for leaf in leaves if isinstance(leaf, type) and issubclass(leaf, DesignTable)
    )
    most = next((m.max_length for m in info.metadata if hasattr(m, "max_length")), None)
    return TableInfo(
        name=name,
        meaning=" ".join((model.__doc__ or "").split()),
        model=model,
        several=several,
        needed=name in NEEDED,
        optional=not info.is_required(),
        fields={key: _facts(key, item) for key, item in model.model_fields.items()},
        most=most,
    )


def _leaves(annotation: _Annotated) -> Iterator[_Annotated]:
    """The innermost members of an annotation: classes and metadata."""
    arguments = get_args(annotation)
    if not arguments:
        yield annotation
    for argument in arguments:
        yield from _leaves(argument)
    yield from getattr(annotation, "__metadata__", ())


def _facts(name: str, info: FieldInfo) -> FieldFacts:
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    leaves = [*_leaves(info.annotation), *info.metadata]
    choices = _choices(info.annotation, leaves)
    limits = {type(item): item for item in leaves}
    low, low_itself = _limit(limits, annotated_types.Ge, annotated_types.Gt)
    high, high_itself = _limit(limits, annotated_types.Le, annotated_types.Lt)
    shortest = limits.get(annotated_types.MinLen)
    longest = limits.get(annotated_types.MaxLen)
    kinds = [leaf for leaf in leaves if isinstance(leaf, FieldKind)]
    return FieldFacts(
        name=name,
        meaning=info.description or "",
        why=str(extra["why"]),
        kind=FieldKind.CHOICE if choices else kinds[0],
        choices=choices,
        several=get_origin(info.annotation) is tuple,
        optional=not info.is_required(),
        imperial=extra.get("imperial"),
        metric=extra.get("metric"),
        low=low,
        high=high,
        low_itself=low_itself,
        high_itself=high_itself,
        shortest=shortest.min_length if shortest else None,
        longest=longest.max_length if longest else None,
    )


def _choices(annotation: _Annotated, leaves: list[_Annotated]) -> tuple[str | int, ...]:
    origin: _Annotated = get_origin(annotation)
    if origin is Literal:
        return get_args(annotation)
    for leaf in leaves:
        # Kind is an enum as well, but its members are instances, not classes.
        if isinstance(leaf, type) and issubclass(leaf, enum.Enum):
            return tuple(member.value for member in leaf)
    return ()


def _limit(limits: dict[type, _Annotated], closed: type, open_: type) -> tuple[float | None, bool]:
    for kind, itself in ((closed, True), (open_, False)):
        if kind in limits:
            return getattr(limits[kind], kind.__name__.lower()), itself
    return None, False
