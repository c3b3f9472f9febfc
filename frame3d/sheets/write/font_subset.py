"""A font file with only the characters that a document uses, the same bytes every time.

Characters that the font lacks are taken over from the second font of the lettering.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from fontTools import subset
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

from frame3d.sheets.primitives.lettering import second_font

__all__ = ["font_with"]


def font_with(path: Path, letters: Iterable[str]) -> bytes:
    """The font at ``path`` with ``letters`` and no others, without ligatures and time stamps.

    Letters that it lacks come from :func:`frame3d.sheets.primitives.lettering.second_font`.
    """
    wanted = {ord(letter) for letter in letters}
    options = subset.Options()
    options.recalc_timestamp = False
    options.hinting = False
    options.layout_features = []
    options.drop_tables += ["FFTM"]  # a time stamp of the editor that made the font
    with TTFont(path, recalcTimestamp=False) as font:
        cutter = subset.Subsetter(options)
        lacking = sorted(wanted - set(font.getBestCmap()))
        cutter.populate(unicodes=sorted(wanted))
        cutter.subset(font)
        if lacking:
            _take_over(font, lacking)
        out = io.BytesIO()
        font.save(out)
    return out.getvalue()


def _take_over(font: TTFont, codes: Sequence[int]) -> None:
    """Put the glyphs of ``codes`` from the second font into ``font``, to its scale."""
    with TTFont(io.BytesIO(second_font())) as second:
        names, glyphs = second.getBestCmap(), second.getGlyphSet()
        factor = font["head"].unitsPerEm / second["head"].unitsPerEm
        order = font.getGlyphOrder()
        for code in codes:
            if code not in names:
                continue
            name = f"second{code:04X}"
            pen = TTGlyphPen(None)
            # Glyphs made of others are written out, as those others are not taken over.
            drawn = DecomposingRecordingPen(glyphs)
            glyphs[names[code]].draw(drawn)
            drawn.replay(TransformPen(pen, (factor, 0, 0, factor, 0, 0)))
            glyph = pen.glyph()
            order.append(name)
            font["glyf"].glyphs[name] = glyph
            glyph.recalcBounds(font["glyf"])
            font["hmtx"].metrics[name] = (
                round(factor * glyphs[names[code]].width),
                getattr(glyph, "xMin", 0),
            )
            for table in font["cmap"].tables:
                if table.isUnicode():
                    table.cmap[code] = name
    font.setGlyphOrder(order)
    font["maxp"].numGlyphs = len(order)
