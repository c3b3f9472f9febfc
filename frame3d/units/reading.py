"""Lengths, angles and masses from text, exactly.

The grammar of a length, spaces and case free::

    length   = [sign] quantity { [separator] quantity }     largest unit first
    quantity = number unit                                  the last may lack its inch mark
    number   = whole | decimal | fraction | whole separator fraction
    separator= space, hyphen or comma

Only the last quantity may carry a decimal or a fraction, and each after the first
must be less than one of the unit before it: ``5.5' 3"`` and ``6' 14"`` are taken
for slips and refused. Numbers go through :class:`fractions.Fraction`, so nothing is
rounded before the one conversion to ``float`` at the end.
"""

from __future__ import annotations

import functools
import math
import re
from fractions import Fraction

from frame3d.errors import UnitError
from frame3d.units.system import LENGTH_UNITS, MASS_UNITS, UnitSystem

_LONGEST_TEXT = 64
_LENGTH_HELP = (
    "write feet, inches, metres, centimetres or millimetres, "
    "for example 22 ft, 6' 3 1/2\", 3/8 in, 5.5 m or 42.4 mm"
)
_MASS_HELP = "write kg, g, t, lb or oz, for example 12.5 kg or 40 lb"
_ANGLE_HELP = (
    "write degrees, radians, percent or a rise in a run, "
    "for example 14.5 deg, 30°, 0.5 rad, 4 in 12 or 4:12"
)

_NUMBER = r"[0-9]+[ -]+[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.[0-9]*|\.[0-9]+|[0-9]+"
_ANGLE_UNITS = "deg|degree|degrees|°|rad|radian|radians|%|percent"
_QUANTITY = re.compile(rf"(?P<number>{_NUMBER}) ?(?P<unit>[a-z]+\.?|'|\"|)")
_SEPARATOR = re.compile(r", ?| ?- ?| ")

_SAME_CHARACTER = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ´`ʼ", "'"),
        **dict.fromkeys("″”“ʺ˝", '"'),
        **dict.fromkeys("‐‑‒–—−﹣-", "-"),
        **dict.fromkeys("⁄∕", "/"),
        "º": "°",
        "˚": "°",
    }
)
_FOOT_MARKS = ("'", "ft", "foot", "feet")
_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5",
    "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8",
    "⅞": "7/8", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10",
}  # fmt: skip


def parse_length(text: str | float, *, allow_negative: bool = False) -> float:
    r"""Return the length that the text says, in mm.

    Parameters
    ----------
    text : str
        Such as ``22 ft``, ``6'-3 1/2"``, ``5 m 20 cm`` or ``42.4 mm``. A number alone is refused
        for want of its unit.
    allow_negative : bool
        Whether a minus sign in front is allowed.

    Returns
    -------
    float
        Length, mm: the float nearest to the exact value.

    Raises
    ------
    UnitError
        If the text is not a length, has no unit, or is negative where it may not be.

    Examples
    --------
    >>> parse_length("6' 3 1/2\"")
    1917.7
    """
    if isinstance(text, str):
        return _length_mm(text, allow_negative)
    return float(parse_length_exact(text, allow_negative=allow_negative))


@functools.lru_cache(maxsize=1024)  # a design that is changed has most of its lengths again
def _length_mm(text: str, allow_negative: bool) -> float:
    return float(parse_length_exact(text, allow_negative=allow_negative))


def parse_length_exact(text: str | float, *, allow_negative: bool = False) -> Fraction:
    """Return the length that the text says, in mm, as an exact fraction.

    Parameters and errors are those of :func:`parse_length`.
    """
    sign, parts = _quantities(text, "a length", LENGTH_UNITS, _LENGTH_HELP, allow_negative)
    return sign * sum((number * LENGTH_UNITS[unit][0] for number, unit in parts), Fraction(0))


def system_of(text: str) -> UnitSystem:
    """Return the system of units that a length is written in; errors as :func:`parse_length`."""
    _, parts = _quantities(text, "a length", LENGTH_UNITS, _LENGTH_HELP, True)
    return LENGTH_UNITS[parts[0][1]][1]


def parse_mass(text: str) -> float:
    """Return the mass that the text says, in kg; raises UnitError as :func:`parse_length`.

    Examples
    --------
    >>> parse_mass("2 lb 8 oz")
    1.133980925
    """
    _, parts = _quantities(text, "a mass", MASS_UNITS, _MASS_HELP, False)
    return float(sum((number * MASS_UNITS[unit][0] for number, unit in parts), Fraction(0)))


def parse_angle(text: str, *, allow_negative: bool = False) -> float:
    """Return the angle that the text says, in rad.

    Parameters
    ----------
    text : str
        In degrees (``14.5 deg``, ``30°``), radians (``0.5 rad``), percent of slope
        (``25 %``), or as rise in run (``4 in 12``, ``4:12``).
    allow_negative : bool
        Whether a minus sign in front is allowed.

    Returns
    -------
    float
        Angle, rad.

    Raises
    ------
    UnitError
        If the text is not an angle, has no unit, or is negative where it may not be.

    Examples
    --------
    >>> round(parse_angle("4 in 12"), 9)
    0.321750554
    """
    plain = _plain(text, "an angle", _ANGLE_HELP)
    sign, plain = _sign(plain, text, "an angle", allow_negative)
    slope = re.fullmatch(rf"({_NUMBER}) ?(?::|in) ?({_NUMBER})", plain)
    if slope:
        rise, run = (_number(part, text, "an angle", _ANGLE_HELP) for part in slope.groups())
        if run == 0:
            raise UnitError(f"got {text!r} for an angle: the run must not be 0; {_ANGLE_HELP}")
        return sign * math.atan2(float(rise), float(run))
    single = re.fullmatch(rf"({_NUMBER}) ?({_ANGLE_UNITS}|)", plain)
    if not single:
        raise UnitError(f"got {text!r}, which is not an angle; {_ANGLE_HELP}")
    value = float(_number(single[1], text, "an angle", _ANGLE_HELP))
    if not single[2]:
        raise UnitError(
            f"got {text!r} for an angle, without a unit; add one, for example {plain} deg"
        )
    if single[2].startswith("rad"):
        return sign * value
    if single[2] in ("%", "percent"):
        return sign * math.atan(value / 100)
    return sign * math.radians(value)


def _plain(text: str | float, what: str, help_text: str) -> str:
    """Return the text in lower case, with one form of each mark and single spaces."""
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        text = f"{text:g}"
    if not isinstance(text, str):
        raise UnitError(f"got {text!r}, which is not {what}; {help_text}")
    if len(text) > _LONGEST_TEXT:
        raise UnitError(
            f"got {len(text)} characters for {what} ({text[:20]!r}...), "
            f"at most {_LONGEST_TEXT} are read; {help_text}"
        )
    plain = text.casefold().translate(_SAME_CHARACTER)
    for glyph, fraction in _VULGAR.items():
        plain = plain.replace(glyph, f" {fraction}")
    plain = plain.replace("''", '"')
    plain = re.sub(r"\s*/\s*", "/", " ".join(plain.split()))
    # After the vulgar fractions a hyphen may be followed by a space: "6-½".
    plain = re.sub(r"([0-9])- (?=[0-9]+/)", r"\1-", plain)
    if re.search(r"[0-9],[0-9]", plain):
        raise UnitError(
            f"got {text!r}: a comma in a number is not read, because it means different "
            "things in different countries; write 5.5 for five and a half and 5500 for "
            f"five thousand five hundred; {help_text}"
        )
    return plain


def _sign(plain: str, text: str | float, what: str, allow_negative: bool) -> tuple[int, str]:
    """Return the sign and the text that follows it."""
    if not plain.startswith(("-", "+")):
        return 1, plain
    if plain[0] == "-" and not allow_negative:
        raise UnitError(f"got {text!r}: {what} must not be negative here; leave out the minus sign")
    return (-1 if plain[0] == "-" else 1), plain[1:].lstrip()


def _number(written: str, text: str | float, what: str, help_text: str) -> Fraction:
    """Return a whole, decimal, simple or mixed number exactly."""
    whole, _, fraction = written.replace("-", " ").rpartition(" ")
    if re.search(r"/0+$", fraction):
        raise UnitError(f"got {text!r} for {what}: a fraction over 0; {help_text}")
    if whole and "/" in fraction:
        top, bottom = fraction.split("/")
        if int(top) >= int(bottom):
            raise UnitError(
                f"got {text!r} for {what}: {fraction} after a whole number is not less than "
                f"1; a space or a digit may be missing; {help_text}"
            )
    return Fraction(int(whole or 0)) + Fraction(fraction.rstrip("."))


_UnitTable = dict[str, tuple[Fraction, UnitSystem]]


def _quantities(
    text: str | float, what: str, units: _UnitTable, help_text: str, allow_negative: bool
) -> tuple[int, list[tuple[Fraction, str]]]:
    """Return the sign and the (number, unit) pairs of a length or a mass."""
    plain = _plain(text, what, help_text)
    sign, rest = _sign(plain, text, what, allow_negative)
    if re.fullmatch(_NUMBER, rest):
        example = f"{rest} ft or {rest} mm" if what == "a length" else f"{rest} kg"
        raise UnitError(
            f"got {text!r} for {what}, without a unit; add one, for example {example}; {help_text}"
        )
    parts: list[tuple[Fraction, str]] = []
    written: list[str] = []
    at = 0
    while at < len(rest):
        match = _QUANTITY.match(rest, at)
        if not match:
            raise UnitError(f"got {text!r}, which is not {what}; {help_text}")
        unit = match["unit"].rstrip(".")
        last = match.end() == len(rest)
        if not unit and last and parts and parts[-1][1] in _FOOT_MARKS:
            unit = '"'  # 5'6 and 6 ft 3 1/2 mean inches to everyone who writes them
        if unit not in units:
            named = f"the unit {unit!r} is not known" if unit else f"{match['number']} has no unit"
            if re.match(r"e[+-]?[0-9]", rest[match.end("number") :]):
                named = "powers of ten are not read; write the number out"
            raise UnitError(f"got {text!r} for {what}: {named}; {help_text}")
        parts.append((_number(match["number"], text, what, help_text), unit))
        written.append(match["number"])
        between = _SEPARATOR.match(rest, match.end())
        at = between.end() if between else match.end()
        if at == len(rest) and at != match.end():
            raise UnitError(f"got {text!r} for {what}: it ends in {rest[-1]!r}; {help_text}")
    if not parts:
        raise UnitError(f"got {text!r}, which is not {what}; {help_text}")
    _check_dual_form(parts, written, text, what, units, help_text)
    return sign, parts


def _check_dual_form(
    parts: list[tuple[Fraction, str]],
    written: list[str],
    text: str | float,
    what: str,
    units: _UnitTable,
    help_text: str,
) -> None:
    """Refuse a dual form that reads like a slip of the pen."""
    for (number, unit), (_, before), spelling in zip(
        parts[1:], parts[:-1], written[:-1], strict=True
    ):
        worth, system = units[unit]
        worth_before, system_before = units[before]
        if system is not system_before or worth >= worth_before:
            raise UnitError(
                f"got {text!r} for {what}: {unit!r} cannot follow {before!r}; use one "
                f"system, the largest unit first, each once; {help_text}"
            )
        if not spelling.isdecimal():
            raise UnitError(
                f"got {text!r} for {what}: {spelling} {before} is not whole, so nothing "
                f"may follow it; {help_text}"
            )
        if number * worth >= worth_before:
            raise UnitError(
                f"got {text!r} for {what}: the part in {unit!r} must be less than one "
                f"{before!r}; {help_text}"
            )
