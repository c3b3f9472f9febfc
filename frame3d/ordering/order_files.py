"""The files of an order besides those of the take-off."""

from __future__ import annotations

from pathlib import Path

from frame3d.ordering.labels import label_csv, label_pages
from frame3d.ordering.requests import STANDARD_NAMES, request_csv, request_pdf, requests_of
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.alternatives import ALTERNATIVES
from frame3d.takeoff.write.quote_tables import QUOTE_TABLES

LABELS, LABEL_LIST = "labels.pdf", "labels.csv"

__all__ = ["order_names", "write_order", "write_requests"]


def order_names(takeoff: Takeoff) -> tuple[str, ...]:
    """What may be written, so that what an earlier order left there goes away."""
    stems = dict.fromkeys((*requests_of(takeoff), *STANDARD_NAMES))
    requests = (f"{stem}.{ending}" for stem in stems for ending in ("pdf", "csv"))
    labels = (LABELS, LABEL_LIST)
    return (*(f"takeoff-{key}.csv" for key in (*QUOTE_TABLES, ALTERNATIVES)), *requests, *labels)


def write_requests(takeoff: Takeoff, folder: Path) -> tuple[Path, ...]:
    """Write the requests for quotation into ``folder``, each to print and to fill in.

    Raises
    ------
    OSError
        If a file cannot be written.
    """
    written = []
    for stem, lines in requests_of(takeoff).items():
        written += [folder / f"{stem}.pdf", folder / f"{stem}.csv"]
        written[-2].write_bytes(request_pdf(takeoff, lines))
        written[-1].write_text(request_csv(takeoff, lines), encoding="utf-8", newline="\n")
    return tuple(written)


def write_order(takeoff: Takeoff, folder: Path) -> None:
    """Write every file into ``folder``, which is there and may be spoilt.

    Raises
    ------
    OSError
        If a file cannot be written.
    """
    write_requests(takeoff, folder)
    (folder / LABELS).write_bytes(label_pages(takeoff.frame))
    (folder / LABEL_LIST).write_text(label_csv(takeoff.frame), encoding="utf-8", newline="\n")
