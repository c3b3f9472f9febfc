"""A PDF as it grows, page by page: layers, bookmarks, and text in the lettering.

Text is set as text, in fonts of which the file holds the letters that it uses. The same
calls give the same bytes: the file has no dates.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from itertools import groupby

from reportlab import rl_config
from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFFormXObject,
    PDFInfo,
    PDFName,
    PDFStream,
    PDFString,
)
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from frame3d.sheets.primitives.lettering import BOLD_FILE, FONT_FILE, SECOND_FILE, font_path

PLAIN, BOLD, SECOND = "lettering", "lettering-bold", "second"


def load_fonts() -> None:
    """Make the lettering known to the library, once."""
    if PLAIN in pdfmetrics.getRegisteredFontNames():
        return
    rl_config.useA85 = 0  # bytes as they are, not written out as letters
    for name, file in ((PLAIN, FONT_FILE), (BOLD, BOLD_FILE), (SECOND, SECOND_FILE)):
        pdfmetrics.registerFont(TTFont(name, str(font_path(file)), shapable=False))
    for name, bold in ((PLAIN, BOLD), (SECOND, SECOND)):
        addMapping(name, 0, 0, name)
        addMapping(name, 1, 0, bold)


def pieces(text: str, font: str) -> list[tuple[str, str]]:
    """``text`` in pieces with the font of each: the second one where ``font`` lacks letters."""
    known = pdfmetrics.getFont(font).face.charToGlyph
    if all(ord(letter) in known for letter in text):
        return [(font, text)]
    return [
        (font if is_known else SECOND, "".join(letters))
        for is_known, letters in groupby(text, lambda letter: ord(letter) in known)
    ]


class _Info(PDFInfo):  # type: ignore[misc]  # reportlab comes without types
    """What the file says of itself, without dates, so that two runs give the same file."""

    def format(self, document: object) -> bytes:
        said = {"Title": self.title, "Author": self.author, "Subject": self.subject,
                "Creator": "frame3d"}  # fmt: skip
        entries = {name: PDFString(text) for name, text in said.items() if text}
        return bytes(PDFDictionary(entries).format(document))


class PdfFile:
    """A file with its properties; its ``canvas`` is the page that is drawn on."""

    def __init__(self, title: str, author: str = "", subject: str = "") -> None:
        load_fonts()
        self._out = io.BytesIO()
        self.canvas = Canvas(
            self._out, pageCompression=1, invariant=1, pdfVersion=(1, 5), lang="en",
            initialFontName=PLAIN,
        )  # fmt: skip
        document = self.canvas._doc
        document.info = _Info()
        document.info.title, document.info.author, document.info.subject = title, author, subject
        self._layers: dict[str, object] = {}
        self._has_page = False

    def number_pages(self, prefix: str, numbers: Sequence[int] = (1,)) -> None:
        """Pages are called by ``prefix`` and their number; bookmarks are shown beside them.

        ``numbers`` are those of the pages, or of the first of them, which the others follow.
        """
        for place, number in enumerate(numbers):
            if not place or number != numbers[place - 1] + 1:
                self.canvas.addPageLabel(place, style="ARABIC", start=number, prefix=prefix)
        self.canvas.showOutline()
        self.canvas.setViewerPreference("DisplayDocTitle", "true")

    def add_page(self, width: float, height: float, bookmark: str = "") -> None:
        """Go on to a page of that size, points, with a bookmark if it has a title for one."""
        if self._has_page:
            self.canvas.showPage()
        self._has_page = True
        self.canvas.setPageSize((width, height))
        if bookmark:
            key = f"page-{self.canvas.getPageNumber()}"
            self.canvas.bookmarkPage(key)
            self.canvas.addOutlineEntry(bookmark, key)

    def link(self, box: tuple[float, float, float, float], page: int) -> None:
        """What is clicked in ``box``, points, goes to a page that has a bookmark, from 1."""
        self.canvas.linkAbsolute("", f"page-{page}", Rect=box)

    def add_layer(self, name: str, operations: str) -> None:
        """What ``operations`` draw can be shown and hidden with all else on that layer.

        References
        ----------
        ISO 32000-1, 8.10 (forms), 8.11.3.3 (optional content in forms).
        """
        document, (width, height) = self.canvas._doc, self.canvas._pagesize
        if name not in self._layers:
            group = PDFDictionary({"Type": PDFName("OCG"), "Name": PDFString(name)})
            self._layers[name] = document.Reference(group, f"layer {name}")
        form = PDFFormXObject(0, 0, width, height)
        form.compression = 1
        form.Contents = PDFStream(PDFDictionary({"OC": self._layers[name]}), operations)
        key = f"page{self.canvas.getPageNumber()}layer{list(self._layers).index(name)}"
        document.addForm(key, form)
        self.canvas.doForm(key)

    def width_of(self, text: str, size: float, font: str = PLAIN) -> float:
        """Width of a line of text, points."""
        return float(
            sum(self.canvas.stringWidth(part, own, size) for own, part in pieces(text, font))
        )

    def set_text(
        self, text: str, size: float, matrix: tuple[float, ...], font: str = PLAIN
    ) -> None:
        """A line of text; the matrix is from its baseline to what is drawn on."""
        line = self.canvas.beginText()
        line.setTextTransform(*matrix)
        for own, piece in pieces(text, font):
            line.setFont(own, size)
            line.textOut(piece)
        self.canvas.drawText(line)

    def finished(self) -> bytes:
        """The file."""
        layers = PDFArray(list(self._layers.values()))
        if self._layers:
            catalog = self.canvas._doc.Catalog
            catalog.OCProperties = PDFDictionary(
                {"OCGs": layers, "D": PDFDictionary({"Order": layers, "ON": layers})}
            )
            catalog.__NoDefault__ = [*catalog.__NoDefault__, "OCProperties"]
        self.canvas.save()
        return self._out.getvalue()
