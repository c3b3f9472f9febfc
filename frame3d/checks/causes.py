"""The fields of the design that a member stands where it does for."""

from __future__ import annotations

from frame3d.frame.members import Frame, Member, Role


def field_of(frame: Frame, member: Member) -> str:
    """The field that says where ``member`` stands, or its section where several do.

    Empty for a member of no section, such as one of a frame put together by hand.
    """
    name, _, number = member.source.partition("[")
    table = getattr(frame.design, name, None) if name else None
    if table is None:
        return ""
    if number:
        table = table[int(number.rstrip("]")) - 1]
    finer = _FINER.get(name, ("height", "fraction"))
    if member.role is Role.END_STOP:
        finer = ("end_stop",)
    given = next((one for one in finer if getattr(table, one, None) is not None), None)
    return member.source if given is None else f"{member.source}.{given}"


_FINER: dict[str, tuple[str, ...]] = {"door": (), "end_wall": (), "sill_board": ()}
"""Sections whose members stand where several fields say; others stand at their height."""


def fields_of(frame: Frame, first: Member, second: Member) -> dict[str, str]:
    """``field`` and ``against`` of a finding about two members."""
    one, two = field_of(frame, first), field_of(frame, second)
    return {"field": one or two, "against": two if one and two != one else ""}


__all__ = ["field_of", "fields_of"]
