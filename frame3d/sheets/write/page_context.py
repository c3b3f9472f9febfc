"""How entities of a drawing look on a page, worked out once for those that look alike.

The drawing library settles it anew for every entity, every page and every view, which
takes more than half of its time. Sheets have thousands of lines on two dozen layers.
"""

from __future__ import annotations

from collections.abc import Hashable

from ezdxf.addons.acadctb import ColorDependentPlotStyles
from ezdxf.addons.drawing.properties import LayoutProperties, Properties, RenderContext
from ezdxf.document import Drawing
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.viewport import Viewport
from ezdxf.layouts.layout import Paperspace

_ALIKE = frozenset(("LINE", "CIRCLE", "ARC", "TEXT", "MTEXT", "INSERT"))
"""What is drawn without anything being changed in how it looks."""
_LOOKS = (
    "layer", "linetype", "ltscale", "color", "true_color", "transparency", "lineweight",
    "invisible", "style",
)  # fmt: skip
"""What of an entity says how it looks, beside the block that it stands in."""


class PageContext(RenderContext):
    """How the entities of one drawing look, on whichever of its pages."""

    def __init__(self, doc: Drawing) -> None:
        # By values, and by the block's properties, which are kept so that no other gets their id.
        self._known: dict[tuple[Hashable, ...], tuple[Properties, Properties | None]] = {}
        super().__init__(doc, ctb=ColorDependentPlotStyles())

    def turn_to(self, layout: Paperspace) -> None:
        """Look at ``layout`` from now on, black on white."""
        white = LayoutProperties.from_layout(layout)
        white.set_colors("#ffffff", "#000000")
        self.current_layout_properties = white
        self._known.clear()

    def from_viewport(self, vp: Viewport) -> RenderContext:
        """Look through a viewport: layers of our drawings look the same in all of them."""
        return self

    def resolve_all(self, entity: DXFGraphic) -> Properties:
        """How ``entity`` looks; whatever looks alike gets the same object."""
        if entity.DXFTYPE not in _ALIKE:
            return super().resolve_all(entity)
        block, own = self.current_block_reference_properties, vars(entity.dxf)
        key = (entity.DXFTYPE, id(block), *[own.get(name) for name in _LOOKS])
        if key not in self._known:
            self._known[key] = (super().resolve_all(entity), block)
        return self._known[key][0]
