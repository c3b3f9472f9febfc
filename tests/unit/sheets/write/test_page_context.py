"""How entities look on a page is what the drawing library settles for each of them."""

import ezdxf
import pytest
from ezdxf.addons.drawing.properties import LayoutProperties, RenderContext

from frame3d.sheets.write.page_context import PageContext

_SHOWN = (
    "layer", "lineweight", "linetype_name", "linetype_pattern", "linetype_scale", "is_visible",
    "pen",
)  # fmt: skip
"""All but the colour, as everything is printed black."""


@pytest.fixture(scope="module")
def drawing():
    doc = ezdxf.new("R2018", setup=True)
    doc.layers.add("thick", color=3, lineweight=70)
    doc.layers.add("dashes", linetype="DASHED", lineweight=25)
    doc.layers.add("hidden").off()
    space = doc.modelspace()
    for layer in ("0", "thick", "dashes", "hidden"):
        for own in ({}, {"linetype": "CENTER"}, {"color": 2}, {"lineweight": 13}, {"ltscale": 2.0}):
            space.add_line((0, 0), (1, 1), dxfattribs={"layer": layer, **own})
            space.add_circle((0, 0), 1, dxfattribs={"layer": layer, **own})
        space.add_text("a", dxfattribs={"layer": layer})
        space.add_lwpolyline([(0, 0), (1, 1)], dxfattribs={"layer": layer})
    return doc


def _plain(doc):
    context = RenderContext(doc)
    context.set_current_layout(doc.paperspace())
    white = LayoutProperties.from_layout(doc.paperspace())
    white.set_colors("#ffffff", "#000000")
    context.current_layout_properties = white
    return context


def _looks(properties):
    return [getattr(properties, name) for name in _SHOWN]


def test_every_entity_looks_as_the_library_says(drawing):
    quick, plain = PageContext(drawing), _plain(drawing)
    quick.turn_to(drawing.paperspace())
    for _ in range(2):  # as it is found, and as it is remembered
        for entity in drawing.modelspace():
            assert _looks(quick.resolve_all(entity)) == _looks(plain.resolve_all(entity))


def test_within_a_block_an_entity_looks_as_the_block_does(drawing):
    quick, plain = PageContext(drawing), _plain(drawing)
    quick.turn_to(drawing.paperspace())
    entity = drawing.modelspace()[0]
    assert entity.dxf.layer == "0"
    for layer in ("thick", "dashes"):
        block = drawing.modelspace().add_blockref("none", (0, 0), dxfattribs={"layer": layer})
        for context in (quick, plain):
            context.push_state(context.resolve_all(block))
        assert quick.resolve_all(entity).layer == layer
        assert _looks(quick.resolve_all(entity)) == _looks(plain.resolve_all(entity))
        for context in (quick, plain):
            context.pop_state()


def test_what_is_drawn_with_changed_looks_gets_its_own(drawing):
    context = PageContext(drawing)
    line, shape = (
        next(e for e in drawing.modelspace() if e.dxftype() == kind)
        for kind in ("LINE", "LWPOLYLINE")
    )
    assert context.resolve_all(line) is context.resolve_all(line)
    assert context.resolve_all(shape) is not context.resolve_all(shape)
