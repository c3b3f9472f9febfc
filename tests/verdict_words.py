"""Words that read as a verdict, which no output of loads may have."""

from __future__ import annotations

import re

FORBIDDEN = re.compile(
    r"\b(?:safe|safely|safety|unsafe|pass|passes|passed|fail|fails|failed|ok|okay|capacity|"
    r"capacities|allowable|allowed|adequate|adequately|inadequate|sufficient|permissible|"
    r"strong enough|stronger|weaker|utili[sz]ation|green|red)\b",
    re.IGNORECASE,
)

__all__ = ["FORBIDDEN"]
