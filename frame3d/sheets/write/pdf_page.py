"""One layout of a drawing on one PDF page: exact size, line widths, and text as text.

ezdxf's drawing add-on turns the layout into lines; its text is taken out before it
becomes outlines and set again as real text in the font that measured it, so that a
search finds every dimension.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import pymupdf
from ezdxf.addons.drawing import layout as page_layout
from ezdxf.addons.drawing.config import (
    BackgroundPolicy,
    ColorPolicy,
    Configuration,
    LineweightPolicy,
)
from ezdxf.addons.drawing.frontend import UniversalFrontend
from ezdxf.addons.drawing.pipeline import RenderPipeline2d
from ezdxf.addons.drawing.properties import BackendProperties, LayoutProperties, RenderContext
from ezdxf.addons.drawing.pymupdf import PyMuPdfRenderBackend
from ezdxf.addons.drawing.recorder import Recorder
from ezdxf.fonts import fonts
from ezdxf.layouts import Paperspace
from ezdxf.math import Matrix44
from msgspec import Struct

from frame3d.frame.describe.direction import as_seen
from frame3d.sheets.primitives.lettering import (
    FONT_FILE,
    WIDTH_FACTOR,
    capital_share,
    font_path,
    text_width_mm,
)
from frame3d.sheets.write.dxf_file import Document
from frame3d.sheets.write.dxf_text import shown_text

POINTS_PER_MM = 72 / 25.4
FONT_NAME = "lettering"
_SETTINGS = page_layout.Settings(fit_page=False, scale=1)
CONFIGURATION = Configuration(
    background_policy=BackgroundPolicy.OFF,
    color_policy=ColorPolicy.BLACK,
    lineweight_policy=LineweightPolicy.ABSOLUTE,
    lineweight_scaling=1.0,
    max_flattening_distance=0.01,
    min_lineweight=1.0,
)


_ACROSS = {0: 0.0, 1: 0.5, 2: 1.0, 4: 0.5}
_MIDDLE = 2
"""DXF reference, TEXT: group 72 left, centre, right, middle; group 73 2 middle."""


class PlacedText(Struct, frozen=True):
    """A text with the matrix from its own axes (baseline, drawing units) to the paper."""

    text: str
    matrix: Matrix44
    height: float


class _TextKeeper(RenderPipeline2d):
    """A pipeline that sets every text aside instead of drawing its outlines."""

    def __init__(self, backend: Recorder) -> None:
        super().__init__(backend)
        self.texts: list[PlacedText] = []

    def draw_text(self, text, transform, properties, cap_height, dxftype="TEXT") -> None:
        if not text.strip():
            return
        matrix = transform
        if self.clipping_portal.is_active:
            matrix = self.clipping_portal.transform_matrix(transform)
        self.texts.append(PlacedText(text, matrix, cap_height))

    def get_vp_ltype_scale(self) -> float:
        # Lines reach the line type stage in paper units already, like the patterns.
        return 1.0


class _Frontend(UniversalFrontend):
    """Draws in a viewport the entities that belong to its view and looks at no others."""

    def __init__(self, ctx: RenderContext, pipeline: _TextKeeper, shown: dict) -> None:
        super().__init__(ctx, pipeline, config=CONFIGURATION, bbox_cache=None)
        self.shown = shown

    def draw_viewport(self, vp) -> None:
        if self.pipeline.enter_viewport(vp):
            self.pipeline.draw_entities(
                self.ctx.from_viewport(vp), self.shown.get(vp.dxf.handle, [])
            )
            self.pipeline.exit_viewport()

    def draw_mtext_entity(self, entity, properties) -> None:
        """A dimension's text in one piece; every MTEXT of a sheet is one line about its middle."""
        self._set(
            entity.plain_text(),
            entity.dxf.char_height,
            properties,
            at=entity.dxf.insert,
            turn_deg=entity.get_rotation(),
            narrow=WIDTH_FACTOR,
            across=0.5,
            lift=-0.5,
        )

    def draw_text_entity_2d(self, entity, properties) -> None:
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
        properties,
        *,
        at,
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
            @ Matrix44.translate(*at)
        )
        self.pipeline.draw_text(text, matrix, properties, height)


class _PageBackend(PyMuPdfRenderBackend):
    """Draws on a page of a document that is there already, of exactly the paper's size.

    Straight lines of one layer and width are written as one path: pymupdf takes longer over
    a path than over all of its lines.
    """

    def __init__(self, page: pymupdf.Page, paper: page_layout.Page) -> None:
        super().__init__(paper, _SETTINGS)
        self.doc = page.parent
        self.page = page
        self.content_shape = page.new_shape()
        self.lines: dict[tuple, list[str]] = {}
        self.properties: dict[tuple, BackendProperties] = {}

    def draw_line(self, start, end, properties: BackendProperties) -> None:
        self.draw_solid_lines([(start, end)], properties)

    def draw_solid_lines(self, lines, properties: BackendProperties) -> None:
        key = (properties.color, properties.lineweight, properties.layer)
        self.properties.setdefault(key, properties)
        height = self.page.rect.height  # PDF counts upward, the drawing add-on's page downward
        self.lines.setdefault(key, []).extend(
            f"{start.x:.2f} {height - start.y:.2f} m {end.x:.2f} {height - end.y:.2f} l\n"
            for start, end in lines
        )

    def finalize(self) -> None:
        for key, lines in self.lines.items():
            self.content_shape.draw_cont = "".join(lines)
            self.finish_line(self.content_shape, self.properties[key], close=False)
        super().finalize()


def draw_page(
    document: Document, name: str, page: pymupdf.Page, font: bytes, names: Sequence[str] = ()
) -> None:
    """Draw the layout called ``name`` on ``page``, whose size is the paper's.

    Parameters
    ----------
    document : Document
    name : str
    page : pymupdf.Page
        Empty.
    font : bytes
        The font file that text is set in.
    names : sequence of str
        Texts in which letters run from right to left.
    """
    if not fonts.font_manager.has_font(FONT_FILE):
        # On a machine without fonts ezdxf would complain about each text, which it never sets.
        fonts.font_manager.scan_folder(font_path().parent)
    layout = document.doc.layout(name)
    recorder = Recorder()
    keeper = _TextKeeper(recorder)
    context = RenderContext(document.doc)
    context.set_current_layout(layout)
    frontend = _Frontend(context, keeper, document.shown)
    white = LayoutProperties.from_layout(layout)
    white.set_colors("#ffffff", "#000000")
    frontend.draw_layout(layout, layout_properties=white)
    to_page = _to_page(layout, page)
    player = recorder.player()
    player.transform(to_page)
    paper = page_layout.Page(page.rect.width / POINTS_PER_MM, page.rect.height / POINTS_PER_MM)
    backend = _PageBackend(page, paper)
    backend.configure(CONFIGURATION)
    player.replay(backend)
    backend.finalize()
    _set_texts(keeper.texts, to_page, page, font, names)


def _to_page(layout: Paperspace, page: pymupdf.Page) -> Matrix44:
    """From the layout's units, up, to points, down."""
    points = POINTS_PER_MM * (25.4 if layout.dxf.plot_paper_units == 0 else 1.0)
    return Matrix44.scale(points, -points, 1) @ Matrix44.translate(0, page.rect.height, 0)


def _set_texts(
    texts: list[PlacedText],
    to_page: Matrix44,
    page: pymupdf.Page,
    font: bytes,
    names: Sequence[str],
) -> None:
    page.insert_font(fontname=FONT_NAME, fontbuffer=font)
    share = capital_share()
    shape = page.new_shape()
    for item in texts:
        matrix = item.matrix @ to_page
        start = matrix.transform((0, 0, 0))
        along = matrix.transform_direction((1, 0, 0))
        up = matrix.transform_direction((0, 1, 0))
        size = item.height * up.magnitude / share
        angle = math.atan2(-along.y, along.x)
        cos, sin = math.cos(angle), math.sin(angle)
        narrow = along.magnitude / up.magnitude
        morph = pymupdf.Matrix(narrow * cos, narrow * sin, -sin, cos, 0, 0)
        at = pymupdf.Point(start.x, start.y)
        shape.insert_text(
            at, as_seen(item.text, names), fontsize=size, fontname=FONT_NAME, morph=(at, morph)
        )
    shape.commit()


__all__ = ["POINTS_PER_MM", "draw_page"]
