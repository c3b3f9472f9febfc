"""Names of layers in drawing files: plain English, or codes by ISO 13567.

References
----------
ISO 13567-2: a layer's name is made of agent (2 characters), element (6) and
presentation (2), then optional fields. The codes used here, agent ``Z-`` for nobody in
particular, and as presentation E element, D dimensions, G grid, T text, J marks, B border,
P title of the page, V viewports, are from memory. The standard leaves the element to the
classification in use; there is none for the lines of a frame, so it is the layer's plain
name, shortened.
"""

from __future__ import annotations

from ezdxf.document import Drawing

from frame3d.design.tables.whole_design import LayerNames
from frame3d.sheets.primitives.primitives import Layer

VIEWPORTS = "viewports"
NOTES = "notes"
"""Cautions and general notes in a file of a part, apart from its mark."""
_AGENT, _NO_ELEMENT, _ELEMENT_LETTERS = "Z-", "------", 6
_ANNOTATION = {
    Layer.DIMENSIONS.title: "D-",
    Layer.GRID.title: "G-",
    Layer.TEXT.title: "T-",
    Layer.MARKS.title: "J-",
    Layer.BORDER.title: "B-",
    Layer.TITLE.title: "P-",
    VIEWPORTS: "V-",
}


def layer_name(title: str, names: LayerNames) -> str:
    """What the layer of the plain name ``title`` is called.

    Examples
    --------
    >>> layer_name("hidden", LayerNames.ISO_13567), layer_name("dimensions", LayerNames.ISO_13567)
    ('Z-HIDDENE-', 'Z-------D-')
    """
    if names is LayerNames.PLAIN:
        return title
    if title == NOTES:
        return f"{_AGENT}NOTES-T-"
    presentation = _ANNOTATION.get(title)
    if presentation:
        return f"{_AGENT}{_NO_ELEMENT}{presentation}"
    letters = "".join(letter for letter in title.upper() if letter.isalnum())
    return f"{_AGENT}{letters[:_ELEMENT_LETTERS]:-<{_ELEMENT_LETTERS}}E-"


def rename_layers(doc: Drawing, names: LayerNames) -> None:
    """Give every layer of ``doc`` but the two that every file has its name in ``names``."""
    if names is LayerNames.PLAIN:
        return
    new = {
        layer.dxf.name: layer_name(layer.dxf.name, names)
        for layer in doc.layers
        if layer.dxf.name.lower() not in ("0", "defpoints")
    }
    for old, name in new.items():
        layer = doc.layers.get(old)
        doc.layers.entries.pop(doc.layers.key(old))
        layer.dxf.name = name
        doc.layers.entries[doc.layers.key(name)] = layer
    for entity in doc.entitydb.values():
        if entity.dxf.hasattr("layer") and entity.dxf.layer in new:
            entity.dxf.layer = new[entity.dxf.layer]
