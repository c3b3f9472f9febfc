"""What was measured on the site, as plain values: a frame that has them is a surveyed frame.

They are read from the user's lists and checked in :mod:`frame3d.site`, which works out what they
mean; here they lie because the frame carries them, so that whoever has it has them too.
"""

from __future__ import annotations

from msgspec import Struct

__all__ = ["Distance", "Level", "Survey", "Top"]


class Level(Struct, frozen=True, kw_only=True):
    """A point of the ground.

    Parameters
    ----------
    row : int
        In the file.
    name : str
        As the file has it; may be empty.
    x_mm, y_mm : float
        In the axes of the site.
    z_mm : float
    rock_mm : float or None
        Depth of rock under the ground, where it is known.
    """

    row: int
    name: str
    x_mm: float
    y_mm: float
    z_mm: float
    rock_mm: float | None = None


class Distance(Struct, frozen=True, kw_only=True):
    """A measured distance between two corners, by their numbers."""

    first: int
    second: int
    length_mm: float


class Top(Struct, frozen=True, kw_only=True):
    """The measured top of a socket, mm.

    Parameters
    ----------
    row : int
        In the file.
    name : str
    x_mm, y_mm : float
        In the axes of whoever measured.
    z_mm : float or None
    taped : bool
        True when ``y_mm`` runs along the string, and not level.
    """

    row: int
    name: str
    x_mm: float
    y_mm: float
    z_mm: float | None
    taped: bool = False


class Survey(Struct, frozen=True, kw_only=True):
    """All that was measured; nothing of it means a frame on level ground.

    Parameters
    ----------
    levels : tuple of Level
    distances : tuple of Distance
        Between corners.
    tops : tuple of Top
        Of sockets as driven.
    names : tuple of (str, str)
        What each list is of (``levels``, ``measured``, ``built``), and what it is called.
    """

    levels: tuple[Level, ...] = ()
    distances: tuple[Distance, ...] = ()
    tops: tuple[Top, ...] = ()
    names: tuple[tuple[str, str], ...] = ()

    def name_of(self, what: str) -> str:
        """What the list of ``what`` is called; empty where there was none."""
        return dict(self.names).get(what, "")
