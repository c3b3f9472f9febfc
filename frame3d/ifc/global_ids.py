"""Identifiers that follow from a design: the same one for the same member in every build.

References
----------
RFC 9562, Universally Unique IDentifiers (UUIDs), IETF 2024, section 5.5: those made from names.
ISO 16739-1:2018, IfcGloballyUniqueId: 128 bits as 22 digits of base 64, the first of two bits.
"""

from __future__ import annotations

import uuid

Name = str | int | None
_DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_$"
_ALL = uuid.uuid5(uuid.NAMESPACE_OID, "frame3d members")


def shortened(value: uuid.UUID) -> str:
    """``value`` as 22 digits.

    Examples
    --------
    >>> shortened(uuid.UUID(int=0)), shortened(uuid.UUID(int=2**128 - 1))
    ('0000000000000000000000', '3$$$$$$$$$$$$$$$$$$$$$')
    """
    return "".join(_DIGITS[value.int >> shift & 63] for shift in range(126, -1, -6))


class GlobalIds:
    """The identifiers of one project, by what they are of.

    Parameters
    ----------
    *project : str
        What tells the project from others, and stays as it is while the design is worked on.
    """

    def __init__(self, *project: str) -> None:
        self._project = uuid.uuid5(_ALL, "\n".join(project))

    def of(self, *names: Name) -> str:
        """That of what goes by ``names`` in the project."""
        return shortened(uuid.uuid5(self._project, "\n".join(map(str, names))))
