"""Sections that are given by their sizes instead of by a name.

``42.4 mm x 3.2 mm`` or ``1-5/8 in x 16 ga BWG`` for a tube, ``45 x 145 mm`` for a
board. The first size may leave out the unit if the second has one. The name that
comes back is always the same for the same sizes in the same units.
"""

from __future__ import annotations

import re
from fractions import Fraction

from frame3d.catalog.gauges import read_gauge, wall_from_gauge
from frame3d.catalog.sections import TimberSection, TubeSection
from frame3d.catalog.spellings import tidy
from frame3d.errors import CatalogError, UnitError
from frame3d.units import UnitSystem, parse_length_exact, system_of

_INCH = Fraction(254, 10)


def tube_by_numbers(name: str) -> TubeSection | None:
    """Return the tube that the sizes say, or None if the text is not two sizes.

    Raises
    ------
    CatalogError
        If the sizes are not those of a tube, or a gauge lacks its system.
    """
    first, second = _two_sizes(name, "tube")
    gauge = read_gauge(second or first)
    if second is None:
        return None
    if gauge:
        outside = _size(first, "in", name)
        wall = Fraction(str(wall_from_gauge(*gauge)))
        wall_text = f"{gauge[0]} ga {gauge[1].name}"
        called = f"{_spelled(*outside)} x {wall_text}"
    else:
        if re.fullmatch(r"[0-9]+", second) and re.search("[a-z'\"]", first):
            raise CatalogError(
                f"got {name!r}: the wall, {second}, has no unit; write it as a length, such "
                'as "3.2 mm" or "0.109 in", or as a gauge with its system, such as '
                f'"{second} ga BWG"; ask your supplier which it is'
            )
        thickness = _size(second, None, name)
        outside = _size(first, _unit(thickness[1]), name)
        wall = thickness[0]
        called = f"{_spelled(*outside)} x {_spelled(*thickness)}"
        if outside[1] is thickness[1] is UnitSystem.METRIC:
            called = called.replace(" mm", "", 1)  # two metric sizes share one unit
    od_mm, wall_mm = float(outside[0]), float(wall)
    if not 10 <= od_mm <= 400:
        raise CatalogError(
            f"got {name!r}: the outside diameter must be 10 mm to 400 mm (0.4 in to 15.7 in)"
        )
    if not 0.5 <= wall_mm < od_mm / 2 - 1:
        raise CatalogError(
            f"got {name!r}: the wall must be at least 0.5 mm (0.02 in) and leave a bore of "
            "at least 2 mm (0.08 in); outside diameter first, then wall"
        )
    return TubeSection(name=called, od_mm=od_mm, wall_mm=wall_mm)


def timber_by_numbers(name: str) -> TimberSection | None:
    """Return the board that the sizes say, or None if the text is not two sizes.

    Raises
    ------
    CatalogError
        If the sizes are not those of a board, or look nominal.
    """
    first, second = _two_sizes(name, "board")
    if second is None or not re.search("[a-z'\"]", second):
        return None
    last = _size(second, None, name)
    sizes = sorted((_size(first, _unit(last[1]), name), last), key=lambda size: size[0])
    whole_inches = all(re.fullmatch(r"[0-9]+( ?in\.?)?", text) for text in (first, second))
    if whole_inches and last[1] is UnitSystem.IMPERIAL:
        raise CatalogError(
            f"got {name!r}: whole inches are usually nominal sizes, and the board itself is "
            "smaller; write the nominal name, such as 2x8, or the actual sizes, such as "
            '"1.5 in x 7.25 in" ("2.0 in x 8.0 in" if it really is full size)'
        )
    thickness, depth = float(sizes[0][0]), float(sizes[1][0])
    if not (10 <= thickness <= 150 and depth <= 500):
        raise CatalogError(
            f"got {name!r}: a board must be 10 mm to 150 mm (0.4 in to 5.9 in) thick and at "
            "most 500 mm (19.6 in) deep"
        )
    if all(system is UnitSystem.METRIC for _, system in sizes):
        called = "x".join(_number(*size) for size in sizes) + " mm"
    else:
        called = " x ".join(_measured(*size) for size in sizes)
    return TimberSection(name=called, thickness_mm=thickness, depth_mm=depth)


def _two_sizes(name: str, word: str) -> tuple[str, str | None]:
    """Return the texts on both sides of the ``x``; the second is None if there is none."""
    text = tidy(name).removeprefix(word).strip()
    parts = [part.strip() for part in text.split("x")]
    if len(parts) != 2 or not parts[1] or not re.match(r"[0-9.]", parts[0]):
        return text, None
    return parts[0], parts[1]


def _size(text: str, unit: str | None, name: str) -> tuple[Fraction, UnitSystem]:
    """Return a size in mm and the system it is written in."""
    if unit and re.fullmatch(r"[0-9./ -]+", text):
        text = f"{text} {unit}"
    try:
        return parse_length_exact(text), system_of(text)
    except UnitError as error:
        raise CatalogError(f"got {name!r}: {error}") from None


def _unit(system: UnitSystem) -> str:
    return "in" if system is UnitSystem.IMPERIAL else "mm"


def _spelled(size: Fraction, system: UnitSystem) -> str:
    return f"{_number(size, system)} {_unit(system)}"


def _number(size: Fraction, system: UnitSystem) -> str:
    return f"{float(size / _INCH if system is UnitSystem.IMPERIAL else size):.7g}"


def _measured(size: Fraction, system: UnitSystem) -> str:
    """Return a size of a board; whole inches get ``.0``, or they would look nominal."""
    whole = system is UnitSystem.IMPERIAL and _number(size, system).isdigit()
    return f"{_number(size, system)}.0 in" if whole else _spelled(size, system)
