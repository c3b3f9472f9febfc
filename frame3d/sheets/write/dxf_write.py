"""A set of sheets into a DXF file, the same bytes for the same sheets."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

from ezdxf._options import options
from ezdxf.document import Drawing

from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.write.dxf_file import Document, build_document
from frame3d.writing import write_whole


@contextlib.contextmanager
def without_dates() -> Iterator[None]:
    """While it lasts, ezdxf writes fixed dates and identifiers in place of now and random ones."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def document_of(sheet_set: SheetSet) -> Document:
    """The sheets as a drawing in memory, without dates or random numbers."""
    with without_dates():
        return build_document(sheet_set)


def write_dxf(sheet_set: SheetSet, path: str | Path) -> Path:
    """Write the sheets to ``path`` as DXF and return it.

    Views stand at full size in model space, in inches or millimetres; each sheet is
    a paper-space layout. The same sheets give the same bytes.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    return write_document(document_of(sheet_set).doc, Path(path))


def write_document(doc: Drawing, path: Path) -> Path:
    """Write a drawing to ``path``, without dates or random numbers, and return it.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """

    def write(temporary: Path) -> None:
        _sort_classes(doc)
        with (
            without_dates(),
            open(temporary, "w", encoding=doc.output_encoding, errors="dxfreplace") as out,
        ):
            doc.write(out)

    write_whole(path, write)
    return path


def _sort_classes(doc: Drawing) -> None:
    """Put the CLASSES section in one order; ezdxf takes it from a set, whose order varies."""
    doc.classes.add_required_classes(doc.dxfversion)
    ordered = sorted(doc.classes.classes.items())
    doc.classes.classes.clear()
    doc.classes.classes.update(ordered)
