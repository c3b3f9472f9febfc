"""Random designs through the whole program, for an hour or a night: ``python tests/campaign.py``.

What is drawn, what each design goes through and what counts as failing is told by ``--help``.
Killed, it goes on where it was when it is started again with the same folder. Property tests
take the number of their examples from :func:`examples`.
"""

from __future__ import annotations

import os

USUAL = 250
_WANTED = int(os.environ.get("FRAME3D_EXAMPLES", USUAL))


def examples(usual: int) -> int:
    """``usual``, and in proportion more where FRAME3D_EXAMPLES is more than 250; never fewer."""
    return max(usual, usual * _WANTED // USUAL)


if __name__ == "__main__":
    import sys
    from pathlib import Path

    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
    from campaigning.command import main

    sys.exit(main())


__all__ = ["USUAL", "examples"]
