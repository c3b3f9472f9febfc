"""How many designs a property test tries: few in every run, more when a campaign asks for it."""

from __future__ import annotations

import os

USUAL = 250
_WANTED = int(os.environ.get("FRAME3D_EXAMPLES", USUAL))


def examples(usual: int) -> int:
    """``usual``, and in proportion more where FRAME3D_EXAMPLES is more than 250; never fewer."""
    return max(usual, usual * _WANTED // USUAL)


__all__ = ["USUAL", "examples"]
