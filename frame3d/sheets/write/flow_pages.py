"""Printed pages of text with pictures: a head, pictures, then text in two columns.

Paragraphs are set by the library of the PDF; pictures are SVG and stay lines. What does not
fit on a page goes on to the next.

Glossary
--------
chapter : what begins on a page of its own.
line : a paragraph by the name of its style and its text, in which <b> is bold.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from msgspec import Struct, field
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from frame3d.sheets.write.page import POINTS_PER_MM
from frame3d.sheets.write.pdf_file import BOLD, PLAIN, SECOND, PdfFile, pieces
from frame3d.sheets.write.svg_draw import draw_svg

Line = tuple[str, str]

_MARGIN, _FOOT, _GAP, _BETWEEN, _CAPTION = 36.0, 22.0, 16.0, 6.0, 11.0
"""Points: at the edges, for the line at the foot, between columns and rows, of a caption."""
_WIDE_HIGH, _TWO_HIGH, _NEAR_HIGH = 235.0, 160.0, 140.0
"""Greatest heights of a wide picture, of one of several, and of those in a row; points."""
_BESIDE = 0.68
"""Share of the width for a wide picture with one beside it."""
_FLAT = 2.6
"""Wide pictures flatter than this stand one below the other."""
_LARGEST = 0.78
"""Points for a unit of a picture, at most: its letters are 12 units high."""
_SHARES = (1.35, 1.2, 1.0, 0.9, 0.8, 0.7)
_LEAST_COLUMN, _LINE_GAP = 50.0, 2.5
_CAPTION_SIZE, _FOOT_SIZE = 6.8, 7.0
_GREY = "#4a5259"
_MARK = re.compile(r"(<[^>]*>)")


class FlowPicture(Struct, frozen=True, kw_only=True):
    """A picture, its size in its own units, its caption; a wide one has a row to itself."""

    svg: str
    width: float
    height: float
    caption: str
    is_wide: bool


class Chapter(Struct, frozen=True, kw_only=True):
    """What begins on a new page.

    Parameters
    ----------
    title : str
        What its bookmark is called.
    head : tuple of Line
        Above the pictures.
    body : tuple of tuples of Line
        The text below them, in blocks that are not broken.
    pictures : tuple of FlowPicture
    """

    title: str
    head: tuple[Line, ...]
    body: tuple[tuple[Line, ...], ...]
    pictures: tuple[FlowPicture, ...] = ()


def flow_pdf(
    chapters: Sequence[Chapter],
    *,
    size_mm: tuple[float, float],
    styles: Mapping[str, Mapping[str, float | str]],
    title: str,
    foot: str,
) -> bytes:
    """The chapters as a PDF with bookmarks; two runs give the same bytes.

    Parameters
    ----------
    chapters : sequence of Chapter
    size_mm : (float, float)
        Of an upright sheet.
    styles : mapping of str to mapping
        By the name of each style what is its own of a reportlab paragraph style.
    title, foot : str
        Of the document; the foot stands on each page, before its number. Both and all texts of
        the chapters are letter by letter as they are seen.
    """
    file = PdfFile(title)
    press = _Press(size_mm, styles)
    for chapter in chapters:
        press.add(chapter)
    for number, page in enumerate(press.pages, start=1):
        wide, high = press.paper
        file.add_page(wide, high, page.bookmark)
        press.draw(page, file, foot, f"{number} of {len(press.pages)}")
    return file.finished()


class _Block(Struct, frozen=True, kw_only=True):
    """Paragraphs that are not parted, each with how far it begins below the top; and its height."""

    lines: tuple[tuple[Paragraph, float], ...]
    high: float


class _Page(Struct, kw_only=True):
    """What lies where on a page: left and top, points, down from the upper edge."""

    bookmark: str = ""
    lines: list[tuple[Paragraph, float, float]] = field(default_factory=list)
    pictures: list[tuple[FlowPicture, float, float, float]] = field(default_factory=list)

    def put(self, block: _Block, left: float, top: float) -> None:
        self.lines += [(line, left, top + below) for line, below in block.lines]


def _fitted(blocks: Sequence[_Block], high: float) -> list[list[_Block]]:
    """As many of ``blocks`` as go into two columns of that height; a first one always goes."""
    columns: list[list[_Block]] = [[], []]
    left, index = high, 0
    for block in blocks:
        if columns[index] and block.high > left:
            index, left = index + 1, high
            if index == len(columns):
                break
        columns[index].append(block)
        left -= block.high + _LINE_GAP
    return columns


def _marked(text: str) -> str:
    """``text`` with its letters that the lettering lacks marked for the second font."""
    return "".join(
        f'<font name="{SECOND}">{piece}</font>' if font == SECOND else piece
        for part in _MARK.split(text)
        for font, piece in ([(PLAIN, part)] if part.startswith("<") else pieces(part, BOLD))
    )


class _Press:
    """Lays chapters out page by page, then draws the pages."""

    def __init__(
        self, size_mm: tuple[float, float], styles: Mapping[str, Mapping[str, float | str]]
    ) -> None:
        self.paper = tuple(side * POINTS_PER_MM for side in size_mm)
        self.left, self.top = _MARGIN, _MARGIN
        self.right, self.bottom = self.paper[0] - _MARGIN, self.paper[1] - _MARGIN - _FOOT
        self.column = (self.right - self.left - _GAP) / 2
        self.styles = {
            name: ParagraphStyle(name, fontName=PLAIN, **own) for name, own in styles.items()
        }
        self.caption = ParagraphStyle(
            "caption", fontName=PLAIN, fontSize=_CAPTION_SIZE, leading=1.25 * _CAPTION_SIZE,
            textColor=_GREY, alignment=1,
        )  # fmt: skip
        self.pages: list[_Page] = []

    def add(self, chapter: Chapter) -> None:
        """A chapter on as many pages as it takes."""
        self.pages.append(_Page(bookmark=chapter.title))
        head = self._block(chapter.head, self.right - self.left)
        self.pages[-1].put(head, self.left, self.top)
        blocks = [self._block(lines, self.column) for lines in chapter.body]
        top = self._pictures_above(blocks, chapter.pictures, self.top + head.high + _BETWEEN)
        while blocks:
            if self.bottom - top >= _LEAST_COLUMN:
                blocks = self._set(blocks, top)
            if blocks:
                self.pages.append(_Page())
                top = self.top

    def draw(self, page: _Page, file: PdfFile, foot: str, number: str) -> None:
        """Put a page into the file."""
        canvas, high = file.canvas, self.paper[1]
        for picture, left, top, scale in page.pictures:
            draw_svg(file, picture.svg, left, high - top, scale)
        for line, left, top in page.lines:
            line.drawOn(canvas, left, high - top - line.height)
        canvas.setFillColor(_GREY)
        below = high - self.bottom - 8 - _FOOT_SIZE
        file.set_text(foot, _FOOT_SIZE, (1, 0, 0, 1, self.left, below))
        right = self.right - file.width_of(number, _FOOT_SIZE)
        file.set_text(number, _FOOT_SIZE, (1, 0, 0, 1, right, below))

    def _block(self, lines: Sequence[Line], width: float) -> _Block:
        placed: list[tuple[Paragraph, float]] = []
        at, gap = 0.0, 0.0
        for kind, text in lines:
            style = self.styles[kind]
            at += max(gap, style.spaceBefore) if placed else style.spaceBefore
            line = Paragraph(_marked(text), style)
            _, high = line.wrap(width, self.paper[1])
            placed.append((line, at))
            at, gap = at + high, style.spaceAfter
        return _Block(lines=tuple(placed), high=at + gap)

    def _set(self, blocks: list[_Block], top: float) -> list[_Block]:
        """Set two columns from ``top`` down, even ones where all of it fits; what is left."""
        low, high = 0.0, self.bottom - top
        count = sum(map(len, _fitted(blocks, high)))
        if count == len(blocks):
            for _ in range(12):
                middle = (low + high) / 2
                fits = sum(map(len, _fitted(blocks, middle))) == count
                low, high = (low, middle) if fits else (middle, high)
        lefts = (self.left, self.right - self.column)
        for left, column in zip(lefts, _fitted(blocks, high), strict=True):
            at = top
            for block in column:
                self.pages[-1].put(block, left, at)
                at += block.high + _LINE_GAP
        return blocks[count:]

    def _pictures_above(
        self, blocks: Sequence[_Block], pictures: Sequence[FlowPicture], top: float
    ) -> float:
        """Pictures as large as leaves the text on one page; at full size where none does."""
        before = len(self.pages[-1].lines)
        for share in (*_SHARES, 1.0):
            self.pages[-1].pictures.clear()
            del self.pages[-1].lines[before:]
            below = self._place_pictures(pictures, top, share)
            high = self.bottom - below
            if high < _LEAST_COLUMN:
                continue
            if sum(map(len, _fitted(blocks, high))) == len(blocks):
                break
        return below

    def _place_pictures(self, pictures: Sequence[FlowPicture], top: float, share: float) -> float:
        """Wide pictures one below the other, the others in a row; where the text begins.

        ``share`` makes all of them smaller.
        """
        width = self.right - self.left
        wide = [picture for picture in pictures if picture.is_wide]
        near = [picture for picture in pictures if not picture.is_wide]
        highest = _WIDE_HIGH if len(wide) + len(near) < 3 else _TWO_HIGH
        if len(wide) == len(near) == 1:
            rooms = [part * (width - _GAP) for part in (_BESIDE, 1 - _BESIDE)]
            return self._row([*wide, *near], top, share * _WIDE_HIGH, rooms)
        if len(wide) > 1 and min(p.width / p.height for p in wide) > _FLAT:
            for picture in wide:
                top = self._row([picture], top, share * highest * 0.7, [width])
        elif len(wide) > 1:
            room = (width - _GAP * (len(wide) - 1)) / len(wide)
            top = self._row(wide, top, share * highest, [room] * len(wide))
        elif wide:
            top = self._row(wide, top, share * (highest + 40), [width])
        if near:
            room = (width - _GAP * (len(near) - 1)) / len(near)
            top = self._row(near, top, share * _NEAR_HIGH, [room] * len(near))
        return top

    def _row(
        self, pictures: list[FlowPicture], top: float, highest: float, rooms: list[float]
    ) -> float:
        sizes = [
            min(room / picture.width, highest / picture.height, _LARGEST)
            for picture, room in zip(pictures, rooms, strict=True)
        ]
        high = max(size * p.height for size, p in zip(sizes, pictures, strict=True))
        left = self.left
        for picture, size, room in zip(pictures, sizes, rooms, strict=True):
            own = size * picture.height
            x = left + (room - size * picture.width) / 2
            self.pages[-1].pictures.append((picture, x, top + high - own, size))
            caption = Paragraph(_marked(picture.caption), self.caption)
            caption.wrap(room, self.paper[1])
            self.pages[-1].lines.append((caption, left, top + high + 2))
            left += room + _GAP
        return top + high + 2 * _CAPTION + _BETWEEN
