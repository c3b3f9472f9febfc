"""The standards that sizes of the catalogue are ordered by, as an order names them.

They are read from the sources of the tables, so that nothing is said twice.
"""

from __future__ import annotations

import functools
import re

from frame3d.catalog.csv_tables import CatalogKind, table_lines

_STANDARD = re.compile(
    r"ASME B[\d.]+\d(?:M\b)?|ASTM [A-Z]\d+(?: group [A-Z]+)?|(?:EN|ISO|DIN) \d+(?:-\d+)?|PS 20"
)


def designation(kind: CatalogKind, name: str, head: str = "") -> str:
    """The standard of a size; empty where there is none.

    Parameters
    ----------
    kind : CatalogKind
    name : str
        As the catalogue has it.
    head : str
        Of a bolt, ``hex`` or ``carriage``.

    Examples
    --------
    >>> designation(CatalogKind.TUBE, "NPS 1 STD"), designation(CatalogKind.BOLT, "M10", "hex")
    ('ASME B36.10M', 'ISO 4014 or ISO 4017')
    """
    return _found(kind).get((name, head), "")


@functools.cache
def _found(kind: CatalogKind) -> dict[tuple[str, str], str]:
    """Of each size the standards that its source names before what is told of holes and lengths."""
    return {
        (line["name"], line.get("head", "")): " or ".join(
            _STANDARD.findall(line["source"].partition(";")[0])
        )
        for line in table_lines(kind)
    }
