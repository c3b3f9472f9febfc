"""Lines and texts of a drawing file that are no more than that, made and written in one piece.

Nine of ten entities of a drawing are such. The library would look up two dozen values for each
that none of them has; what is written is the same.

References
----------
DXF reference, common group codes of entities, LINE and TEXT.
"""

from __future__ import annotations

from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.line import Line
from ezdxf.entities.text import Text
from ezdxf.enums import MAP_TEXT_ENUM_TO_ALIGN_FLAGS, TextEntityAlignment
from ezdxf.layouts.base import BaseLayout
from ezdxf.lldxf.const import DXF2000
from ezdxf.lldxf.tagwriter import AbstractTagWriter
from ezdxf.math import Vec3

from frame3d.sheets.primitives.primitives import Point

_OF_ALL = {"_entity", "handle", "owner", "layer"}
_OF_LINES = _OF_ALL | {"start", "end"}
_OF_TEXTS = _OF_ALL | {
    "insert", "height", "text", "rotation", "style", "width", "halign", "align_point", "valign"
}  # fmt: skip
_LINE = (
    "100\nAcDbEntity\n%s  8\n%s\n100\nAcDbLine\n"
    " 10\n%s\n 20\n%s\n 30\n%s\n 11\n%s\n 21\n%s\n 31\n%s\n"
)
_TEXT = (
    "100\nAcDbEntity\n%s  8\n%s\n100\nAcDbText\n 10\n%s\n 20\n%s\n 30\n%s\n 40\n%s\n  1\n%s\n"
    "%s  7\n%s\n 41\n%s\n%s 11\n%s\n 21\n%s\n 31\n%s\n100\nAcDbText\n%s"
)
_ON_PAPER = " 67\n1\n"


class PlainLine(Line):
    """A line on a layer; with more to it, it is written as any other."""

    def export_entity(self, tagwriter: AbstractTagWriter) -> None:
        """Write what is special of a line."""
        own = vars(self.dxf)
        if tagwriter.dxfversion < DXF2000 or own.keys() - {"paperspace"} != _OF_LINES:
            super().export_entity(tagwriter)
            return
        paper = _ON_PAPER if own.get("paperspace") else ""
        tagwriter.write_str(_LINE % (paper, own["layer"], *own["start"], *own["end"]))


class PlainText(Text):
    """A text of one line on a layer; with more to it, it is written as any other."""

    def export_entity(self, tagwriter: AbstractTagWriter) -> None:
        """Write what is special of a text."""
        own = vars(self.dxf)
        if tagwriter.dxfversion < DXF2000 or own.keys() - {"paperspace"} != _OF_TEXTS:
            super().export_entity(tagwriter)
            return
        turn, across, up = own["rotation"], own["halign"], own["valign"]
        tagwriter.write_str(_TEXT % (
            _ON_PAPER if own.get("paperspace") else "", own["layer"], *own["insert"],
            own["height"], own["text"], f" 50\n{turn}\n" if turn else "",
            own["style"], own["width"], f" 72\n{across}\n" if across else "",
            *own["align_point"], f" 73\n{up}\n" if up else "",
        ))  # fmt: skip


def add_plain_line(space: BaseLayout, start: Point, end: Point, layer: str) -> PlainLine:
    """A line on ``layer`` of ``space``, between points in drawing units."""
    line = PlainLine()
    _have(line, layer=layer, start=Vec3(start), end=Vec3(end))
    space.add_entity(line)
    return line


def add_plain_text(
    space: BaseLayout, text: str, at: Point, align: TextEntityAlignment, *,
    height: float, turn_deg: float, layer: str, style: str, width: float,
) -> PlainText:  # fmt: skip
    """``text`` on ``layer`` of ``space`` at a point in drawing units; its width is not 1."""
    across, up = MAP_TEXT_ENUM_TO_ALIGN_FLAGS[align]
    entity, place = PlainText(), Vec3(at)
    _have(
        entity, layer=layer, style=style, width=float(width), text=text, height=float(height),
        rotation=float(turn_deg), insert=place, halign=across, valign=up, align_point=place,
    )  # fmt: skip
    space.add_entity(entity)
    return entity


def _have(entity: DXFGraphic, **values: str | float | Vec3) -> None:
    """Give ``entity`` its values, which need no check."""
    for name, value in values.items():
        entity.dxf.unprotected_set(name, value)
