"""New designs with the sections in use that they only offer."""

from __future__ import annotations

import re

from frame3d.design.values.starter_values import OFFERED
from frame3d.design.writing.template import design_text


def switched_on(text, *names, fields):
    """The text with the # taken away from the headers of sections, and from their fields."""
    lines, wanted = [], False
    for line in text.splitlines():
        header = re.fullmatch(r"(# )?\[+(\w+)\]+", line)
        if header:
            wanted = header[2] in names
        if wanted and (header or (fields and re.match(r"# [a-z_]+ = ", line))):
            line = line.removeprefix("# ")
        lines.append(line)
    return "\n".join(lines) + "\n"


def whole_text(style, units):
    """A new design with every section there is."""
    return switched_on(design_text(style, units), *OFFERED, fields=True)
