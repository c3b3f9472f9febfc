"""New designs with the sections in use that they only offer."""

from __future__ import annotations

import re

from frame3d.design.values.starter_values import OFFERED
from frame3d.design.writing.template import design_text

OTHER_WAYS = {"boundary": ("tapes", "side", "distance")}
"""Fields that say in another way what the first of their table says: a file has one of them."""


def switched_on(text, *names, fields):
    """The text with the # taken away from the headers of sections, and from their fields."""
    lines, name, wanted = [], "", False
    for line in text.splitlines():
        header = re.fullmatch(r"(# )?\[+(\w+)\]+", line)
        if header:
            name = header[2]
            wanted = name in names
        field = re.match(r"# ([a-z_]+) = ", line)
        other = field and field[1] in OTHER_WAYS.get(name, ())
        if wanted and (header or (fields and field and not other)):
            line = line.removeprefix("# ")
        lines.append(line)
    return "\n".join(lines) + "\n"


def whole_text(style, units):
    """A new design with every section there is."""
    return switched_on(design_text(style, units), *OFFERED, fields=True)
