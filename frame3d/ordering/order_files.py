"""The files of an order besides those of the take-off."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from frame3d.design.tables.whole_design import OrderFiles
from frame3d.ordering.labels import label_csv, label_pages
from frame3d.ordering.requests import STANDARD_NAMES, request_csv, request_pdf, requests_of
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.alternatives import ALTERNATIVES
from frame3d.takeoff.write.quote_tables import QUOTE_TABLES

LABELS, LABEL_LIST = "labels.pdf", "labels.csv"


def order_names(takeoff: Takeoff) -> tuple[str, ...]:
    """What may be written, so that what an earlier order left there goes away."""
    stems = dict.fromkeys((*requests_of(takeoff), *STANDARD_NAMES))
    requests = (f"{stem}.{ending}" for stem in stems for ending in ("pdf", "csv"))
    labels = (LABELS, LABEL_LIST)
    return (*(f"takeoff-{key}.csv" for key in (*QUOTE_TABLES, ALTERNATIVES)), *requests, *labels)


def write_order(
    takeoff: Takeoff, folder: Path, wanted: Sequence[OrderFiles] = tuple(OrderFiles)
) -> tuple[str, ...]:
    """Write what is ``wanted`` into ``folder``, which is there and may be spoilt.

    Returns
    -------
    tuple of str
        The names of the files.

    Raises
    ------
    OSError
        If a file cannot be written.
    """
    made: dict[str, bytes] = {}
    if OrderFiles.REQUESTS in wanted:
        for stem, lines in requests_of(takeoff).items():
            made[f"{stem}.pdf"] = request_pdf(takeoff, lines)
            made[f"{stem}.csv"] = request_csv(takeoff, lines).encode()
    if OrderFiles.LABELS in wanted:
        made[LABELS] = label_pages(takeoff.frame)
        made[LABEL_LIST] = label_csv(takeoff.frame).encode()
    for name, content in made.items():
        (folder / name).write_bytes(content)
    return tuple(made)
