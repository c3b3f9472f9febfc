"""Sheets as SVG, for browsers: one, or several one under the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from pathlib import Path

from frame3d.errors import OutputError
from frame3d.frame.describe.direction import runs_left
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.primitives.lettering import CAPITAL_SHARE, WIDTH_FACTOR, text_width_mm
from frame3d.sheets.write.page import POINTS_PER_MM, PageDrawing, SetText, path_text
from frame3d.sheets.write.page_drawing import drawn_pages
from frame3d.writing import write_whole

_LAYERS = "http://www.inkscape.org/namespaces/inkscape"
_PEN = 'stroke="#000000" stroke-linecap="round" stroke-linejoin="round" fill-rule="evenodd"'
_FORMS = {
    "M": "M%.2f %.2f", "L": "L%.2f %.2f", "C": "C%.2f %.2f %.2f %.2f %.2f %.2f", "Z": "Z"
}  # fmt: skip
"""Commands of a path, SVG 1.1, 8.3."""


def write_svg(sheet_set: SheetSet, numbers: int | Sequence[int], path: str | Path) -> Path:
    """Write sheets, by their numbers from 1, to ``path`` as SVG and return it.

    Raises
    ------
    OutputError
        If there is no such sheet, or the file cannot be written.
    """
    content = svg_text(sheet_set, [numbers] if isinstance(numbers, int) else numbers)
    path = Path(path)
    write_whole(path, lambda temporary: temporary.write_text(content, encoding="utf-8"))
    return path


def svg_text(sheet_set: SheetSet, numbers: Sequence[int]) -> str:
    """Sheets, by their numbers from 1, as the text of one SVG file.

    Raises
    ------
    OutputError
        If there is no such sheet.
    """
    wanted = list(numbers)
    count = len(sheet_set.sheets)
    for number in wanted:
        if not 1 <= number <= count:
            raise OutputError(f"there is no sheet {number}; give a number from 1 to {count}")
    return svg_of(drawn_pages(sheet_set, wanted))


def save_svg(pages: Sequence[PageDrawing], path: Path) -> None:
    """Write pages, one under the other.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    content = svg_of(pages)
    write_whole(path, lambda temporary: temporary.write_text(content, encoding="utf-8"))


def svg_of(pages: Sequence[PageDrawing]) -> str:
    """One page as SVG of the paper's size, or several under each other; with text as text."""
    width, height = max(page.width for page in pages), sum(page.height for page in pages)
    each, unit = (1 / POINTS_PER_MM, "mm") if len(pages) == 1 else (1.0, "")
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="{_LAYERS}" version="1.1" '
        f'width="{width * each:.1f}{unit}" height="{height * each:.1f}{unit}" '
        f'viewBox="0 0 {width:g} {height:g}">'
    ]
    bottom = 0.0
    for page in pages:
        bottom += page.height
        lines += _page(page, bottom)
    return "\n".join([*lines, "</svg>", ""])


def _page(page: PageDrawing, bottom: float) -> Iterator[str]:
    """What is on a page whose lower edge is ``bottom`` below the top of the picture."""
    yield f'<g transform="matrix(1,0,0,-1,0,{bottom:g})" {_PEN}>'
    for name, layer in page.layers.items():
        yield f'<g inkscape:groupmode="layer" inkscape:label="{escape(name)}">'
        for width, steps in layer.items():
            drawn = f'stroke-width="{width:.4f}" fill="none"' if width else 'stroke="none"'
            yield f'<path {drawn} d="{path_text(steps, _FORMS)}"/>'
        yield "</g>"
    yield '</g>\n<g font-family="DejaVu Sans, sans-serif" xml:space="preserve">'
    yield from (_text(text, bottom) for text in page.texts)
    yield "</g>"


def _text(text: SetText, bottom: float) -> str:
    """As wide as it is in the lettering, whatever font the browser has."""
    a, b, c, d, x, y = text.matrix
    wide = text_width_mm(text.text, text.size * CAPITAL_SHARE) / WIDTH_FACTOR
    # Letters come in the order in which they are seen.
    order = ' style="unicode-bidi:bidi-override"' if runs_left(text.text) else ""
    return (
        f'<text transform="matrix({a:.5g} {-b:.5g} {-c:.5g} {d:.5g} {x:.2f} {bottom - y:.2f})" '
        f'font-size="{text.size:.2f}" textLength="{wide:.2f}" lengthAdjust="spacingAndGlyphs"'
        f"{order}>{escape(text.text, quote=False)}</text>"
    )
