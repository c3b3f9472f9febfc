"""A page as it is printed: lines of exact width, areas, and text as text."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct, field

POINTS_PER_MM = 72 / 25.4

Step = tuple[str, tuple[float, ...]]
"""Of a path: M to a point, L a line to it, C a curve of three points to the last, Z closed."""


class SetText(Struct, frozen=True):
    """A line of text, letter by letter as it is seen.

    Parameters
    ----------
    text : str
    matrix : tuple of six floats
        From the text's own axes (baseline, up) to the page, points.
    size : float
        Of the font, points.
    """

    text: str
    matrix: tuple[float, ...]
    size: float


class PageDrawing(Struct, kw_only=True):
    """A page as it is printed, black on white; points, from its lower left corner.

    Parameters
    ----------
    width, height : float
    layers : dict of str to dict of float to list of Step
        By their names, with lines by their width; areas that are filled have none.
    texts : list of SetText
    """

    width: float
    height: float
    layers: dict[str, dict[float, list[Step]]] = field(default_factory=dict)
    texts: list[SetText] = field(default_factory=list)


def path_text(steps: Iterable[Step], forms: dict[str, str]) -> str:
    """A path as some format writes it, which has a form for each kind of step."""
    return "".join([forms[kind] % values for kind, values in steps])
