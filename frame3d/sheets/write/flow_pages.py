"""Printed pages of text with pictures: a head, pictures, then text in two columns.

Text is given as simple HTML and set by pymupdf's own layout; pictures are SVG and stay
lines. What does not fit on a page goes on to the next.

Glossary
--------
chapter : what begins on a page of its own.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence

import pymupdf
from msgspec import Struct

from frame3d.sheets.primitives.lettering import font_path
from frame3d.sheets.write.font_subset import font_with
from frame3d.sheets.write.pdf_page import POINTS_PER_MM
from frame3d.sheets.write.pdf_write import listed

__all__ = ["Chapter", "FlowPicture", "flow_pdf"]

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
_BOLD = "DejaVuSans-Bold.ttf"
_STYLE = """
@font-face { font-family: lettering; src: url(plain.ttf); }
@font-face { font-family: lettering; font-weight: bold; src: url(bold.ttf); }
body { font-family: lettering; margin: 0; padding: 0; }
"""


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
    head : str
        HTML above the pictures.
    body : tuple of str
        HTML of the text below them, in blocks that are not broken.
    pictures : tuple of FlowPicture
    """

    title: str
    head: str
    body: tuple[str, ...]
    pictures: tuple[FlowPicture, ...] = ()


def flow_pdf(
    chapters: Sequence[Chapter],
    *,
    size_mm: tuple[float, float],
    style: str,
    title: str,
    foot: str,
    letters: Iterable[str],
) -> bytes:
    """The chapters as a PDF with bookmarks; two runs give the same bytes.

    Parameters
    ----------
    chapters : sequence of Chapter
    size_mm : (float, float)
        Of an upright sheet.
    style : str
        CSS for the text.
    title, foot : str
        Of the document; the foot stands on each page, before its number, letter by letter as it
        is seen.
    letters : iterable of str
        Every character of the text.
    """
    press = _Press(size_mm, style, set(letters))
    for chapter in chapters:
        press.add(chapter)
    return press.finished(title, foot)


class _Block(Struct, frozen=True, kw_only=True):
    """Text that is not broken, with the height that it takes in a column."""

    story: pymupdf.Story
    high: float


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


class _Press:
    """Sets chapters page by page; pictures and feet are put in at the end."""

    def __init__(self, size_mm: tuple[float, float], style: str, letters: set[str]) -> None:
        self.paper = pymupdf.Rect(0, 0, *(side * POINTS_PER_MM for side in size_mm))
        self.frame = self.paper + (_MARGIN, _MARGIN, -_MARGIN, -_MARGIN - _FOOT)
        self.style = _STYLE + style
        self.plain = font_with(font_path(), letters)
        self.fonts = pymupdf.Archive()
        self.fonts.add(self.plain, "plain.ttf")
        self.fonts.add(font_with(font_path().with_name(_BOLD), letters), "bold.ttf")
        self.out = io.BytesIO()
        self.writer = pymupdf.DocumentWriter(self.out)
        self.pages = 0
        self.bookmarks: list[list] = []
        self.placed: list[tuple[int, FlowPicture, pymupdf.Rect, float]] = []

    def add(self, chapter: Chapter) -> None:
        """A chapter on as many pages as it takes."""
        device = self._page()
        self.bookmarks.append([1, chapter.title, self.pages])
        head = self._story(chapter.head)
        _, filled = head.place(self.frame)
        head.draw(device)
        blocks = [self._block(html) for html in chapter.body]
        top = self._pictures_above(blocks, chapter.pictures, filled[3] + _BETWEEN)
        while blocks:
            if self.frame.y1 - top >= _LEAST_COLUMN:
                blocks = self._set(blocks, top, device)
            self.writer.end_page()
            if blocks:
                device, top = self._page(), self.frame.y0

    def finished(self, title: str, foot: str) -> bytes:
        """The file, with pictures, captions and feet."""
        self.writer.close()
        document = pymupdf.open("pdf", self.out.getvalue())
        for number, picture, box, room in self.placed:
            page = document[number - 1]
            drawing = pymupdf.open("svg", picture.svg.encode("utf-8"))
            page.show_pdf_page(box, pymupdf.open("pdf", drawing.convert_to_pdf()), 0)
            middle = (box.x0 + box.x1) / 2
            below = pymupdf.Rect(
                middle - room / 2, box.y1, middle + room / 2, box.y1 + 2 * _CAPTION
            )
            self._line(page, below, picture.caption, _CAPTION_SIZE, pymupdf.TEXT_ALIGN_CENTER)
        for page in document:
            line = pymupdf.Rect(
                self.frame.x0, self.frame.y1 + 8, self.frame.x1, self.frame.y1 + 8 + _FOOT
            )
            self._line(page, line, foot, _FOOT_SIZE, pymupdf.TEXT_ALIGN_LEFT)
            number = f"{page.number + 1} of {len(document)}"
            self._line(page, line, number, _FOOT_SIZE, pymupdf.TEXT_ALIGN_RIGHT)
        document.set_toc(self.bookmarks)
        # No dates, so that two runs give the same file.
        document.set_metadata({"title": listed(title), "creator": "frame3d", "producer": ""})
        return document.tobytes(garbage=4, deflate=True, no_new_id=True)

    def _line(self, page, box: pymupdf.Rect, text: str, size: float, align: int) -> None:
        page.insert_font(fontname="plain", fontbuffer=self.plain)
        page.insert_textbox(
            box, text, fontname="plain", fontsize=size, align=align, color=(0.29, 0.32, 0.35)
        )

    def _page(self) -> object:
        self.pages += 1
        return self.writer.begin_page(self.paper)

    def _story(self, html: str) -> pymupdf.Story:
        return pymupdf.Story(html=html, user_css=self.style, archive=self.fonts)

    @property
    def _column(self) -> float:
        """Width of a column."""
        return (self.frame.width - _GAP) / 2

    def _block(self, html: str) -> _Block:
        story = self._story(html)
        _, filled = story.place(pymupdf.Rect(0, 0, self._column, self.paper.height))
        return _Block(story=story, high=filled[3])

    def _set(self, blocks: list[_Block], top: float, device: object) -> list[_Block]:
        """Set two columns from ``top`` down, even ones where all of it fits; what is left."""
        low, high = 0.0, self.frame.y1 - top
        count = sum(map(len, _fitted(blocks, high)))
        if count == len(blocks):
            for _ in range(12):
                middle = (low + high) / 2
                fits = sum(map(len, _fitted(blocks, middle))) == count
                low, high = (low, middle) if fits else (middle, high)
        lefts = (self.frame.x0, self.frame.x1 - self._column)
        for left, column in zip(lefts, _fitted(blocks, high), strict=True):
            at = top
            for block in column:
                # A point more than it takes, or rounding would put it off.
                block.story.place(
                    pymupdf.Rect(left, at, left + self._column, at + block.high + 1.0)
                )
                block.story.draw(device)
                at += block.high + _LINE_GAP
        return blocks[count:]

    def _pictures_above(
        self, blocks: Sequence[_Block], pictures: Sequence[FlowPicture], top: float
    ) -> float:
        """Pictures as large as leaves the text on one page; at full size where none does."""
        before = len(self.placed)
        for share in (*_SHARES, 1.0):
            del self.placed[before:]
            below = self._place_pictures(pictures, top, share)
            high = self.frame.y1 - below
            if high < _LEAST_COLUMN:
                continue
            if sum(map(len, _fitted(blocks, high))) == len(blocks):
                break
        return below

    def _place_pictures(self, pictures: Sequence[FlowPicture], top: float, share: float) -> float:
        """Wide pictures one below the other, the others in a row; where the text begins.

        ``share`` makes all of them smaller.
        """
        wide = [picture for picture in pictures if picture.is_wide]
        near = [picture for picture in pictures if not picture.is_wide]
        highest = _WIDE_HIGH if len(wide) + len(near) < 3 else _TWO_HIGH
        if len(wide) == len(near) == 1:
            rooms = [part * (self.frame.width - _GAP) for part in (_BESIDE, 1 - _BESIDE)]
            return self._row([*wide, *near], top, share * _WIDE_HIGH, rooms)
        if len(wide) > 1 and min(p.width / p.height for p in wide) > _FLAT:
            for picture in wide:
                top = self._row([picture], top, share * highest * 0.7, [self.frame.width])
        elif len(wide) > 1:
            room = (self.frame.width - _GAP * (len(wide) - 1)) / len(wide)
            top = self._row(wide, top, share * highest, [room] * len(wide))
        elif wide:
            top = self._row(wide, top, share * (highest + 40), [self.frame.width])
        if near:
            room = (self.frame.width - _GAP * (len(near) - 1)) / len(near)
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
        left = self.frame.x0
        for picture, size, room in zip(pictures, sizes, rooms, strict=True):
            wide, own = size * picture.width, size * picture.height
            x = left + (room - wide) / 2
            box = pymupdf.Rect(x, top + high - own, x + wide, top + high)
            self.placed.append((self.pages, picture, box, room))
            left += room + _GAP
        return top + high + 2 * _CAPTION + _BETWEEN
