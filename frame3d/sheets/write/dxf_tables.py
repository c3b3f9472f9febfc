"""The tables of a drawing file: units, layers, line types, lettering, dimension styles, blocks.

References
----------
DXF reference, header variables and DIMSTYLE: $INSUNITS 1 inches, 4 millimetres;
DIMLUNIT 2 decimal, 4 architectural; DIMFRAC 2 fractions not stacked; DIMZIN 3 zero
feet left out and zero inches kept, 8 trailing zeros left out; DIMAZIN 2 the same
for angles.
ISO 128-2: dashes 12 d, gaps 3 d and dots of half a width, d the line's width.
"""

from __future__ import annotations

from ezdxf.document import Drawing
from ezdxf.filemanagement import new

from frame3d.design.tables.whole_design import DxfVersion
from frame3d.sheets.annotation.dimension_stacks import TEXT_GAP_MM
from frame3d.sheets.primitives.lettering import FONT_FILE, TEXT_MM, WIDTH_FACTOR
from frame3d.sheets.primitives.occupancy import ARROW_MM, EXTENSION_BEYOND_MM, EXTENSION_GAP_MM
from frame3d.sheets.primitives.primitives import Layer, Pattern
from frame3d.sheets.write.dxf_layers import VIEWPORTS
from frame3d.units import LengthFormat, UnitSystem

LETTERING = "lettering"
TICK_MM = 1.0
_PATTERNS: dict[Pattern, tuple[str, tuple[float, ...]]] = {
    Pattern.DASHED: ("- - - -", (2.2, -0.8)),
    Pattern.CHAIN: ("--- . --- .", (5.0, -0.8, 0.4, -0.8)),
    Pattern.CHAIN_TWICE: ("--- . . ---", (6.0, -1.2, 0.6, -1.2, 0.6, -1.2)),
}


def new_drawing(lengths: LengthFormat, version: DxfVersion = DxfVersion.R2018) -> Drawing:
    """An empty drawing in the units of ``lengths``, with every table it needs but dimension styles.

    Drawing units are inches or millimetres; the returned file has no date and no
    random number in it.
    """
    imperial = lengths.system is UnitSystem.IMPERIAL
    doc = new(version.value, units=1 if imperial else 4)
    doc.header["$INSUNITS"] = 1 if imperial else 4
    doc.header["$MEASUREMENT"] = 0 if imperial else 1
    doc.header["$LUNITS"] = 4 if imperial else 2
    doc.header["$LUPREC"] = _precision(lengths)
    doc.header["$LTSCALE"] = 1.0
    doc.header["$PSLTSCALE"] = 1
    doc.header["$LWDISPLAY"] = 1
    _line_types(doc, 1 / lengths.system.mm_per_drawing_unit)
    for layer in Layer:
        doc.layers.add(
            layer.title, color=layer.colour, linetype=layer.pattern.value, lineweight=layer.width
        )
    doc.layers.add(VIEWPORTS, color=8).dxf.plot = 0
    doc.styles.add(LETTERING, font=FONT_FILE).dxf.width = WIDTH_FACTOR
    return doc


def _line_types(doc: Drawing, unit: float) -> None:
    for pattern, (description, parts) in _PATTERNS.items():
        sizes = [part * unit for part in parts]
        if pattern.value in doc.linetypes:
            doc.linetypes.remove(pattern.value)
        doc.linetypes.add(pattern.value, [sum(map(abs, sizes)), *sizes], description=description)


def _precision(lengths: LengthFormat) -> int:
    """Decimals, or the power of two of the smallest fraction."""
    if lengths.system is UnitSystem.IMPERIAL:
        return lengths.denominator.bit_length() - 1
    return lengths.decimals


def dimension_style(doc: Drawing, scale: int, lengths: LengthFormat) -> str:
    """Name of the dimension style for views at 1 to ``scale``, made when first asked for.

    Paper sizes stand in the style, and ``DIMSCALE`` takes them to the size of the
    thing; values are not scaled (``DIMLFAC`` 1), so a dimension is what it spans.
    """
    name = f"scale 1-{scale}"
    if name in doc.dimstyles:
        return name
    style = doc.dimstyles.new(name)
    for key, value in _dimension_values(scale, lengths).items():
        style.dxf.set(key, value)
    return name


def set_current_style(doc: Drawing, scale: int, lengths: LengthFormat) -> None:
    """Make the style for 1 to ``scale`` the current one, also for programs that know no other."""
    doc.header["$DIMSTYLE"] = dimension_style(doc, scale, lengths)
    for key, value in _dimension_values(scale, lengths).items():
        name = f"${key.upper()}"
        if name in doc.header:
            doc.header[name] = value


def _dimension_values(scale: int, lengths: LengthFormat) -> dict[str, float | str]:
    imperial = lengths.system is UnitSystem.IMPERIAL
    unit = 1 / lengths.system.mm_per_drawing_unit
    return {
        "dimscale": scale,
        "dimlfac": 1.0,
        "dimtxsty": LETTERING,
        "dimtxt": TEXT_MM * unit,
        "dimasz": ARROW_MM * unit,
        "dimtsz": TICK_MM * unit,
        "dimgap": TEXT_GAP_MM * unit,
        "dimexo": EXTENSION_GAP_MM * unit,
        "dimexe": EXTENSION_BEYOND_MM * unit,
        "dimtad": 1,
        "dimtih": 0,
        "dimtoh": 0,
        "dimtix": 1,
        "dimtofl": 1,
        "dimlunit": 4 if imperial else 2,
        "dimfrac": 2,
        "dimdec": _precision(lengths),
        "dimzin": 3 if imperial else 8,
        "dimrnd": lengths.step_mm * unit,
        "dimaunit": 0,
        "dimadec": 1,
        "dimazin": 2,
        "dimdsep": ord("."),
        "dimpost": "",
        "dimclrd": 256,
        "dimclre": 256,
        "dimclrt": 256,
        "dimlwd": -1,
        "dimlwe": -1,
    }
