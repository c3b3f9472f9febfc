"""One layout of a drawing as it is printed: lines of exact width, areas, and text as text.

ezdxf's drawing add-on turns the layout into lines; its text is taken out before it
becomes outlines, so that PDF and SVG, which are both written from here, set it as real
text in the font that measured it and a search finds every dimension.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence

from ezdxf.addons.drawing.backend import Backend, BkPath2d, BkPoints2d, ImageData
from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration
from ezdxf.addons.drawing.frontend import UniversalFrontend
from ezdxf.addons.drawing.pipeline import RenderPipeline2d
from ezdxf.addons.drawing.properties import BackendProperties, Properties
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.mtext import MText
from ezdxf.entities.viewport import Viewport
from ezdxf.fonts import fonts
from ezdxf.math import Matrix44, Vec2, Vec3
from ezdxf.path import Command, Curve4To
from msgspec.structs import replace

from frame3d.frame.describe.direction import as_seen
from frame3d.sheets.layout.sheet import Sheet, SheetSet
from frame3d.sheets.primitives.lettering import (
    CAPITAL_SHARE,
    FONT_FILE,
    WIDTH_FACTOR,
    font_path,
    text_width_mm,
)
from frame3d.sheets.write.dxf_file import Document
from frame3d.sheets.write.dxf_text import shown_text
from frame3d.sheets.write.dxf_write import document_of
from frame3d.sheets.write.page import POINTS_PER_MM, PageDrawing, SetText, Step
from frame3d.sheets.write.page_context import PageContext

CONFIGURATION = Configuration(
    background_policy=BackgroundPolicy.OFF,
    color_policy=ColorPolicy.BLACK,
    max_flattening_distance=0.01,
)


_ACROSS = {0: 0.0, 1: 0.5, 2: 1.0, 4: 0.5}
_MIDDLE = 2
"""DXF reference, TEXT: group 72 left, centre, right, middle; group 73 2 middle."""
_KINDS = {Command.MOVE_TO: "M", Command.LINE_TO: "L", Command.CURVE4_TO: "C"}


class _Pen(Backend):
    """Puts what the drawing add-on draws, in the units of the layout, on a page."""

    def __init__(self, page: PageDrawing, points: float) -> None:
        super().__init__()
        self.page = page
        self.points = points

    def _steps(self, properties: BackendProperties, width_mm: float) -> list[Step]:
        layer = self.page.layers.setdefault(properties.layer, {})
        return layer.setdefault(width_mm * POINTS_PER_MM, [])

    def _step(self, kind: str, *points: Vec2) -> Step:
        return kind, tuple(value * self.points for point in points for value in (point.x, point.y))

    def draw_line(self, start: Vec2, end: Vec2, properties: BackendProperties) -> None:
        self.draw_solid_lines([(start, end)], properties)

    def draw_point(self, pos: Vec2, properties: BackendProperties) -> None:
        self.draw_solid_lines([(pos, pos)], properties)

    def draw_solid_lines(
        self, lines: Iterable[tuple[Vec2, Vec2]], properties: BackendProperties
    ) -> None:
        steps, points = self._steps(properties, properties.lineweight), self.points
        for start, end in lines:
            steps.append(("M", (start.x * points, start.y * points)))
            steps.append(("L", (end.x * points, end.y * points)))

    def draw_path(self, path: BkPath2d, properties: BackendProperties) -> None:
        if not len(path):
            return
        steps = self._steps(properties, properties.lineweight)
        steps.append(self._step("M", path.start))
        for part in path.commands():
            points = [part.end]
            if isinstance(part, Curve4To):
                points = [part.ctrl1, part.ctrl2, part.end]
            steps.append(self._step(_KINDS[part.type], *(Vec2(point) for point in points)))

    def draw_filled_polygon(self, points: BkPoints2d, properties: BackendProperties) -> None:
        first, *rest = points.vertices()
        steps = [self._step("M", first), *(self._step("L", point) for point in rest), ("Z", ())]
        self._steps(properties, 0.0).extend(steps)

    def draw_image(self, image_data: ImageData, properties: BackendProperties) -> None:
        raise TypeError("sheets hold no images")

    def set_background(self, color: str) -> None:
        """The paper is white as it is."""

    def clear(self) -> None:
        """Each page has a pen of its own."""


class _TextKeeper(RenderPipeline2d):
    """A pipeline that sets every text on the page instead of drawing its outlines."""

    def __init__(self, pen: _Pen, names: Sequence[str]) -> None:
        super().__init__(pen)
        self.pen = pen
        self.names = names

    def draw_text(
        self,
        text: str,
        transform: Matrix44,
        properties: Properties,
        cap_height: float,
        dxftype: str = "TEXT",
    ) -> None:
        if not text.strip():
            return
        matrix, points = transform, self.pen.points
        if self.clipping_portal.is_active:
            matrix = self.clipping_portal.transform_matrix(transform)
        along = matrix.transform_direction((1, 0, 0))
        up = matrix.transform_direction((0, 1, 0))
        start = matrix.transform((0, 0, 0)) * points
        along, rise = along / up.magnitude, up / up.magnitude
        self.pen.page.texts.append(SetText(
            as_seen(text, self.names), (along.x, along.y, rise.x, rise.y, start.x, start.y),
            cap_height * up.magnitude * points / CAPITAL_SHARE,
        ))  # fmt: skip

    def get_vp_ltype_scale(self) -> float:
        # Lines reach the line type stage in paper units already, like the patterns.
        return 1.0


class _Frontend(UniversalFrontend):
    """Draws in a viewport the entities that belong to its view and looks at no others."""

    def __init__(
        self, ctx: PageContext, keeper: _TextKeeper, shown: dict[str, list[DXFGraphic]]
    ) -> None:
        super().__init__(ctx, keeper, config=CONFIGURATION, bbox_cache=None)
        self.keeper = keeper
        self.shown = shown

    def draw_viewport(self, vp: Viewport) -> None:
        if self.keeper.enter_viewport(vp):
            self.keeper.draw_entities(self.ctx.from_viewport(vp), self.shown.get(vp.dxf.handle, []))
            self.keeper.exit_viewport()  # type: ignore[no-untyped-call]  # ezdxf types some

    def draw_mtext_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        """A dimension's text in one piece; every MTEXT of a sheet is one line about its middle."""
        if not isinstance(entity, MText):
            raise TypeError(entity)
        self._set(
            str(entity.plain_text()),
            entity.dxf.char_height,
            properties,
            at=entity.dxf.insert,
            turn_deg=entity.get_rotation(),
            narrow=WIDTH_FACTOR,
            across=0.5,
            lift=-0.5,
        )

    def draw_text_entity_2d(self, entity: DXFGraphic, properties: Properties) -> None:
        """A single line or an attribute, placed by our own measure of its width."""
        dxf = entity.dxf
        aligned = dxf.halign or dxf.valign
        self._set(
            shown_text(dxf.text),
            dxf.height,
            properties,
            at=dxf.align_point if aligned else dxf.insert,
            turn_deg=dxf.rotation,
            narrow=dxf.width,
            across=_ACROSS[dxf.halign],
            lift=-0.5 if dxf.valign == _MIDDLE else 0.0,
        )

    def _set(
        self,
        text: str,
        height: float,
        properties: Properties,
        *,
        at: Vec3,
        turn_deg: float,
        narrow: float,
        across: float,
        lift: float,
    ) -> None:
        """Set ``text`` at ``at``, which lies ``across`` of the way along it.

        ``lift`` is from there to the baseline, in heights.
        """
        width = text_width_mm(text, height) / WIDTH_FACTOR * narrow
        matrix = (
            Matrix44.scale(narrow, 1, 1)
            @ Matrix44.translate(-across * width, lift * height, 0)
            @ Matrix44.z_rotate(math.radians(turn_deg))
            @ Matrix44.translate(at.x, at.y, at.z)
        )
        self.keeper.draw_text(text, matrix, properties, height)


def drawn_pages(
    sheet_set: SheetSet, only: Collection[int] | None = None, drawing: Document | None = None
) -> list[PageDrawing]:
    """The sheets, or those of the numbers in ``only``, as they are printed.

    ``drawing`` is that of the same sheets, if there is one already.
    """
    if drawing is None:
        # A sheet of forty is drawn in a tenth of the time that a drawing of all of them takes.
        wanted = tuple(s for s in sheet_set.sheets if only is None or s.number in only)
        sheet_set = replace(sheet_set, sheets=wanted)
        drawing = document_of(sheet_set)
    if not fonts.font_manager.has_font(FONT_FILE):
        # On a machine without fonts ezdxf would complain about each text, which it never sets.
        fonts.font_manager.scan_folder(font_path().parent)
    context = PageContext(drawing.doc)
    return [
        _drawn(drawing, context, name, sheet, sheet_set.names)
        for sheet, name in zip(sheet_set.sheets, drawing.layouts, strict=True)
        if only is None or sheet.number in only
    ]


def _drawn(
    document: Document, context: PageContext, name: str, sheet: Sheet, names: Sequence[str]
) -> PageDrawing:
    """The layout called ``name``; letters of ``names`` run from right to left."""
    page = PageDrawing(
        width=sheet.paper.width_mm * POINTS_PER_MM, height=sheet.paper.height_mm * POINTS_PER_MM
    )
    layout = document.doc.paperspace(name)
    unit_mm = 25.4 if layout.dxf.plot_paper_units == 0 else 1.0
    pen = _Pen(page, POINTS_PER_MM * unit_mm)
    context.turn_to(layout)
    frontend = _Frontend(context, _TextKeeper(pen, names), document.shown)
    frontend.draw_layout(layout, layout_properties=context.current_layout_properties)
    return page
