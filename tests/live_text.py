"""What another program writes on a dimension: from its geometry and its style alone.

Nothing of the package is used here. The rules are those of the DXF reference for the
dimension variables: DIMLFAC scales; DIMRND rounds to its multiples; DIMLUNIT 2 is decimal and
4 architectural; DIMDEC is the decimals, or the power of two of the smallest fraction; DIMFRAC 2
writes fractions on the line; DIMZIN 3 leaves out zero feet and keeps zero inches, its bit 8
leaves out trailing zeros; DIMAUNIT 0 is degrees with DIMADEC decimals, DIMAZIN 2 without
trailing zeros; DIMPOST stands round the value at ``<>``, and so does an own text.
"""

from __future__ import annotations

import math
from fractions import Fraction

from ezdxf.math import Vec2

_GRAIN = 10**9


def _style(dimension) -> dict:
    """Every variable that the text depends on: the entity's own over its style's."""
    values = dimension.override()
    names = ("dimlfac", "dimrnd", "dimlunit", "dimdec", "dimfrac", "dimzin", "dimaunit", "dimadec",
             "dimazin", "dimpost", "dimdsep", "dimtol", "dimlim", "dimalt")  # fmt: skip
    return {name: values.get(name) for name in names}


def span(dimension) -> float:
    """What a dimension measures between its definition points: drawing units, or radians."""
    dxf, kind = dimension.dxf, dimension.dxf.dimtype & 7
    first, second = Vec2(dxf.defpoint2), Vec2(dxf.defpoint3)
    if kind == 0:
        return abs((second - first).dot(Vec2.from_deg_angle(dxf.angle)))
    if kind == 1:
        return (second - first).magnitude
    if kind == 4:
        return (Vec2(dxf.defpoint4) - Vec2(dxf.defpoint)).magnitude
    if kind == 5:
        vertex = Vec2(dxf.defpoint4)
        return ((second - vertex).angle - (first - vertex).angle) % math.tau
    if kind == 6:
        away = first - Vec2(dxf.defpoint)
        return abs(away.x if dxf.dimtype & 64 else away.y)
    raise ValueError(f"dimension type {kind} is not known here")


def live_text(dimension) -> str:
    """The text that a program writes when it redraws ``dimension``."""
    style = _style(dimension)
    assert not style["dimtol"] and not style["dimlim"] and not style["dimalt"]
    if dimension.dxf.dimtype & 7 == 5:
        value = _angle(math.degrees(span(dimension)), style)
    else:
        value = _length(span(dimension) * style["dimlfac"], style)
    post = style["dimpost"] or ""
    if post:
        value = post.replace("<>", value) if "<>" in post else value + post
    own = dimension.dxf.get("text", "")
    return value if own in ("", "<>") else own.replace("<>", value)


def _whole(value: float, step: Fraction) -> int:
    """How many steps the value is, half-way cases up, noise of floating point taken off."""
    exact = Fraction(round(value * _GRAIN), _GRAIN)
    return math.floor(exact / step + Fraction(1, 2))


def _length(value: float, style: dict) -> str:
    if style["dimrnd"]:
        step = Fraction(style["dimrnd"]).limit_denominator(10**6)
        value = float(_whole(value, step) * step)
    if style["dimlunit"] == 2:
        return _decimal(value, style["dimdec"], trim=bool(style["dimzin"] & 8), style=style)
    assert style["dimlunit"] == 4 and style["dimfrac"] == 2 and style["dimzin"] & 3 == 3
    denominator = 2 ** style["dimdec"]
    steps = _whole(value, Fraction(1, denominator))
    whole, part = divmod(steps, denominator)
    feet, inches = divmod(whole, 12)
    fraction = str(Fraction(part, denominator)) if part else ""
    text = f"{feet}'-{inches}" if feet else f"{inches}" if inches or not part else ""
    return f"{text} {fraction}".strip() + '"'


def _decimal(value: float, decimals: int, *, trim: bool, style: dict) -> str:
    steps = _whole(value, Fraction(1, 10**decimals))
    whole, part = divmod(steps, 10**decimals)
    digits = f"{part:0{decimals}}" if decimals else ""
    digits = digits.rstrip("0") if trim else digits
    return f"{whole}{chr(style['dimdsep'])}{digits}" if digits else f"{whole}"


def _angle(degrees: float, style: dict) -> str:
    assert style["dimaunit"] == 0
    text = _decimal(degrees, style["dimadec"], trim=bool(style["dimazin"] & 2), style=style)
    return f"{text}°"


__all__ = ["live_text", "span"]
